//! What commands work with: files loaded, a tank, the library, and builds judged side by side.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsString;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

use super::args::{Format, Look};
use super::pick::{split, which};
use super::{Console, Failure, Run, Status, suggest};
use crate::assess::monte_carlo::simulate;
use crate::assess::{Assessment, Case as AtTank, advise, judge};
use crate::compare::ranking::ranked_by;
use crate::learn::learnt::{Ask, Learnt, learn};
use crate::learn::search::ROWS;
use crate::library::{self, Library, OwnMedia};
use crate::model::{Build, Filter, Tank};
use crate::order::InOrder;
use crate::parallel::map;
use crate::profile::store::{self, NotSaved};
use crate::profile::{Broken, Loaded, SoundTank};
use crate::report::figures::Units;
use crate::report::grid::{self, Grid};
use crate::report::page::{self};
use crate::report::{BadFile, BadSpot, Page, Sheet, bbcode, markdown, text};
use crate::uncertainty::Draws;

/// One build of a file that was read.
#[derive(Clone, Debug)]
pub struct Case {
    pub path: PathBuf,
    pub filter: Arc<Filter>,
    pub build: usize,
}

#[derive(Debug)]
pub struct Judged {
    pub sheet: Sheet,
    pub draws: Draws,
    pub learnt: Learnt,
}

impl Judged {
    pub fn columns(&self) -> Draws {
        self.learnt.columns(&self.draws)
    }
}

/// How much of each judgement a command shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    Measures,
    /// Faults with their costs, the head budget and the leaks too.
    Data,
    /// Everything, with pictures and advice.
    Whole,
}

/// Which draws are kept once their bands are known: all of them take some 90 KB a build.
#[derive(Clone, Copy, Debug)]
pub enum Kept<'a> {
    Nothing,
    Ranking(&'a Tank),
    All,
}

/// What a case came to, with advice and simulated cases, by its place, where it is known already.
pub type Known<'k> = dyn Fn(usize) -> Option<Assessment> + Sync + 'k;

#[expect(clippy::struct_excessive_bools, reason = "each is an option of its own")]
pub struct Context<'a, 'b> {
    pub console: &'a mut Console<'b>,
    pub units: Units,
    pub(super) units_asked: bool,
    pub library: &'static Library,
    /// What is shown comes from the built-in demo, so it is judged for the demo's tank unless told otherwise.
    pub from_demo: bool,
    /// Units are judged as they are, else as put right.
    as_found: bool,
    deep: bool,
    pub(super) own: OwnMedia,
    /// Builds of the files that were named by themselves.
    only: Vec<(PathBuf, Vec<usize>)>,
}

impl<'a, 'b> Context<'a, 'b> {
    pub fn new(console: &'a mut Console<'b>, look: Look) -> Self {
        console.ascii = look.ascii;
        Self {
            console,
            units: look.units.unwrap_or_default(),
            units_asked: look.units.is_some(),
            library: Library::shipped(),
            from_demo: false,
            as_found: false,
            deep: look.deep,
            own: OwnMedia::default(),
            only: Vec::new(),
        }
    }

    pub fn text(&mut self, page: &Page) -> Result<(), Failure> {
        self.page(page, Format::Text)
    }

    pub fn page(&mut self, page: &Page, format: Format) -> Result<(), Failure> {
        let look = page::Look { units: self.units, ascii: self.console.ascii, width: self.console.width };
        let written = match format {
            Format::Markdown => markdown::page(page, look),
            Format::Bbcode => bbcode::page(page, look),
            Format::Text | Format::Csv | Format::Xlsx | Format::Json => text::page(page, look),
        };
        self.console.result(&written)
    }

    pub fn data<E>(&mut self, written: Result<String, E>) -> Result<(), Failure>
    where
        E: std::error::Error + Send + Sync + 'static,
    {
        self.console.result(&written.map_err(std::io::Error::other)?)
    }

    /// What is loaded from here on is judged as these arguments say.
    pub fn judging(&mut self, run: &Run) -> &mut Self {
        self.as_found = run.as_found;
        self
    }

    pub fn load(&mut self, paths: &[PathBuf]) -> Loaded {
        let loaded = store::load(&self.asked(paths), self.library);
        self.own.note(self.library, &loaded);
        self.in_state(loaded)
    }

    /// These paths, with the folders within them where that was asked for.
    pub fn asked(&self, paths: &[PathBuf]) -> Vec<PathBuf> {
        if self.deep { store::deep(paths) } else { paths.to_vec() }
    }

