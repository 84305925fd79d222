//! A figure as the user knows it: its nominal value, how it is known, and the spread that follows.

use std::f64::consts::FRAC_1_SQRT_2;

use super::key::Key;
pub use super::spread::{Provenance, Spread};
use crate::assumptions::A;
use crate::simd::Real;
use crate::units::Quantity;

#[derive(Clone, Debug, PartialEq)]
pub struct Uncertain<Q> {
    /// The nominal value.
    pub value: Q,
    pub known: Provenance,
    pub spread: Spread,
    pub key: Key,
}

impl<Q: Quantity> Uncertain<Q> {
    /// A figure without doubt.
    pub fn exact(value: Q, key: Key) -> Self {
        Self { value, known: Provenance::Assumed, spread: Spread::Exact, key }
    }
    /// The nominal SI value.
    pub fn si(&self) -> f64 {
        self.value.si()
    }
}

/// One draw of the doubt, or eight at once: gives every figure and constant its value.
pub trait Draw<L: Real> {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> L;
    fn constant(&self, which: A) -> L;
    /// Is everything at its nominal value?
    fn is_nominal(&self) -> bool {
        false
    }
    /// A constant of which half the doubt (of its logarithm's variance) is common to all filters and half that of
    /// one, `own`: neither are two filters wrong by the same factor, nor are they strangers.
    fn paired(&self, which: A, own: &Key) -> L {
        let row = which.entry();
        let common = self.constant(which);
        let own = self.spread(row.value, row.spread, own);
        (common * own / (row.value * row.value)).powf(L::splat(FRAC_1_SQRT_2)) * row.value
    }
}

impl<L: Real> dyn Draw<L> + '_ {
    /// The figure's value in this draw, SI.
    pub fn of<Q: Quantity>(&self, figure: &Uncertain<Q>) -> L {
        self.spread(figure.si(), figure.spread, &figure.key)
    }
}

/// The draw in which everything is at its nominal value.
#[derive(Clone, Copy, Debug, Default)]
pub struct Nominal;

impl<L: Real> Draw<L> for Nominal {
    fn is_nominal(&self) -> bool {
        true
    }
    fn spread(&self, value: f64, _: Spread, _: &Key) -> L {
        L::splat(value)
    }
    fn constant(&self, which: A) -> L {
        L::splat(which.entry().value)
    }
    fn paired(&self, which: A, _: &Key) -> L {
        L::splat(which.entry().value)
    }
}
