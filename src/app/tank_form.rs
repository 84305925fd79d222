//! The Tank screen: the tank as a form; what changes it, and back.

pub use super::state::tank::{Answer, Ask, CHOICES, Choice, TankForm};

use std::path::Path;
use std::sync::Arc;

use crate::app::screens::{self, builds, ranking};
use crate::app::state::form::{Held, given};
use crate::app::{Done, Effect, Form, Goal, Line as Typed, List, State, Tab};
use crate::library::Library;
use crate::measures::{Measure, Outcome};
use crate::model::Tank;
use crate::profile::{file_stem, read_tank, store, tank_text};
use crate::report::figures;

/// Takes another text as a change that can be taken back.
pub fn step_to(state: &mut State, next: Held) {
    if let Some(form) = &mut state.tank_form.form {
        form.step_to(next);
    } else {
        let mut form = Form::new(Tank::TABLE, next.text, Vec::new());
        (form.kept, form.file) = (next.kept, next.file);
        state.tank_form.form = Some(form);
    }
    read(state);
}

/// Reads the form: a sound one is the tank from now on, an empty one is none, and every build is judged for it.
pub fn read(state: &mut State) {
    let Some(form) = &mut state.tank_form.form else { return };
    if state.tank_file != form.file {
        state.tank_file.clone_from(&form.file);
        state.effects.push(Effect::Form(Ask::Follow(form.file.clone())));
    }
    let tank = if form.text.trim().is_empty() {
        form.problems.clear();
        None
    } else {
        match read_tank(Path::new("tank.ron"), &form.text, Library::shipped()) {
            Ok(sound) => {
                form.sound = given(&*sound.tank);
                form.problems.clear();
                Some(sound.tank)
            }
            Err(broken) => {
                form.problems = broken.problems;
                state.tell(broken_words(state));
                return screens::keep(state);
            }
        }
    };
    if state.tank == tank {
        state.tank_form.of.clone_from(&state.tank);
        state.no_tank = tank.is_none();
    } else {
        state.tank_form.of.clone_from(&tank);
        remember(state);
        builds::take_tank(state, tank);
        state.ask(Effect::Judge);
    }
    screens::keep(state);
}

pub fn problems(state: &State) -> String {
    match state.tank_form.problems() {
        1 => "one problem".to_owned(),
        count => format!("{count} problems"),
    }
}

/// What is said of a form with problems: whose figures are in view.
fn broken_words(state: &State) -> String {
    let still = if state.tank.is_some() { "the tank as it was" } else { "no tank" };
    let first = state.tank_form.form.as_ref().and_then(|form| form.problems.first());
    let why = first.map_or(String::new(), |problem| match &problem.help {
        Some(help) => format!("; {}: {help}", problem.message),
        None => format!("; {}", problem.message),
    });
    format!("the form has {}: figures are still for {still}{why}", problems(state))
}

/// After anything happened while the screen is in view: follows a tank that came from elsewhere, and looks for
/// tanks the first time.
pub fn sync(state: &mut State) {
    let first = !std::mem::replace(&mut state.tank_form.asked, true);
    if state.tank_form.form.is_none() && state.tank.is_none() {
        state.tank_form.form = Some(Form::new(Tank::TABLE, String::new(), Vec::new()));
        state.tank_form.choosing = true;
    }
    if let Some(tank) = state.tank.clone()
        && state.tank_form.of.as_ref().is_none_or(|of| !Arc::ptr_eq(of, &tank))
    {
        let text = tank_text(&tank);
        let next = Held { kept: text.clone(), text, file: state.tank_file.clone() };
        state.tank_form.choosing = false;
        step_to(state, next);
        // It is this very one, not another that is equal.
        state.tank_form.of = Some(tank);
    }
    screens::keep(state);
    if first {
        state.ask(Effect::Form(Ask::List));
    }
}

/// Whether a tank that was read again from its file is passed over: it is the same one, or the form holds changes
/// of its own, which stay, and that is told.
pub fn passes_over(state: &mut State, tank: &Arc<Tank>) -> bool {
    if state.tank.as_ref() == Some(tank) {
        return true;
    }
    let holds = state.tank_form.changed();
    if holds {
        let said = "the tank's file changed on disk; your unsaved changes stay ({other_tank} on Tank reads it again)";
        state.tell_keys(said);
    }
    holds
}

pub const BLANK: &str = "Tank(\n    format: 1,\n    name: \"my tank\",\n)\n";

fn begin(state: &mut State, text: String, file: Option<String>) {
    let lost = state.tank_form.changed();
    state.tank_form.choosing = false;
    step_to(state, Held { kept: text.clone(), text, file });
    if let Some(form) = &mut state.tank_form.form {
        form.list = List::default();
    }
    if lost && state.status.is_none() {
        state.tell_keys("the form before had unsaved changes: {undo} brings it back");
    }
}

pub fn new(state: &mut State) {
    begin(state, BLANK.to_owned(), None);
}

