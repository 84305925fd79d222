//! The screens, put together: what they show first, what they ask of the rest of the program, and what is kept.

mod logs;
pub mod remember;
pub mod tanks;
mod trays;

use super::args::{Bare, When};
use super::context::own_folder;
use super::{Context, Failure, Run, Status, keys, plain, report};
use crate::app::asks::{Format, Next};
use crate::app::jobs::{Doubt, Hooks};
use crate::app::settings::Settings;
use crate::app::state::Look;
use crate::app::{Because, Entry, Message, RankAsk, ReplyAsk, State, Stood};
use crate::assess::explain::explain;
use crate::assess::monte_carlo::simulate;
use crate::assess::{Assessment, Case as AtTank, advise, judge};
use crate::compare::Standing;
use crate::library::{self, Library};
use crate::measures::Measure;
use crate::model::{Filter, Tank};
use crate::profile::watch::{self, Steady, Watch};
use crate::profile::{SoundTank, store};
use crate::report::next::{Advice, advice};
use crate::report::ranking::key_words;
use crate::report::{Sheet, answer, bbcode, explained, markdown, page, text};
use crate::terminal::{self, Ended};
use crate::uncertainty::{Centre, Draws};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::Sender;

use crate::compare::{
    self,
    value_of_information::{Gain, MeasureFirst},
};
use logs::Logs;
use remember::Memory;
use tanks::{Desk, seen};
use trays::Written;

impl Context<'_, '_> {
    pub fn screens(&mut self, bare: &Bare) -> Result<Status, Failure> {
        // A script begins the same each time, whatever anybody set up before, and leaves nothing behind.
        let script = plain::is_wanted(bare.plain) && !std::io::stdin().is_terminal();
        let mut memory = if script { Memory::default() } else { Memory::of_user() };
        let (paths, source) = shown(bare, memory.kept.as_ref().map_or(&[], |kept| &kept.paths));
        let paths = self.asked(&paths);
        self.from_demo = paths.is_empty();
        // A tank that names media of the profiles needs them read before it; the others do not wait for that.
        let last = || memory.kept.as_ref()?.tank.as_ref().map(PathBuf::from);
        let needs = |tank: PathBuf| tank.exists() && store::load_tank(&tank, self.library).is_err();
        if bare.run.tank.clone().or_else(last).is_some_and(needs) {
            self.load(&paths);
        }
        let (tank, tank_file, told) = self.tank_on_screen(&bare.run, &paths, &memory)?;
        let mut state = State::new(&source, tank.map(|t| t.tank));
        if let Some(kept) = &memory.kept {
            state.restore(kept);
        }
        state.tank_file.clone_from(&tank_file);
        state.as_found = bare.run.as_found;
        state.log_moves = bare.run.log.unwrap_or_default();
        if !bare.paths.is_empty() {
            state.paths = bare.paths.iter().filter_map(|path| whole(path)).collect();
        }
        let keys = keys::in_force(bare.keys.keys.as_deref());
        for problem in &keys.problems {
            self.console.remark(&problem.rendered);
        }
        state.status = keys.told().or_else(|| memory.told.clone()).or(told);
        state.keys = keys.keys;
        state.no_tank = bare.run.tank.is_none() && memory.kept.as_ref().is_some_and(|kept| kept.no_tank);
        if self.units_asked {
            state.units = self.units;
        }
        let mono = match bare.colour {
            When::Auto => self.console.mono,
            When::Always => false,
            When::Never => true,
        };
        state.look = Look { ascii: self.console.ascii, mono };
        let samples = bare.run.samples() as usize;
        state.samples = (samples > 0).then_some(samples);
        state.restack.demo = self.from_demo;
        state.restack.media = self.library.media().map(Arc::clone).collect();
        let desk = Arc::new(
            Desk::new(paths.clone(), self.library, tank_file.map(PathBuf::from)).knowing(self.own.clone()),
        );
        state.tank_form.folder = desk.folder().to_string_lossy().into_owned();
        state.filters.folder = paths.first().filter(|path| path.is_dir()).cloned().unwrap_or_default();
        let mut hooks = hooks(paths.clone(), self.library, &bare.run);
        let (read, own, library) = (Arc::clone(&hooks.load), self.own.clone(), self.library);
        hooks.load = Arc::new(move || {
            let loaded = read();
            own.note(library, &loaded);
            loaded
        });
        let asked = Arc::clone(&desk);
        hooks.form = Arc::new(move |ask| asked.ask(ask));
        let threads = bare.run.threads();
        let mut watched = None;
        let ready = |sender: Sender<Message>| {
            if !bare.no_watch {
                desk.look(sender.clone());
                watched = (!paths.is_empty()).then(|| watch(&paths, sender));
            }
        };
        if plain::is_wanted(bare.plain) {
            let mut reader = std::io::stdin().lock();
            let (status, state) = plain::run(self.console, state, hooks, threads, &mut reader, ready)?;
            self.keep(&mut memory, &state.settings());
            return Ok(status);
        }
        // What fails here is tried again, and told, on leaving.
        let mut keep = |kept: &Settings| drop(memory.keep(kept));
        let ended = terminal::run(state, hooks, threads, ready, &mut keep);
        drop(watched);
        let (ended, kept) =
            ended.map_err(|error| Failure::Nothing(format!("the terminal cannot be used: {error}")))?;
        self.keep(&mut memory, &kept);
        Ok(match ended {
            Ended::Left => Status::Fine,
            Ended::Signal(number) => Status::Signal(number),
        })
    }

