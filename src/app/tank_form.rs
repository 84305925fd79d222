//! The Tank screen: the tank as a form of texts, each checked by the reader of files; what changes it, and back.

mod choices;
mod keys;
mod lines;
mod lists;
mod moved;
mod nudge;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use super::effect::Effect;
use super::state::State;
use crate::assess::Assessment;
use crate::library::Library;
use crate::model::tank::Tank;
use crate::profile::{FieldProblem, TANK_FIELDS, read_tank_texts, tank_texts};

pub use choices::{CHOICES, answer};
pub use keys::{act, back, page, press, step, taken};
pub use lines::{Line, Told, area, beside, keep, lines, problem_now, reads_as, told, told_rows};
pub use lists::{complete, fits_here};
pub use moved::{Moved, moved, to_show};

/// Most steps that can be undone.
const MOST_STEPS: usize = 500;

/// What a key does on the Tank screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {
    /// Type into the field under the cursor.
    Edit,
    /// Another word or figure, so many steps on.
    Step(isize),
    /// Leave the field under the cursor out.
    Clear,
    /// Take the last change back.
    Undo,
    /// Make it again.
    Redo,
    /// Choose another tank.
    Choose,
    /// Start from the chosen one.
    Start,
    /// Save in a new file.
    Save,
}

/// Something the form asks of the world outside.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// Find tanks.
    List,
    /// Save a tank in a new file.
    Save {
        /// The file as it was typed.
        file: String,
        /// What it is to hold.
        text: String,
    },
    /// From now on look whether this file changes; none: no longer look.
    Follow(Option<String>),
}

/// What came of it.
#[derive(Clone, Debug)]
pub enum Answer {
    /// Tanks that were found.
    Listed(Vec<Choice>),
    /// A tank was saved in that file, or why not.
    Saved(Result<String, String>),
}

/// A tank to start from.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Where it lies, as people know it.
    pub from: String,
    /// The file to find it by next time.
    pub file: String,
    /// The tank, or why it cannot be used.
    pub tank: Result<Arc<Tank>, String>,
}

/// The form.
#[derive(Clone, Debug, Default)]
pub struct TankForm {
    /// The text of each field, in the order of [`TANK_FIELDS`]. All empty: no tank.
    pub texts: Vec<String>,
    /// What is wrong with them.
    pub problems: Vec<FieldProblem>,
    /// The field under the cursor.
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
    /// Tanks to start from, once they were looked for.
    pub choices: Option<Vec<Choice>>,
    /// The list of tanks is in view.
    pub choosing: bool,
    /// Which of it is chosen.
    pub chosen: usize,
    /// Where a new file goes.
    pub folder: String,
    /// The builds as they were judged before the last change.
    pub before: Vec<Option<Arc<Assessment>>>,
    /// The texts as last loaded or saved.
    kept: Vec<String>,
    past: Vec<Held>,
    future: Vec<Held>,
    /// The tank that the texts were read to, or came from.
    of: Option<Arc<Tank>>,
    /// Tanks were asked for.
    asked: bool,
    /// What is being saved, as it was typed, and its file.
    saving: Option<(String, Vec<String>)>,
}

/// The form at one time: what a step back goes back to.
#[derive(Clone, Debug, PartialEq)]
struct Held {
    texts: Vec<String>,
    kept: Vec<String>,
    file: Option<String>,
}

impl TankForm {
    /// Something differs from what was loaded or saved last.
    pub fn changed(&self) -> bool {
        self.texts != self.kept
    }
    /// There is something to take back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }
    /// There is something to make again.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
    /// Every field is left out.
    pub fn is_blank(&self) -> bool {
        self.texts.iter().all(|text| text.trim().is_empty())
    }
    /// The problem of a field.
    pub fn problem(&self, field: usize) -> Option<&FieldProblem> {
        self.problems.iter().find(|p| p.field == field)
    }
}

fn blank() -> Vec<String> {
    vec![String::new(); TANK_FIELDS.len()]
}

/// The form as it is, to come back to.
fn held(state: &State) -> Held {
    let form = &state.tank_form;
    Held { texts: form.texts.clone(), kept: form.kept.clone(), file: state.tank_file.clone() }
}

