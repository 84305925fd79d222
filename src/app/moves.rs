//! What actions do that belong to no screen alone; what differs between screens is asked of the one on top.

use super::panes::Pane;
use super::screens::{self, builds, ranking};
use super::state::Loss;
use super::{Effect, May, Of, Overlay, State, Tab};
use crate::report::figures::Units;

pub fn step(state: &mut State, by: isize) {
    screens::on_top(state).step(state, by);
}

pub fn page(state: &mut State, by: isize) {
    screens::on_top(state).page(state, by);
}

pub fn first(state: &mut State) {
    step(state, isize::MIN / 2);
}

pub fn last(state: &mut State) {
    step(state, isize::MAX / 2);
}

pub fn column(state: &mut State, by: isize) {
    screens::behind(state).column(state, by);
}

pub fn unmark(state: &mut State) {
    state.marks.clear();
    screens::keep(state);
}

pub fn on_figure(state: &State) -> May {
    screens::behind(state).figure(state).map(drop)
}

pub fn on_line(state: &State) -> May {
    screens::behind(state).on_line(state)
}

/// Something is listed, where what is listed can be narrowed to nothing.
pub fn listed(state: &State) -> May {
    if state.overlay.is_some() || state.screen != Tab::Builds { Ok(()) } else { builds::listed(state) }
}

pub fn explain(state: &mut State) {
    if let Ok((entry, measure)) = screens::behind(state).figure(state) {
        state.explain(Of::Listed(entry), measure);
    }
}

pub fn not_on(state: &State, tab: Tab) -> May {
    if state.screen == tab { Err("it is in view") } else { Ok(()) }
}

pub fn to_tab(state: &mut State, tab: Tab) {
    state.screen = tab;
    state.compare.two = None;
    state.restack.entered |= tab == Tab::Restack;
    if tab == Tab::Ranking {
        ranking::fill(state);
        state.ranking.stale = true;
    }
    screens::keep(state);
}

pub fn turn(state: &mut State, by: isize) {
    to_tab(state, state.screen.turned(by));
}

pub fn next_units(state: &mut State) {
    set_units(state, state.units.turned(1));
    state.tell(format!("units: {}", state.units.word()));
}

pub fn set_units(state: &mut State, units: Units) {
    state.units = units;
    state.whys.clear();
    state.ranking.stale = true;
}

pub fn not_loading(state: &State) -> May {
    if state.loading { Err("files are being read") } else { Ok(()) }
}

pub fn load(state: &mut State) {
    state.loading = true;
    // Reading may be done before the next picture, and mostly nothing has changed.
    state.tell("the files are read again");
    state.ask(Effect::Load);
}

pub fn mouse(state: &mut State) {
    state.mouse = !state.mouse;
    let whose = if state.mouse { "is taken by this program" } else { "is left to the terminal" };
    state.tell(format!("the mouse {whose}"));
    state.ask(Effect::Mouse(state.mouse));
}

pub fn help(state: &mut State) {
    state.overlay = Some(Overlay::Help { wanted: String::new(), cursor: 0 });
    state.overlay_scroll = 0;
}

pub fn can_suspend(_: &State) -> May {
    if cfg!(unix) { Ok(()) } else { Err("this system cannot suspend a program") }
}

pub fn can_go_back(state: &State) -> May {
    let home = state.overlay.is_none()
        && !state.typing
        && state.narrow.is_empty()
        && state.pane == Pane::Table
        && state.screen == Tab::Builds;
    if home { Err("there is nothing to step back from ({leave} leaves)") } else { Ok(()) }
}

/// One step back: what lies on top first. Never leaves.
pub fn back(state: &mut State) {
    if state.overlay.take().is_some() {
        state.overlay_scroll = 0;
        return;
    }
    if !screens::behind(state).back(state) && state.screen != Tab::Builds {
        to_tab(state, Tab::Builds);
    }
}

/// Leaves the program; each thing that would be lost is asked about in turn.
pub fn leave(state: &mut State) {
    let leaves =
        [Loss::LeaveTank, Loss::LeaveFilter, Loss::LeaveStack].into_iter().all(|loss| state.may_lose(loss));
    if leaves {
        state.ask(Effect::Quit);
    }
}
