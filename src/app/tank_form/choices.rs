//! Tanks to start from, and saving in a new file.

use std::path::Path;

use super::change::{blank, step_to};
use super::lines::keep;
use crate::app::effect::Effect;
use crate::app::line::{Goal, Line as Typed};
use crate::app::state::State;
use crate::app::state::tank::{Answer, Ask, CHOICES, Held};
use crate::app::tabs::Tab;
use crate::profile::{tank_texts, write_tank_texts};

/// Starts from the chosen tank, from an empty form, or judges for no tank.
pub fn start(state: &mut State) -> Vec<Effect> {
    let form = &mut state.tank_form;
    let next = match (form.chosen, form.chosen.checked_sub(CHOICES.len())) {
        (0, _) => Held { texts: blank(), kept: blank(), file: None },
        (_, None) => {
            let mut texts = blank();
            if let Some(name) = texts.first_mut() {
                "my tank".clone_into(name);
            }
            Held { kept: texts.clone(), texts, file: None }
        }
        (_, Some(i)) => match form.choices.as_ref().and_then(|all| all.get(i)) {
            None => return Vec::new(),
            Some(choice) => match &choice.tank {
                Err(why) => {
                    state.status = Some(format!("{} cannot be used: {why}", choice.from));
                    return Vec::new();
                }
                Ok(tank) => {
                    let texts = tank_texts(tank);
                    Held { kept: texts.clone(), texts, file: Some(choice.file.clone()) }
                }
            },
        },
    };
    let lost = form.changed();
    form.choosing = false;
    form.cursor = 0;
    form.top = 0;
    let effects = step_to(state, next);
    if lost && state.status.is_none() {
        state.hint = Some("the form before had unsaved changes: {undo} brings it back".to_owned());
    }
    effects
}

/// Asks for the name of a new file.
pub fn name_file(state: &mut State) {
    let form = &state.tank_form;
    let name = file_name(form.texts.first().map_or("", String::as_str));
    let path = Path::new(&form.folder).join(name);
    state.line = Some(Typed::new(Goal::SaveTank, &path.to_string_lossy()));
}

/// A file was named.
pub fn save(state: &mut State, file: &str) -> Vec<Effect> {
    let file = file.trim();
    if file.is_empty() {
        state.status = Some("no file was named: nothing is saved".to_owned());
        return Vec::new();
    }
    let form = &mut state.tank_form;
    form.saving = Some((file.to_owned(), form.texts.clone()));
    vec![Effect::Form(Ask::Save { file: file.to_owned(), text: write_tank_texts(&form.texts) })]
}

/// Takes in what came of an ask.
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
            keep(state);
        }
        Answer::Saved(Ok(file)) => {
            if let Some((_, texts)) = form.saving.take() {
                // Wherever undo leads back to it, it is saved there, too.
                for held in form.past.iter_mut().chain(&mut form.future).filter(|held| held.texts == texts) {
                    held.kept.clone_from(&texts);
                    held.file = Some(file.clone());
                }
                form.kept = texts;
            }
            state.status = Some(format!("saved in {file}; it is the tank next time, or with --tank"));
            state.tank_file = Some(file);
        }
        Answer::Saved(Err(why)) => {
            state.status = Some(format!("not saved: {why}"));
            // The name as it was typed, to be mended.
            if let Some((file, _)) = form.saving.take()
                && state.screen == Tab::Tank
                && state.line.is_none()
            {
                state.line = Some(Typed::new(Goal::SaveTank, &file));
            }
        }
    }
}

/// A file name for a tank's name: letters and digits of any script, the rest as dashes.
pub fn file_name(name: &str) -> String {
    let mut out = String::new();
    for c in name.trim().to_lowercase().chars().take(60) {
        if c.is_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    format!("{}.ron", if out.is_empty() { "tank" } else { out })
}
