//! Losses in a pipe or hose: wall friction in all regimes, and what is fitted in, whose coefficient always travels with
//! its own bore.
//!
//! The friction is held as a multiple of what laminar flow of the same Reynolds number would have:
//! `f = 64/Re * ratio`. The ratio is 1 in laminar flow and never infinite, so that the loss
//! `128 mu L q ratio / (pi D4)` has its exact laminar limit, and a slope, at no flow.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::water::Water;
use super::{Loss, QuadraticLoss};
use crate::simd::{Real, lanes};

/// Friction over the laminar friction at the same Reynolds number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverLaminar<L> {
    /// `f Re / 64`.
    pub ratio: L,
    /// Its slope over the Reynolds number.
    pub gradient: L,
}

/// Below this Reynolds number Churchill's ratio differs from 1 by less than the last binary digit.
pub const LAMINAR_BELOW: f64 = 700.0;

/// Churchill's friction over the laminar one, `[1 + (Re/8)^12 (A+B)^-1.5]^(1/12)`, for a Reynolds number from 0 up and a
/// roughness over the bore.
///
/// Churchill, Chem. Eng. 84(24) (1977) 91: `f = 8 [(8/Re)^12 + (A+B)^-1.5]^(1/12)`,
/// `A = [2.457 ln(1/((7/Re)^0.9 + 0.27 e))]^16`, `B = (37530/Re)^16`. Within 3 to 5 % of Colebrook in
/// turbulent flow; from 2300 to 4000 nature itself is undecided.
///
/// The hottest law of the program: powers 12 and 16 by squaring, the eighth root by square roots, and
/// the twelfth root by its series where laminar friction is a small correction.
#[inline]
pub fn over_laminar<L: Real>(re: L, relative_roughness: L) -> OverLaminar<L> {
    if L::all(re.lt(L::splat(LAMINAR_BELOW))) {
        return OverLaminar { ratio: L::one(), gradient: L::zero() };
    }
    // Draws that are laminar beside turbulent ones: the ratio at 1 is that at any lower number.
    let re = re.max(L::one());
    turbulent(re, Wall::new(re, relative_roughness).here())
}

/// The wall's part of Churchill's law at a Reynolds number that was worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wall<L> {
    /// 1/Re.
    inverse: L,
    /// `(7/Re)^0.9`.
    smooth: L,
    /// That and 0.27 of the relative roughness, and its logarithm.
    both: L,
    log: L,
    inverse_both: L,
}

lanes! {
    Wall { inverse, smooth, both, log, inverse_both }
    Bore { diameter, relative_roughness, rib, head, reynolds, laminar, wall }
}

/// Within this much of a Reynolds number that was worked out series stand in for powers and logarithm: off by 1e-10.
const NEAR: f64 = 0.04;

impl<L: Real> Wall<L> {
    fn new(re: L, relative_roughness: L) -> Self {
        // 0.9 ln 7.
        let smooth = (re.ln() * -0.9 + 1.751_319_134_149_782).exp();
        let wall = smooth + relative_roughness * 0.27;
        Self { inverse: L::one() / re, smooth, both: wall, log: wall.ln(), inverse_both: L::one() / wall }
    }
    fn here(&self) -> (L, L, L) {
        (self.log, self.both, self.smooth)
    }
    /// Logarithm and all that stands in it, and `(7/Re)^0.9`, at a number beside it; none where that is too far away in
    /// any draw.
    fn near(&self, re: L) -> Option<(L, L, L)> {
        let d = re * self.inverse - 1.0;
        if !L::all(d.abs().lt(L::splat(NEAR))) {
            return None;
        }
        // (1 + d)^-0.9 and ln(1 + y).
        let mut power = L::one();
        for term in (1..=6_u32).rev() {
            power = L::one() - d * power * ((0.9 + f64::from(term - 1)) / f64::from(term));
        }
        let smooth = self.smooth * power;
        let more = smooth - self.smooth;
        let y = more * self.inverse_both;
        let mut log = L::zero();
        for term in (1..=6_u32).rev() {
            log = y * (L::splat(1.0 / f64::from(term)) - log);
        }
        Some((self.log + log, self.both + more, smooth))
    }
}

