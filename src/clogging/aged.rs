//! How a build ages, and what says that it is to be opened.

use std::sync::Arc;

use crate::assumptions::A;
use crate::simd::{Lane, Real, lanes};

/// Longest time looked at, days.
pub const LONGEST: f64 = A::Horizon.value();
/// What says "open it".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opened {
    /// Nothing in [`LONGEST`] days.
    Calendar,
    /// Clearing fell, and what one pass takes fell further than the flow: water slips past the media.
    SlipsPast,
    LessFlow,
    /// Flow fell; slime in the hoses took half of it or more.
    Slime,
    Dirt,
    /// The voids of that layer of the plan are full to the mark.
    Voids(usize),
}

#[derive(Clone, Debug)]
pub struct Aged<L: Real> {
    /// Days until something says "open it"; [`LONGEST`] when nothing does.
    pub interval: L,
    /// What said so, per draw.
    pub opened: Vec<Opened>,
    /// On the day before it should be opened.
    pub dirty: Moment<L>,
    pub opening: Moment<L>,
    /// Greatest bypass up to that opening.
    pub worst_bypass: L,
    /// From day 0 to the opening.
    pub history: Vec<Moment<L>>,
    /// Draws in which the network was solved all along.
    pub solved: L::Mask,
    /// Deposit of each layer at the end, g dry.
    pub caught: Vec<L>,
    /// Share of each layer's clean takings in all, in the plan's order.
    pub shares: Vec<L>,
    /// Share taken by the settling space, clean.
    pub settled: L,
    /// What lies in between, of a course that was followed.
    pub steps: Vec<Step<L>>,
}

/// What ageing needs besides the vessel.
#[derive(Clone, Debug)]
pub struct Dirt<'a, L> {
    /// Dry food, g a day.
    pub feed: L,
    /// Water of the tank, m3.
    pub volume: L,
    /// Part of untreated water that each passage lets through, for the finest mechanical stage where there is one.
    pub stage: Option<Arc<[L]>>,
    /// Share of rim water that stays at the rim.
    pub carry_over: L,
    /// Times the error allowed to a step: 1, or less to test that it is small enough.
    pub step: f64,
    /// How it was kept, where it is followed whatever the marks say.
    pub course: Option<&'a Course<L>>,
    /// What the model's flow drifts by in a day, as a logarithm.
    pub drift: Option<L>,
}

/// How a filter was kept from the day its media were clean.
#[derive(Clone, Debug)]
pub struct Course<L> {
    /// Followed for so many days.
    pub until: f64,
    /// Days that slime had grown in the hoses when the media were clean.
    pub slimed: L,
    /// Days on which the hoses alone were brushed.
    pub brushed: Vec<f64>,
}

impl<L: Real> Course<L> {
    /// Days that slime has grown on that day.
    pub fn slime(&self, day: L) -> L {
        self.brushed.iter().fold(self.slimed + day, |age, brushed| {
            L::select(day.ge(L::splat(*brushed)), day - *brushed, age)
        })
    }
}

lanes! { Dirt<'a> { feed, volume, carry_over, drift } }

impl<L: Real> Lane for Aged<L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.interval.take(at, &from.interval, lane);
        self.dirty.take(at, &from.dirty, lane);
        self.opening.take(at, &from.opening, lane);
        self.worst_bypass.take(at, &from.worst_bypass, lane);
        self.caught.take(at, &from.caught, lane);
        if let (Some(to), Some(from)) = (self.opened.get_mut(at), from.opened.get(lane)) {
            *to = *from;
        }
        let here = L::only(at);
        let solved = L::and(here, L::mask(L::holds(from.solved, lane)));
        self.solved = L::or(L::and(self.solved, L::not(here)), solved);
    }
}

#[derive(Clone, Copy, Debug)]
pub struct Moment<L> {
    pub day: L,
    /// Delivered flow, m3/s.
    pub flow: L,
    pub efficiency: L,
    /// Share of the water that crosses no layer of the finest mechanical stage; 0 where there is none.
    pub bypass: L,
    pub fullest: L,
}

lanes! {
    Moment { day, flow, efficiency, bypass, fullest }
    Marks { clean, fall, full, drift }
}

impl<L: Real> Moment<L> {
    /// Flow that crosses the finest mechanical stage, m3/s.
    pub fn filtered(&self) -> L {
        self.flow * (L::one() - self.bypass)
    }
    /// Water freed of dirt, m3/s.
    pub fn cleared(&self) -> L {
        self.flow * self.efficiency
    }
    fn each(a: &Self, b: &Self, f: impl Fn(L, L) -> L) -> Self {
        Self {
            day: f(a.day, b.day),
            flow: f(a.flow, b.flow),
            efficiency: f(a.efficiency, b.efficiency),
            bypass: f(a.bypass, b.bypass),
            fullest: f(a.fullest, b.fullest),
        }
    }
}

/// One step: its ends and its middle.
#[derive(Clone, Copy, Debug)]
pub struct Step<L> {
    pub from: Moment<L>,
    pub middle: Moment<L>,
    pub to: Moment<L>,
}

