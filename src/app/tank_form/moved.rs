//! Which way a change of the tank moved a figure.

use crate::app::State;
use crate::app::screens::ranking;
use crate::measures::{Measure, Outcome};
use crate::report::figures;

/// A figure as it was before the last change, and where it went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    pub was: String,
    /// It rose; none where it is not known yet, or is no number.
    pub rose: Option<bool>,
}

/// Remembers the figures as they are, to show what a change does. While they are being worked out those before
/// stay.
pub(super) fn remember(state: &mut State) {
    let before = &mut state.tank_form.before;
    before.resize(state.entries.len(), None);
    for (was, entry) in before.iter_mut().zip(&state.entries) {
        if entry.judged.is_some() {
            was.clone_from(&entry.judged);
        }
    }
    if let Some(stood) = state.ranking.stood.as_ref().filter(|stood| stood.settled) {
        let ranked = ranking::ordered(state, true).into_iter().filter(|b| stood.standing.rank(*b).is_some());
        state.tank_form.stood = ranked.filter_map(|b| stood.entries.get(b).copied()).collect();
    }
}

/// How a measure of one of the entries moved with the last change; none where it reads as before.
pub fn moved(state: &State, entry: usize, measure: Measure) -> Option<Moved> {
    let before = &state.tank_form.before;
    // Other files may have been read since.
    if before.len() != state.entries.len() {
        return None;
    }
    let was = before.get(entry)?.as_ref()?.outcome(measure);
    let shown = |outcome: Outcome| figures::show(measure, outcome, state.units);
    // While it is being worked out the figure as it was stays in view, so that nothing flickers.
    let Some(now) = state.entries.get(entry)?.judged.as_ref().map(|j| j.outcome(measure)) else {
        return Some(Moved { was: shown(was), rose: None });
    };
    if shown(was) == shown(now) {
        return None;
    }
    let rose = was.number().zip(now.number()).map(|(was, now)| now > was);
    Some(Moved { was: shown(was), rose })
}

/// The measures to show for some entries: those that the last change moved, then those chosen on Builds.
pub fn to_show(state: &State, entries: &[usize]) -> Vec<Measure> {
    let has_moved =
        |m: &Measure| entries.iter().any(|i| moved(state, *i, *m).is_some_and(|moved| moved.rose.is_some()));
    let mut out: Vec<Measure> = Measure::ALL.into_iter().filter(has_moved).collect();
    let rest: Vec<Measure> =
        state.columns.iter().filter_map(|c| c.measure()).filter(|m| !out.contains(m)).collect();
    out.extend(rest);
    out
}
