//! What keys and the mouse do on the Tank screen.

use super::change::set;
use super::lines::{FormLine, area, keep, lines, window};
use super::{choices, nudge};
use crate::app::effect::Effect;
use crate::app::line::{Done, Goal, Line as Typed};
use crate::app::state::State;
use crate::app::state::tank::{Ask, CHOICES};
use crate::library::Library;
use crate::profile::{Entry, TANK_FIELDS, TankField, read_tank_texts};

/// Moves the cursor by fields, or in the list of tanks.
pub fn step(state: &mut State, by: isize) {
    let form = &mut state.tank_form;
    if form.choosing {
        let len = form.choices.as_ref().map_or(0, Vec::len) + CHOICES.len();
        form.chosen = form.chosen.saturating_add_signed(by).min(len - 1);
    } else {
        form.cursor = form.cursor.saturating_add_signed(by).min(TANK_FIELDS.len() - 1);
    }
    keep(state);
}

pub fn page(state: &mut State, by: isize) {
    let rows = isize::try_from(window(state).saturating_sub(1).max(1)).unwrap_or(1);
    step(state, by.saturating_mul(rows));
}

/// Puts the cursor on what stands at a cell; where it was there already, types into it or starts from it.
pub fn press(state: &mut State, x: u16, y: u16) -> Vec<Effect> {
    let inner = area(state).inner();
    if !inner.holds(x, y) || usize::from(y - inner.y) >= window(state) {
        return Vec::new();
    }
    let at = state.tank_form.top + usize::from(y - inner.y);
    if state.tank_form.choosing {
        let rows = state.tank_form.choices.as_ref().map_or(0, Vec::len) + CHOICES.len();
        let Some(row) = at.checked_sub(1).filter(|row| *row < rows) else { return Vec::new() };
        if state.tank_form.chosen == row {
            return choices::start(state);
        }
        state.tank_form.chosen = row;
    } else if let Some(FormLine::Field(field)) = lines(state).get(at) {
        if state.tank_form.cursor == *field {
            edit(state);
            return Vec::new();
        }
        state.tank_form.cursor = *field;
    }
    Vec::new()
}

/// The row and the text of the field under the cursor.
fn here(state: &State) -> Option<(&'static TankField, &str)> {
    let form = &state.tank_form;
    Some((TANK_FIELDS.get(form.cursor)?, form.texts.get(form.cursor)?.as_str()))
}

/// Types into the field under the cursor.
pub fn edit(state: &mut State) {
    let cursor = state.tank_form.cursor;
    let Some((field, text)) = here(state) else { return };
    let mut line = Typed::new(Goal::Field(cursor), text);
    if text.trim().is_empty() {
        (line.before, line.after) = skeleton(field);
    }
    state.line = Some(line);
    keep(state);
}

/// Leaves the field under the cursor out.
pub fn clear(state: &mut State) -> Vec<Effect> {
    set(state, String::new())
}

pub fn choose(state: &mut State) -> Vec<Effect> {
    state.tank_form.choosing = true;
    state.tank_form.top = 0;
    keep(state);
    vec![Effect::Form(Ask::List)]
}

/// What a field that is left out begins with while it is typed: unit and brackets, the caret between them.
fn skeleton(field: &TankField) -> (String, String) {
    let split = |text: &str, at: usize| {
        (text.get(..at).unwrap_or("").to_owned(), text.get(at..).unwrap_or("").to_owned())
    };
    match field.entry() {
        Entry::List(brackets) => split(brackets, 1),
        Entry::Figure => match field.row.like.split_once('(') {
            Some((unit, _)) => (format!("{unit}("), ")".to_owned()),
            None => Default::default(),
        },
        Entry::Text | Entry::Words => Default::default(),
    }
}

/// Steps the field under the cursor; what the reader would refuse is not taken.
pub fn nudged(state: &mut State, by: isize) -> Vec<Effect> {
    let Some((field, text)) = here(state) else { return Vec::new() };
    let next = match nudge::nudged(field, text, by) {
        Ok(next) => next,
        Err(why) => {
            state.hint = Some(why.to_owned());
            return Vec::new();
        }
    };
    let cursor = state.tank_form.cursor;
    if state.tank_form.problem(cursor).is_none() {
        let mut texts = state.tank_form.texts.clone();
        if let Some(slot) = texts.get_mut(cursor) {
            slot.clone_from(&next);
        }
        let problems = read_tank_texts(&texts, Library::shipped()).err().unwrap_or_default();
        if let Some(refused) = problems.iter().find(|p| p.field == cursor) {
            state.status = Some(format!("no further: {}", refused.problem.message));
            return Vec::new();
        }
    }
    set(state, next)
}

/// A line was typed for the form.
pub fn on_submit(state: &mut State, line: &Typed, done: Done) -> Vec<Effect> {
    let Done::Take(on) = done else {
        keep(state);
        return Vec::new();
    };
    match line.goal {
        Goal::Field(field) => {
            state.tank_form.cursor = field;
            let text = line.text().trim().to_owned();
            let Some((row, was)) = here(state) else { return Vec::new() };
            let (before, after) = skeleton(row);
            // Nothing was typed into what stood ready.
            let untouched = was.trim().is_empty() && text == before + &after;
            let effects = if untouched { Vec::new() } else { set(state, text) };
            if state.tank_form.problem(field).is_none() {
                step(state, on);
            }
            keep(state);
            effects
        }
        Goal::SaveTank => choices::save(state, &line.text()),
        _ => Vec::new(),
    }
}

/// One step back on this screen; whether there was one.
pub fn back(state: &mut State) -> bool {
    let form = &mut state.tank_form;
    // Without any tank the list is where the screen begins: there is no step before it.
    let was = form.choosing && !form.is_blank();
    if was {
        form.choosing = false;
        form.top = 0;
        keep(state);
    }
    was
}
