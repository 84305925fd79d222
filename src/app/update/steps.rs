//! What single keys do to the state.

use super::super::diff;
use super::super::effect::Effect;
use super::super::entry::Id;
use super::super::key::{Code, Key};
use super::super::layout;
use super::super::narrow;
use super::super::order::{self, By};
use super::super::overlay::{Of, Overlay};
use super::super::panes::Pane;
use super::super::restack;
use super::super::screens::Screen;
use super::super::seek;
use super::super::sources;
use super::super::state::State;
use super::super::tank_form;
use super::{help_rows, keep, perform};
use crate::measures::Measure;

/// Moves whichever cursor is on top.
pub fn step(state: &mut State, by: isize) {
    if let Some(Overlay::Columns { cursor }) = &mut state.overlay {
        *cursor = moved(*cursor, by, Measure::ALL.len());
        return;
    }
    match state.screen {
        Screen::Builds => {
            let to = moved(state.row_here(), by, state.rows.len());
            to_row(state, to);
        }
        Screen::Diff => {
            let lines = diff::lines(state);
            let mut to = moved(state.diff.cursor, by, lines.len());
            // A heading holds nothing to choose: go past it the way one was going.
            if matches!(lines.get(to), Some(diff::Line::Head(_))) {
                let past = if by < 0 && to > 0 { to - 1 } else { to + 1 };
                to = past.min(lines.len().saturating_sub(1));
            }
            state.diff.cursor = to;
            keep(state);
        }
        Screen::Ranking => scroll(state, by),
        Screen::Restack => restack::step(state, by),
        Screen::Tank => tank_form::step(state, by),
        Screen::Sources => sources::step(state, by),
    }
}

/// Puts the table's cursor on a row.
pub fn to_row(state: &mut State, row: usize) {
    if let Some(id) = state.rows.get(row).copied() {
        if state.cursor != Some(id) {
            state.scroll = 0;
        }
        state.cursor = Some(id);
        state.chosen = true;
        keep(state);
    }
}

/// Moves by pages: rows of the table, or what a pane shows.
pub fn page(state: &mut State, by: isize) {
    let parts = state.parts();
    match (state.screen, state.pane) {
        (Screen::Builds, Pane::Table) => {
            let rows = parts.main.map_or(1, layout::table_rows).saturating_sub(1).max(1);
            step(state, by.saturating_mul(isize::try_from(rows).unwrap_or(isize::MAX)));
        }
        (Screen::Builds, pane) => {
            let rows =
                parts.side.iter().find(|(p, _)| *p == pane).map_or(1, |(_, a)| a.inner().h.saturating_sub(1));
            scroll(state, by.saturating_mul(isize::try_from(rows.max(1)).unwrap_or(1)));
        }
        (Screen::Diff, _) => {
            let rows = super::diff_rows(state).saturating_sub(1).max(1);
            step(state, by.saturating_mul(isize::try_from(rows).unwrap_or(isize::MAX)));
        }
        (Screen::Ranking, _) => scroll(state, by.saturating_mul(10)),
        (Screen::Restack, _) => restack::page(state, by),
        (Screen::Tank, _) => tank_form::page(state, by),
        (Screen::Sources, _) => sources::page(state, by),
    }
}

/// Moves to another column.
pub fn column(state: &mut State, by: isize) {
    match state.screen {
        Screen::Builds => {
            state.column = moved(state.column, by, state.columns.len() + 1);
            state.place();
        }
        Screen::Diff => state.diff.column = moved(state.diff.column, by, diff::builds(state).len()),
        Screen::Ranking => {
            state.ranking.cursor = moved(state.ranking.cursor, by, state.ranking.weights.len());
        }
        Screen::Restack | Screen::Tank | Screen::Sources => {}
    }
}

/// Sorts by the column under the cursor.
pub fn sort(state: &mut State) {
    let by = state.measure_here().map_or(By::Name, By::Measure);
    sort_by(state, by);
}

/// Sorts by that, or turns it round.
pub fn sort_by(state: &mut State, by: By) {
    state.sort = order::sort_by(&state.sort, by);
    // The cursor stays on its build; a person who has not moved it sees the new first row.
    state.settle();
}

/// Marks the build under the cursor, or unmarks it, and goes one line down.
pub fn mark(state: &mut State) {
    let Some(id) = state.cursor else { return };
    match state.marks.iter().position(|m| *m == id) {
        Some(at) => {
            state.marks.remove(at);
        }
        None => state.marks.push(id),
    }
    state.chosen = true;
    step(state, 1);
}

/// Scrolls what lies over the screen, or the pane in focus.
pub fn scroll(state: &mut State, by: isize) {
    if state.overlay.is_some() {
        state.overlay_scroll = moved(state.overlay_scroll, by, state.drawn.overlay + 1);
    } else if state.screen == Screen::Ranking {
        state.ranking.top = moved(state.ranking.top, by, state.drawn.pane + 1);
    } else {
        state.scroll = moved(state.scroll, by, state.drawn.pane + 1);
    }
}

/// The measure on a line of the list of columns: those shown first, in their order, then the others.
pub fn column_lines(state: &State) -> Vec<Measure> {
    let rest = Measure::ALL.into_iter().filter(|m| !state.columns.contains(m));
    state.columns.iter().copied().chain(rest).collect()
}

