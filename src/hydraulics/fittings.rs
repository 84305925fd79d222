//! Losses of what is fitted into a hose. A loss coefficient always travels with its own bore.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use super::friction::{Bore, OverLaminar};
use super::{Loss, QuadraticLoss};
use crate::simd::Real;

/// Velocity heads lost, of one bore: `K = friction f + per_re / Re + fixed`, a bare number; the loss is
/// `K rho v²/2` with the speed in that bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heads<L> {
    /// Times the Darcy factor at that bore: a length in bores, for a hose.
    pub friction: L,
    /// Over the Reynolds number at that bore.
    pub per_re: L,
    /// At any flow.
    pub fixed: L,
}

impl<L: Real> Heads<L> {
    /// `k` velocity heads at any flow, 0 up.
    pub fn fixed(k: L) -> Self {
        Self { friction: L::zero(), per_re: L::zero(), fixed: k }
    }
    /// A length of wall, in bores, 0 up; its friction is that of the flow.
    pub fn wall(bores: L) -> Self {
        Self { friction: bores, per_re: L::zero(), fixed: L::zero() }
    }
    /// One after the other, on the same bore.
    pub fn then(self, other: Self) -> Self {
        Self {
            friction: self.friction + other.friction,
            per_re: self.per_re + other.per_re,
            fixed: self.fixed + other.fixed,
        }
    }
    /// So many in a row, `n` from 0 up.
    pub fn times(self, n: L) -> Self {
        Self { friction: self.friction * n, per_re: self.per_re * n, fixed: self.fixed * n }
    }
    /// The part without friction as `a q + b q |q|`, Pa at m3/s, in a bore.
    pub fn quad(&self, bore: &Bore<L>) -> QuadraticLoss<L> {
        QuadraticLoss { a: bore.head * self.per_re / bore.reynolds, b: bore.head * self.fixed }
    }
    /// Loss at any flow, m3/s, in a bore: [`Self::quad`] and Darcy–Weisbach's friction, which is given over laminar
    /// friction at that flow.
    pub fn at(&self, q: L, bore: &Bore<L>, over: &OverLaminar<L>) -> Loss<L> {
        self.quad(bore).at(q).then(bore.friction(q, over, self.friction))
    }
}

/// A bend or elbow of 90 degrees with radius over bore `r`; K on the bore that is bent.
///
/// Rennels & Hudson, Pipe Flow (2012): `f a r + (0.10 + 2.4 f) sin(a/2) + 6.6 f [sqrt(sin(a/2)) +
/// sin(a/2)] / r^(4a/pi)`, the friction of the arc included, plus 800/Re (Hooper 1981, Darby 2001). ±30 %.
/// `r` above 0; a mitre has about 0.5.
pub fn bend<L: Real>(r: L) -> Heads<L> {
    let sine = FRAC_PI_4.sin();
    Heads {
        friction: r * FRAC_PI_2 + 2.4 * sine + L::splat(6.6 * (sine.sqrt() + sine)) / r.squared(),
        per_re: L::splat(800.0),
        fixed: L::splat(0.10 * sine),
    }
}

/// Sudden contraction to `beta` (small bore over large, above 0 and up to 1, where it is 0); K on the small bore.
///
/// `0.0696 (1 - beta^5) jet² + (jet - 1)²`, `jet = 1 + 0.622 (1 - 0.215 beta² - 0.785 beta^5)`:
/// Rennels & Hudson, Pipe Flow (2012), sharp edge.
pub fn contraction<L: Real>(beta: L) -> L {
    let beta5 = beta.powi(5);
    let jet = L::one() + (L::one() - beta.squared() * 0.215 - beta5 * 0.785) * 0.622;
    (L::one() - beta5) * 0.0696 * jet.squared() + (jet - 1.0).squared()
}

/// Sudden expansion from `beta` (small bore over large, above 0 and up to 1, where it is 0): `(1 - beta²)²`; K on the
/// small bore. Borda–Carnot.
pub fn expansion<L: Real>(beta: L) -> L {
    (L::one() - beta.squared()).squared()
}

/// A narrower piece of a length in a hose, in by a contraction and out by an expansion; K on the small
/// bore, which must be no greater than the hose's. On the hose's bore it is that over `beta^4`. All lengths m.
pub fn reduced<L: Real>(bore: L, length: L, hose: L) -> Heads<L> {
    let beta = bore / hose;
    Heads::wall(length / bore).then(Heads::fixed(contraction(beta) + expansion(beta)))
}

/// The open ball of a tap of a bore in m; K on that bore.
///
/// Darby 2001, 3-K: `300/Re + 0.017 (1 + 3.5/D^0.3)`, D in inches, above 0.
pub fn ball<L: Real>(bore: L) -> Heads<L> {
    let inches = bore / 0.0254;
    let fixed = (L::splat(3.5) / inches.powf(L::splat(0.3)) + 1.0) * 0.017;
    Heads { friction: L::zero(), per_re: L::splat(300.0), fixed }
}

/// A slotted basket over the hose's end; K on the hose's bore: `factor (A_hose / A_open)2`.
///
/// `factor` is that of a thin sharp orifice, 1/Cd2 with Cd 0.61; `open` is the open share of its wall (above 0, up
/// to 1), `A_open = open pi diameter length`; hose bore, diameter and length m.
pub fn strainer<L: Real>(hose: L, diameter: L, length: L, open: L, factor: L) -> L {
    factor * (hose.squared() * 0.25 / (open * diameter * length)).squared()
}

/// A nozzle of a bore no greater than the hose's; K on the nozzle's bore is `factor`, a bare number: the lost energy
/// of the jet and 5 % for the nozzle (`A::JetFactor`). On the hose's bore it is that times `(D/d)^4`.
pub fn jet<L: Real>(factor: L) -> Heads<L> {
    Heads::fixed(factor)
}
