//! What each pass takes out of the water: by layer, by the settling space, and in all.

// Hot loop over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

use crate::assumptions::A;
use crate::hydraulics::plan::Plan;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::Build;
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// Speed of the water at which capture coefficients are told, m/s.
pub const TOLD_AT: f64 = 5e-3;
/// Speeds that the law is held to, m/s.
const SPEEDS: (f64, f64) = (1e-3, 50e-3);

/// One pass of a build in one draw.
#[derive(Clone, Debug)]
pub struct Capture<L> {
    /// Capture coefficient times depth of the free pad, and area, m2, of each layer in the plan's order.
    layers: Vec<(L, L)>,
    exponent: L,
    /// Share that the settling space takes of what enters it.
    settles: L,
    carry_over: L,
    penetration: Vec<L>,
    carried: Carried<L>,
    /// What each layer takes, m3/s of inlet water that it clears.
    pub takings: Vec<L>,
    /// What the settling space takes, likewise.
    pub settled: L,
}

/// Share of what meets a layer that it takes: `1 - exp(-λL (u/5 mm/s)^-m)`; `reach` is λL, `speed` m/s, held to 1 to
/// 50 mm/s. Filtration of first order; the power of the speed is ours.
pub fn one_pass<L: Real>(reach: L, speed: L, exponent: L) -> L {
    L::one() - (-(reach * slower(speed, exponent))).exp()
}

fn slower<L: Real>(speed: L, exponent: L) -> L {
    let speed = speed.clamp(SPEEDS.0, SPEEDS.1) / TOLD_AT;
    (-(exponent * speed.ln())).exp()
}

impl<L: Real> Capture<L> {
    /// The layers of a vessel as they lie. A settling space takes its share only where the plan has one.
    pub fn new<D: Draw<L>>(plan: &Plan, build: &Build, vessel: &Vessel<L>, carry_over: L, draw: &D) -> Self {
        let factor = draw.paired(A::CaptureFactor, &vessel.own.capture);
        let layers = plan.layers.iter().zip(&vessel.lain).map(|(at, lain)| {
            let lambda = at.of(build).map_or_else(L::zero, |layer| draw.of(&layer.medium.capture));
            (lambda * factor * lain.free_depth, lain.area)
        });
        Self {
            layers: layers.collect(),
            exponent: draw.constant(A::CaptureExponent),
            settles: draw.constant(A::SettledShare),
            carry_over,
            penetration: vec![L::one(); plan.what.len()],
            carried: Carried::new(plan.what.len()),
            takings: vec![L::zero(); plan.layers.len()],
            settled: L::zero(),
        }
    }

    /// Takes one pass on these flows; the share of what comes in that does not come out again comes back.
    pub fn pass(&mut self, plan: &Plan, flows: &[L]) -> L {
        for (at, (reach, area)) in plan.layers.iter().zip(&self.layers) {
            let p = at.media;
            self.penetration[p] = (-(*reach * slower(flows[p].abs() / *area, self.exponent))).exp();
        }
        self.carried.settling = L::zero();
        carry(&plan.walk, flows, &self.penetration, self.carry_over, self.settles, &mut self.carried);
        self.settled = self.carried.settling * self.settles;
        for (taking, at) in self.takings.iter_mut().zip(&plan.layers) {
            let p = at.media;
            *taking = flows[p] * self.carried.entering[p] * (L::one() - self.penetration[p]);
        }
        (L::one() - self.carried.at_pump).clamp(0.0, 1.0)
    }

    /// All that is taken, m3/s of inlet water cleared.
    pub fn all(&self) -> L {
        self.takings.iter().fold(self.settled, |sum, taking| sum + *taking)
    }
}
