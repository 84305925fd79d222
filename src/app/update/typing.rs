//! Keys that go into a line of text: help's search, what Builds is narrowed to, a line typed on a screen.

use super::{help_rows, perform};
use crate::app::list::{begins, edit, one_line, steps};
use crate::app::screens::{self, builds, explained, filter, reply, restack, sources};
use crate::app::{
    Code, Done, Goal, Key, Line, Overlay, State, Typing, form, moved, moves, report, seek, tank_form,
};

/// Takes a key where [`crate::app::actions::place`] says that keys mean no action.
pub fn key(state: &mut State, key: Key) {
    if matches!(state.overlay, Some(Overlay::Help { .. })) {
        help(state, key);
    } else if matches!(state.overlay, Some(Overlay::Pick { .. })) {
        form::pick::key(state, key);
    } else if state.line.is_some() {
        line(state, key);
    } else {
        narrowing(state, key);
    }
}

/// A key while a line is typed on one of the screens: taken, it goes to the screen it was typed for.
fn line(state: &mut State, key: Key) {
    let Some(mut line) = state.line.take() else { return };
    let seeks = matches!(line.goal, Goal::Seek | Goal::Sources | Goal::Restack(Typing::Narrow));
    let done = if seeks && begins(&line.text(), key) { Done::No } else { line.key(key) };
    if done != Done::No {
        return submit(state, &line, done);
    }
    state.line = Some(line);
    seek::typed(state);
    screens::keep(state);
}

/// A line that is done with goes to whom it was typed for.
pub fn submit(state: &mut State, line: &Line, done: Done) {
    match line.goal {
        Goal::SaveTank => tank_form::on_file(state, line, done),
        Goal::Form(_) => form::on_submit(state, line, done),
        Goal::New => filter::on_number(state, line, done),
        Goal::SaveFilter => filter::on_file(state, line, done),
        Goal::Restack(what) => restack::take::on_submit(state, what, line, done),
        Goal::Report => report::on_submit(state, line, done),
        Goal::Reply => reply::on_submit(state, line, done),
        Goal::Sources => sources::on_submit(state, line, done),
        Goal::Seek => seek::on_submit(state, done),
    }
}

fn narrowing(state: &mut State, key: Key) {
    if edit(&mut state.narrow, key) {
        return builds::settle(state);
    }
    match key.code {
        Code::Esc => {
            state.narrow.clear();
            state.typing = false;
            builds::settle(state);
        }
        Code::Enter | Code::Tab => state.typing = false,
        Code::Up => moves::step(state, -1),
        Code::Down => moves::step(state, 1),
        Code::PageUp => moves::page(state, -1),
        Code::PageDown => moves::page(state, 1),
        _ => {}
    }
}

fn help(state: &mut State, key: Key) {
    let Some(Overlay::Help { mut wanted, cursor }) = state.overlay.clone() else { return };
    let rows = help_rows(state, &wanted);
    let put = |state: &mut State, wanted: String, cursor: usize| {
        state.overlay = Some(Overlay::Help { wanted, cursor });
        state.overlay_scroll = 0;
    };
    if edit(&mut wanted, key) {
        put(state, wanted, 0);
        return;
    }
    let by = match key.code {
        _ if steps(key) != 0 => steps(key),
        Code::Esc if !wanted.is_empty() => {
            put(state, String::new(), 0);
            return;
        }
        Code::Esc => {
            state.overlay = None;
            return;
        }
        Code::Enter => {
            let Some(row) = rows.get(cursor) else { return };
            state.overlay = None;
            return perform(state, row);
        }
        _ => return,
    };
    // Below the last action stands what the words mean: further down scrolls to it.
    if (by < 0 && state.overlay_scroll > 0) || (by > 0 && cursor + 1 >= rows.len()) {
        explained::scroll(state, by);
    } else {
        put(state, wanted, moved(cursor, by, rows.len()));
    }
}

/// Pasted text is text: it goes where letters go, and nowhere else.
pub fn paste(state: &mut State, text: &str) {
    let text = one_line(text);
    match &mut state.overlay {
        Some(Overlay::Help { wanted, cursor } | Overlay::Pick { wanted, cursor, .. }) => {
            wanted.push_str(&text);
            *cursor = 0;
        }
        None if state.typing => {
            state.narrow.push_str(&text);
            builds::settle(state);
        }
        None | Some(Overlay::Columns { .. } | Overlay::New { .. }) if state.line.is_some() => {
            if let Some(line) = &mut state.line {
                line.insert(&text);
            }
            seek::typed(state);
        }
        _ => {
            let said = "pasted text goes nowhere here (press {narrow} to type into the list)";
            state.tell_keys(said);
        }
    }
}
