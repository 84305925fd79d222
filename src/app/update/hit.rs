//! What the mouse means where it is: the same parts of the window as are drawn.

use super::super::columns;
use super::super::diff;
use super::super::effect::{Effect, Mouse};
use super::super::layout::{self, Area};
use super::super::line::{Done, Goal, Line};
use super::super::order::By;
use super::super::overlay::Overlay;
use super::super::panes::Pane;
use super::super::restack;
use super::super::screens::{self, Screen};
use super::super::sources;
use super::super::state::State;
use super::super::tank_form;
use super::{keep, steps, to_screen};

/// Selects, scrolls, and sorts by a column's head.
pub fn mouse(state: &mut State, what: Mouse, x: u16, y: u16) -> Vec<Effect> {
    let by = match what {
        Mouse::Press => 0,
        Mouse::WheelUp => -1,
        Mouse::WheelDown => 1,
    };
    if state.overlay.is_some() {
        match (&state.overlay, by) {
            (_, 0) => {}
            (Some(Overlay::Columns { .. }), _) => steps::step(state, by),
            (Some(Overlay::Help { wanted, cursor }), _) => {
                let rows = super::help_rows(state, wanted).len();
                let cursor = cursor.saturating_add_signed(by).min(rows.saturating_sub(1));
                state.overlay = Some(Overlay::Help { wanted: wanted.clone(), cursor });
            }
            _ => steps::scroll(state, by * 3),
        }
        return Vec::new();
    }
    if let Some(line) = state.line.take() {
        return typing(state, line, by, x, y);
    }
    let parts = state.parts();
    if let Some((pane, _)) = parts.side.iter().find(|(_, a)| a.holds(x, y)) {
        if state.pane != *pane {
            state.pane = *pane;
            state.scroll = 0;
            // How far it can scroll is known once it is drawn.
            return Vec::new();
        }
        steps::scroll(state, by * 3);
    } else if parts.header.is_some_and(|a| a.holds(x, y)) && by == 0 {
        let mut end = 0;
        for (screen, label) in screens::tabs(state.screen, usize::from(state.size.0)) {
            end += label.chars().count();
            if usize::from(x) < end {
                to_screen(state, screen);
                break;
            }
        }
    } else if let Some(main) = parts.main.filter(|a| a.holds(x, y)) {
        match (state.screen, by) {
            (Screen::Builds, 0) => press_table(state, main, x, y),
            (Screen::Diff, 0) => press_diff(state, main, y),
            (Screen::Restack, 0) => restack::press(state, x, y),
            (Screen::Tank, 0) => return tank_form::press(state, x, y),
            (Screen::Restack, _) => restack::wheel(state, x, y, by),
            (Screen::Sources, 0) => sources::press(state, x, y),
            _ => steps::step(state, by),
        }
    }
    Vec::new()
}

/// The mouse while a line is typed: a press takes a field's or a search's line and goes on; what a line is typed
/// for elsewhere waits for its keys.
fn typing(state: &mut State, line: Line, by: isize, x: u16, y: u16) -> Vec<Effect> {
    let mut effects = match (line.goal, by) {
        (Goal::Field(_), 0) => tank_form::taken(state, &line, Done::Take(0)),
        (Goal::Sources, 0) => sources::taken(state, &line, Done::Take(0)),
        _ => {
            state.line = Some(line);
            return Vec::new();
        }
    };
    effects.extend(mouse(state, Mouse::Press, x, y));
    effects
}

fn press_table(state: &mut State, area: Area, x: u16, y: u16) {
    state.pane = Pane::Table;
    let inner = area.inner();
    if !inner.holds(x, y) {
        return;
    }
    let (x, y) = (usize::from(x - inner.x), usize::from(y - inner.y));
    let table = usize::from(inner.w);
    let column = if x < columns::name_width(state, table) {
        Some(0)
    } else {
        let shown = columns::shown(state, table, state.left);
        shown.iter().find(|s| x + columns::GAP >= s.x && x < s.x + s.w).map(|s| s.index + 1)
    };
    if let Some(column) = column {
        state.column = column;
    }
    if y == 0 {
        if column.is_some() {
            let by = state.measure_here().map_or(By::Name, By::Measure);
            steps::sort_by(state, by);
        }
    } else if y <= layout::table_rows(area) {
        steps::to_row(state, state.top + y - 1);
    }
}

fn press_diff(state: &mut State, area: Area, y: u16) {
    let inner = area.inner();
    let Some(row) = y.checked_sub(inner.y + 2) else { return };
    let to = state.diff.top + usize::from(row);
    let lines = diff::lines(state);
    if lines.get(to).is_some_and(|l| !matches!(l, diff::Line::Head(_))) {
        state.diff.cursor = to;
        keep(state);
    }
}