    fn keep(&mut self, memory: &mut Memory, kept: &Settings) {
        if let Err(why) = memory.keep(kept) {
            self.console.remark(&format!("cansift: what you set up could not be kept for next time: {why}"));
        }
    }

    /// The tank asked for, else last time's, else the demo's where the demo is shown, else that of a folder `tanks`
    /// beside the builds; with the file to find it by next time, and what to tell.
    fn tank_on_screen(&mut self, run: &Run, paths: &[PathBuf], memory: &Memory) -> Result<OnScreen, Failure> {
        let last = memory.kept.as_ref().and_then(|kept| kept.tank.clone());
        if run.tank.is_none() && memory.kept.as_ref().is_some_and(|kept| kept.no_tank) {
            return Ok((None, None, None));
        }
        if let (None, Some(last)) = (&run.tank, last) {
            let path = PathBuf::from(&last);
            // A name without a folder is that of a tank inside the program.
            let own = self.own.with(self.library);
            let found = library::tank_named(&path).or_else(|| store::load_tank(&path, &own).ok());
            if let Some(tank) = found {
                return Ok((Some(tank), Some(last), None));
            }
            let told = format!("last time's tank, {last}, cannot be used now: give one with --tank");
            return Ok((self.tank(run)?, Some(last), Some(told)));
        }
        let tank = self.tank(run)?;
        if let (None, None, Some(beside)) =
            (&run.tank, &tank, tank_beside(paths, &self.own.with(self.library)))
        {
            let told = format!("tank: {}, from {}", beside.tank.name, beside.path.display());
            let file = whole(&beside.path);
            return Ok((Some(beside), file, Some(told)));
        }
        // A tank of the demo's has no folder.
        Ok((tank, run.tank.as_deref().and_then(whole), None))
    }
}

/// The tank to begin with, where nobody named one: of those in a folder `tanks` within the first of the paths the one
/// marked `default`, else the first by name.
fn tank_beside(paths: &[PathBuf], library: &Library) -> Option<SoundTank> {
    let folder = paths.first()?.join("tanks");
    let (mut tanks, _) = store::load_tanks(&[folder.is_dir().then_some(folder)?], library);
    let marked = tanks.iter().position(|sound| sound.tank.default).unwrap_or(0);
    (marked < tanks.len()).then(|| tanks.swap_remove(marked))
}

/// What is shown, and how it is called: the paths given, else the user's own folder, else what was shown last
/// time as far as it is still there, else the demo, which has no paths.
fn shown(bare: &Bare, last: &[String]) -> (Vec<PathBuf>, String) {
    let called = |paths: &[PathBuf]| match paths {
        [] => "built-in demo".to_owned(),
        [one] => one.display().to_string(),
        [one, more @ ..] => format!("{} and {} more", one.display(), more.len()),
    };
    if bare.demo || !bare.paths.is_empty() {
        let paths = if bare.demo { Vec::new() } else { bare.paths.clone() };
        return (paths.clone(), called(&paths));
    }
    if let Some(own) = own_folder() {
        return (vec![own], "your own folder".to_owned());
    }
    let last: Vec<PathBuf> = last.iter().map(PathBuf::from).filter(|path| path.exists()).collect();
    let said = called(&last);
    let said = if last.is_empty() { said } else { format!("last time's {said}") };
    (last, said)
}

