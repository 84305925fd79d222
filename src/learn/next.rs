//! Which reading would tell most of when to open the filter again.

use super::course::Watched;
use crate::assess::log::Sort;
use crate::order::InOrder;
use crate::simd::{F64x8, Real};
use crate::uncertainty::normal::quantile;
use crate::uncertainty::{Batch, Draws, Generator, Sample};

const BINS: usize = 16;
const SHUFFLES: usize = 20;
/// Days after the last opening at which a bucket is timed or the loss read.
const THEN: f64 = 21.0;

/// Readings that could be made next, by the share of the variance of the opening day that they explain, most first,
/// three at most.
pub(super) fn next(watched: &Watched<'_>, draws: &Draws, opens: &Sample) -> Vec<(Sort, f64)> {
    let mut out: Vec<(Sort, f64)> = Vec::new();
    for sort in
        [Sort::Bucket, Sort::Muck, Sort::Loss, Sort::Meter, Sort::Weighed, Sort::Nitrate, Sort::Ammonia]
    {
        let probe = watched.probe(sort, THEN);
        let mut sample = Sample::default();
        for first in draws.firsts() {
            let read: Vec<F64x8> = probe.figures(&Batch::new(draws, first));
            let Some(read) = read.first() else { continue };
            sample.push(*read, read.finite(), draws.samples());
        }
        let mut noise = Generator::new(draws.seed(), sort as u64);
        let sd = probe.items.first().map_or(0.0, |item| item.reading.own_error());
        let pairs: Vec<(f64, f64)> = sample
            .values
            .iter()
            .zip(&opens.values)
            .map(|(read, opens)| (read + sd * quantile(noise.unit()), *opens))
            .filter(|(read, opens)| read.is_finite() && opens.is_finite())
            .collect();
        let share = explained(&pairs, &mut noise);
        if share > 0.01 {
            out.push((sort, share));
        }
    }
    out.order_by(|(a, x), (b, y)| y.total_cmp(x).then(a.cmp(b)));
    out.truncate(3);
    out
}

/// Share of the second's variance that bins of the first explain, less what they explain of it shuffled.
fn explained(pairs: &[(f64, f64)], noise: &mut Generator) -> f64 {
    let n = pairs.len();
    if n < 4 * BINS {
        return 0.0;
    }
    let mut sorted = pairs.to_vec();
    sorted.order_by(|a, b| a.0.total_cmp(&b.0));
    let mean = pairs.iter().map(|(_, y)| y).sum::<f64>() / n as f64;
    let all: f64 = pairs.iter().map(|(_, y)| (y - mean) * (y - mean)).sum();
    if all <= 0.0 {
        return 0.0;
    }
    let mut order: Vec<f64> = sorted.iter().map(|(_, y)| *y).collect();
    let between = |of: &[f64]| -> f64 {
        of.chunks(n.div_ceil(BINS))
            .map(|bin| {
                let middle = bin.iter().sum::<f64>() / bin.len() as f64;
                (middle - mean) * (middle - mean) * bin.len() as f64
            })
            .sum()
    };
    let told = between(&order);
    let mut chance = 0.0;
    for _ in 0..SHUFFLES {
        noise.shuffle(&mut order);
        chance += between(&order) / SHUFFLES as f64;
    }
    ((told - chance) / all).max(0.0)
}
