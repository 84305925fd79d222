//! Where the screen's panes stand, for drawing and for the mouse.

use super::{list, picker};
use crate::app::state::restack::Pane;
use crate::app::{Area, Over, State};
use crate::report::cells;

/// Rows at the top of the list that say what it is of.
pub const LIST_HEAD: u16 = 1;
/// Widest measures, in cells.
const MEASURES: u16 = 74;
/// Rows from which the section stands below the list.
const SECTION: u16 = 15;

pub fn areas(state: &State) -> Vec<(Pane, Area)> {
    let Some(main) = state.parts().main else { return Vec::new() };
    if main.w < 100 || main.h < 16 {
        return vec![(state.restack.pane, main)];
    }
    let right = match state.restack.over() {
        Over::Proposals => 41,
        _ => (main.w * 47 / 100).clamp(46, MEASURES),
    };
    let left = main.w - right;
    let measures = (Pane::Measures, Area::new(main.x + left, main.y, right, main.h));
    let lines = list::line_count(state.restack.work.as_deref()) as u16;
    let wanted = match state.restack.over() {
        Over::Nothing => (lines + LIST_HEAD + told_rows(state, main) + 2).max(12),
        Over::Picker | Over::Proposals => main.h,
    };
    if main.h < wanted + SECTION {
        // A list that leaves no room for the section gives way to it when that is in focus.
        let pane = if state.restack.pane == Pane::Inside { Pane::Inside } else { Pane::List };
        return vec![(pane, Area::new(main.x, main.y, left, main.h)), measures];
    }
    let list = Area::new(main.x, main.y, left, wanted);
    let section = Area::new(main.x, main.y + wanted, left, main.h - wanted);
    vec![(Pane::List, list), (Pane::Inside, section), measures]
}

pub fn at(state: &State, x: u16, y: u16) -> Option<(Pane, Area)> {
    areas(state).into_iter().find(|(_, area)| area.holds(x, y))
}

/// Rows below the list for what is to be told of it; of media the longest whole, where it leaves the list its half.
pub fn told_rows(state: &State, inner: Area) -> u16 {
    let few = match inner.h {
        0..=5 => return 0,
        6..=9 => 1,
        10..=14 => 2,
        _ => 3,
    };
    if state.restack.over() != Over::Picker {
        return few;
    }
    let lines = |choice| cells::wrap(&picker::says(state, &choice), usize::from(inner.w)).len();
    // One more is where what is typed stands.
    let whole = picker::choices(state).into_iter().map(lines).max().unwrap_or(0) + 1;
    few.max(u16::try_from(whole).unwrap_or(u16::MAX).min(inner.h / 2))
}

/// Rows of the list proper, also where it is not in view.
pub fn list_rows(state: &State) -> usize {
    let areas = areas(state);
    let list = areas.iter().find(|(pane, _)| *pane == Pane::List).or(areas.first());
    let inner = list.map_or(Area::default(), |(_, area)| area.inner());
    usize::from(inner.h.saturating_sub(LIST_HEAD + told_rows(state, inner)))
}

/// Scrolls the pane in focus, or the proposals.
pub fn scroll(state: &mut State, by: isize) {
    let most = state.drawn.pane;
    let restack = &mut state.restack;
    let top = restack.proposals.as_mut().map_or(&mut restack.scroll, |p| &mut p.list.top);
    *top = top.saturating_add_signed(by).min(most);
}
