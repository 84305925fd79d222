//! What moves on the screen: cursors, windows, panes, and the line being typed.

use super::{areas, list, measures, picker, proposals};
use crate::app::state::restack::Pane;
use crate::app::{Goal, Line, List, Over, State, Typing, Work, pages};

pub fn step(state: &mut State, by: isize) {
    let (choices, lines) = (picker::choices(state).len(), list::line_count(state.restack.work.as_deref()));
    let over = state.restack.over();
    let restack = &mut state.restack;
    match (over, restack.pane) {
        (Over::Picker, _) => {
            if let Some(picker) = &mut restack.picker {
                picker.list.step(by, choices);
            }
        }
        (Over::Proposals, _) => {
            if let Some(p) = &mut restack.proposals {
                let len = proposals::rows(p).len();
                p.list.step(by, len);
                p.list.top = 0;
            }
        }
        (Over::Nothing, Pane::List) => restack.list.step(by, lines),
        (Over::Nothing, Pane::Measures) => measures::step(state, by),
        (Over::Nothing, Pane::Inside) => areas::scroll(state, by),
    }
    keep(state);
}

pub fn page(state: &mut State, by: isize) {
    if state.restack.over() == Over::Proposals {
        return areas::scroll(state, by.saturating_mul(10));
    }
    step(state, pages(by, areas::list_rows(state)));
}

pub fn turn(state: &mut State, by: isize) {
    state.restack.pane = state.restack.pane.turned(by);
    (state.restack.scroll, state.restack.measure) = (0, 0);
}

/// Puts the cursor on what stands at a cell, and the pane there in focus.
pub fn press(state: &mut State, x: u16, y: u16) {
    let Some((pane, area)) = areas::at(state, x, y) else { return };
    state.restack.pane = pane;
    if pane != Pane::List {
        return keep(state);
    }
    let inner = area.inner();
    let Some(row) = y.checked_sub(inner.y + areas::LIST_HEAD).map(usize::from) else { return };
    if row >= areas::list_rows(state) {
        return;
    }
    let (choices, lines) = (picker::choices(state).len(), list::line_count(state.restack.work.as_deref()));
    let restack = &mut state.restack;
    let (list, len) = match (&mut restack.picker, &restack.proposals) {
        (Some(picker), _) => (&mut picker.list, choices),
        (None, None) => (&mut restack.list, lines),
        (None, Some(_)) => return keep(state),
    };
    if list.top + row < len {
        list.cursor = list.top + row;
    }
    keep(state);
}

pub fn wheel(state: &mut State, x: u16, y: u16, by: isize) {
    match areas::at(state, x, y) {
        Some((pane, _)) if pane == state.restack.pane => match (pane, state.restack.over()) {
            (Pane::List, Over::Proposals) => areas::scroll(state, by * 3),
            (Pane::List, _) => step(state, by),
            _ => areas::scroll(state, by * 3),
        },
        // How far another pane can scroll is known once it is in focus and drawn.
        Some((pane, _)) => state.restack.pane = pane,
        None => {}
    }
}

pub fn keep(state: &mut State) {
    let rows = areas::list_rows(state);
    let (lines, choices) = (list::line_count(state.restack.work.as_deref()), picker::choices(state).len());
    let restack = &mut state.restack;
    restack.list.keep(rows, lines);
    if let Some(picker) = &mut restack.picker {
        picker.list.keep(rows, choices);
    }
    if let Some(p) = &mut restack.proposals {
        p.list.cursor = p.list.cursor.min(proposals::rows(p).len().saturating_sub(1));
    }
}

pub fn begin(state: &mut State, work: Work) {
    let restack = &mut state.restack;
    restack.work = Some(Box::new(work));
    (restack.list, restack.scroll) = (List::default(), 0);
    restack.picker = None;
    restack.proposals = None;
    // Whatever is still being looked for was for another stack.
    restack.searched += 1;
    restack.looked = Some(state.round);
    // Working on it is choosing it: the cursor on Builds stays there when rows move.
    state.chosen = true;
    keep(state);
}

/// Begins to type a line, which stands in the list's pane.
pub fn type_line(state: &mut State, what: Typing, text: &str) {
    state.restack.pane = Pane::List;
    state.restack.scroll = 0;
    state.line = Some(Line::new(Goal::Restack(what), text));
}
