//! How water finds its way: laws, the network method, and a build turned into a network.

pub mod beds;
mod bracketed;
pub mod friction;
pub mod hoses;
pub mod leaks;
pub mod network;
pub mod outlet;
pub mod outside;
pub mod plan;
pub mod pump;
pub mod transport;
pub mod vessel;
pub mod water;

use crate::simd::{Real, lanes};

/// Loss over a passage, Pa, and its slope, Pa per m3/s. Every law returns both, odd in flow and rising.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loss<L> {
    /// Loss, Pa.
    pub loss: L,
    /// Slope, Pa per m3/s.
    pub gradient: L,
}

lanes! { QuadraticLoss { a, b } }

impl<L: Real> Loss<L> {
    /// No loss at all.
    pub fn none() -> Self {
        Self { loss: L::zero(), gradient: L::zero() }
    }
    /// One after the other.
    pub fn then(self, other: Self) -> Self {
        Self { loss: self.loss + other.loss, gradient: self.gradient + other.gradient }
    }
}

/// A passage whose loss is `a q + b q |q|`, with `a` and `b` not negative: media, grids, gaps, holes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuadraticLoss<L> {
    /// Pa per m3/s.
    pub a: L,
    /// Pa per (m3/s)2.
    pub b: L,
}

impl<L: Real> QuadraticLoss<L> {
    /// Loss `a q + b q |q|`, Pa, and slope `a + 2 b |q|`, Pa per m3/s, at any flow, m3/s.
    #[inline]
    pub fn at(&self, q: L) -> Loss<L> {
        let bq = self.b * q.abs();
        Loss { loss: (self.a + bq) * q, gradient: self.a + bq * 2.0 }
    }
    /// The flow, m3/s, at a loss of either sign, Pa, without cancellation: `q = 2 dp / (a + sqrt(a2 + 4 b |dp|))`.
    /// `a` and `b` must not both be 0.
    #[inline]
    pub fn flow(&self, dp: L) -> L {
        dp * 2.0 / (self.a + (self.a.squared() + self.b * dp.abs() * 4.0).sqrt())
    }
    /// One after the other.
    pub fn then(&self, other: &Self) -> Self {
        Self { a: self.a + other.a, b: self.b + other.b }
    }
}
