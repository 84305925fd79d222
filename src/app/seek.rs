//! Going to the line that holds a word, in lists that are not narrowed: what stands beside a line matters there.

use super::actions::{self, Place};
use super::diff;
use super::effect::Effect;
use super::line::{Done, Goal, Line};
use super::narrow;
use super::overlay::Overlay;
use super::state::State;
use super::tank_form::{self, CHOICES};
use super::update::column_lines;
use crate::measures::Measure;
use crate::profile::TANK_FIELDS;

/// What is looked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seek {
    /// The word typed last.
    pub word: String,
    /// No line holds it.
    pub nowhere: bool,
    /// Where one was when it was typed.
    from: usize,
}

/// Asks for the word.
pub fn begin(state: &mut State) {
    state.seek.from = at(state);
    state.seek.nowhere = false;
    state.line = Some(Line::new(Goal::Seek, ""));
}

/// Another letter was typed: goes to the first line from where one was that holds it, round the end.
pub fn typed(state: &mut State) {
    let Some(line) = state.line.as_ref().filter(|l| l.goal == Goal::Seek) else { return };
    state.seek.word = line.text();
    find(state, state.seek.from);
}

/// The line was taken or dropped.
pub fn taken(state: &mut State, done: Done) -> Vec<Effect> {
    if done == Done::Drop || state.seek.nowhere {
        go(state, state.seek.from);
    }
    Vec::new()
}

/// A word was typed before.
pub fn allowed(state: &State) -> Result<(), &'static str> {
    if state.seek.word.trim().is_empty() { Err("type what to look for first ({seek})") } else { Ok(()) }
}

/// To the next line that holds the word.
pub fn next(state: &mut State) {
    find(state, at(state) + 1);
    if state.seek.nowhere {
        state.told = Some(format!("no line holds {}", state.seek.word));
    }
}

fn find(state: &mut State, from: usize) {
    let lines = lines(state);
    let holds = |i: &usize| lines.get(*i).is_some_and(|l| narrow::holds(l, &state.seek.word));
    let found = (from..lines.len()).chain(0..from.min(lines.len())).find(holds);
    state.seek.nowhere = found.is_none();
    if let Some(i) = found {
        go(state, i);
    }
}

fn place(state: &State) -> Place {
    if matches!(state.overlay, Some(Overlay::Columns { .. })) {
        Place::Columns
    } else {
        actions::behind(state)
    }
}

fn measure(m: Measure) -> String {
    format!("{} {}", m.row().head, m.key())
}

/// The lines in view, as words; nothing where there is no such list.
fn lines(state: &State) -> Vec<String> {
    match place(state) {
        Place::Columns => {
            column_lines(state).into_iter().map(|m| format!("{} {}", measure(m), m.row().says)).collect()
        }
        Place::Diff => diff::lines(state).into_iter().map(|line| said(&line)).collect(),
        Place::Ranking => state.ranking.lines.clone(),
        Place::Tanks => {
            let fixed = CHOICES.iter().map(|(name, says)| format!("{name} {says}"));
            let found = state.tank_form.choices.iter().flatten().map(|choice| match &choice.tank {
                Ok(tank) => format!("{} {}", tank.name, choice.from),
                Err(_) => choice.from.clone(),
            });
            fixed.chain(found).collect()
        }
        Place::Tank => {
            let texts = &state.tank_form.texts;
            TANK_FIELDS.iter().zip(texts).map(|(f, text)| format!("{} {text}", f.label)).collect()
        }
        _ => Vec::new(),
    }
}

/// A line of Diff. A heading holds nothing to go to.
fn said(line: &diff::Line) -> String {
    match line {
        diff::Line::Head(_) | diff::Line::Nothing(_) => String::new(),
        diff::Line::Measure(m) => measure(*m),
        diff::Line::Step(row) => {
            let steps = row.steps.iter().flatten().map(|s| format!("{} {}", s.place, s.says));
            steps.collect::<Vec<_>>().join(" ")
        }
        diff::Line::Field(field) => {
            let values: Vec<&str> = field.values.iter().flatten().map(String::as_str).collect();
            format!("{} {}", field.path, values.join(" "))
        }
    }
}

/// The line one is on.
fn at(state: &State) -> usize {
    match (place(state), &state.overlay) {
        (Place::Columns, Some(Overlay::Columns { cursor })) => *cursor,
        (Place::Diff, _) => state.diff.cursor,
        (Place::Ranking, _) => state.ranking.top,
        (Place::Tanks, _) => state.tank_form.chosen,
        (Place::Tank, _) => state.tank_form.cursor,
        _ => 0,
    }
}

fn go(state: &mut State, line: usize) {
    match (place(state), &mut state.overlay) {
        (Place::Columns, Some(Overlay::Columns { cursor })) => *cursor = line,
        (Place::Diff, _) => state.diff.cursor = line,
        (Place::Ranking, _) => state.ranking.top = line.min(state.drawn.pane),
        (Place::Tanks, _) => state.tank_form.chosen = line,
        (Place::Tank, _) => {
            state.tank_form.cursor = line;
            tank_form::keep(state);
        }
        _ => {}
    }
}
