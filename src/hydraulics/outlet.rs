//! Where the water leaves. An open end and a nozzle are [`super::friction::Heads`]; a spray bar is marched.

// The knots are as many as their numbers.
#![allow(clippy::indexing_slicing)]

use std::any::Any;
use std::cell::RefCell;
use std::collections::VecDeque;
use std::f64::consts::PI;
use std::sync::{Arc, OnceLock};

use super::Loss;
use super::friction::Bore;
use super::water::Water;
use crate::simd::{Lane, Real};

/// A tube with holes, closed at its far end, with water in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar<L> {
    pub tube: Bore<L>,
    /// Number of holes.
    pub holes: u32,
    /// From hole to hole, in bores.
    pub pitch: L,
    /// Pressure that drives a flow through one hole, Pa per (m3/s)2: `rho / (2 Cd2 a2)`.
    pub hole: L,
    /// Pressure, Pa, below which a hole's flow is creeping and falls with the pressure, not its root.
    pub creeping: L,
    /// Share of the momentum that is recovered along the tube.
    pub recovery: L,
}

/// A spray bar marched from one pressure at its dead end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marched<L> {
    /// Flow at the inlet, m3/s.
    pub flow: L,
    /// Total pressure at the inlet above the tank's, Pa: what the bar loses.
    pub loss: L,
    /// Flow of the hole at the dead end, m3/s; it is the strongest unless friction wins.
    pub far: L,
    /// Flow of the hole at the inlet, m3/s.
    pub near: L,
    /// `d ln flow / d ln end pressure`.
    pub flow_exponent: L,
    /// `d ln loss / d ln end pressure`.
    pub loss_exponent: L,
}

impl<L: Real> Bar<L> {
    /// A bar of a tube, a number of holes of a diameter `hole`, and the distance `pitch` between them, m. `discharge`
    /// is the holes' coefficient (`A::HoleDischarge`), `recovery` the share of momentum regained
    /// (`A::MomentumRecovery`); both 0 to 1.
    pub fn new(
        tube: Bore<L>,
        holes: u32,
        hole: L,
        pitch: L,
        discharge: L,
        recovery: L,
        water: &Water<L>,
    ) -> Self {
        let jet = hole.squared() * discharge * (PI / 4.0);
        let fast = water.density / (jet.squared() * 2.0);
        let slow = water.viscosity * 24.0 / hole.powi(3);
        Self {
            tube,
            holes,
            pitch: pitch / tube.diameter,
            hole: fast,
            creeping: slow.squared() / fast,
            recovery,
        }
    }
    /// From a pressure above 0 at the dead end to the inlet.
    ///
    /// Each hole gives `Cd a sqrt(2 p / rho)`, and no more than the creeping `p r3 / (3 mu)` (Sampson 1891):
    /// that one only matters below some hundredths of a pascal, where a far hole may stand at a low flow.
    /// Going upstream past a hole the static pressure falls by `recovery rho (v_up2 - v_down2) / 2`
    /// (Acrivos, Babcock & Pigford 1959, from memory) and friction adds to it up to the next one.
    pub fn march(&self, end: L) -> Marched<L> {
        let (zero, one) = (L::zero(), L::one());
        // Slopes are over the logarithm of the end pressure.
        let (mut pressure, mut pressure_slope) = (end, end);
        let (mut flow, mut flow_slope) = (zero, zero);
        let (mut static_at, mut static_slope) = (zero, zero);
        let (mut near, mut far) = (zero, zero);
        let momentum = self.recovery * self.tube.head;
        let creeping = self.creeping.squared();
        let mut tube = self.tube;
        for i in 0..self.holes {
            if i > 0 {
                let (_, wall) = tube.beside(flow);
                let lost = tube.friction(flow, &wall, self.pitch);
                pressure = static_at + lost.loss;
                pressure_slope = static_slope + lost.gradient * flow_slope;
            }
            // The lesser of both laws, smoothly: off by (creeping / p)2 / 4 where p is the greater.
            let blunt = pressure.squared() + creeping;
            let conductance = one / (self.hole * blunt.sqrt()).sqrt();
            near = pressure * conductance;
            let near_slope = conductance * (creeping / blunt + 1.0) * 0.5 * pressure_slope;
            let (before, before_slope) = (flow.squared(), flow * flow_slope * 2.0);
            flow += near;
            flow_slope += near_slope;
            (static_at, static_slope) = (pressure, pressure_slope);
            if i == 0 {
                // The water that the end hole takes is brought to rest by the end itself.
                far = near;
            } else {
                let fall = momentum * (flow.squared() - before);
                let fall_slope = momentum * (flow * flow_slope * 2.0 - before_slope);
                // One hole cannot take more than there is: past half of it the rest dwindles.
                let left = pressure / fall.max(pressure * 0.5);
                let most = fall.gt(pressure * 0.5);
                static_at = L::select(most, pressure * left * 0.25, pressure - fall);
                static_slope = L::select(
                    most,
                    left * (pressure_slope * 2.0 - left * fall_slope) * 0.25,
                    pressure_slope - fall_slope,
                );
            }
        }
        let loss = static_at + self.tube.head * flow.squared();
        let loss_slope = static_slope + self.tube.head * flow * flow_slope * 2.0;
        Marched {
            flow,
            loss,
            far,
            near,
            flow_exponent: flow_slope * (one / flow),
            loss_exponent: loss_slope * (one / loss),
        }
    }
    /// The march that gives a flow above 0, by Newton's method in logarithms, from a first guess at the
    /// end's pressure; to a share `within` of the flow.
    fn solve(&self, flow: L, guess: L, within: f64) -> (L, Marched<L>) {
        let mut end = guess;
        let mut marched = self.march(end);
        for _ in 0..60 {
            let off = (flow / marched.flow).ln();
            // From a pressure far too high the march runs past all numbers.
            let off = L::select(off.finite(), off, L::splat(-f64::MAX));
            // A draw without a number, from a pump that is not sound, is never done otherwise.
            let done = L::or(off.abs().le(L::splat(within)), L::not(flow.finite()));
            if L::all(done) {
                break;
            }
            // A draw that is done waits for the others, so that it ends where it would alone.
            let step = off / marched.flow_exponent;
            let step = L::select(step.finite(), step.clamp(-20.0, 20.0), L::splat(-20.0)).exp();
            end = L::select(done, end, end * step);
            marched = self.march(end);
        }
        (end, marched)
    }
    /// Pressure at the dead end for a flow, were it the same at every hole.
    fn even(&self, flow: L) -> L {
        self.hole * (flow / f64::from(self.holes.max(1))).squared()
    }
    /// Loss at any flow, m3/s, as [`Self::march`] has it, solved exactly: slow; [`SprayBar`] is for use.
    pub fn exact(&self, q: L) -> Loss<L> {
        let size = q.abs().max(L::splat(1e-30));
        let (_, marched) = self.solve(size, self.even(size), 1e-12);
        let exponent = marched.loss_exponent / marched.flow_exponent;
        let per = marched.loss / size;
        Loss { loss: per * q, gradient: per * exponent }
    }
}

