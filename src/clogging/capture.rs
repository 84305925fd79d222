//! What each pass takes out of the water: by layer, by the settling space, and in all.

// Hot loop over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

use crate::assumptions::A;
use crate::hydraulics::plan::Plan;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::Build;
use crate::simd::{Real, lanes};
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
    known: Vec<Option<Known<L>>>,
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

/// Within this much of a speed that was worked out, and of an exponent, series stand in for powers: off by 1e-9.
const NEAR: f64 = 0.02;

/// A speed that was worked out: itself, how much slower water is caught better, and what passes.
#[derive(Clone, Copy, Debug)]
struct Known<L> {
    speed: L,
    slower: L,
    passes: L,
}

lanes! {
    Known { speed, slower, passes }
    Capture { layers, known, exponent, settles, carry_over }
}

impl<L: Real> Known<L> {
    /// At a speed beside it; none where that is too far away in any draw.
    fn near(&self, speed: L, reach: L, m: L) -> Option<L> {
        let d = speed / self.speed - 1.0;
        let one = L::one();
        let last = (m + 3.0) * 0.25 * d;
        let series = one - (m + 2.0) * (d / 3.0) * (one - last);
        let slower = self.slower * (one - m * d * (one - (m + 1.0) * 0.5 * d * series));
        let x = reach * (slower - self.slower);
        let near = L::and(d.abs().lt(L::splat(NEAR)), x.abs().lt(L::splat(NEAR)));
        L::all(near).then(|| self.passes * (one - x * (one - x * 0.5 * (one - x / 3.0 * (one - x * 0.25)))))
    }
}

/// Share of what meets a layer that it takes: `1 - exp(-λL (u/5 mm/s)^-m)`; `reach` is λL, `speed` m/s, held to 1 to
/// 50 mm/s. Filtration of first order; the power of the speed is ours.
pub fn one_pass<L: Real>(reach: L, speed: L, exponent: L) -> L {
    L::one() - (-(reach * slower(speed, exponent))).exp()
}

fn slower<L: Real>(speed: L, exponent: L) -> L {
    (-(exponent * held(speed).ln())).exp()
}

fn held<L: Real>(speed: L) -> L {
    speed.clamp(SPEEDS.0, SPEEDS.1) / TOLD_AT
}

impl<L: Real> Capture<L> {
    /// The layers of a vessel as they lie. A settling space takes its share only where the plan has one.
    pub fn new(plan: &Plan, build: &Build, vessel: &Vessel<L>, carry_over: L, draw: &dyn Draw<L>) -> Self {
        let factor = draw.paired(A::CaptureFactor, &plan.own.capture);
        let layers = plan.layers.iter().zip(&vessel.lain).map(|(at, lain)| {
            let lambda = at.of(build).map_or_else(L::zero, |layer| draw.of(&layer.medium.capture));
            (lambda * factor * lain.free_depth, lain.area)
        });
        Self {
            layers: layers.collect(),
            known: vec![None; plan.layers.len()],
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
        for ((at, (reach, area)), known) in plan.layers.iter().zip(&self.layers).zip(&mut self.known) {
            let p = at.media;
            let speed = flows[p].abs() / *area;
            let near = known.and_then(|known| known.near(held(speed), *reach, self.exponent));
            self.penetration[p] = near.unwrap_or_else(|| {
                let slower = slower(speed, self.exponent);
                let passes = (-(*reach * slower)).exp();
                *known = Some(Known { speed: held(speed), slower, passes });
                passes
            });
        }
        self.carried.settling = L::zero();
        carry(&plan.walk, flows, &self.penetration, self.carry_over, self.settles, &mut self.carried);
        self.settled = self.carried.settling * self.settles;
        for (taking, at) in self.takings.iter_mut().zip(&plan.layers) {
            let p = at.media;
            // Next to nothing may run backward by the last digits: nothing is taken from it.
            let taken = flows[p] * self.carried.entering[p] * (L::one() - self.penetration[p]);
            *taking = taken.max(L::zero());
        }
        (L::one() - self.carried.at_pump).clamp(0.0, 1.0)
    }

    /// All that is taken, m3/s of inlet water cleared.
    pub fn all(&self) -> L {
        self.takings.iter().fold(self.settled, |sum, taking| sum + *taking)
    }
}