/// Puts another form in place; what has to follow comes back.
fn put(state: &mut State, held: Held) -> Vec<Effect> {
    let form = &mut state.tank_form;
    form.texts = held.texts;
    form.kept = held.kept;
    let mut effects = Vec::new();
    if state.tank_file != held.file {
        state.tank_file.clone_from(&held.file);
        effects.push(Effect::Form(Ask::Follow(held.file)));
    }
    effects.extend(read(state));
    effects
}

/// Takes a form as a new state that can be undone.
fn step_to(state: &mut State, held_now: Held) -> Vec<Effect> {
    let was = held(state);
    let form = &mut state.tank_form;
    if !was.texts.is_empty() {
        form.past.push(was);
        if form.past.len() > MOST_STEPS {
            form.past.remove(0);
        }
    }
    form.future.clear();
    put(state, held_now)
}

/// One step back or on among the changes.
fn travel(state: &mut State, back: bool) -> Vec<Effect> {
    let now = held(state);
    let form = &mut state.tank_form;
    let (from, to) =
        if back { (&mut form.past, &mut form.future) } else { (&mut form.future, &mut form.past) };
    let Some(next) = from.pop() else { return Vec::new() };
    to.push(now);
    // The cursor goes where something changes, so that it is seen.
    if let Some(field) = (0..TANK_FIELDS.len()).find(|i| form.texts.get(*i) != next.texts.get(*i)) {
        form.cursor = field;
    }
    put(state, next)
}

/// Sets the field under the cursor.
fn set(state: &mut State, text: String) -> Vec<Effect> {
    let mut next = held(state);
    let Some(field) = next.texts.get_mut(state.tank_form.cursor) else { return Vec::new() };
    if *field == text {
        return Vec::new();
    }
    *field = text;
    step_to(state, next)
}

/// Reads the form: a sound one is the tank from now on, a blank one is none, and every build is judged for it.
fn read(state: &mut State) -> Vec<Effect> {
    let form = &mut state.tank_form;
    let tank = if form.is_blank() {
        None
    } else {
        match read_tank_texts(&form.texts, Library::shipped()) {
            Ok(tank) => Some(tank),
            Err(problems) => {
                form.problems = problems;
                state.told = Some(broken(state));
                keep(state);
                return Vec::new();
            }
        }
    };
    form.problems.clear();
    let mut effects = Vec::new();
    let same = state.tank.as_deref() == tank.as_ref();
    if same {
        form.of.clone_from(&state.tank);
        state.no_tank = tank.is_none();
    } else {
        let tank = tank.map(Arc::new);
        form.of.clone_from(&tank);
        moved::remember(state);
        state.take_tank(tank);
        effects.push(Effect::Judge);
    }
    keep(state);
    effects
}

/// How many problems the form has, in words.
pub fn problems(state: &State) -> String {
    match state.tank_form.problems.len() {
        1 => "one problem".to_owned(),
        count => format!("{count} problems"),
    }
}

/// What is said of a form with problems: whose figures are in view.
fn broken(state: &State) -> String {
    let things = problems(state);
    let still = if state.tank.is_some() {
        "figures are still for the tank as it was"
    } else {
        "figures are still for no tank"
    };
    format!("the form has {things}: {still}")
}

/// After anything happened while the screen is in view: follows a tank that came from elsewhere, and looks for
/// tanks the first time.
pub fn follow(state: &mut State) -> Vec<Effect> {
    let first = !std::mem::replace(&mut state.tank_form.asked, true);
    if state.tank_form.texts.is_empty() && state.tank.is_none() {
        state.tank_form.texts = blank();
        state.tank_form.kept = blank();
        state.tank_form.choosing = true;
    }
    if let Some(tank) = state.tank.clone()
        && state.tank_form.of.as_ref().is_none_or(|of| !Arc::ptr_eq(of, &tank))
    {
        let texts = tank_texts(&tank);
        let next = Held { kept: texts.clone(), texts, file: state.tank_file.clone() };
        state.tank_form.choosing = false;
        step_to(state, next);
    }
    keep(state);
    if first { vec![Effect::Form(Ask::List)] } else { Vec::new() }
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
        state.told = Some(state.keys.fill(said));
    }
    holds
}
