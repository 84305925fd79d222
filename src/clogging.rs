//! Dirt over time on the network, and what says "open it".
//!
//! Loose dirt either settles on the bed of the tank or is caught, pass after pass; what is caught decays in place. Its
//! wet volume resists in the media and shuts the narrow gaps beside pads; slime grows in the hoses. Water turns to
//! where it still can: the network is solved again each step.

// Hot loops over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

mod capture;
mod deposit;
mod steps;

pub use capture::{Capture, TOLD_AT, one_pass};
pub use deposit::{Deposit, Grown, resistance};
pub use steps::{Moment, Step, on};

use crate::assumptions::A;
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::plan::Plan;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::{Build, Filter, Way};
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// Longest time looked at, days.
pub const LONGEST: f64 = A::Horizon.value();
/// First step, over the time in which the first layer would fill to the mark.
const FIRST_STEP: f64 = 0.06;
/// Most that the middle of a step may lie off the straight line between its ends, of clean flow and clearing. What
/// is left of it by a parabola through all three is of the next order.
const BEND: f64 = 2.5e-3;
/// Most that what a layer takes in a step may change from its start to its middle, over what fills it to the mark.
const TURN: f64 = 1.5e-3;
/// Steps after which the limits above give way, little by little: far more than any real build takes.
const PATIENCE: usize = 250;
/// Most steps of a timeline: guards against a draw gone wrong.
const MOST_STEPS: usize = 2000;

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
#[derive(Clone, Copy, Debug)]
pub struct Dirt<'a, L> {
    /// Dry food, g a day.
    pub feed: L,
    /// Water of the tank, m3.
    pub volume: L,
    /// Part of untreated water that each passage lets through, for the finest mechanical stage where there is one.
    pub stage: Option<&'a [L]>,
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

struct Run<'a, L: Real> {
    plan: &'a Plan,
    layers: Vec<Deposit<L>>,
    capture: Capture<L>,
    dirt: Dirt<'a, L>,
    loose: L,
    growth: L,
    settling: L,
    decay: L,
    /// m3 of wet mulm in a gram of dry solids.
    bulk: L,
    /// Deposit at which an edge gap is nearly as shut as it gets.
    gap_full: L,
    /// Layer of each edge gap, in the vessel's order.
    beside: Vec<usize>,
    carried: Carried<L>,
}

impl<'a, L: Real> Run<'a, L> {
    fn new<D: Draw<L>>(
        plan: &'a Plan,
        filter: &Filter,
        build: &Build,
        vessel: &Vessel<L>,
        dirt: Dirt<'a, L>,
        draw: &D,
    ) -> Self {
        let mut capture = Capture::new(plan, build, vessel, dirt.carry_over, draw);
        capture.pass(plan, vessel.network.flows());
        let mut layers = Vec::with_capacity(plan.layers.len());
        let rising = filter.way == Way::Rising;
        let mut before = if rising { capture.settled } else { L::zero() };
        let mut settled_yet = rising;
        for (i, at) in plan.layers.iter().enumerate() {
            if at.tray.is_none() && !settled_yet {
                before += capture.settled;
                settled_yet = true;
            }
            let share_before = before / (before + capture.takings[i]).max(L::splat(1e-30));
            before += capture.takings[i];
            if let Some(layer) = at.of(build) {
                let lain = &vessel.lain[i];
                let own = &vessel.own;
                layers.push(Deposit::new(layer, filter.way, lain, share_before, at.media, own, draw));
            }
        }
        let beside = vessel.laws.edges.iter();
        let beside = beside.map(|(p, _)| plan.layers.iter().position(|at| at.slack == Some(*p)).unwrap_or(0));
        Self {
            plan,
            layers,
            dirt,
            loose: draw.constant(A::SolidsPerFeed),
            growth: draw.constant(A::GrowthPerFeed),
            settling: draw.constant(A::SettlingRate),
            decay: draw.constant(A::DirtDecay),
            // g/ml is 1e6 g/m3.
            bulk: L::one() / (draw.constant(A::SludgeDensity) * 1e6),
            gap_full: draw.constant(A::GapDeposit),
            beside: beside.collect(),
            capture,
            carried: Carried::new(plan.what.len()),
        }
    }

