//! Ways past the media: gaps, holes; and the grids that carry trays.
//!
//! Slow water rubs along the walls, fast water loses its speed; the two are added, `dp = a q + b q²`.

use std::f64::consts::{LN_10, PI};

use super::QuadraticLoss;
use super::water::Water;
use crate::assumptions::A;
use crate::simd::Real;
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
pub fn grid<L: Real, D: Draw<L>>(open: L, area: L, water: &Water<L>, draw: &D) -> QuadraticLoss<L> {
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

#[cfg(test)]
mod tests {
    use super::*;

    const WATER: Water<f64> = Water { density: 997.045, viscosity: 8.899_97e-4 };

    #[test]
    fn a_gap_of_no_width_stays_finite_and_passes_nothing() {
        let shut = gap(0.0, 0.55, 0.005, &WATER);
        assert!(shut.a.is_finite() && shut.b.is_finite());
        assert!(crate::units::litres_an_hour(shut.flow(1000.0)) < 1e-4);
        let pin = hole(0.0, 0.04, &WATER);
        assert!(pin.a.is_finite() && pin.b.is_finite() && pin.flow(1000.0) < 1e-10);
    }

    #[test]
    fn tau_runs_from_sharp_to_thick_without_a_step() {
        assert!((tau(0.0) - 2.4 * 10f64.powf(-0.25)).abs() < 1e-12);
        assert_eq!(tau(2.4), 0.0);
        assert_eq!(tau(1e30), 0.0);
        let mut last = tau(0.0);
        for i in 1..=240 {
            let now = tau(f64::from(i) * 0.01);
            assert!(now < last && last - now < 0.03, "{i}: {last} to {now}");
            last = now;
        }
    }
}
