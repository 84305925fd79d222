//! The Ranking screen's state: weights that can be moved, and what came of them.

use std::path::PathBuf;
use std::sync::Arc;

use super::state::State;
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::model::filter::Filter;
use crate::model::tank::Tank;
use crate::report::figures::Units;

/// Step of a weight.
const STEP: f64 = 0.25;
/// Greatest weight.
const MOST: f64 = 5.0;

/// What the screen knows.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// Weighted measures with their weights as moved; empty until a tank gives them.
    pub weights: Vec<(Measure, f64)>,
    /// The one that the arrow keys move.
    pub cursor: usize,
    /// First line in view.
    pub top: usize,
    /// What came out last.
    pub lines: Vec<String>,
    /// The question asked last; answers to older ones are dropped.
    pub asked: u64,
    /// Something changed since that question.
    pub stale: bool,
}

/// A build as the ranking needs it.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Its file.
    pub path: PathBuf,
    /// Its filter.
    pub filter: Arc<Filter>,
    /// Which of the filter's builds.
    pub build: usize,
    /// Its figures.
    pub judged: Arc<Assessment>,
}

/// What is asked of the background.
#[derive(Clone, Debug)]
pub struct Ask {
    /// The question's number.
    pub number: u64,
    /// The builds judged so far.
    pub builds: Vec<Standing>,
    /// The tank.
    pub tank: Arc<Tank>,
    /// A weight for each weighted measure of the tank, in the tank's order.
    pub weights: Vec<f64>,
    /// Doubt is worked out for all of them.
    pub settled: bool,
    /// Units that people read.
    pub units: Units,
    /// Columns there are.
    pub width: usize,
}

impl PartialEq for Ask {
    /// Questions are told apart by their number.
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

/// Why there is nothing to rank, if there is not.
pub fn allowed(state: &State) -> Result<(), &'static str> {
    match &state.tank {
        None => Err("a rank holds for one tank: choose one on the Tank screen ({tank})"),
        Some(tank) if tank.weights.is_empty() => Err("the tank gives no weights"),
        Some(_) => Ok(()),
    }
}

/// The tank's own weights, where none were moved yet.
pub fn fill(state: &mut State) {
    let Some(tank) = &state.tank else { return };
    if state.ranking.weights.is_empty() {
        state.ranking.weights =
            tank.weights.iter().filter_map(|(key, w)| Some((Measure::from_key(key)?, *w))).collect();
    }
}

/// Moves the weight under the cursor.
pub fn weigh(state: &mut State, by: isize) {
    let at = state.ranking.cursor;
    if let Some((_, weight)) = state.ranking.weights.get_mut(at) {
        *weight = (*weight + by as f64 * STEP).clamp(0.0, MOST);
        state.ranking.stale = true;
    }
}

/// Back to the tank's own weights.
pub fn own_weights(state: &mut State) {
    state.ranking.weights.clear();
    state.ranking.stale = true;
    fill(state);
}

/// The question to ask, if one is due.
pub fn ask(state: &mut State) -> Option<Ask> {
    fill(state);
    let tank = state.tank.clone()?;
    state.ranking.stale = false;
    state.ranking.asked += 1;
    let builds: Vec<Standing> = state
        .entries
        .iter()
        .filter_map(|e| {
            Some(Standing {
                path: e.path.clone(),
                filter: Arc::clone(&e.filter),
                build: e.build,
                judged: Arc::clone(e.judged.as_ref()?),
            })
        })
        .collect();
    let width = state.parts().main.map_or(80, |area| usize::from(area.inner().w));
    Some(Ask {
        number: state.ranking.asked,
        settled: builds.iter().all(|b| b.judged.simulated.is_some()),
        builds,
        tank,
        weights: state.ranking.weights.iter().map(|(_, w)| *w).collect(),
        units: state.units,
        width,
    })
}