/// Knots of the interpolant, less one.
const STEPS: u32 = 96;
/// First knot over the largest flow.
pub const FROM: f64 = 1e-3;
/// Last knot over the largest flow.
pub const TO: f64 = 1.5;

/// The knot whose march the guesses for all others start from: half the largest flow, near where pumps work.
const ANCHOR: u32 = 82;

/// Least pressure at the dead end that is followed, Pa.
const LEAST_END: f64 = 1e-120;

/// What is known at a knot: logarithm of the loss, and its slope over the logarithm of the flow.
type Knot<L> = (L, L);

/// A bar marched at many flows, each when it is first asked for: a timeline visits a few of them.
#[derive(Debug, PartialEq)]
struct Marches<L> {
    bar: Bar<L>,
    /// The largest flow, m3/s, at least a drop.
    largest: L,
    /// Pressure at the dead end at the anchor, and its slope there over the flow, both in logarithms.
    anchor: (L, L),
    /// From the first flow up. What a knot holds hangs on nothing but the bar and its place.
    knots: Box<[OnceLock<Knot<L>>]>,
}

/// A spray bar ready for use: its march at many flows, and a smooth curve through them.
///
/// Between knots it is a cubic in logarithms with the march's own slopes, good to 1e-4; beyond them it
/// goes on with the power of the last knot. Value and slope are continuous.
#[derive(Clone, Debug, PartialEq)]
pub struct SprayBar<L> {
    /// Logarithm of the flow at the first knot.
    first: L,
    /// Of each draw, with its place there: those of a filter share them, wherever they are followed.
    marches: Vec<(Arc<Marches<L>>, usize)>,
}

impl<L: Real> Lane for SprayBar<L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.first.take(at, &from.first, lane);
        if let (Some(to), Some(from)) = (self.marches.get_mut(at), from.marches.get(lane)) {
            to.clone_from(from);
        }
    }
}

/// Bars kept by a thread: those of the simulated cases of a few filters.
const KEPT: usize = 256;

thread_local! {
    /// Bars worked out of late, newest last: the builds of a filter have the same bar in the same cases.
    static LATELY: RefCell<VecDeque<Box<dyn Any>>> = const { RefCell::new(VecDeque::new()) };
}

