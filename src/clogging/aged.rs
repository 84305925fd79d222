//! How a build ages, and what says that it is to be opened.

use std::sync::Arc;

use super::steps::{Moment, Step};
use crate::assumptions::A;
use crate::simd::{Lane, Real};

/// Longest time looked at, days.
pub const LONGEST: f64 = A::Horizon.value();
/// What says "open it".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Opened {
    /// Nothing in [`LONGEST`] days.
    Calendar,
    /// Clearing fell, and what one pass takes fell further than the flow: water slips past the media.
    SlipsPast,
    /// Clearing fell with the flow.
    LessFlow,
    /// Flow fell; slime in the hoses took half of it or more.
    Slime,
    /// Flow fell to dirt in the media.
    Dirt,
    /// The voids of that layer of the plan are full to the mark.
    Voids(usize),
}

/// How a build ages.
#[derive(Clone, Debug)]
pub struct Aged<L: Real> {
    /// Days until something says "open it"; [`LONGEST`] when nothing does.
    pub interval: L,
    /// What said so, per draw.
    pub opened: Vec<Opened>,
    /// On the day before it should be opened.
    pub dirty: Moment<L>,
    /// When it should be opened.
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

impl<L: Real> Lane for Dirt<'_, L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.feed.take(at, &from.feed, lane);
        self.volume.take(at, &from.volume, lane);
        self.carry_over.take(at, &from.carry_over, lane);
        Lane::take(&mut self.drift, at, &from.drift, lane);
    }
}

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
