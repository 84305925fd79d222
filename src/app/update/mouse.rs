//! What the mouse means where it is: the same parts of the window as are drawn.

use super::{help_rows, typing};
use crate::app::effect::Mouse;
use crate::app::{Done, Goal, Line, Overlay, State, moved, moves, screens, tabs};

pub fn mouse(state: &mut State, what: Mouse, x: u16, y: u16) {
    let by = match what {
        Mouse::Press => 0,
        Mouse::WheelUp => -1,
        Mouse::WheelDown => 1,
    };
    if let Some(Overlay::Help { wanted, cursor }) = &state.overlay {
        let (wanted, rows) = (wanted.clone(), help_rows(state, wanted).len());
        state.overlay = Some(Overlay::Help { wanted, cursor: moved(*cursor, by, rows) });
        return;
    }
    if state.overlay.is_some() {
        if by != 0 {
            screens::on_top(state).wheel(state, x, y, by);
        }
        return;
    }
    if let Some(line) = state.line.take() {
        return over_line(state, line, by, x, y);
    }
    let parts = state.parts();
    if parts.header.is_some_and(|a| a.holds(x, y)) && by == 0 {
        let mut end = 0;
        for (tab, label) in tabs::tabs(state.screen, usize::from(state.size.0)) {
            end += label.chars().count();
            if usize::from(x) < end {
                moves::to_tab(state, tab);
                break;
            }
        }
    } else if parts.main.iter().chain(parts.side.iter().map(|(_, a)| a)).any(|a| a.holds(x, y)) {
        let screen = screens::behind(state);
        if by == 0 {
            return screen.press(state, x, y);
        }
        screen.wheel(state, x, y, by);
    }
}

/// The mouse while a line is typed: a press takes a field's or a search's line and goes on; what a line is typed
/// for elsewhere waits for its keys.
fn over_line(state: &mut State, line: Line, by: isize, x: u16, y: u16) {
    if by != 0 || !matches!(line.goal, Goal::Form(_) | Goal::Sources) {
        state.line = Some(line);
        return;
    }
    typing::submit(state, &line, Done::Take(0));
    // What was refused stays to be mended.
    if state.line.is_none() {
        mouse(state, Mouse::Press, x, y);
    }
}