    /// The units as they are, or put right, whichever is judged.
    pub fn in_state(&self, mut loaded: Loaded) -> Loaded {
        for sound in loaded.filters.iter_mut().filter(|_| !self.as_found) {
            sound.filter = sound.filter.put_right();
        }
        loaded
    }

    /// What lies under the paths, `FILE#BUILD` among them; without any, the user's own folder, else the demo. Problems
    /// are told as remarks.
    pub fn gather(&mut self, paths: &[PathBuf]) -> Result<Loaded, Failure> {
        let named: Vec<(PathBuf, Option<String>)> =
            paths.iter().map(|path| split(path.as_os_str(), &|path| path.exists())).collect();
        let files: Vec<PathBuf> = named.iter().map(|(path, _)| path.clone()).collect();
        let mut loaded = if files.is_empty() { self.own_or_demo() } else { self.load(&files) };
        self.tell(&loaded.broken);
        for sound in &loaded.filters {
            self.old_words(&sound.path, sound.hints.len());
        }
        // Name order, in whatever order they were asked for.
        loaded.filters.order_by(|a, b| a.path.cmp(&b.path));
        self.only.clear();
        for (path, name) in &named {
            let Some(sound) = loaded.filters.iter().find(|sound| sound.path == *path) else { continue };
            let builds = match name {
                Some(name) => vec![which(&sound.filter, path, Some(name))?],
                None => (0..sound.filter.builds.len()).collect(),
            };
            self.only.push((path.clone(), builds));
        }
        Ok(loaded)
    }

    /// Every build of the files, in their order; of a file whose builds were named, those.
    pub fn cases(&self, loaded: &Loaded) -> Vec<Case> {
        let wanted = |case: &Case| {
            let mut named = self.only.iter().filter(|(path, _)| *path == case.path).peekable();
            named.peek().is_none() || named.any(|(_, builds)| builds.contains(&case.build))
        };
        cases(loaded).into_iter().filter(wanted).collect()
    }

    fn own_or_demo(&mut self) -> Loaded {
        let own = own_folder().map(|folder| self.load(&[folder])).unwrap_or_default();
        if own.filters.is_empty() && own.broken.is_empty() {
            self.console.remark("cansift: no path given and no profiles of your own: the built-in demo");
            self.from_demo = true;
            let demo = library::demo();
            self.own.note(self.library, &demo);
            return self.in_state(demo);
        }
        own
    }

    pub fn tell(&mut self, broken: &[Broken]) {
        for problem in broken.iter().flat_map(|file| &file.problems) {
            self.console.remark(&problem.rendered);
        }
    }

    /// The tank asked for: a file, or one of those inside the program by its file name. Without any, builds of the demo get
    /// the demo's first. A broken one stops the command: figures for another tank would mislead.
    pub fn tank(&mut self, run: &Run) -> Result<Option<SoundTank>, Failure> {
        let Some(path) = &run.tank else {
            let tank = library::demo_tanks().into_iter().next().filter(|_| self.from_demo);
            if let Some(tank) = &tank {
                self.console.remark(&format!("cansift: no --tank given: the demo's, {}", tank.tank.name));
            }
            return Ok(tank);
        };
        if !path.exists()
            && let Some(tank) = library::tank_named(path)
        {
            return Ok(Some(tank));
        }
        let tank = store::load_tank(path, &self.own.with(self.library)).map_err(|broken| {
            self.tell(&[broken]);
            Failure::Nothing(format!("the tank `{}` cannot be used", path.display()))
        })?;
        self.old_words(path, tank.hints.len());
        Ok(Some(tank))
    }

    /// Remarks that a file says things as they were called before.
    fn old_words(&mut self, path: &Path, count: usize) {
        let words = if count == 1 { "one old word".to_owned() } else { format!("{count} old words") };
        if count > 0 {
            let path = path.display();
            self.console
                .remark(&format!("cansift: {path} has {words}: `cansift check {path}` tells the new"));
        }
    }

