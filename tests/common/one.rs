//! One draw alone, as a nominal case is worked out.

use cansift::assumptions::A;
use cansift::uncertainty::distribution::Distribution;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::sampling::Draws;
use cansift::uncertainty::uncertain::{Draw, Spread};

/// One draw alone: the same numbers as that lane of a `Batch`.
#[derive(Clone, Copy, Debug)]
pub struct One<'a> {
    draws: &'a Draws,
    i: usize,
}

impl<'a> One<'a> {
    /// Draw `i`; past the end the last.
    pub fn new(draws: &'a Draws, i: usize) -> Self {
        Self { draws, i }
    }
}

impl Draw<f64> for One<'_> {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> f64 {
        if spread == Spread::Exact {
            return value;
        }
        self.draws.column(key).at(Distribution::new(value, spread), self.i)
    }
    fn constant(&self, which: A) -> f64 {
        let row = which.entry();
        if row.spread == Spread::Exact {
            return row.value;
        }
        self.draws.column(which.key()).at(Distribution::new(row.value, row.spread), self.i)
    }
}
