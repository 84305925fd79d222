//! What leads from one screen to another with something in hand. It may see all of them, and none of them sees it.

use super::entry::{Entry, Id};
use super::moves;
use super::screen::Screen as _;
use super::screens::{builds, compare, ranking};
use super::state::State;
use super::tabs::{TABS, Tab};

/// Works in the trays of the build under the cursor.
pub fn to_restack(state: &mut State) {
    if let Some(i) = ranking::here(state) {
        builds::to(state, Id::Build(i));
        moves::to_tab(state, Tab::Restack);
    }
}

/// Compares the build under the cursor with the first; marks stay as they are.
pub fn against_first(state: &mut State) {
    let first =
        state.ranking.stood.as_ref().and_then(|s| s.entries.get(*ranking::rows(state).first()?).copied());
    match (first, ranking::here(state)) {
        (Some(a), Some(b)) if a != b => {
            moves::to_tab(state, Tab::Compare);
            state.compare.two = Some((Id::Build(a), Id::Build(b)));
            compare::Compare.keep(state);
        }
        _ => state.status = Some("this is the first: choose another to compare it with".to_owned()),
    }
}

/// Sets the saved stack beside the build as it was.
pub fn saved_against_source(state: &mut State) {
    let Some(work) = &state.restack.work else { return };
    let place = |wanted: &dyn Fn(&Entry) -> bool| state.entries.iter().position(wanted);
    let saved = work.saved_as.as_ref().filter(|_| !work.unsaved());
    let name = &work.piece.build.name;
    let now = saved.and_then(|path| place(&|e| e.path.ends_with(path) && e.build_name() == name));
    match (place(&|e| work.is_of(e)), now) {
        (Some(was), Some(now)) => {
            moves::to_tab(state, Tab::Compare);
            state.compare.two = Some((Id::Build(was), Id::Build(now)));
        }
        _ => {
            state.hint = Some("save it first ({save}): then it is set beside the build as it was".to_owned());
        }
    }
}

/// Waits for the digit of a screen.
pub fn on(state: &mut State) {
    state.going = true;
    state.status = Some(format!("go: 1 to {} is a screen", TABS.len()));
}
