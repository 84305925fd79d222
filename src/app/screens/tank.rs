//! The Tank screen, by its form.

use crate::app::effect::Effect;
use crate::app::screen::{May, Screen};
use crate::app::state::State;
use crate::app::tabs::Place;
use crate::app::tank_form::{self, CHOICES};
use crate::profile::TANK_FIELDS;

pub struct Tank;

impl Screen for Tank {
    fn place(&self, state: &State) -> Place {
        if state.tank_form.choosing { Place::Tanks } else { Place::Tank }
    }
    fn step(&self, state: &mut State, by: isize) {
        tank_form::step(state, by);
    }
    fn page(&self, state: &mut State, by: isize) {
        tank_form::page(state, by);
    }
    fn press(&self, state: &mut State, x: u16, y: u16) -> Vec<Effect> {
        tank_form::press(state, x, y)
    }
    fn back(&self, state: &mut State) -> Option<Vec<Effect>> {
        tank_form::back(state).then(Vec::new)
    }
    fn keep(&self, state: &mut State) {
        tank_form::keep(state);
    }
    fn sync(&self, state: &mut State) -> Vec<Effect> {
        tank_form::sync(state)
    }
    fn sought(&self, state: &State) -> Vec<String> {
        let form = &state.tank_form;
        if !form.choosing {
            return TANK_FIELDS
                .iter()
                .zip(&form.texts)
                .map(|(f, text)| format!("{} {text}", f.label()))
                .collect();
        }
        let fixed = CHOICES.iter().map(|(name, says)| format!("{name} {says}"));
        let found = form.choices.iter().flatten().map(|choice| match &choice.tank {
            Ok(tank) => format!("{} {}", tank.name, choice.from),
            Err(_) => choice.from.clone(),
        });
        fixed.chain(found).collect()
    }
    fn at(&self, state: &State) -> usize {
        let form = &state.tank_form;
        if form.choosing { form.chosen } else { form.cursor }
    }
    fn go(&self, state: &mut State, line: usize) {
        let form = &mut state.tank_form;
        if form.choosing {
            form.chosen = line;
        } else {
            form.cursor = line;
            tank_form::keep(state);
        }
    }
}

/// There is a sound tank to save.
pub fn saves(state: &State) -> May {
    if state.tank_form.is_blank() {
        Err("there is no tank to save")
    } else if state.tank_form.problems.is_empty() {
        Ok(())
    } else {
        Err("the form has problems: they stand under their fields, mend them first")
    }
}

pub fn undoes(state: &State) -> May {
    if state.tank_form.can_undo() { Ok(()) } else { Err("nothing was changed") }
}

pub fn redoes(state: &State) -> May {
    if state.tank_form.can_redo() { Ok(()) } else { Err("nothing was taken back") }
}

/// The field under the cursor is not left out.
pub fn holds_text(state: &State) -> May {
    let form = &state.tank_form;
    let holds = form.texts.get(form.cursor).is_some_and(|t| !t.is_empty());
    if holds { Ok(()) } else { Err("it is left out already") }
}
