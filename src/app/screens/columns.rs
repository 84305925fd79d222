//! The list of what to show as columns of the table, lying over Builds: those shown first, in their order,
//! then the others.

use super::builds;
use crate::app::{Column, May, Overlay, Place, Screen, State, moved};

pub struct Columns;

impl Screen for Columns {
    fn place(&self, _: &State) -> Place {
        Place::Columns
    }
    fn step(&self, state: &mut State, by: isize) {
        let to = moved(self.at(state), by, Column::all().count());
        self.go(state, to);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, by);
    }
    fn sought(&self, state: &State) -> Vec<String> {
        let row = |of: Column| format!("{} {} {}", of.head(), of.key(), of.says());
        lines(state).into_iter().map(row).collect()
    }
    fn at(&self, state: &State) -> usize {
        match state.overlay {
            Some(Overlay::Columns { cursor }) => cursor,
            _ => 0,
        }
    }
    fn go(&self, state: &mut State, line: usize) {
        state.overlay = Some(Overlay::Columns { cursor: line });
    }
}

pub fn open(state: &mut State) {
    Columns.go(state, 0);
}

pub fn lines(state: &State) -> Vec<Column> {
    let rest = Column::all().filter(|m| !state.columns.contains(m));
    state.columns.iter().copied().chain(rest).collect()
}

pub fn shown(state: &State) -> May {
    let shown = Columns.at(state) < state.columns.len();
    if shown { Ok(()) } else { Err("only a column that is shown has a place") }
}

/// Shows or hides the chosen column; the cursor follows it.
pub fn toggle(state: &mut State) {
    let Some(column) = lines(state).get(Columns.at(state)).copied() else { return };
    change(state, column, |columns| match columns.iter().position(|m| *m == column) {
        Some(at) => drop(columns.remove(at)),
        None => columns.push(column),
    });
}

pub fn shift(state: &mut State, by: isize) {
    let from = Columns.at(state);
    let Some(column) = state.columns.get(from).copied() else { return };
    let to = moved(from, by, state.columns.len());
    change(state, column, |columns| {
        columns.remove(from);
        columns.insert(to, column);
    });
}

/// Changes the columns; both cursors stay on what they were on.
fn change(state: &mut State, column: Column, change: impl FnOnce(&mut Vec<Column>)) {
    let was_on = state.column_here();
    change(&mut state.columns);
    let at = lines(state).iter().position(|m| *m == column).unwrap_or(0);
    Columns.go(state, at);
    if let Some(was) = was_on {
        state.column = state.columns.iter().position(|m| *m == was).map_or(state.column, |i| i + 1);
    }
    builds::place(state);
}