/// Starts from the chosen tank, from an empty form, or judges for no tank.
pub fn start(state: &mut State) {
    let form = &mut state.tank_form;
    let (text, file) = match (form.chosen, form.chosen.checked_sub(CHOICES.len())) {
        (0, _) => (String::new(), None),
        (_, None) => (BLANK.to_owned(), None),
        (_, Some(i)) => match form.choices.as_ref().and_then(|all| all.get(i)) {
            None => return,
            Some(choice) => match &choice.tank {
                Err(why) => {
                    let said = format!("{} cannot be used: {why}", choice.from);
                    return state.tell(said);
                }
                Ok(tank) => (tank_text(tank), Some(choice.file.clone())),
            },
        },
    };
    begin(state, text, file);
}

pub fn choose(state: &mut State) {
    state.tank_form.choosing = true;
    state.tank_form.top = 0;
    screens::keep(state);
    state.ask(Effect::Form(Ask::List));
}

/// Asks for the name of the file: a new one, or the one that it was saved in here.
pub fn name_file(state: &mut State) {
    let ours = |file: &&String| state.over(Path::new(file)).is_some();
    let name = state.tank.as_ref().map_or("", |tank| tank.name.as_str());
    let new = || Path::new(&state.tank_form.folder).join(file_name(name)).to_string_lossy().into_owned();
    let path = state.tank_file.as_ref().filter(ours).cloned().unwrap_or_else(new);
    state.line = Some(Typed::new(Goal::SaveTank, &path));
}

pub fn on_file(state: &mut State, line: &Typed, done: Done) {
    let (Done::Take(_), file) = (done, line.text()) else { return };
    let file = file.trim();
    if file.is_empty() {
        return state.tell("no file was named: nothing is saved");
    }
    let Some(text) = state.tank_form.form.as_ref().map(|form| form.text.clone()) else { return };
    let over = state.over(Path::new(file));
    state.tank_form.saving = Some((file.to_owned(), text.clone()));
    state.ask(Effect::Form(Ask::Save { file: file.to_owned(), text, over }));
}

pub fn answer(state: &mut State, answer: Answer) {
    let form = &mut state.tank_form;
    match answer {
        Answer::Listed(choices) => {
            form.chosen = form.chosen.min(choices.len() + CHOICES.len() - 1);
            // The first tank, rather than none or an empty form, is what most will want.
            if form.choices.is_none() && !choices.is_empty() {
                form.chosen = CHOICES.len();
            }
            form.choices = Some(choices);
            screens::keep(state);
        }
        Answer::Saved(Ok(file)) => {
            if let Some((_, text)) = form.saving.take() {
                if let Some(form) = &mut form.form {
                    form.saved(&text, &file);
                }
                state.wrote(Path::new(&file), store::content(&text));
            }
            state.tell(format!("saved, and the tank next time, or with --tank: {file}"));
            state.tank_file = Some(file);
        }
        Answer::Saved(Err(why)) => {
            // The name as it was typed, to be mended.
            if let Some((file, _)) = form.saving.take()
                && state.screen == Tab::Tank
                && state.line.is_none()
            {
                state.line = Some(Typed::new(Goal::SaveTank, &file));
            }
            state.tell(format!("not saved: {why}"));
        }
    }
}

pub fn file_name(name: &str) -> String {
    format!("{}.ron", file_stem(name, "tank"))
}

/// A figure as it was before the last change, and where it went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    pub was: String,
    /// It rose; none where it is not known yet, or is no number.
    pub rose: Option<bool>,
}

/// Remembers the figures as they are, to show what a change does. While they are being worked out those before
/// stay.
fn remember(state: &mut State) {
    let before = &mut state.tank_form.before;
    before.resize(state.entries.len(), None);
    for (was, entry) in before.iter_mut().zip(&state.entries) {
        if entry.judged.is_some() {
            was.clone_from(&entry.judged);
        }
    }
    if let Some(stood) = state.ranking.stood.as_ref().filter(|stood| stood.settled) {
        let ranked = ranking::ordered(state, true).into_iter().filter(|b| stood.standing.rank(*b).is_some());
        state.tank_form.stood = ranked.filter_map(|b| stood.entries.get(b).copied()).collect();
    }
}

/// How a measure of one of the entries moved with the last change; none where it reads as before.
pub fn moved(state: &State, entry: usize, measure: Measure) -> Option<Moved> {
    let before = &state.tank_form.before;
    // Other files may have been read since.
    if before.len() != state.entries.len() {
        return None;
    }
    let was = before.get(entry)?.as_ref()?.outcome(measure);
    let shown = |outcome: Outcome| figures::show(measure, outcome, state.units);
    // While it is being worked out the figure as it was stays in view, so that nothing flickers.
    let Some(now) = state.entries.get(entry)?.judged.as_ref().map(|j| j.outcome(measure)) else {
        return Some(Moved { was: shown(was), rose: None });
    };
    if shown(was) == shown(now) {
        return None;
    }
    let rose = was.number().zip(now.number()).map(|(was, now)| now > was);
    Some(Moved { was: shown(was), rose })
}

/// The measures to show for some entries: those that the last change moved, then those chosen on Builds.
pub fn to_show(state: &State, entries: &[usize]) -> Vec<Measure> {
    let has_moved =
        |m: &Measure| entries.iter().any(|i| moved(state, *i, *m).is_some_and(|moved| moved.rose.is_some()));
    let mut out: Vec<Measure> = Measure::ALL.into_iter().filter(has_moved).collect();
    let rest: Vec<Measure> =
        state.columns.iter().filter_map(|c| c.measure()).filter(|m| !out.contains(m)).collect();
    out.extend(rest);
    out
}
