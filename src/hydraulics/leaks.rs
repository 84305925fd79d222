//! Ways past the media: gaps, holes; and the grids that carry trays.
//!
//! Slow water rubs along the walls, fast water loses its speed; the two are added, `dp = a q + b q²`.

use std::f64::consts::{LN_10, PI};

use super::QuadraticLoss;
use super::water::Water;
use crate::assumptions::A;
use crate::simd::{Real, lanes};
use crate::uncertainty::uncertain::Draw;

/// Entry and exit of a slit in a thin wall as a length of slot, in slot widths: 8/(3 pi), rounded, so that a
/// slot of no length is the slit q = pi h2 P dp/(32 mu) of Hasimoto 1958 (derived).
const SLIT_ENDS: f64 = 0.849;
/// A gap narrower than this is a draw's rounding, not a passage, m.
const LEAST_GAP: f64 = 1e-6;
/// A hole narrower than this likewise, m.
const LEAST_HOLE: f64 = 1e-5;
/// From this many hydraulic diameters on, a thick edge no longer helps the jet to contract.
const THICK: f64 = 2.4;

/// How far an orifice behaves as sharp, over its thickness in hydraulic diameters: 1.34962 for a sharp edge,
/// 0 from 2.4 on: `(2.4 - x) 10^-phi`, `phi = 0.25 + 0.535 x^8/(0.05 + x^8)` (Idelchik, Handbook of Hydraulic
/// Resistance, 3rd ed., diagram 4-15). Below 0 it counts as 0.
pub fn tau<L: Real>(x: L) -> L {
    if L::all(x.ge(L::splat(THICK))) {
        return L::zero();
    }
    let x = x.clamp(0.0, THICK);
    let x8 = x.powi(8);
    let phi = x8 / (x8 + 0.05) * 0.535 + 0.25;
    (L::splat(THICK) - x) * (phi * -LN_10).exp()
}

/// A long narrow gap: seal, joint, slack. `width` is its clear width, `perimeter` its run along the rim,
/// `length` its way along the water, all m.
///
/// `12 mu (L + 0.849 h) q/(P h³) + (tau + 1.5) rho q²/(2 (P h)²)`, Pa at m3/s:
/// plane Poiseuille flow with the ends of a slit, and the thick orifice of Idelchik: right to about 15 %;
/// the width dominates, by its third power. Turbulent friction inside is left out (below 5 % here).
///
/// A gap of no width is no passage: the caller leaves the edge out. A draw's width below 1 µm counts as 1 µm,
/// so that every figure stays finite; that passes less than 0.0001 l/h.
pub fn gap<L: Real>(width: L, perimeter: L, length: L, water: &Water<L>) -> QuadraticLoss<L> {
    let h = width.max(L::splat(LEAST_GAP));
    let k = tau(length / (h * 2.0)) + 1.5;
    QuadraticLoss {
        a: water.viscosity * 12.0 * (length + h * SLIT_ENDS) / (perimeter * h.powi(3)),
        b: k * water.density / ((perimeter * h).squared() * 2.0),
    }
}

/// The gap beside a pad of foam or fibre: mulm lodges in it and narrows it, and gives way under load.
///
/// `h_open = h (1 - S/(1 + (p h/(2 L yield))²))` with the plain [`gap`] of that width: the wall shear `p h/(2 L)` of a
/// slot (derived) against the adhesion of the mulm. As `p` rises the gap opens, so flow still rises with loss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosingGap<L> {
    /// Clear width as cut, m.
    pub width: L,
    /// Its run along the rim, m.
    pub perimeter: L,
    /// Its way along the water, the pad's standing depth, m.
    pub length: L,
    /// Wall shear at which the mulm gives way, Pa.
    pub yields: L,
    /// Most that the mulm shuts of it, with a pad full of dirt, a share: from [`Self::shut_of`].
    pub most: L,
    /// What it shuts now, a share.
    pub shut: L,
}

lanes! { ClosingGap { width, perimeter, length, yields, most, shut } }

