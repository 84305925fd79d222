//! The screens, one file or folder each, and which of them has the keys.

pub mod builds;
pub mod columns;
pub mod compare;
pub mod explained;
pub mod filter;
pub mod log;
pub mod ranking;
pub mod reply;
pub mod restack;
pub mod sources;
pub mod tank;

use super::{Overlay, Place, Screen, State, Tab};

/// The screen in view, without what lies over it.
pub fn behind(state: &State) -> &'static dyn Screen {
    match state.screen {
        Tab::Builds => &builds::Builds,
        Tab::Compare => &compare::Compare,
        Tab::Ranking => &ranking::Ranking,
        Tab::Restack => &restack::Restack,
        Tab::Filter => &filter::Filter,
        Tab::Tank => &tank::Tank,
        Tab::Sources => &sources::Sources,
    }
}

/// Whatever lies on top. Help takes letters, and has no keys of its own.
pub fn on_top(state: &State) -> &'static dyn Screen {
    match &state.overlay {
        Some(Overlay::Columns { .. }) => &columns::Columns,
        Some(Overlay::Explain { .. }) => &explained::Over(Place::Explain),
        Some(Overlay::Reply(_)) => &explained::Over(Place::Reply),
        Some(Overlay::Help { .. } | Overlay::Pick { .. } | Overlay::New { .. }) | None => behind(state),
    }
}

pub fn keep(state: &mut State) {
    builds::place(state);
    behind(state).keep(state);
}
