//! Ranking: weights that can be moved, and how the builds stand with them.

use std::sync::Arc;

use crate::app::asks::{Judged, RankAsk};
use crate::app::effect::Effect;
use crate::app::list::moved;
use crate::app::screen::{May, Screen};
use crate::app::state::State;
use crate::app::tabs::Place;
use crate::measures::Measure;

/// Step of a weight.
const STEP: f64 = 0.25;
/// Greatest weight.
const MOST: f64 = 5.0;

pub struct Ranking;

impl Screen for Ranking {
    fn place(&self, _: &State) -> Place {
        Place::Ranking
    }
    fn step(&self, state: &mut State, by: isize) {
        scroll(state, by);
    }
    fn page(&self, state: &mut State, by: isize) {
        scroll(state, by.saturating_mul(10));
    }
    fn column(&self, state: &mut State, by: isize) {
        which(state, by);
    }
    fn press(&self, _: &mut State, _: u16, _: u16) -> Vec<Effect> {
        Vec::new()
    }
    fn sync(&self, state: &mut State) -> Vec<Effect> {
        if !state.ranking.stale || allowed(state).is_err() {
            return Vec::new();
        }
        ask(state).map(|ask| Effect::Rank(Box::new(ask))).into_iter().collect()
    }
    fn sought(&self, state: &State) -> Vec<String> {
        state.ranking.lines.clone()
    }
    fn at(&self, state: &State) -> usize {
        state.ranking.top
    }
    fn go(&self, state: &mut State, line: usize) {
        state.ranking.top = line.min(state.drawn.pane);
    }
}

/// Why there is nothing to rank, if there is not.
pub fn allowed(state: &State) -> May {
    match &state.tank {
        None => Err("a rank holds for one tank: choose one on the Tank screen ({tank})"),
        Some(tank) if tank.priorities.is_empty() => Err("the tank gives no weights"),
        Some(_) => Ok(()),
    }
}

/// The tank's own weights, where none were moved yet.
pub fn fill(state: &mut State) {
    let Some(tank) = &state.tank else { return };
    if state.ranking.weights.is_empty() {
        state.ranking.weights =
            tank.priorities.iter().filter_map(|(key, w)| Some((Measure::from_key(key)?, *w))).collect();
    }
}

pub fn weigh(state: &mut State, by: isize) {
    if let Some((measure, weight)) = state.ranking.weights.get(state.ranking.cursor).copied() {
        set_weight(state, measure, weight + by as f64 * STEP);
    }
}

/// Gives a weighted measure another weight.
pub fn set_weight(state: &mut State, of: Measure, to: f64) {
    if let Some((_, weight)) = state.ranking.weights.iter_mut().find(|(m, _)| *m == of) {
        *weight = to.clamp(0.0, MOST);
        state.ranking.stale = true;
    }
}

pub fn which(state: &mut State, by: isize) {
    state.ranking.cursor = moved(state.ranking.cursor, by, state.ranking.weights.len());
}

/// Scrolls what is below the weights.
pub fn scroll(state: &mut State, by: isize) {
    state.ranking.top = moved(state.ranking.top, by, state.drawn.pane + 1);
}

/// There is more than is in view.
pub fn more(state: &State) -> May {
    allowed(state)?;
    if state.drawn.pane == 0 { Err("all of it is in view") } else { Ok(()) }
}

pub fn own_weights(state: &mut State) {
    state.ranking.weights.clear();
    state.ranking.stale = true;
    fill(state);
}

/// The question to ask, if one is due.
pub fn ask(state: &mut State) -> Option<RankAsk> {
    fill(state);
    let tank = state.tank.clone()?;
    state.ranking.stale = false;
    state.ranking.asked += 1;
    let builds: Vec<Judged> = state
        .entries
        .iter()
        .filter_map(|e| {
            Some(Judged {
                path: e.path.clone(),
                filter: Arc::clone(&e.filter),
                build: e.build,
                judged: Arc::clone(e.judged.as_ref()?),
            })
        })
        .collect();
    let width = state.parts().main.map_or(80, |area| usize::from(area.inner().w));
    Some(RankAsk {
        number: state.ranking.asked,
        settled: builds.iter().all(|b| b.judged.simulated.is_some()),
        builds,
        tank,
        weights: state.ranking.weights.iter().map(|(_, w)| *w).collect(),
        units: state.units,
        width,
    })
}
