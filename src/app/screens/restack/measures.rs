//! The measures in view, and the one under the cursor.

use super::{allowed, areas};
use crate::app::state::restack::Pane;
use crate::app::{May, Of, Over, State, Work, keep_row_in_window};
use crate::measures::{Measure, Outcome};

/// Rows kept in view below the chosen one; what does not fit is told in a few rows above the measures.
const BELOW: usize = 3;

/// Those that are shown: what can be told neither of the build as it was nor now is left out.
pub fn shown(work: &Work) -> Vec<Measure> {
    let known = work.now.judged.is_some();
    let told = |m: Measure| {
        [&work.before, &work.now]
            .iter()
            .any(|e| matches!(e.outcome(m), Some(o) if !matches!(o, Outcome::Missing(_))))
    };
    Measure::ALL.into_iter().filter(|m| !known || told(*m)).collect()
}

/// The one under the cursor, while the pane is in focus.
pub fn chosen(state: &State) -> Option<Measure> {
    let focus = state.restack.pane == Pane::Measures && state.restack.over() == Over::Nothing;
    let work = state.restack.work.as_ref().filter(|_| focus)?;
    let shown = shown(work);
    shown.get(state.restack.measure.min(shown.len().saturating_sub(1))).copied()
}

/// Moves the cursor; past the last measure the rest of the pane is scrolled, and back first.
pub fn step(state: &mut State, by: isize) {
    let Some(last) = state.restack.work.as_ref().map(|w| shown(w).len().saturating_sub(1)) else { return };
    let areas = areas::areas(state);
    let area = areas.iter().find(|(pane, _)| *pane == Pane::Measures);
    let rows = area.map_or(1, |(_, a)| usize::from(a.inner().h)).saturating_sub(BELOW);
    let at = state.restack.measure.min(last);
    // The head is the first row.
    if (at == last && by > 0) || (by < 0 && state.restack.scroll > at + 1) {
        return areas::scroll(state, by);
    }
    let at = at.saturating_add_signed(by).min(last);
    let restack = &mut state.restack;
    restack.measure = at;
    restack.scroll = keep_row_in_window(restack.scroll, at + 1, rows, usize::MAX);
    if at == 0 {
        restack.scroll = 0;
    }
}

pub fn allowed(state: &State) -> May {
    allowed::work(state)?;
    if chosen(state).is_some() { Ok(()) } else { Err("choose a measure first: {next_pane} turns to them") }
}

pub fn explain(state: &mut State) {
    if let Some(measure) = chosen(state) {
        state.explain(Of::Worked, measure);
    }
}
