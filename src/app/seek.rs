//! Going to the line that holds a word, in lists that are not narrowed: what stands beside a line matters there.

use super::{Done, Goal, Line, May, State, screens};
use crate::app::list::holds;

pub fn begin(state: &mut State) {
    state.seek.from = screens::on_top(state).at(state);
    state.seek.nowhere = false;
    state.line = Some(Line::new(Goal::Seek, ""));
}

/// Another letter was typed: goes to the first line from where one was that holds it, round the end.
pub fn typed(state: &mut State) {
    let Some(line) = state.line.as_ref().filter(|l| l.goal == Goal::Seek) else { return };
    state.seek.word = line.text();
    find(state, state.seek.from);
}

pub fn on_submit(state: &mut State, done: Done) {
    if done == Done::Drop || state.seek.nowhere {
        screens::on_top(state).go(state, state.seek.from);
    }
}

pub fn allowed(state: &State) -> May {
    if state.seek.word.trim().is_empty() { Err("type what to look for first ({seek})") } else { Ok(()) }
}

pub fn next(state: &mut State) {
    find(state, screens::on_top(state).at(state) + 1);
    if state.seek.nowhere {
        state.tell(format!("no line holds {}", state.seek.word));
    }
}

fn find(state: &mut State, from: usize) {
    let lines = screens::on_top(state).sought(state);
    let holds = |i: &usize| lines.get(*i).is_some_and(|l| holds(l, &state.seek.word));
    let found = (from..lines.len()).chain(0..from.min(lines.len())).find(holds);
    state.seek.nowhere = found.is_none();
    if let Some(i) = found {
        screens::on_top(state).go(state, i);
    }
}
