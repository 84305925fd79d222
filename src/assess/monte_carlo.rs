//! A case in many draws of the doubt: one column of values a measure.

use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::assessment::Logged;
use super::figures::{Clean, Figures, Told, figures};
use super::suits::{Limit, counted, largest};
use super::{Case, Effort, Stocking};
use crate::assumptions::A;
use crate::clogging::Flock;
use crate::measures::Measure;
use crate::simd::{F64x8, Real};
use crate::uncertainty::recorder::KeyRecorder;
use crate::uncertainty::sampling::Columns;
use crate::uncertainty::{Band, Batch, Draws, Key, Sample};

/// What the simulated cases of a build came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Simulated {
    pub count: usize,
    /// 5th and 95th percentile of each measure, in the catalogue's order.
    bands: [Option<Band>; Measure::ALL.len()],
    /// The cases of each measure, in the catalogue's order; empty where it cannot be told.
    samples: Vec<Sample>,
    /// Share of the cases in which bypass passes 25 % before service.
    pub bypass_chance: Option<f64>,
    pub failed: usize,
    pub unsolved: Vec<bool>,
    /// Every uncertain figure it hangs on.
    pub keys: Vec<Key>,
    /// What logs made of them, on the way to the row.
    pub logged: Option<Arc<Logged>>,
    /// Bands of what tank it suits, as [`super::suits::largest`] lists it.
    pub suits: Vec<Option<Band>>,
}

impl Simulated {
    /// So many cases in which nothing was told yet.
    pub fn empty(count: usize, keys: Vec<Key>) -> Self {
        Self {
            count,
            bands: [None; Measure::ALL.len()],
            samples: vec![Sample::default(); Measure::ALL.len()],
            bypass_chance: None,
            failed: 0,
            unsolved: Vec::with_capacity(count),
            keys,
            logged: None,
            suits: Vec::new(),
        }
    }
    /// The cases of a measure; `None` where it cannot be told. The chance of bypass is one figure for all of them.
    pub fn sample(&self, measure: Measure) -> Option<&Sample> {
        self.samples.get(measure as usize).filter(|s| !s.is_empty())
    }
    /// Keeps the cases of these measures alone; what all of them together say stays.
    pub fn keep(&mut self, measures: &[Measure]) {
        for (sample, measure) in self.samples.iter_mut().zip(Measure::ALL) {
            if !measures.contains(&measure) {
                *sample = Sample::default();
            }
        }
    }
    pub fn band(&self, measure: Measure) -> Option<Band> {
        self.bands.get(measure as usize).copied().flatten()
    }
    pub fn set_band(&mut self, measure: Measure, band: Option<Band>) {
        if let Some(slot) = self.bands.get_mut(measure as usize) {
            *slot = band;
        }
    }
}

/// What is gathered on the way, batch by batch.
struct Gathered {
    out: Simulated,
    /// Solved cases in which bypass is told, and those of them in which it is risky.
    told: usize,
    risky: usize,
    risk_told: bool,
    listed: Vec<(Stocking, Limit)>,
    suits: Vec<Sample>,
}

impl Gathered {
    fn new(case: &Case<'_>, nominal: &Figures<f64>, count: usize, keys: &[Key]) -> Self {
        let listed: Vec<(Stocking, Limit)> = nominal.suits.as_ref().map_or_else(
            |_| Vec::new(),
            |rows| largest(rows, counted(case)).iter().map(|row| (row.stocking, row.limit)).collect(),
        );
        let suits = vec![Sample::default(); listed.len()];
        let out = Simulated::empty(count, keys.to_vec());
        Self { out, told: 0, risky: 0, risk_told: true, listed, suits }
    }