    /// How it stands with this deposit, once solved; `rates` are filled with what each layer holds back, g a day.
    fn moment(&mut self, day: L, vessel: &Vessel<L>, mass: &[L], rates: &mut [L]) -> Moment<L> {
        let flows = vessel.network.flows();
        let flow = vessel.flow(self.plan);
        let efficiency = self.capture.pass(self.plan, flows);
        let bypass = self.dirt.stage.map_or_else(L::zero, |stage| {
            carry(&self.plan.walk, flows, stage, self.dirt.carry_over, L::zero(), &mut self.carried);
            self.carried.at_pump.clamp(0.0, 1.0)
        });
        let cleared = efficiency * flow * 3600.0 / self.dirt.volume;
        let caught = cleared / (cleared + self.settling);
        let held_back = self.dirt.feed * (self.loose * caught + self.growth);
        let scale = held_back / self.capture.all().max(L::splat(1e-30));
        let mut fullest = L::zero();
        for (i, layer) in self.layers.iter().enumerate() {
            rates[i] = self.capture.takings[i] * scale;
            fullest = fullest.max(layer.fullness(mass[i] * self.bulk));
        }
        Moment { day, flow, efficiency, bypass, fullest }
    }

    /// Solves the network with this deposit on that day; the dirty flows stand in the vessel.
    fn solve(&self, vessel: &mut Vessel<L>, day: L, mass: &[L]) -> L::Mask {
        vessel.slime(self.dirt.course.map_or(day, |course| course.slime(day)));
        for (layer, m) in self.layers.iter().zip(mass) {
            let factors = layer.resistance(layer.share(*m * self.bulk));
            vessel.network.set_scaled(layer.media, vessel.clean[layer.media], factors);
        }
        for ((passage, edge), layer) in vessel.laws.edges.iter_mut().zip(&self.beside) {
            edge.fill(self.layers[*layer].share(mass[*layer] * self.bulk), self.gap_full);
            vessel.network.set_under(*passage);
        }
        vessel.solve(self.plan, Tolerance::FOLLOWING).solved
    }

    /// Deposit after a time at a rate, decay followed exactly.
    fn grown(&self, from: &[L], rates: &[L], days: L, to: &mut [L]) {
        let left = (-(self.decay * days)).exp();
        let gain = (L::one() - left) / self.decay;
        for ((to, from), rate) in to.iter_mut().zip(from).zip(rates) {
            *to = *from * left + *rate * gain;
        }
    }

    /// Greatest change of what a layer holds back, over what fills it to the mark or what it holds, if that is more.
    fn turn(&self, (rates, then): (&[L], &[L]), mass: &[L], days: L, mark: L) -> L {
        let mut most = L::zero();
        for (i, layer) in self.layers.iter().enumerate() {
            let room = layer.room(mark).max(mass[i] * self.bulk);
            most = most.max((then[i] - rates[i]).abs() * self.bulk / room);
        }
        most * days
    }

    fn fullest_layer(&self, mass: &[L], draw: usize) -> usize {
        let full = |i: usize| self.layers[i].fullness(mass[i] * self.bulk).draw(draw);
        (0..self.layers.len()).max_by(|a, b| full(*a).total_cmp(&full(*b))).unwrap_or(0)
    }
}

