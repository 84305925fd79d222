//! What many draws of one measure say: a band, a mean, and how many draws failed.

use crate::simd::{F64x8, Real};

/// The draws of one measure, in order. A draw that could not be solved is kept as NaN and counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sample {
    /// One value a draw; NaN where it failed.
    pub values: Vec<f64>,
    pub failed: usize,
}

impl Sample {
    /// From values; whatever is not finite counts as failed.
    pub fn new(values: Vec<f64>) -> Self {
        let mut sample = Self { values: Vec::with_capacity(values.len()), failed: 0 };
        for value in values {
            sample.add(value);
        }
        sample
    }

    pub fn add(&mut self, value: f64) {
        let good = value.is_finite();
        self.failed += usize::from(!good);
        self.values.push(if good { value } else { f64::NAN });
    }

    /// Adds a batch of eight, but no more than make `samples` in all: what pads the last batch stays out.
    /// Where `solved` does not hold the draw has failed.
    pub fn push(&mut self, batch: F64x8, solved: <F64x8 as Real>::Mask, samples: usize) {
        if self.values.is_empty() {
            self.values.reserve_exact(samples);
        }
        for lane in 0..F64x8::WIDTH.min(samples.saturating_sub(self.values.len())) {
            self.add(if F64x8::holds(solved, lane) { batch.draw(lane) } else { f64::NAN });
        }
    }

    /// How many draws, failed ones included.
    pub fn len(&self) -> usize {
        self.values.len()
    }
    /// No draws at all.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }
    /// The draws that did not fail.
    pub fn told(&self) -> impl Iterator<Item = f64> + '_ {
        self.values.iter().copied().filter(|x| !x.is_nan())
    }

    /// Mean of the draws told; none without any.
    pub fn mean(&self) -> Option<f64> {
        let n = self.values.len() - self.failed;
        (n > 0).then(|| self.told().sum::<f64>() / n as f64)
    }
    /// Standard deviation of the draws told (over n − 1); none with fewer than two.
    pub fn sd(&self) -> Option<f64> {
        let mean = self.mean()?;
        let n = self.values.len() - self.failed;
        (n > 1).then(|| (self.told().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1) as f64).sqrt())
    }
    /// 5th, 50th and 95th percentiles of the draws told; none without any.
    pub fn band(&self) -> Option<Band> {
        let mut told: Vec<f64> = self.told().collect();
        let mut at = |share| selected(&mut told, share);
        Some(Band { low: at(0.05)?, median: at(0.5)?, high: at(0.95)? })
    }
    /// Share of all draws for which it holds; failed draws count as not. None without draws.
    pub fn chance(&self, holds: impl Fn(f64) -> bool) -> Option<f64> {
        let yes = self.told().filter(|x| holds(*x)).count();
        (!self.values.is_empty()).then(|| yes as f64 / self.values.len() as f64)
    }
}

/// Nine draws of ten lie within it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// 5th percentile.
    pub low: f64,
    /// 50th percentile.
    pub median: f64,
    /// 95th percentile.
    pub high: f64,
}

/// [`percentile`] of values in any order, which are put in another one.
fn selected(values: &mut [f64], share: f64) -> Option<f64> {
    let place = share * values.len().checked_sub(1)? as f64;
    let (_, low, above) = values.select_nth_unstable_by(place as usize, f64::total_cmp);
    let low = *low;
    let high = above.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
    Some(low + (place - place.floor()) * (high - low))
}

/// Quantile of values sorted upward, `share` from 0 to 1; none without values.
///
/// Type 7 of Hyndman and Fan 1996 (The American Statistician 50): straight between the order statistics, with
/// the k-th of n at (k − 1)/(n − 1).
pub fn percentile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let below = place.floor();
    let low = *sorted.get(below as usize)?;
    let high = sorted.get(below as usize + 1).copied().unwrap_or(low);
    Some(low + (place - below) * (high - low))
}
