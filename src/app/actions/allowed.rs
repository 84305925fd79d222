//! Whether an action is allowed now, and why not: what the rows of the table ask. Restack, Ranking, Diff and the
//! report answer for themselves.

use super::super::diff;
use super::super::entry::Id;
use super::super::overlay::Overlay;
use super::super::panes::Pane;
use super::super::ranking;
use super::super::screens::Screen;
use super::super::state::State;

#[allow(clippy::unnecessary_wraps)] // stands in the table beside those that may refuse
pub(super) fn always(_: &State) -> Result<(), &'static str> {
    Ok(())
}

pub(super) fn rows(state: &State) -> Result<(), &'static str> {
    if state.overlay.is_some() || state.screen != Screen::Builds || !state.rows.is_empty() {
        Ok(())
    } else if state.narrow.is_empty() {
        Err("nothing is listed")
    } else {
        Err("nothing is left after narrowing ({back} clears it)")
    }
}

pub(super) fn on_build(state: &State) -> Result<(), &'static str> {
    match state.cursor {
        Some(Id::Build(_)) => Ok(()),
        Some(Id::Broken(_)) => Err("a broken file has no build to mark"),
        None => rows(state),
    }
}

pub(super) fn on_line(state: &State) -> Result<(), &'static str> {
    if state.screen == Screen::Diff { diff::allowed(state) } else { rows(state) }
}

pub(super) fn on_figure(state: &State) -> Result<(), &'static str> {
    match state.screen {
        Screen::Builds => {
            on_build(state).map_err(|why| match state.cursor {
                Some(Id::Broken(_)) => {
                    "a broken file has no figures: its problems are in the pane ({next_pane})"
                }
                _ => why,
            })?;
            if state.measure_here().is_none() {
                return Err("the cursor is on the name: choose a figure with {left} and {right}");
            }
            Ok(())
        }
        Screen::Diff => {
            diff::allowed(state)?;
            match diff::lines(state).get(state.diff.cursor) {
                Some(diff::Line::Measure(_)) => Ok(()),
                _ => Err("only a measure can be explained: choose one above"),
            }
        }
        _ => Err("figures are explained on Builds, Diff and Restack"),
    }
}

pub(super) fn in_pane(state: &State) -> Result<(), &'static str> {
    if state.drawn.pane == 0 {
        Err("all of it is in view")
    } else if state.pane == Pane::Table && state.broken_here().is_none() {
        Err("no pane is in focus ({next_pane})")
    } else {
        Ok(())
    }
}

pub(super) fn more_ranks(state: &State) -> Result<(), &'static str> {
    ranks(state)?;
    if state.drawn.pane == 0 { Err("all of it is in view") } else { Ok(()) }
}

pub(super) fn scrolls(state: &State) -> Result<(), &'static str> {
    if state.drawn.overlay == 0 { Err("all of it is in view") } else { Ok(()) }
}

pub(super) fn shown_column(state: &State) -> Result<(), &'static str> {
    match &state.overlay {
        Some(Overlay::Columns { cursor }) if *cursor < state.columns.len() => Ok(()),
        _ => Err("only a column that is shown has a place"),
    }
}

pub(super) fn marked(state: &State) -> Result<(), &'static str> {
    if state.marks.is_empty() { Err("nothing is marked") } else { Ok(()) }
}

fn not_on(state: &State, screen: Screen) -> Result<(), &'static str> {
    if state.screen == screen { Err("it is in view") } else { Ok(()) }
}
pub(super) fn not_on_builds(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Builds)
}
pub(super) fn not_on_diff(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Diff)
}
pub(super) fn not_on_ranking(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Ranking)
}
pub(super) fn not_on_restack(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Restack)
}
pub(super) fn not_on_tank(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Tank)
}
pub(super) fn not_on_sources(state: &State) -> Result<(), &'static str> {
    not_on(state, Screen::Sources)
}

pub(super) fn ranks(state: &State) -> Result<(), &'static str> {
    ranking::allowed(state)
}

pub(super) fn saves(state: &State) -> Result<(), &'static str> {
    if state.tank_form.is_blank() {
        Err("there is no tank to save")
    } else if state.tank_form.problems.is_empty() {
        Ok(())
    } else {
        Err("the form has problems: they stand under their fields, mend them first")
    }
}

pub(super) fn undoes(state: &State) -> Result<(), &'static str> {
    if state.tank_form.can_undo() { Ok(()) } else { Err("nothing was changed") }
}

pub(super) fn redoes(state: &State) -> Result<(), &'static str> {
    if state.tank_form.can_redo() { Ok(()) } else { Err("nothing was taken back") }
}

pub(super) fn holds_text(state: &State) -> Result<(), &'static str> {
    let form = &state.tank_form;
    if form.texts.get(form.cursor).is_some_and(|t| !t.is_empty()) {
        Ok(())
    } else {
        Err("it is left out already")
    }
}

pub(super) fn not_loading(state: &State) -> Result<(), &'static str> {
    if state.loading { Err("files are being read") } else { Ok(()) }
}

pub(super) fn can_suspend(_: &State) -> Result<(), &'static str> {
    if cfg!(unix) { Ok(()) } else { Err("this system cannot suspend a program") }
}

pub(super) fn can_go_back(state: &State) -> Result<(), &'static str> {
    let home = state.overlay.is_none()
        && !state.typing
        && state.narrow.is_empty()
        && state.pane == Pane::Table
        && state.screen == Screen::Builds;
    if home { Err("there is nothing to step back from ({leave} leaves)") } else { Ok(()) }
}