/// Ages a vessel that was solved clean, until something says "open it" or [`LONGEST`]. None where nothing lies in it.
/// The vessel is left as on the day before it should be opened in a single draw, anyhow in many.
pub fn age<L: Real, D: Draw<L>>(
    plan: &Plan,
    filter: &Filter,
    build: &Build,
    vessel: &mut Vessel<L>,
    dirt: Dirt<'_, L>,
    draw: &D,
) -> Option<Aged<L>> {
    let count = plan.layers.len();
    if count == 0 {
        return None;
    }
    let mut run = Run::new(plan, filter, build, vessel, dirt, draw);
    let (fall, full) = (draw.constant(A::OpenAtFall), draw.constant(A::OpenAtVoids));
    let none = vec![L::zero(); count];
    let (mut mass, mut half, mut next) = (none.clone(), none.clone(), none.clone());
    let (mut rates, mut rates_then) = (none.clone(), none.clone());
    if dirt.course.is_some() {
        run.solve(vessel, L::zero(), &mass);
    }
    let mut now = run.moment(L::zero(), vessel, &mass, &mut rates);
    let clean = now;
    let clean_flows = vessel.network.flows().to_vec();
    let all = run.capture.all().max(L::splat(1e-30));
    let shares: Vec<L> = run.capture.takings.iter().map(|taking| *taking / all).collect();
    let settled = run.capture.settled / all;
    let marks = steps::Marks { clean, fall, full, drift: dirt.drift };
    let mut out = Aged {
        interval: L::splat(LONGEST),
        opened: vec![Opened::Calendar; L::WIDTH],
        dirty: now,
        opening: now,
        worst_bypass: now.bypass,
        history: vec![now],
        solved: L::mask(true),
        caught: Vec::new(),
        shares,
        settled,
        steps: Vec::new(),
    };
    let horizon = dirt.course.map_or(LONGEST, |course| course.until.max(1e-3));
    // A course is followed past the marks.
    let fed = L::and(dirt.feed.gt(L::zero()), L::mask(dirt.course.is_none()));
    let mut days = L::splat(horizon / 8.0);
    for (layer, rate) in run.layers.iter().zip(&rates) {
        let to_full = layer.room(full) / (*rate * run.bulk).max(L::splat(1e-30));
        days = days.min(to_full * FIRST_STEP);
    }
    let mut done = L::mask(false);
    let mut taken: Vec<Step<L>> = Vec::with_capacity(32);
    let mut starts: Vec<Vec<L>> = Vec::new();
    // How the network stood at the start of the last step, in its middle and at its end, and where the next starts.
    let (mut at_start, mut at_middle, mut at_end) = (Vec::new(), Vec::new(), Vec::new());
    let mut start = Vec::new();
    let (mut next_start, mut days_before) = (L::one(), days);
    for tries in 0..MOST_STEPS {
        if L::all(done) {
            break;
        }
        days = days.min(L::splat(horizon) - now.day).max(L::splat(1e-9));
        if tries > 0 {
            let ahead = L::select(done, L::one(), next_start + days / days_before * 0.5);
            let states = [&at_start, &at_middle, &at_end].map(Vec::as_slice);
            vessel.network.start_along(states, next_start);
            vessel.network.copy_into(&mut start);
            vessel.network.start_along(states, ahead);
            std::mem::swap(&mut at_start, &mut start);
        } else {
            vessel.network.copy_into(&mut at_start);
        }
        run.grown(&mass, &rates, days * 0.5, &mut half);
        let middle = now.day + days * 0.5;
        let mut good = run.solve(vessel, middle, &half);
        let middle = run.moment(middle, vessel, &half, &mut rates_then);
        vessel.network.copy_into(&mut at_middle);
        vessel.network.start_beyond(&at_start);
        let turn = run.turn((&rates, &rates_then), &half, days, full);
        run.grown(&mass, &rates_then, days, &mut next);
        good = L::and(good, run.solve(vessel, now.day + days, &next));
        let then = run.moment(now.day + days, vessel, &next, &mut rates_then);
        vessel.network.copy_into(&mut at_end);
        let step = Step { from: now, middle, to: then };
        let error = (step.bend(&clean) / BEND).max(turn / TURN).max(L::splat(1e-3));
        let hurry = ((tries as f64 * dirt.step / PATIENCE as f64 - 1.0).max(0.0) * 8.0).exp2();
        let error = error / (hurry * dirt.step);
        let again = L::and(error.gt(L::one()), L::and(days.gt(L::splat(1e-6)), L::not(done)));
        // A draw that cannot be solved stops here and is counted; it does not go on with a guess.
        out.solved = L::and(out.solved, L::or(good, done));
        done = L::or(done, L::not(out.solved));
        let goes = L::not(L::or(again, done));
        (next_start, days_before) = (L::select(again, L::zero(), L::one()), days);
        // What bends is of the second order.
        days *= (L::one() / error.sqrt() * 0.9).clamp(0.3, 2.0);
        let step = step.only(goes, now);
        let crossing = marks.crossing(&step);
        let opens = L::and(L::and(goes, fed), crossing.at.le(L::one()));
        let part = L::select(opens, crossing.at.min(L::one()), L::one());
        let at = step.at(part);
        if L::any(opens) {
            out.interval = L::select(opens, at.day, out.interval);
            for (draw, opened) in out.opened.iter_mut().enumerate() {
                if L::holds(opens, draw) {
                    *opened = marks.says(&crossing, &at, draw, || run.fullest_layer(&next, draw));
                }
            }
        }
        let half_way = L::and(goes, step.middle.day.le(at.day));
        let worst = L::select(half_way, out.worst_bypass.max(step.middle.bypass), out.worst_bypass);
        out.worst_bypass = L::select(goes, worst.max(at.bypass), worst);
        if L::WIDTH == 1 {
            out.history.extend([step.at(part * 0.5), at].into_iter().filter(|_| L::any(goes)));
            starts.push(mass.clone());
        }
        for i in 0..count {
            mass[i] = L::select(goes, mass[i] + (next[i] - mass[i]) * part, mass[i]);
            rates[i] = L::select(goes, rates_then[i], rates[i]);
        }
        now = at;
        taken.push(step);
        done = L::or(done, L::or(opens, L::and(goes, now.day.ge(L::splat(horizon - 1e-6)))));
    }
    out.solved = L::and(out.solved, done);
    out.opening = now;
    out.dirty = steps::before(&taken, out.interval, clean);
    name_slime(&mut out, &clean, vessel, plan, &clean_flows);
    if L::WIDTH == 1 {
        starts.push(mass.clone());
        let (step, part) = steps::place(&taken, out.dirty.day);
        if let (Some(from), Some(to)) = (starts.get(step), starts.get(step + 1)) {
            // The last step ends where it was opened, the others where the next begins.
            let whole = (starts.len() - 2 == step).then(|| (now.day, taken[step].from.day));
            let span = whole
                .map_or(part, |(end, start)| (out.dirty.day - start) / (end - start).max(L::splat(1e-9)));
            let dirty: Vec<L> = from.iter().zip(to).map(|(a, b)| *a + (*b - *a) * span).collect();
            run.solve(vessel, out.dirty.day, &dirty);
        }
    }
    out.caught = mass;
    if dirt.course.is_some() {
        out.steps = taken;
    }
    Some(out)
}

/// Whose the fall of the flow was: with clean media and that day's slime, does half of it remain?
fn name_slime<L: Real>(
    out: &mut Aged<L>,
    clean: &Moment<L>,
    vessel: &mut Vessel<L>,
    plan: &Plan,
    clean_flows: &[L],
) {
    if !out.opened.contains(&Opened::Dirt) {
        return;
    }
    let mut slimed = vessel.clone();
    slimed.clean_again();
    slimed.network.restore_flows(clean_flows);
    slimed.slime(out.interval);
    slimed.solve(plan, Tolerance::FOLLOWING);
    let fell = slimed.flow(plan) / clean.flow;
    let at_opening = L::one() - (L::one() - out.opening.flow / clean.flow) * 0.5;
    for (draw, opened) in out.opened.iter_mut().enumerate() {
        if *opened == Opened::Dirt && fell.draw(draw) <= at_opening.draw(draw) {
            *opened = Opened::Slime;
        }
    }
}
