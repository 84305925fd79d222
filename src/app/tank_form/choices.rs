//! Tanks to start from, and saving.

use std::path::Path;

use super::change::step_to;
use crate::app::state::form::Held;
use crate::app::state::tank::{Answer, Ask, CHOICES};
use crate::app::{Effect, Goal, Line as Typed, List, State, Tab, screens};
use crate::profile::{file_stem, store, tank_text};

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

/// A new tank: one number makes it judge.
pub fn new(state: &mut State) {
    begin(state, BLANK.to_owned(), None)
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
    begin(state, text, file)
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

pub fn save(state: &mut State, file: &str) {
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
