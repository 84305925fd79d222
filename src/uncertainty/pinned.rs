//! F64x8 draws in which one figure is held at one place of its spread.

use super::distribution::Distribution;
use super::key::Key;
use super::normal::quantile;
use super::sampling::{Batch, Draws};
use super::uncertain::{Draw, Spread};
use crate::assumptions::A;
use crate::simd::{F64x8, Real};

/// F64x8 draws, all alike in one figure.
#[derive(Clone, Debug)]
pub struct PinnedDraw<'a> {
    batch: Batch<'a>,
    key: &'a Key,
    place: (f64, f64),
}

impl<'a> PinnedDraw<'a> {
    /// The eight draws from `first` on, with the figure of that key at its `share` quantile, strictly between 0 and 1.
    pub fn new(draws: &'a Draws, first: usize, key: &'a Key, share: f64) -> Self {
        Self { batch: Batch::new(draws, first), key, place: (share, quantile(share)) }
    }
}

impl Draw<F64x8> for PinnedDraw<'_> {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> F64x8 {
        if key == self.key {
            F64x8::splat(Distribution::new(value, spread).at(self.place))
        } else {
            self.batch.spread(value, spread, key)
        }
    }
    fn constant(&self, which: A) -> F64x8 {
        if which.key() == self.key {
            F64x8::splat(Distribution::new(which.entry().value, which.entry().spread).at(self.place))
        } else {
            self.batch.constant(which)
        }
    }
}