/// Churchill's law from the wall's part of it: the logarithm, what it is of, and `(7/Re)^0.9`. Few quotients: they are
/// what it costs.
fn turbulent<L: Real>(re: L, (log, wall, smooth): (L, L, L)) -> OverLaminar<L> {
    let inverse = L::one() / re;
    let p = log * -2.457;
    let (p2, b) = (p * p, inverse * 37_530.0);
    let (p4, b2) = (p2 * p2, b * b);
    let (p8, b4) = (p4 * p4, b2 * b2);
    let (p15, b8) = (p8 * p4 * p2 * p, b4 * b4);
    let (a, b) = (p15 * p, b8 * b8);
    let sum = a + b;
    // d(A+B)/dRe times Re, times what the logarithm is of.
    let rise = p15 * smooth * (16.0 * 2.457 * 0.9) - b * wall * 16.0;
    let (z, slow) = (re * 0.125, inverse * 8.0);
    let slow2 = slow * slow;
    let slow4 = slow2 * slow2;
    let root = sum.sqrt();
    // The twelfth power of laminar over turbulent friction.
    let laminar = sum * root * (slow4 * slow4 * slow4);
    let ratio = if L::all(laminar.lt(L::splat(1e-4))) {
        let series = ((laminar * (253.0 / 10_368.0) - 11.0 / 288.0) * laminar + 1.0 / 12.0) * laminar + 1.0;
        z / root.sqrt().sqrt() * series
    } else {
        ((L::one() / laminar + 1.0).ln() / 12.0).exp()
    };
    let all = wall * sum;
    let gradient = ratio * inverse * (all - rise * 0.125) / (all * (laminar + 1.0));
    OverLaminar { ratio, gradient }
}

/// Darcy factor of a ribbed (annular or helical) bore, whatever the Reynolds number.
///
/// Hawthorne & von Helms, Product Engineering, 10 June 1963, 98: every rib is a Borda–Carnot expansion of
/// a jet that spreads 0.219 pitches a side: `(D/s) (1 - (D/(D + 0.438 s))²)²`. `bore` D is the smallest bore and
/// `pitch` s the distance of ribs, both m above 0. Doubt ±40 %.
pub fn ribbed<L: Real>(bore: L, pitch: L) -> L {
    let left = bore / (bore + pitch * 0.438);
    bore / pitch * (L::one() - left.squared()).squared()
}

/// A bore with water in it: what does not depend on the flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore<L> {
    /// Inside diameter, m.
    pub diameter: L,
    /// Roughness over diameter.
    pub relative_roughness: L,
    /// Least Darcy factor of a ribbed wall, see [`ribbed`].
    pub rib: Option<L>,
    /// One velocity head, Pa per (m3/s)2.
    pub head: L,
    /// Reynolds number per m3/s.
    pub reynolds: L,
    /// Laminar friction of one bore of length, Pa per m3/s: `128 mu / (pi D3)`.
    pub laminar: L,
    /// Where friction was worked out of late, for [`Self::beside`].
    wall: Option<Wall<L>>,
}

impl<L: Real> Bore<L> {
    /// A bore in m, above 0, its roughness over it, 0 up, and its least Darcy factor where it is ribbed.
    pub fn new(diameter: L, relative_roughness: L, rib: Option<L>, water: &Water<L>) -> Self {
        let area = diameter.squared() * (PI / 4.0);
        Self {
            diameter,
            relative_roughness,
            rib,
            head: water.density / (area.squared() * 2.0),
            reynolds: water.density / (diameter * water.viscosity) * (4.0 / PI),
            laminar: water.viscosity / diameter.powi(3) * (128.0 / PI),
            wall: None,
        }
    }
    /// Friction at a flow, m3/s, of the wall as if it were not ribbed, and of the wall as it is, over laminar
    /// friction: [`over_laminar`], and the greater of it and [`ribbed`].
    #[inline]
    pub fn over_laminar(&self, q: L) -> (OverLaminar<L>, OverLaminar<L>) {
        let re = self.reynolds * q.abs();
        let plain = over_laminar(re, self.relative_roughness);
        (plain, self.own(re, plain))
    }
    /// The same to ten digits, beside flows that were asked for before.
    pub fn beside(&mut self, q: L) -> (OverLaminar<L>, OverLaminar<L>) {
        let re = self.reynolds * q.abs();
        let plain = if L::all(re.lt(L::splat(LAMINAR_BELOW))) {
            OverLaminar { ratio: L::one(), gradient: L::zero() }
        } else {
            let re = re.max(L::one());
            let near = self.wall.and_then(|wall| wall.near(re));
            let wall = near.unwrap_or_else(|| {
                let wall = Wall::new(re, self.relative_roughness);
                self.wall = Some(wall);
                wall.here()
            });
            turbulent(re, wall)
        };
        (plain, self.own(re, plain))
    }
    /// Friction of the wall as it is, from that of the wall as if it were not ribbed.
    fn own(&self, re: L, plain: OverLaminar<L>) -> OverLaminar<L> {
        self.rib.map_or(plain, |factor| {
            let gradient = factor / 64.0;
            let ratio = gradient * re;
            let ribs = ratio.gt(plain.ratio);
            OverLaminar {
                ratio: L::select(ribs, ratio, plain.ratio),
                gradient: L::select(ribs, gradient, plain.gradient),
            }
        })
    }
    /// Darcy–Weisbach loss of so many bores of length at a flow, m3/s, from friction over laminar friction at that
    /// flow.
    #[inline]
    pub fn friction(&self, q: L, over: &OverLaminar<L>, bores: L) -> Loss<L> {
        let a = self.laminar * bores;
        Loss {
            loss: a * q * over.ratio,
            gradient: a * (over.ratio + self.reynolds * q.abs() * over.gradient),
        }
    }
}

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