impl<L: Real> ClosingGap<L> {
    /// Most of a gap of a width, m, that mulm shuts: `most/(1 + (h/wide)²)`; wide gaps stay open. Ours.
    pub fn shut_of(width: L, most: L, wide: L) -> L {
        most / (L::one() + (width / wide).squared())
    }
    /// With so much wet deposit over the volume of the pad beside that holds it: `S = most (1 - exp(-deposit/full))`.
    /// Ours.
    pub fn fill(&mut self, deposit: L, full: L) {
        self.shut = self.most * (L::one() - (-(deposit / full)).exp());
    }
    /// Clear width under a loss, m, and how fast it opens, m per Pa.
    fn open(&self, p: L) -> (L, L) {
        let per_pa = self.width / (self.length * self.yields * 2.0);
        let x = p.abs() * per_pa;
        let stays = L::one() / (L::one() + x.squared());
        let shut = self.shut * stays;
        (self.width * (L::one() - shut), self.width * shut * stays * x * per_pa * 2.0)
    }
    /// Flow under a loss of either sign, Pa: m3/s, and its slope, m3/s per Pa, above 0.
    pub fn flow(&self, p: L, water: &Water<L>) -> (L, L) {
        let (open, opens) = self.open(p);
        let h = open.max(L::splat(LEAST_GAP));
        let law = gap(h, self.perimeter, self.length, water);
        let q = law.flow(p);
        let along = L::one() / law.at(q).gradient;
        // How a and b fall with the width, times it: the edge's shape counts as fixed.
        let ends = h * SLIT_ENDS;
        let of_a = law.a * (L::splat(3.0) - ends / (self.length + ends));
        let wider = (of_a + law.b * q.abs() * 2.0) * q.abs() / h;
        (q, along * (L::one() + wider * opens))
    }
}

/// A round hole through a pad or a plate, `diameter` and `length` in m.
///
/// `mu (8 L/(pi r) + 3) q/r³ + (tau + 1.5) rho q²/(2 (pi r²)²)`, Pa at m3/s:
/// Sampson 1891 for the ends and Poiseuille for the length (their sum is right to 1 % in creeping flow: Dagan,
/// Weinbaum & Pfeffer 1982), and the thick orifice of Idelchik. A hole of no width is no passage: the caller
/// leaves it out; a draw's diameter below 10 µm counts as 10 µm.
pub fn hole<L: Real>(diameter: L, length: L, water: &Water<L>) -> QuadraticLoss<L> {
    let d = diameter.max(L::splat(LEAST_HOLE));
    let r = d * 0.5;
    let area = r.squared() * PI;
    QuadraticLoss {
        a: creeping(r, length, water),
        b: (tau(length / d) + 1.5) * water.density / (area.squared() * 2.0),
    }
}

/// The grid under a tray: `open` share of its `area`, m2, in round holes ([`A::GridHole`] through
/// [`A::GridPlate`]).
///
/// Perforated plate of Idelchik, diagram 4-15, `K = 0.5 (1-f)^0.75 + tau (1-f)^1.375 + (1-f)²` on the speed in the
/// holes, and the creeping term of its holes side by side: 15 % in turbulent flow, 30 % in slow. The open share
/// `f` is held between 0.01 and 0.99.
pub fn grid<L: Real>(open: L, area: L, water: &Water<L>, draw: &dyn Draw<L>) -> QuadraticLoss<L> {
    let (d, thickness) = (draw.constant(A::GridHole), draw.constant(A::GridPlate));
    let r = d * 0.5;
    let open = open.clamp(0.01, 0.99);
    let shut = L::one() - open;
    let through = open * area;
    let holes = through / (r.squared() * PI);
    // (1-f)^0.75 and (1-f)^1.375 by square roots: cheaper than two powers, and the same in every lane.
    let half = shut.sqrt();
    let quarter = half.sqrt();
    let eighth = quarter.sqrt();
    let k = half * quarter * 0.5 + tau(thickness / d) * shut * quarter * eighth + shut.squared();
    QuadraticLoss {
        a: creeping(r, thickness, water) / holes,
        b: k * water.density / (through.squared() * 2.0),
    }
}

/// Creeping flow through one hole of radius `r`, Pa per m3/s.
fn creeping<L: Real>(r: L, length: L, water: &Water<L>) -> L {
    water.viscosity * (length * (8.0 / PI) / r + 3.0) / r.powi(3)
}
