//! What changes the form, and back: each change is read at once, and a sound form is the tank from then on.

use std::sync::Arc;

use super::lines::keep;
use super::moved;
use crate::app::effect::Effect;
use crate::app::screens::builds;
use crate::app::state::State;
use crate::app::state::tank::{Ask, Held};
use crate::library::Library;
use crate::model::tank::Tank;
use crate::profile::{TANK_FIELDS, read_tank_texts, tank_texts};

const MOST_STEPS: usize = 500;

pub fn blank() -> Vec<String> {
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
pub fn step_to(state: &mut State, held_now: Held) -> Vec<Effect> {
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
pub fn travel(state: &mut State, back: bool) -> Vec<Effect> {
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

pub fn set(state: &mut State, text: String) -> Vec<Effect> {
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
                state.status = Some(broken(state));
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
        builds::take_tank(state, tank);
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
pub fn sync(state: &mut State) -> Vec<Effect> {
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
        state.hint = Some(said.to_owned());
    }
    holds
}
