//! Ranking: priorities that can be moved, and a table of how the builds stand with them.

use std::collections::HashSet;
use std::sync::Arc;

use crate::app::asks::Judged;
use crate::app::{
    Area, Effect, Id, May, Place, RankAsk, Screen, State, Stood, beyond, moved, only_if, pages,
};
use crate::measures::Measure;
use crate::model::Tank;

/// What a dot stands for, and a press of a key.
pub const STEP: f64 = 0.5;
const MOST: f64 = 5.0;

pub struct Ranking;

impl Screen for Ranking {
    fn place(&self, _: &State) -> Place {
        Place::Ranking
    }
    fn step(&self, state: &mut State, by: isize) {
        let len = rows(state).len();
        state.ranking.list.step(by, len);
        state.ranking.scroll = 0;
        self.keep(state);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, usize::from(areas(state).rows.h)));
    }
    fn column(&self, state: &mut State, by: isize) {
        state.ranking.cursor = moved(state.ranking.cursor, by, state.ranking.weights.len());
    }
    fn press(&self, state: &mut State, x: u16, y: u16) {
        let table = areas(state).rows;
        if table.holds(x, y) {
            let row = state.ranking.list.top + usize::from(y - table.y);
            if row < rows(state).len() {
                state.ranking.list.cursor = row;
            }
        }
    }
    fn keep(&self, state: &mut State) {
        let (rows, len) = (usize::from(areas(state).rows.h), rows(state).len());
        state.ranking.list.keep(rows, len);
    }
    fn sync(&self, state: &mut State) {
        if state.ranking.stale
            && let Some(ask) = ask(state)
        {
            state.ask(Effect::Rank(Box::new(ask)));
        }
    }
    fn sought(&self, state: &State) -> Vec<String> {
        let Some(stood) = &state.ranking.stood else { return Vec::new() };
        let name =
            |b: usize| stood.entries.get(b).and_then(|i| state.entries.get(*i)).map(|e| e.name.clone());
        rows(state).into_iter().map(|b| name(b).unwrap_or_default()).collect()
    }
    fn at(&self, state: &State) -> usize {
        state.ranking.list.cursor
    }
    fn go(&self, state: &mut State, line: usize) {
        state.ranking.list.cursor = line;
        self.keep(state);
    }
}

/// Where the parts stand: priorities on top, the table, and below it what is told of the build under the cursor.
pub struct Areas {
    pub all: Area,
    pub priorities: Area,
    pub heads: Area,
    pub rows: Area,
    pub below: Area,
}

pub fn areas(state: &State) -> Areas {
    let all = state.parts().main.unwrap_or_default();
    let inner = all.inner();
    let heads = if inner.h >= 14 { 2 } else { 1 };
    let top = priority_lines(state, usize::from(inner.w)).min(inner.h.saturating_sub(heads + 1));
    let left = inner.h.saturating_sub(top + heads);
    let wanted = rows(state).len().max(1) as u16;
    // What is told below keeps fourteen rows where there is room for them.
    let most = if left > 28 {
        left - 14
    } else if left > 8 {
        left * 2 / 5
    } else {
        left
    };
    let table = wanted.min(most.max(3)).min(left);
    Areas {
        all,
        priorities: inner.rows(0, top),
        heads: inner.rows(top, heads),
        rows: inner.rows(top + heads, table),
        below: inner.rows(top + heads + table, left - table),
    }
}

/// Lines that the priorities take, with the one that says how they are moved.
fn priority_lines(state: &State, w: usize) -> u16 {
    let cells = state.ranking.weights.iter().map(|(m, _)| cells(*m));
    let (lines, _) = cells.fold((1_u16, 0), |(lines, used), cell| {
        if used > 0 && used + cell > w { (lines + 1, cell) } else { (lines, used + cell) }
    });
    lines + 1
}

/// Cells that a priority takes: its words, five dots at most, its weight and the sign of a change.
pub fn cells(measure: Measure) -> usize {
    measure.as_priority().chars().count() + 13
}

pub fn allowed(state: &State) -> May {
    match &state.tank {
        None => Err("a rank holds for one tank: choose one on the Tank screen ({tank})"),
        Some(_) => Ok(()),
    }
}

pub fn on_row(state: &State) -> May {
    allowed(state)?;
    if here(state).is_some() { Ok(()) } else { Err("nothing is ranked yet") }
}

fn own(tank: &Tank) -> Vec<(Measure, f64)> {
    tank.priorities.iter().filter_map(|(key, w)| Some((Measure::from_key(key)?, *w))).collect()
}

pub fn own_weight(state: &State, of: Measure) -> Option<f64> {
    own(state.tank.as_deref()?).into_iter().find(|(m, _)| *m == of).map(|(_, w)| w)
}

/// The tank's own priorities, where none were moved yet.
pub fn fill(state: &mut State) {
    let Some(tank) = &state.tank else { return };
    if state.ranking.weights.is_empty() {
        state.ranking.weights = own(tank);
    }
}

pub fn changed(state: &State) -> bool {
    state.ranking.weights.iter().any(|(m, w)| own_weight(state, *m) != Some(*w))
}

