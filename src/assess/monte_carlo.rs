//! A case in many draws of the doubt: one column of values a measure.

use std::sync::atomic::{AtomicBool, Ordering};

use super::case::Case;
use super::figures::{Effort, Figures, figures};
use crate::measures::Measure;
use crate::simd::{F64x8, Real};
use crate::uncertainty::key::Key;
use crate::uncertainty::recorder::KeyRecorder;
use crate::uncertainty::sampling::{Batch, Draws};
use crate::uncertainty::summary::{Band, Sample};

/// Bypass from which a build counts as leaking, share.
pub const RISKY: f64 = 0.25;

/// What many draws of a build came to.
#[derive(Clone, Debug, Default)]
pub struct Many {
    /// Draws of each measure, in the catalogue's order; empty where it cannot be told.
    samples: Vec<Sample>,
    /// Share of the draws in which bypass passes 25 % before service.
    pub risk: Option<f64>,
    /// Draws in which the build could not be solved.
    pub failed: usize,
    /// Every doubtful figure it hangs on.
    pub keys: Vec<Key>,
}

impl Many {
    /// The draws of a measure; none where it cannot be told. The risk is one figure for all draws together.
    pub fn sample(&self, measure: Measure) -> Option<&Sample> {
        self.samples.get(measure as usize).filter(|s| !s.is_empty())
    }
    /// Keeps the draws of these measures alone; what all draws together say stays.
    pub fn keep(&mut self, measures: &[Measure]) {
        for (sample, measure) in self.samples.iter_mut().zip(Measure::ALL) {
            if !measures.contains(&measure) {
                *sample = Sample::default();
            }
        }
    }
    /// 5th and 95th percentile of a measure.
    pub fn band(&self, measure: Measure) -> Option<Band> {
        self.sample(measure)?.band()
    }
}

/// The doubtful figures a case hangs on, in the order of their names.
pub fn keys(case: &Case<'_>) -> Vec<Key> {
    let asked = KeyRecorder::new();
    let _: Figures<f64> = figures(case, &asked, Effort::FULL);
    asked.keys()
}

/// Judges a case in all draws. `stop` is looked at between batches of eight; none if it was set.
pub fn many(case: &Case<'_>, draws: &Draws, stop: &AtomicBool) -> Option<Many> {
    let asked = KeyRecorder::new();
    let nominal: Figures<f64> = figures(case, &asked, Effort::FULL);
    let case = &Case { start: nominal.solved.then(|| nominal.way.flows.clone()), ..case.clone() };
    let keys = asked.keys();
    let columns = draws.prefetch(&keys);
    let count = draws.samples();
    let mut out = Many { samples: vec![Sample::default(); Measure::ALL.len()], risk: None, failed: 0, keys };
    let (mut risky, mut told, mut risk_told) = (0usize, 0usize, true);
    for first in draws.firsts() {
        if stop.load(Ordering::Relaxed) {
            return None;
        }
        let batch = Batch::prefetched(draws, &columns, first);
        let figures: Figures<F64x8> = figures(case, &batch, Effort::FULL);
        for (sample, measure) in out.samples.iter_mut().zip(Measure::ALL) {
            let solved = if measure.needs_flow() { figures.solved } else { F64x8::mask(true) };
            if let Ok(value) = figures.get(measure) {
                sample.push(value, solved, count);
            } else if !sample.is_empty() {
                // Told in other draws: here the network could not be solved at all.
                sample.push(F64x8::zero(), F64x8::mask(false), count);
            }
        }
        let here = F64x8::WIDTH.min(count - first);
        for draw in 0..here {
            let solved = F64x8::holds(figures.solved, draw);
            out.failed += usize::from(!solved);
            if let (Ok(worst), true) = (figures.worst_bypass, solved) {
                told += 1;
                risky += usize::from(worst.draw(draw) > RISKY);
            }
        }
        risk_told &= figures.worst_bypass.is_ok() || !F64x8::any(figures.solved);
    }
    if risk_told && told > 0 {
        out.risk = Some(risky as f64 / told as f64);
    }
    Some(out)
}
