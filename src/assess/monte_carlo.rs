//! A case in many draws of the doubt: one column of values a measure.

use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::assessment::Logged;
use super::case::Case;
use super::figures::{Clean, Effort, Figures, Told, figures};
use super::suits::{Limit, Stocking, counted, largest};
use crate::assumptions::A;
use crate::clogging::Flock;
use crate::measures::Measure;
use crate::simd::{F64x8, Real};
use crate::uncertainty::key::Key;
use crate::uncertainty::recorder::KeyRecorder;
use crate::uncertainty::sampling::{Batch, Draws};
use crate::uncertainty::summary::{Band, Sample};

/// What the simulated cases of a build came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Simulated {
    /// How many cases.
    pub count: usize,
    /// 5th and 95th percentile of each measure, in the catalogue's order.
    bands: [Option<Band>; Measure::ALL.len()],
    /// The cases of each measure, in the catalogue's order; empty where it cannot be told.
    samples: Vec<Sample>,
    /// Share of the cases in which bypass passes 25 % before service.
    pub bypass_chance: Option<f64>,
    /// Cases that could not be solved.
    pub failed: usize,
    /// Which they are.
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
    /// 5th and 95th percentile of a measure.
    pub fn band(&self, measure: Measure) -> Option<Band> {
        self.bands.get(measure as usize).copied().flatten()
    }
    /// Sets the band of a measure.
    pub fn set_band(&mut self, measure: Measure, band: Option<Band>) {
        if let Some(slot) = self.bands.get_mut(measure as usize) {
            *slot = band;
        }
    }
}

/// Judges a case in all draws. `stop` is looked at between batches of eight; none if it was set.
pub fn simulate(case: &Case<'_>, draws: &Draws, stop: &AtomicBool) -> Option<Simulated> {
    let asked = KeyRecorder::new();
    let nominal: Figures<f64> = figures(case, &asked, Effort::FULL);
    let case = &Case { start: nominal.solved.then(|| nominal.way.flows.clone()), ..case.clone() };
    let keys = asked.keys();
    let columns = draws.prefetch(&keys);
    let count = draws.samples();
    let mut out = Simulated::empty(count, keys);
    let (mut risky, mut told, mut risk_told) = (0usize, 0usize, true);
    let listed: Vec<(Stocking, Limit)> = nominal.suits.as_ref().map_or_else(
        |_| Vec::new(),
        |rows| largest(rows, counted(case)).iter().map(|row| (row.stocking, row.limit)).collect(),
    );
    let mut suits = vec![Sample::default(); listed.len()];
    let mut take = |first: usize, figures: &Figures<F64x8>| {
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
        for (sample, (stocking, limit)) in suits.iter_mut().zip(&listed) {
            let row = rows.iter().find(|row| row.stocking == *stocking);
            match row.and_then(|row| row.by(*limit)) {
                Some(litres) => sample.push(litres, figures.solved, count),
                None => sample.push(F64x8::zero(), F64x8::mask(false), count),
            }
        }
        let here = F64x8::WIDTH.min(count - first);
        for draw in 0..here {
            let solved = F64x8::holds(figures.solved, draw);
            out.failed += usize::from(!solved);
            out.unsolved.push(!solved);
            if let (Ok(worst), true) = (figures.get(Measure::BypassDirty), solved) {
                told += 1;
                risky += usize::from(worst.draw(draw) > A::RiskyBypass.value());
            }
        }
        risk_told &= figures.get(Measure::BypassDirty).is_ok() || !F64x8::any(figures.solved);
    };
    let mut flock = Flock::new();
    // Batches whose timelines are not at their ends, or why they have none.
    let mut waiting: VecDeque<(usize, Clean<F64x8>, Told<()>)> = VecDeque::new();
    let mut firsts = draws.firsts();
    loop {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        if let Some(first) = firsts.next() {
            let batch = Batch::prefetched(draws, &columns, first);
            let mut clean = Clean::new(case, &batch);
            let there = F64x8::gather(|draw| (count - first) as f64 - draw as f64).gt(F64x8::zero());
            let worth = F64x8::and(clean.way.solved, there);
            let fresh = clean.ageing(case, &batch);
            let followed = fresh.map(|fresh| flock.take_in(&fresh, &clean.way.vessel, worth));
            waiting.push_back((first, clean, followed));
        } else if waiting.is_empty() {
            break;
        } else {
            flock.end();
        }
        while let Some(aged) = waiting.front().and_then(|(.., followed)| match followed {
            Ok(()) => flock.next().map(Ok),
            Err(why) => Some(Err(*why)),
        }) {
            let Some((first, mut clean, _)) = waiting.pop_front() else { break };
            let aged = aged.map(|mut aged| {
                clean.name_slime(case, &mut aged);
                aged
            });
            take(first, &clean.figures(case, aged, &Batch::prefetched(draws, &columns, first)));
        }
    }
    if risk_told && told > 0 {
        out.bypass_chance = Some(risky as f64 / told as f64);
    }
    out.suits = suits.iter().map(Sample::band).collect();
    for measure in Measure::ALL {
        out.set_band(measure, out.sample(measure).and_then(Sample::band));
    }
    Some(out)
}