/// Takes another tank: priorities that were moved stay where it has them too, and that is told.
pub fn take_tank(state: &mut State, tank: Option<&Tank>) {
    let moved: Vec<(Measure, f64)> = if changed(state) { state.ranking.weights.clone() } else { Vec::new() };
    let mut weights = tank.map(own).unwrap_or_default();
    let mut kept = false;
    for (measure, weight) in &mut weights {
        if let Some((_, was)) = moved.iter().find(|(m, _)| m == measure) {
            kept |= was.to_bits() != weight.to_bits();
            *weight = *was;
        }
    }
    if kept {
        state.tell_keys("your changed priorities stay: {own_weights} on Ranking takes this tank's");
    }
    state.ranking.weights = weights;
}

pub fn weigh(state: &mut State, by: isize) {
    if let Some((measure, weight)) = state.ranking.weights.get(state.ranking.cursor).copied() {
        set_weight(state, measure, weight + by as f64 * STEP);
    }
}

pub fn set_weight(state: &mut State, of: Measure, to: f64) {
    if let Some((_, weight)) = state.ranking.weights.iter_mut().find(|(m, _)| *m == of) {
        *weight = to.clamp(0.0, MOST);
        state.ranking.stale = true;
    }
}

pub fn scroll(state: &mut State, by: isize) {
    state.ranking.scroll = moved(state.ranking.scroll, by, state.drawn.pane + 1);
}

pub fn more(state: &State) -> May {
    allowed(state)?;
    beyond(state.drawn.pane)
}

pub fn moved_any(state: &State) -> May {
    allowed(state)?;
    if changed(state) { Ok(()) } else { Err("they are the tank's own") }
}

/// Some builds are marked or searched, so that all are more.
pub fn narrower(state: &State) -> May {
    allowed(state)?;
    only_if(
        state.ranking.all || !state.marks.is_empty() || !state.narrow.is_empty(),
        "nothing is marked or searched: these are all",
    )
}

pub fn own_weights(state: &mut State) {
    state.ranking.weights.clear();
    state.ranking.stale = true;
    fill(state);
}

pub fn all(state: &mut State) {
    state.ranking.all = !state.ranking.all;
    state.ranking.stale = true;
}

pub fn one_each(state: &mut State) {
    state.ranking.one_each = !state.ranking.one_each;
    Ranking.keep(state);
}

/// The builds that are ranked, and which they are in words.
pub fn scope(state: &State) -> (Vec<usize>, String) {
    let of = |ids: &[Id]| -> Vec<usize> {
        ids.iter().filter_map(|id| if let Id::Build(i) = id { Some(*i) } else { None }).collect()
    };
    let count = state.entries.len();
    let (marked, listed) = (of(&state.marks), of(&state.rows));
    if state.ranking.all || (marked.is_empty() && state.narrow.is_empty()) {
        ((0..count).collect(), format!("of all {count} builds"))
    } else if marked.is_empty() {
        let said =
            format!("of the {} builds that hold '{}' ({{all}}: all {count})", listed.len(), state.narrow);
        (listed, said)
    } else {
        let said = format!("of the {} marked ({{all}}: all {count})", marked.len());
        (marked, said)
    }
}

/// The table's rows: places among the builds that were ranked, in the order to show.
pub fn rows(state: &State) -> Vec<usize> {
    ordered(state, state.ranking.one_each)
}

/// Those of the best build of each filter alone, or of all.
pub fn ordered(state: &State, one_each: bool) -> Vec<usize> {
    let Some(stood) = &state.ranking.stood else { return Vec::new() };
    let mut seen: HashSet<&str> = HashSet::new();
    let order = stood.standing.order().into_iter();
    order
        .filter(|b| {
            let entry = stood.entries.get(*b).and_then(|i| state.entries.get(*i));
            !one_each || entry.is_none_or(|e| seen.insert(&e.filter.id))
        })
        .collect()
}

/// Which of the entries the build under the cursor is.
pub fn here(state: &State) -> Option<usize> {
    let at = *rows(state).get(state.ranking.list.cursor)?;
    state.ranking.stood.as_ref()?.entries.get(at).copied()
}

/// Takes in how they stand; the cursor stays on its build.
pub fn take(state: &mut State, stood: Stood) {
    let was = here(state);
    state.ranking.stood = Some(Arc::new(stood));
    let at = |b: &usize| state.ranking.stood.as_ref().and_then(|s| s.entries.get(*b).copied());
    let row = was.and_then(|was| rows(state).iter().position(|b| at(b) == Some(was)));
    if let Some(row) = row.filter(|_| state.ranking.list.cursor > 0) {
        state.ranking.list.cursor = row;
    }
    Ranking.keep(state);
}

pub fn ask(state: &mut State) -> Option<RankAsk> {
    fill(state);
    let tank = state.tank.clone()?;
    state.ranking.stale = false;
    state.ranking.asked += 1;
    let judged = |i: usize| {
        let e = state.entries.get(i)?;
        let judged = Arc::clone(e.judged.as_ref()?);
        Some(Judged { entry: i, filter: Arc::clone(&e.filter), build: e.build, judged })
    };
    let builds: Vec<Judged> = scope(state).0.into_iter().filter_map(judged).collect();
    Some(RankAsk {
        number: state.ranking.asked,
        settled: builds.iter().all(|b| b.judged.simulated.is_some()),
        builds,
        tank,
        weights: state.ranking.weights.iter().map(|(_, w)| *w).collect(),
    })
}