/// A path that is found from another folder too.
fn whole(path: &Path) -> Option<String> {
    path.canonicalize().unwrap_or_else(|_| path.to_owned()).to_str().map(str::to_owned)
}

/// What the screens need of the rest: how files are read (none: the demo), builds judged, doubted and compared.
pub fn hooks(paths: Vec<PathBuf>, library: &'static Library, run: &Run) -> Hooks {
    let report_run = run.clone();
    let samples = run.samples() as usize;
    let draws = Arc::new(Draws::new(samples, run.seed()));
    let (rank_draws, next_draws) = (Arc::clone(&draws), Arc::clone(&draws));
    let reply_draws = Arc::clone(&draws);
    let logs = Arc::new(Logs::new(run));
    let noting = Arc::clone(&logs);
    let [for_whys, for_next, for_rank, for_reply] = std::array::from_fn(|_| Arc::clone(&logs));
    let doubt: Doubt = Arc::new(move |filter: &Filter, build, tank: Option<&Tank>, stop: &AtomicBool| {
        let cases = simulate(&AtTank::new(filter, filter.builds.get(build)?, tank), &draws, stop)?;
        logs.corrected(cases, (filter, build), tank, &draws, stop)
    });
    let steady = Steady::default();
    let desk = Desk::new(paths.clone(), library, None);
    let written = Written::default();
    Hooks {
        restack: trays::hooks(written.clone(), run),
        load: Arc::new(move || {
            let (demo, paths) = (paths.is_empty(), [&paths[..], &written.paths()].concat());
            let read = || store::load(&paths, library);
            let again = || std::thread::sleep(watch::AGAIN);
            if !demo {
                return steady.load(read, again);
            }
            let mut loaded = library::demo();
            if !paths.is_empty() {
                let more = steady.load(read, again);
                loaded.filters.extend(more.filters);
                loaded.broken.extend(more.broken);
                loaded.media.extend(more.media);
            }
            loaded
        }),
        logs: Arc::new(move |filters, mode| noting.note(filters, mode)),
        judge: Arc::new(judge),
        advise: Arc::new(|filter, build, tank, judged| {
            if let Some(build) = filter.builds.get(build) {
                advise(filter, build, tank, judged);
            }
        }),
        doubt: (samples > 0).then_some(doubt),
        why: Arc::new(move |a, b, measure, tank| because(a, b, measure, tank, &for_whys.centre())),
        next: Arc::new(move |filter: &Filter, judged: &Assessment, units| {
            let names = [(filter.id.clone(), String::new())];
            // Whose figure it is stands in the title already.
            let build = format!("{}, ", judged.build);
            let said = |told: &Advice| {
                let what = told.what.trim_start_matches([':', ' ']);
                let what = what.strip_prefix(&build).unwrap_or(what);
                format!("{what}, {} min: {}", told.minutes, told.narrows(units))
            };
            advice(judged, &for_next.columns(&next_draws), &names).iter().map(said).collect()
        }),
        rank: Arc::new(move |ask: &RankAsk| ranked(ask, &for_rank.columns(&rank_draws))),
        explain: Arc::new(|filter, build, measure, tank, units| {
            explained::lines(&explain(filter, build, tank, measure), units)
        }),
        form: Arc::new(move |ask| desk.ask(ask)),
        reply: Arc::new(move |ask: &ReplyAsk| replied(ask, &for_reply.columns(&reply_draws))),
        report: Arc::new(move |ask| report::from_screens(library, &report_run, ask)),
    }
}

/// A tank, the file to find it by, and what to tell.
type OnScreen = (Option<SoundTank>, Option<String>, Option<String>);

/// Has changes on disk reloaded; where that cannot be, that is told.
fn watch(paths: &[PathBuf], sender: Sender<Message>) -> Option<Watch> {
    let told = sender.clone();
    // Nobody listens any more only when the program ends.
    seen(Watch::start(paths, move || drop(sender.send(Message::Changed))), &told)
}

