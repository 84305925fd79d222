//! What changes the form: each change is read at once, and a sound form is the tank from then on.

use std::path::Path;
use std::sync::Arc;

use super::moved;
use crate::app::screens::{self, builds};
use crate::app::state::form::{Held, given};
use crate::app::state::tank::Ask;
use crate::app::{Effect, Form, State};
use crate::library::Library;
use crate::model::Tank;
use crate::profile::{read_tank, tank_text};

/// Takes another text as a change that can be taken back.
pub fn step_to(state: &mut State, next: Held) {
    if let Some(form) = &mut state.tank_form.form {
        form.step_to(next);
    } else {
        let mut form = Form::new(Tank::TABLE, next.text, Vec::new());
        (form.kept, form.file) = (next.kept, next.file);
        state.tank_form.form = Some(form);
    }
    read(state)
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
        moved::remember(state);
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
        state.ask(Effect::Form(Ask::List))
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