    fn take(&mut self, first: usize, figures: &Figures<F64x8>) {
        let count = self.out.count;
        let out = &mut self.out;
        for (sample, measure) in out.samples.iter_mut().zip(Measure::ALL) {
            let solved = if measure.needs_flow() { figures.solved } else { F64x8::mask(true) };
            if let Ok(value) = figures.get(measure) {
                sample.push(value, solved, count);
            } else if !sample.is_empty() {
                // Told in other draws: here the network could not be solved at all.
                sample.push(F64x8::zero(), F64x8::mask(false), count);
            }
        }
        let rows = figures.suits.as_ref().map_or(&[][..], Vec::as_slice);
        for (sample, (stocking, limit)) in self.suits.iter_mut().zip(&self.listed) {
            let row = rows.iter().find(|row| row.stocking == *stocking);
            match row.and_then(|row| row.by(*limit)) {
                Some(litres) => sample.push(litres, figures.solved, count),
                None => sample.push(F64x8::zero(), F64x8::mask(false), count),
            }
        }
        for draw in 0..F64x8::WIDTH.min(count - first) {
            let solved = F64x8::holds(figures.solved, draw);
            out.failed += usize::from(!solved);
            out.unsolved.push(!solved);
            if let (Ok(worst), true) = (figures.get(Measure::BypassDirty), solved) {
                self.told += 1;
                self.risky += usize::from(worst.draw(draw) > A::RiskyBypass.value());
            }
        }
        self.risk_told &= figures.get(Measure::BypassDirty).is_ok() || !F64x8::any(figures.solved);
    }

    fn done(mut self) -> Simulated {
        if self.risk_told && self.told > 0 {
            self.out.bypass_chance = Some(self.risky as f64 / self.told as f64);
        }
        self.out.suits = self.suits.iter().map(Sample::band).collect();
        for measure in Measure::ALL {
            let band = self.out.sample(measure).and_then(Sample::band);
            self.out.set_band(measure, band);
        }
        self.out
    }
}

/// Judges a case in all draws. `stop` is looked at between batches of eight; none if it was set.
pub fn simulate(case: &Case<'_>, draws: &Draws, stop: &AtomicBool) -> Option<Simulated> {
    let asked = KeyRecorder::new();
    let nominal: Figures<f64> = figures(case, &asked, Effort::FULL);
    let case = &Case { start: nominal.solved.then(|| nominal.way.flows.clone()), ..case.clone() };
    let keys = asked.keys();
    let columns = draws.prefetch(&keys);
    let anew = || Gathered::new(case, &nominal, draws.samples(), &keys);
    let mut all = anew();
    if !flocked(case, draws, &columns, stop, &mut all)? {
        all = anew();
        for first in draws.firsts() {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            all.take(first, &figures(case, &Batch::prefetched(draws, &columns, first), Effort::CASE));
        }
    }
    Some(all.done())
}

/// Follows the timelines of all draws in one flock. Not where Newton's method finds no end for one of them: what is
/// next to nothing would then hang on who stands beside it, so that each batch is better followed by itself.
fn flocked(
    case: &Case<'_>,
    draws: &Draws,
    columns: &Columns,
    stop: &AtomicBool,
    all: &mut Gathered,
) -> Option<bool> {
    let mut flock = Flock::default();
    // Batches whose timelines are not at their ends, or why they have none.
    let mut waiting: VecDeque<(usize, Clean<F64x8>, Told<()>)> = VecDeque::new();
    let mut firsts = draws.firsts();
    loop {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        if let Some(first) = firsts.next() {
            let batch = Batch::prefetched(draws, columns, first);
            let mut clean = Clean::new(case, &batch);
            let there = F64x8::gather(|draw| (draws.samples() - first) as f64 - draw as f64);
            let worth = F64x8::and(clean.way.solved, there.gt(F64x8::zero()));
            let fresh = clean.ageing(case, &batch);
            let followed = fresh.map(|fresh| flock.take_in(&fresh, &clean.way.vessel, worth));
            waiting.push_back((first, clean, followed));
        } else if waiting.is_empty() {
            return Some(true);
        } else {
            flock.end();
        }
        if flock.is_stiff() || waiting.back().is_some_and(|(_, clean, _)| clean.way.vessel.is_stiff()) {
            return Some(false);
        }
        while let Some(aged) = waiting.front().and_then(|(.., followed)| match followed {
            Ok(()) => flock.take_out().map(Ok),
            Err(why) => Some(Err(*why)),
        }) {
            let Some((first, mut clean, _)) = waiting.pop_front() else { break };
            let aged = aged.map(|mut aged| {
                clean.name_slime(case, &mut aged);
                aged
            });
            all.take(first, &clean.figures(case, aged, &Batch::prefetched(draws, columns, first)));
        }
    }
}