/// Why the second of two builds differs from the first.
fn because(
    (a, first): (&Filter, usize),
    (b, other): (&Filter, usize),
    measure: Measure,
    tank: Option<&Tank>,
    centre: &Centre,
) -> Because {
    let both = a.builds.get(first).zip(b.builds.get(other));
    let (x, y) = both.ok_or_else(|| "one of them is gone".to_owned())?;
    compare::reasons::reasons((a, x), (b, y), tank, measure, centre).map_err(|none| none.words())
}

fn ranked(ask: &RankAsk, draws: &Draws) -> Stood {
    // Until all of them are simulated none counts as such.
    let rows: Vec<Assessment> = ask
        .builds
        .iter()
        .map(|b| {
            let simulated = b.judged.simulated.clone().filter(|_| ask.settled);
            Assessment::clone(&b.judged).with(simulated)
        })
        .collect();
    let builds: Vec<&Assessment> = rows.iter().collect();
    let mut standing = Standing::new(&builds, &ask.tank, draws.seed());
    let tops = if ask.settled { tops(&mut standing) } else { Vec::new() };
    let own: Vec<f64> = standing.criteria.iter().map(|c| c.weight).collect();
    standing.reweigh(if ask.weights.len() == own.len() { &ask.weights } else { &own });
    let cases: Vec<AtTank<'_>> = ask
        .builds
        .iter()
        .filter_map(|b| Some(AtTank::new(&b.filter, b.filter.builds.get(b.build)?, Some(&*ask.tank))))
        .collect();
    let first = if ask.settled { standing.measure_first(draws, &cases) } else { MeasureFirst::default() };
    let names: Vec<(String, String)> =
        ask.builds.iter().map(|b| (b.filter.id.clone(), b.filter.name.clone())).collect();
    let next = |gain: &Gain| Next {
        what: key_words(&gain.key, &names),
        how: gain.how().to_owned(),
        changes: Some(gain.changes),
    };
    Stood {
        entries: ask.builds.iter().map(|b| b.entry).collect(),
        next: first.top.iter().map(next).collect(),
        settled: ask.settled && standing.samples > 0,
        standing,
        tops,
    }
}

/// Builds that are told of one by one in a full reply.
const TOLD: usize = 3;

/// A reply to paste, as the command `answer` writes it.
fn replied(ask: &ReplyAsk, draws: &Draws) -> String {
    let judged: Vec<(&Entry, &Assessment)> =
        ask.builds.iter().filter_map(|e| Some((e, e.judged.as_deref()?))).collect();
    let builds: Vec<(Arc<Filter>, usize)> =
        judged.iter().map(|(e, _)| (Arc::clone(&e.filter), e.build)).collect();
    let sheet = Sheet {
        rows: judged.iter().map(|(_, judged)| Assessment::clone(judged)).collect(),
        broken: Vec::new(),
        tank: Some(ask.tank.name.clone()),
        currency: ask.tank.currency.clone(),
        seed: draws.seed(),
    };
    let asked =
        answer::Asked { builds: &builds, sheet: &sheet, draws, tank: &ask.tank, top: TOLD, units: ask.units };
    let page = answer::reply(asked, ask.kind);
    let look = page::Look { units: ask.units, ascii: false, width: 76 };
    match ask.format {
        Format::Text => text::page(&page, look),
        Format::Markdown => markdown::page(&page, look),
        Format::Bbcode => bbcode::page(&page, look),
    }
}

/// How much one priority counts beside the others where it counts most.
const MOST: f64 = 5.0;

/// For each priority the build that is first most often if it counted most.
fn tops(standing: &mut Standing) -> Vec<(Measure, usize, f64)> {
    let own: Vec<f64> = standing.criteria.iter().map(|c| c.weight).collect();
    let measures: Vec<Measure> = standing.criteria.iter().map(|c| c.measure).collect();
    let mut out = Vec::new();
    for (i, measure) in measures.into_iter().enumerate() {
        let weights: Vec<f64> = (0..own.len()).map(|j| if i == j { MOST } else { 1.0 }).collect();
        standing.reweigh(&weights);
        let first = standing.order().into_iter().next().and_then(|b| Some((b, standing.rank(b)?.first())));
        out.extend(first.map(|(b, share)| (measure, b, share)));
    }
    standing.reweigh(&own);
    out
}