/// Shows or hides the chosen measure; the cursor follows it.
pub fn toggle_column(state: &mut State) {
    let Some(Overlay::Columns { cursor }) = state.overlay else { return };
    let Some(measure) = column_lines(state).get(cursor).copied() else { return };
    let was_on = state.measure_here();
    match state.columns.iter().position(|m| *m == measure) {
        Some(at) => {
            state.columns.remove(at);
        }
        None => state.columns.push(measure),
    }
    follow(state, measure, was_on);
}

/// Moves the chosen measure among the columns.
pub fn shift_column(state: &mut State, by: isize) {
    let Some(Overlay::Columns { cursor }) = state.overlay else { return };
    let Some(measure) = state.columns.get(cursor).copied() else { return };
    let was_on = state.measure_here();
    let to = moved(cursor, by, state.columns.len());
    state.columns.remove(cursor);
    state.columns.insert(to, measure);
    follow(state, measure, was_on);
}

/// After columns changed: both cursors stay on what they were on.
fn follow(state: &mut State, measure: Measure, was_on: Option<Measure>) {
    let at = column_lines(state).iter().position(|m| *m == measure).unwrap_or(0);
    state.overlay = Some(Overlay::Columns { cursor: at });
    if let Some(was) = was_on {
        state.column = state.columns.iter().position(|m| *m == was).map_or(state.column, |i| i + 1);
    }
    state.place();
}

/// Opens the explanation of the figure under the cursor.
pub fn explain(state: &mut State) -> Vec<Effect> {
    if state.screen == Screen::Restack {
        return restack::measures::explain(state);
    }
    let (of, measure) = match state.screen {
        Screen::Builds => (state.cursor, state.measure_here()),
        Screen::Diff => {
            let measure = match diff::lines(state).get(state.diff.cursor) {
                Some(diff::Line::Measure(m)) => Some(*m),
                _ => None,
            };
            (diff::builds(state).get(state.diff.column).copied(), measure)
        }
        _ => (None, None),
    };
    let (Some(Id::Build(entry)), Some(measure)) = (of, measure) else { return Vec::new() };
    state.overlay = Some(Overlay::Explain { of: Of::Listed(entry), measure, lines: None });
    state.overlay_scroll = 0;
    vec![Effect::Explain { entry, measure }]
}

/// Keys while narrowing.
pub fn narrow_key(state: &mut State, key: Key) -> Vec<Effect> {
    match key.code {
        Code::Char(c) if !key.ctrl && !c.is_control() && state.narrow.chars().count() < 200 => {
            state.narrow.push(c);
            state.settle();
        }
        Code::Backspace => {
            state.narrow.pop();
            state.settle();
        }
        Code::Esc => {
            state.narrow.clear();
            state.typing = false;
            state.settle();
        }
        Code::Enter | Code::Tab => state.typing = false,
        Code::Up => step(state, -1),
        Code::Down => step(state, 1),
        Code::PageUp => page(state, -1),
        Code::PageDown => page(state, 1),
        _ => {}
    }
    Vec::new()
}

/// Keys while help lies over the screen.
pub fn help_key(state: &mut State, key: Key) -> Vec<Effect> {
    let Some(Overlay::Help { wanted, cursor }) = state.overlay.clone() else { return Vec::new() };
    let rows = help_rows(state, &wanted);
    let put = |state: &mut State, wanted: String, cursor: usize| {
        state.overlay = Some(Overlay::Help { wanted, cursor });
        state.overlay_scroll = 0;
    };
    match key.code {
        Code::Char(c) if !key.ctrl && !c.is_control() && wanted.chars().count() < 200 => {
            put(state, format!("{wanted}{c}"), 0);
        }
        Code::Backspace => {
            let mut shorter = wanted;
            shorter.pop();
            put(state, shorter, 0);
        }
        // Below the last action stands what the words mean: further down scrolls to it.
        Code::Up if state.overlay_scroll > 0 => state.overlay_scroll -= 1,
        Code::Down if cursor + 1 >= rows.len() => scroll(state, 1),
        Code::PageUp if state.overlay_scroll > 0 => scroll(state, -10),
        Code::PageDown if cursor + 1 >= rows.len() => scroll(state, 10),
        Code::Up => put(state, wanted, moved(cursor, -1, rows.len())),
        Code::Down => put(state, wanted, moved(cursor, 1, rows.len())),
        Code::PageUp => put(state, wanted, moved(cursor, -10, rows.len())),
        Code::PageDown => put(state, wanted, moved(cursor, 10, rows.len())),
        Code::Esc if !wanted.is_empty() => put(state, String::new(), 0),
        Code::Esc => state.overlay = None,
        Code::Enter => {
            if let Some(row) = rows.get(cursor) {
                state.overlay = None;
                return perform(state, row);
            }
        }
        _ => {}
    }
    Vec::new()
}

/// Pasted text is text: it goes where letters go, and nowhere else.
pub fn paste(state: &mut State, text: &str) {
    let text = narrow::one_line(text);
    match &mut state.overlay {
        Some(Overlay::Help { wanted, cursor }) => {
            wanted.push_str(&text);
            *cursor = 0;
        }
        None if state.typing => {
            state.narrow.push_str(&text);
            state.settle();
        }
        None | Some(Overlay::Columns { .. }) if state.line.is_some() => {
            if let Some(line) = &mut state.line {
                line.insert(&text);
            }
            seek::typed(state);
        }
        _ => {
            let said = "pasted text goes nowhere here (press {narrow} to type into the list)";
            state.told = Some(state.keys.fill(said));
        }
    }
}

/// A place so far on, within a list.
pub(super) fn moved(from: usize, by: isize, len: usize) -> usize {
    from.saturating_add_signed(by).min(len.saturating_sub(1))
}
