//! Whether the numbers of one kind change from the first to the last as the model lets them. Errors that they share
//! cancel in a change, so it shows what each number by itself, and all readings together, leave within their doubt.

use super::reading::{Reading, SLIPS};
use super::search::with;
use super::weights::{shares, worth};
use crate::uncertainty::normal::below;

/// Under so many rows' worth what the other readings say is too sharp for a tail: all rows count alike (ours).
const ENOUGH: f64 = 50.0;

pub(super) struct Runs<'a> {
    readings: &'a [Reading],
    /// Of each reading: the logarithm of its chance in each row, and the model's number.
    each: Vec<Vec<(f64, f64)>>,
}

impl<'a> Runs<'a> {
    pub(super) fn new(readings: &'a [Reading], rows: &[&[f64]]) -> Self {
        let mut each = vec![Vec::with_capacity(rows.len()); readings.len()];
        for row in rows {
            for ((reading, model), told) in with(readings, row).zip(&mut each) {
                told.push((reading.ln_chance(model, SLIPS), model.first().copied().unwrap_or(f64::NAN)));
            }
        }
        Self { readings, each }
    }

    /// The chance of a change as great, up or down, by what readings of other kinds say but those left out; 1 where
    /// there are not two.
    pub(super) fn chance(&self, kind: &[usize], without: &[usize]) -> f64 {
        let number = |i: usize| match (self.readings.get(i)?, self.each.get(i)?) {
            (Reading::Number { seen, sd }, told) if !without.contains(&i) => Some((seen, sd, told)),
            _ => None,
        };
        let mut own = kind.iter().filter_map(|i| number(*i));
        let ends = own.next().zip(own.next_back());
        let Some(((from, sd, first), (to, last_sd, last))) = ends else { return 1.0 };
        let mut logs = vec![0.0; first.len()];
        for (i, told) in self.each.iter().enumerate() {
            if !kind.contains(&i) && !without.contains(&i) {
                for (sum, (chance, _)) in logs.iter_mut().zip(told) {
                    *sum += chance;
                }
            }
        }
        let (mut shares, _) = shares(&logs);
        if worth(&shares) < ENOUGH {
            shares.fill(1.0 / first.len() as f64);
        }
        let (seen, sd) = (to - from, sd.hypot(*last_sd));
        let changes = first.iter().zip(last).map(|((_, a), (_, b))| b - a);
        let under = changes.zip(&shares).map(|(change, w)| w * below((seen - change) / sd)).sum::<f64>();
        (2.0 * under.min(1.0 - under)).min(1.0)
    }
}
