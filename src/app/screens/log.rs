//! The log of the build under the cursor, on the screen Filter: its lines of the form, and the model against them.

use crate::app::{May, State, beyond, form, moved};
use crate::profile::form::{At, Trail};

pub fn turn(state: &mut State) {
    state.filters.log = !state.filters.log;
    state.filters.log_scroll = 0;
    if let Some(form) = form::of_mut(state) {
        form.list.cursor = 0;
    }
    keep(state);
    super::keep(state);
}

/// Of the model against the log, where not all of it is in view.
pub fn scroll(state: &mut State, by: isize) {
    state.filters.log_scroll = moved(state.filters.log_scroll, by, state.drawn.pane + 1);
}

pub fn scrolls(state: &State) -> May {
    if state.filters.log {
        beyond(state.drawn.pane)
    } else {
        Err("there is no log in view: `{log}` shows it")
    }
}

/// The form shows the log of the build in view, or all of the file.
pub fn keep(state: &mut State) {
    let Some(build) = state.here().map(|entry| entry.build) else { return };
    let shown = state.filters.log;
    let Some(form) = form::of_mut(state) else { return };
    form.only = None;
    if !shown {
        return;
    }
    let is_it = |trail: &Trail| matches!(trail.as_slice(), [At::Field(row), At::Item(at)] if row.name == "builds" && *at == build);
    let Some(trail) = form.lines().into_iter().map(|line| line.trail).find(is_it) else { return };
    if !form.open.contains(&trail) {
        form.open.push(trail.clone());
    }
    form.only = Some(trail);
}