    /// Judges builds on as many threads as asked for; rows come in the order of the cases.
    pub fn judge(
        &self,
        cases: &[Case],
        broken: &[Broken],
        tank: Option<&SoundTank>,
        run: &Run,
        wanted: (Depth, Kept<'_>),
    ) -> Judged {
        self.judge_rest(cases, broken, tank, run, wanted, &|_| None)
    }

    /// The same, leaving out what is known already for this tank and these draws.
    pub fn judge_rest(
        &self,
        cases: &[Case],
        broken: &[Broken],
        tank: Option<&SoundTank>,
        run: &Run,
        (depth, kept): (Depth, Kept<'_>),
        known: &Known<'_>,
    ) -> Judged {
        let named = Names::new(cases.iter().map(|c| c.path.as_path()).chain(broken.iter().map(|b| &*b.path)));
        let draws = Draws::new(run.samples() as usize, run.seed());
        let never = AtomicBool::new(false);
        let numbered: Vec<(usize, &Case)> = cases.iter().enumerate().collect();
        let learnt = self.telling(|| "weighing the logs".to_owned(), || learnt(cases, tank, run, &draws));
        let judged = |(i, case): &(usize, &Case)| {
            let tank = tank.map(|t| &*t.tank);
            let mut row = known(*i).unwrap_or_else(|| {
                let build = case.filter.builds.get(case.build).filter(|_| draws.samples() > 0);
                let simulated =
                    build.and_then(|b| simulate(&AtTank::new(&case.filter, b, tank), &draws, &never));
                let row = judged_to(depth, case, tank).with(simulated.map(Arc::new));
                match build {
                    Some(build) => {
                        let cases = learnt.simulate((&case.filter, build), tank, *i, &never);
                        row.by_log(cases.map(Arc::new), learnt.of(*i).cloned())
                    }
                    None => row,
                }
            });
            row.file = named.of(&case.path);
            row.filter.clone_from(&case.filter.name);
            row.build = case.filter.builds.get(case.build).map(|b| b.name.clone()).unwrap_or_default();
            let model = row.logged.as_mut().and_then(|logged| Arc::make_mut(logged).model.as_mut());
            for simulated in row.simulated.iter_mut().chain(model) {
                match kept {
                    Kept::Nothing => Arc::make_mut(simulated).keep(&[]),
                    Kept::Ranking(tank) => Arc::make_mut(simulated).keep(&ranked_by(tank)),
                    Kept::All => {}
                }
            }
            row
        };
        let done = AtomicUsize::new(0);
        let counted = |case: &(usize, &Case)| {
            let row = judged(case);
            done.fetch_add(1, Ordering::Relaxed);
            row
        };
        let rows = self.telling(
            || format!("{} of {} builds judged", done.load(Ordering::Relaxed), numbered.len()),
            || map(run.threads(), &numbered, counted),
        );
        let sheet = Sheet {
            rows,
            broken: broken
                .iter()
                .map(|Broken { path, problems }| BadFile {
                    file: named.of(path),
                    problems: problems.iter().map(BadSpot::from).collect(),
                })
                .collect(),
            tank: tank.map(|t| t.tank.name.clone()),
            currency: tank.map(|t| t.tank.currency.clone()).unwrap_or_default(),
            seed: run.seed(),
        };
        Judged { sheet, draws, learnt }
    }

    /// Does long work while standard error, where someone watches it, tells from the first second on how far it is.
    pub fn telling<T>(&self, line: impl Fn() -> String + Send, work: impl FnOnce() -> T) -> T {
        if !self.console.watched {
            return work();
        }
        std::thread::scope(|scope| {
            let (working, over) = mpsc::channel::<()>();
            let watch = move || {
                let mut told = 0;
                while over.recv_timeout(Duration::from_secs(1)) == Err(RecvTimeoutError::Timeout) {
                    // A line may get shorter.
                    let line = format!("{:told$}", line());
                    told = line.len();
                    let _ = write!(std::io::stderr(), "\r{line}");
                }
                if told > 0 {
                    let _ = write!(std::io::stderr(), "\r{}\r", " ".repeat(told));
                }
            };
            // Without a thread to be had it works untold.
            let _ = std::thread::Builder::new().spawn_scoped(scope, watch);
            let result = work();
            drop(working);
            result
        })
    }

    pub fn book(&mut self, to: Option<&Path>, sheets: &[(&str, Grid)]) -> Result<(), Failure> {
        let Some(to) = to else { return Self::fits(Format::Xlsx, to) };
        self.save_new(to, grid::book(sheets)?)?;
        self.console.remark(&format!("cansift: wrote `{}`", to.display()));
        Ok(())
    }

    /// An XLSX goes into a file; what else is written goes to standard output.
    pub fn fits(format: Format, to: Option<&Path>) -> Result<(), Failure> {
        match (format, to) {
            (Format::Xlsx, None) => {
                Err(Failure::Usage("xlsx goes into a file: say which with --to FILE".to_owned()))
            }
            (Format::Xlsx, Some(_)) | (_, None) => Ok(()),
            (_, Some(_)) => Err(Failure::Usage(
                "--to is for `--format xlsx`: what else is written goes to standard output".to_owned(),
            )),
        }
    }

    pub fn save_new(&self, path: &Path, content: impl AsRef<[u8]>) -> Result<(), Failure> {
        store::save_new(path, content).map_err(|error| match error {
            NotSaved::Exists(_) | NotSaved::NoName(_) | NotSaved::Changed(_) => {
                Failure::Usage(error.to_string())
            }
            NotSaved::Refused { .. } => Failure::Nothing(error.to_string()),
        })
    }
}

fn learnt(cases: &[Case], tank: Option<&SoundTank>, run: &Run, draws: &Draws) -> Learnt {
    let builds: Vec<(&Filter, &Build)> =
        cases.iter().filter_map(|case| Some((&*case.filter, case.filter.builds.get(case.build)?))).collect();
    let never = AtomicBool::new(false);
    let mode = run.log.unwrap_or_default();
    let tank = tank.map(|tank| &*tank.tank);
    let ask = Ask { builds: &builds, tank, mode, draws, rows: ROWS, threads: run.threads(), stop: &never };
    learn(&ask).unwrap_or_default()
}

fn judged_to(depth: Depth, case: &Case, tank: Option<&Tank>) -> Assessment {
    let (filter, build) = (&case.filter, case.filter.builds.get(case.build));
    if let (Depth::Measures, Some(build)) = (depth, build) {
        return Assessment::measured(filter, build, tank);
    }
    let mut judgement = judge(filter, case.build, tank);
    if let Some(build) = build {
        advise(filter, build, tank, &mut judgement);
    }
    if depth != Depth::Whole {
        judgement.forget_pictures();
    }
    judgement
}

pub fn cases(loaded: &Loaded) -> Vec<Case> {
    loaded
        .filters
        .iter()
        .flat_map(|sound| {
            (0..sound.filter.builds.len()).map(|build| Case {
                path: sound.path.clone(),
                filter: Arc::clone(&sound.filter),
                build,
            })
        })
        .collect()
}

/// The status of a result: broken input shows in it, and nothing usable is a failure.
pub fn status(loaded: &Loaded, paths: &[PathBuf]) -> Result<Status, Failure> {
    match (loaded.filters.is_empty(), loaded.broken.is_empty()) {
        (true, _) => Err(nothing_in(paths)),
        (false, false) => Ok(Status::SomeBroken),
        (false, true) => Ok(Status::Fine),
    }
}

/// The user's own folder of profiles, if there is one.
pub fn own_folder() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    let folder = etcetera::choose_base_strategy().ok()?.data_dir().join("cansift");
    folder.is_dir().then_some(folder)
}

fn nothing_in(paths: &[PathBuf]) -> Failure {
    use clap::CommandFactory;
    let Some(missing) = paths.iter().find(|path| !path.exists()) else {
        return Failure::Nothing("no filter that can be used".to_owned());
    };
    let command = super::args::Args::command();
    let names = command.get_subcommands().map(clap::Command::get_name);
    let hint = suggest::nearest(&missing.to_string_lossy(), names)
        .map(|name| format!("; did you mean the command `cansift {name}`?"))
        .unwrap_or_default();
    Failure::Nothing(format!("no filter that can be used: there is no `{}`{hint}", missing.display()))
}

/// What files are called in results: the bare name, or the path as given where two share a name. So a
/// published table does not show where the folder lies.
pub struct Names(BTreeMap<OsString, usize>);

impl Names {
    pub fn new<'p>(paths: impl Iterator<Item = &'p Path>) -> Self {
        let mut counts = BTreeMap::new();
        for name in paths.collect::<BTreeSet<_>>().into_iter().filter_map(Path::file_name) {
            *counts.entry(name.to_owned()).or_default() += 1;
        }
        Self(counts)
    }
    pub fn of(&self, path: &Path) -> String {
        match path.file_name() {
            Some(name) if self.0.get(name).is_none_or(|count| *count < 2) => {
                name.to_string_lossy().into_owned()
            }
            _ => path.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/"),
        }
    }
}