impl<L: Real> Step<L> {
    /// At a part of it, by parabola.
    pub fn at(&self, x: L) -> Moment<L> {
        let bent = Moment::each(&self.from, &self.to, |a, b| (a + b) * 0.5);
        let bent = Moment::each(&self.middle, &bent, |m, straight| (m - straight) * x * (L::one() - x) * 4.0);
        let straight = Moment::each(&self.from, &self.to, |a, b| a + (b - a) * x);
        Moment::each(&straight, &bent, |a, b| a + b)
    }
    /// How far the middle lies off the straight line, of clean flow and clearing, of bypass and of the voids.
    pub fn bend(&self, clean: &Moment<L>) -> L {
        let off = |f: fn(&Moment<L>) -> L| (f(&self.middle) - (f(&self.from) + f(&self.to)) * 0.5).abs();
        let flow = off(|m| m.flow) / clean.flow;
        // What clears next to nothing is not followed to the last digit of it.
        let cleared = off(Moment::cleared) / clean.cleared().max(clean.flow * 1e-6);
        flow.max(cleared).max(off(|m| m.bypass) * 1.5)
    }
    /// Draws that do not go on stay where they were.
    pub fn only(&self, goes: L::Mask, now: Moment<L>) -> Self {
        let keep = |m: &Moment<L>| Moment::each(m, &now, |there, here| L::select(goes, there, here));
        Self { from: self.from, middle: keep(&self.middle), to: keep(&self.to) }
    }
}

/// What is held against the marks.
#[derive(Clone, Copy, Debug)]
pub struct Marks<L> {
    pub clean: Moment<L>,
    /// Clearing or flow over clean at which to open.
    pub fall: L,
    /// Share of a layer's voids.
    pub full: L,
    /// What the flow drifts by in a day beside the model, as a logarithm.
    pub drift: Option<L>,
}

/// Where in a step the first mark is met.
#[derive(Clone, Copy, Debug)]
pub struct Crossing<L> {
    /// Part of the step; above 1 where none is.
    pub at: L,
    cleared: L,
    full: L,
}

impl<L: Real> Marks<L> {
    /// Each mark as something that falls from above 0 to below.
    pub fn crossing(&self, step: &Step<L>) -> Crossing<L> {
        let clear = self.clean.cleared() * self.fall;
        let drifted = |x: L, m: &Moment<L>| self.drift.map_or(x, |drift| x * (drift * m.day).exp());
        let cleared = first_zero(step, |m| drifted(m.cleared(), m) - clear);
        let flow = first_zero(step, |m| drifted(m.flow, m) - self.clean.flow * self.fall);
        let full = first_zero(step, |m| self.full - m.fullest);
        Crossing { at: cleared.min(flow).min(full), cleared, full }
    }
    /// The name of what was met in a draw; a fall of flow counts as dirt until slime is asked about.
    pub fn says(
        &self,
        crossing: &Crossing<L>,
        at: &Moment<L>,
        draw: usize,
        fullest: impl FnOnce() -> usize,
    ) -> Opened {
        let first = crossing.at.draw(draw);
        if crossing.full.draw(draw) <= first {
            Opened::Voids(fullest())
        } else if crossing.cleared.draw(draw) <= first {
            let efficiency = (at.efficiency / self.clean.efficiency).draw(draw);
            let flow = (at.flow / self.clean.flow).draw(draw);
            if efficiency < flow { Opened::SlipsPast } else { Opened::LessFlow }
        } else {
            Opened::Dirt
        }
    }
}

/// Part of a step at which what falls meets 0, by parabola; 2 where it does not.
fn first_zero<L: Real>(step: &Step<L>, f: impl Fn(&Moment<L>) -> L) -> L {
    let (from, middle, to) = (f(&step.from), f(&step.middle), f(&step.to));
    let zero = L::zero();
    let (by_middle, by_end) = (middle.le(zero), to.le(zero));
    if !L::any(L::or(by_middle, by_end)) {
        return L::splat(2.0);
    }
    // The first root of `from + b x + a x²`, written so that no digits are lost; `from` is above 0, or it is there already.
    let bend = (middle - (from + to) * 0.5) * 4.0;
    let b = to - from + bend;
    let root = (b.squared() + bend * from * 4.0).max(zero).sqrt();
    let x = from * 2.0 / (root - b).max(L::splat(1e-300));
    let high = x.max(zero).min(L::select(by_middle, L::splat(0.5), L::one()));
    L::select(L::or(by_middle, by_end), high, L::splat(2.0))
}

/// The state of a draw a day before opening: clean if that is under a day, the last day if nothing opened it. The other
/// draws' are anyhow.
pub fn before<L: Real>(steps: &[Step<L>], interval: L, clean: Moment<L>, draw: usize) -> Moment<L> {
    let interval = interval.draw(draw);
    let day = if interval < LONGEST { (interval - 1.0).max(0.0) } else { LONGEST };
    let began = |step: &&Step<L>| {
        let from = step.from.day.draw(draw);
        from < day && step.to.day.draw(draw) > from
    };
    steps.iter().rev().find(began).map_or(clean, |step| {
        let span = step.to.day - step.from.day;
        step.at(((L::splat(day) - step.from.day) / span.max(L::splat(1e-30))).clamp(0.0, 1.0))
    })
}

/// Step and part of it in which a day lies, in the first draw.
pub fn place<L: Real>(steps: &[Step<L>], day: L) -> (usize, L) {
    let at = steps.iter().rposition(|step| step.from.day.draw(0) <= day.draw(0)).unwrap_or(0);
    let part = steps.get(at).map_or_else(L::zero, |step| {
        (day - step.from.day) / (step.to.day - step.from.day).max(L::splat(1e-9))
    });
    (at, part.clamp(0.0, 1.0))
}

/// The state on a day of steps that were followed; before the first and past the last the ends.
pub fn on<L: Real>(steps: &[Step<L>], day: f64) -> Option<Moment<L>> {
    let mut found = steps.first()?.from;
    for step in steps {
        let span = step.to.day - step.from.day;
        let into = (L::splat(day) - step.from.day) / span.max(L::splat(1e-12));
        // A draw that stood still in this step keeps what it had.
        let here = L::and(into.ge(L::zero()), span.gt(L::splat(1e-9)));
        let at = step.at(into.min(L::one()));
        found = Moment::each(&found, &at, |old, new| L::select(here, new, old));
    }
    Some(found)
}