impl<L: Real> SprayBar<L> {
    /// Takes a bar at flows from a thousandth to one and a half times a largest flow, m3/s. The same bar again shares
    /// what was worked out of it.
    pub fn new(bar: &Bar<L>, largest_flow: L) -> Self {
        let largest = largest_flow.max(L::splat(1e-9));
        let same = |(asked, of, ready): &(Bar<L>, L, Self)| {
            (*asked == *bar && *of == largest).then(|| ready.clone())
        };
        let find =
            |kept: &VecDeque<Box<dyn Any>>| kept.iter().rev().find_map(|one| same(one.downcast_ref()?));
        if let Some(ready) = LATELY.with_borrow(find) {
            return ready;
        }
        let marches = Arc::new(Marches::new(bar, largest));
        let ready = Self {
            first: (largest * FROM).ln(),
            marches: (0..L::WIDTH).map(|draw| (Arc::clone(&marches), draw)).collect(),
        };
        LATELY.with_borrow_mut(|kept| {
            if kept.len() >= KEPT {
                kept.pop_front();
            }
            kept.push_back(Box::new((*bar, largest, ready.clone())));
        });
        ready
    }
    /// Are its marches the other's in every draw?
    pub fn shares(&self, other: &Self) -> bool {
        self.marches.iter().zip(&other.marches).all(|((a, i), (b, j))| Arc::ptr_eq(a, b) && i == j)
    }
    /// Loss at a flow, m3/s: odd, rising.
    #[inline]
    pub fn at(&self, q: L) -> Loss<L> {
        let per_step = f64::from(STEPS) / (TO / FROM).ln();
        let size = q.abs().max(L::splat(1e-30));
        let x = (size.ln() - self.first) * per_step;
        let kept = x.clamp(0.0, f64::from(STEPS));
        let step_of = |draw: usize| (kept.draw(draw) as u32).min(STEPS - 1);
        // Every draw stands between knots of its own; as a rule they share one or two pairs.
        let knot = |next: u32, part: fn(&Knot<L>) -> L| {
            L::gather(|draw| {
                let told = self.marches.get(draw).map(|(all, at)| (all.knot(step_of(draw) + next), *at));
                told.map_or(0.0, |(knot, at)| part(knot).draw(at))
            })
        };
        let t = kept - L::gather(|i| f64::from(step_of(i)));
        let (y0, m0) = (knot(0, |knot| knot.0), knot(0, |knot| knot.1));
        let (y1, m1) = (knot(1, |knot| knot.0), knot(1, |knot| knot.1));
        let (rise, m0, m1) = (y1 - y0, m0 / per_step, m1 / per_step);
        let (c2, c3) = (rise * 3.0 - m0 * 2.0 - m1, m0 + m1 - rise * 2.0);
        let inside = ((c3 * t + c2) * t + m0) * t + y0;
        // At both ends this is the end knot's own slope, and there it stays.
        let exponent = ((c3 * t * 3.0 + c2 * 2.0) * t + m0) * per_step;
        let per = (inside + exponent * (x - kept) / per_step).exp() / size;
        Loss { loss: per * q, gradient: per * exponent }
    }
}

impl<L: Real> Marches<L> {
    fn new(bar: &Bar<L>, largest: L) -> Self {
        let flow = Self::flow_at(largest, ANCHOR);
        // In a narrow tube with wide holes hardly anything reaches the far ones; where the pressure there falls out of
        // all numbers they are left out.
        let mut bar = *bar;
        let (mut end, mut marched) = bar.solve(flow, bar.even(flow), 2e-3);
        let bar_hole = bar.hole;
        let lost = |end: L, marched: &Marched<L>| {
            let told = L::and(flow.finite(), bar_hole.finite());
            L::and(told, L::or(end.lt(L::splat(LEAST_END)), L::not(marched.flow.finite())))
        };
        while bar.holes > 1 && L::any(lost(end, &marched)) {
            bar.holes /= 2;
            (end, marched) = bar.solve(flow, bar.even(flow), 2e-3);
        }
        let off = (flow / marched.flow).ln();
        let gradient = L::one() / marched.flow_exponent;
        Self {
            bar,
            largest,
            anchor: (end.ln() + off * gradient, gradient),
            knots: (0..=STEPS).map(|_| OnceLock::new()).collect(),
        }
    }
    fn flow_at(largest: L, knot: u32) -> L {
        largest * (FROM * (TO / FROM).powf(f64::from(knot) / f64::from(STEPS)))
    }
    fn knot(&self, at: u32) -> &Knot<L> {
        let at = at.min(STEPS);
        let march = || {
            let flow = Self::flow_at(self.largest, at);
            let away = (TO / FROM).ln() * (f64::from(at) - f64::from(ANCHOR)) / f64::from(STEPS);
            let guess = (self.anchor.0 + self.anchor.1 * away).exp();
            let (_, marched) = self.bar.solve(flow, guess, 2e-3);
            let exponent = marched.loss_exponent / marched.flow_exponent;
            (marched.loss.ln() + exponent * (flow / marched.flow).ln(), exponent)
        };
        self.knots[at as usize].get_or_init(march)
    }
}
