//! The timeline itself: step after step, each as long as its error allows.

// Hot loops over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

use std::f64::consts::LN_2;

use super::aged::{self, Marks, Moment, Step};
use super::aged::{Aged, Dirt, LONGEST, Opened};
use super::capture::Capture;
use super::deposit::Deposit;
use crate::assumptions::A;
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::plan::Plan;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::{Build, Filter, Way};
use crate::simd::{Lane, Real, lanes};
use crate::uncertainty::uncertain::Draw;

/// First step, over the time in which the first layer would fill to the mark.
const FIRST_STEP: f64 = 0.06;
/// Most that the middle of a step may lie off the straight line between its ends, of clean flow and clearing. What
/// is left of it by a parabola through all three is of the next order.
const BEND: f64 = 2.5e-3;
/// Most that what a layer takes in a step may change from its start to its middle, over what fills it to the mark.
const TURN: f64 = 1.5e-3;
/// Steps after which the limits above give way, little by little: far more than any real build takes.
const PATIENCE: f64 = 250.0;
/// Most steps of a timeline: guards against a draw gone wrong.
const MOST_STEPS: f64 = 2000.0;
/// Steps kept of draws that have left.
const FORGETS: usize = 32;

#[derive(Clone, Debug)]
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
    fn new(
        plan: &'a Plan,
        filter: &Filter,
        build: &Build,
        vessel: &Vessel<L>,
        dirt: Dirt<'a, L>,
        draw: &dyn Draw<L>,
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
                let own = &plan.own;
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
        let bypass = self.dirt.stage.as_ref().map_or_else(L::zero, |stage| {
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

lanes! { Run<'a> { layers, capture, dirt, loose, growth, settling, decay, bulk, gap_full } }

/// How the network stood at the start of the last step, in its middle and at its end.
#[derive(Clone, Debug, Default)]
struct States<L> {
    start: Vec<L>,
    middle: Vec<L>,
    end: Vec<L>,
}

/// A timeline under way; each draw is as far in it as it is.
#[derive(Clone, Debug)]
pub struct Ageing<'a, L: Real> {
    run: Run<'a, L>,
    marks: Marks<L>,
    /// What came of it; of a draw that is not done, as it starts.
    pub aged: Aged<L>,
    pub done: L::Mask,
    horizon: f64,
    mass: Vec<L>,
    half: Vec<L>,
    next: Vec<L>,
    rates: Vec<L>,
    rates_then: Vec<L>,
    now: Moment<L>,
    /// The step to come, and the last one.
    days: L,
    days_before: L,
    /// Where in the last step the next starts: at its end, or where it did where it was too long.
    next_start: L,
    tries: L,
    states: States<L>,
    scratch: Vec<L>,
    taken: Vec<Step<L>>,
    /// The first of them that is of the draw which is there now.
    since: Vec<usize>,
    /// Deposit at the start of each step, of a single draw.
    starts: Vec<Vec<L>>,
    clean_flows: Vec<L>,
}

impl<'a, L: Real> Ageing<'a, L> {
    /// A vessel that was solved clean on its first day. None where nothing lies in it.
    pub fn new(
        plan: &'a Plan,
        (filter, build): (&Filter, &Build),
        vessel: &mut Vessel<L>,
        dirt: Dirt<'a, L>,
        draw: &dyn Draw<L>,
    ) -> Option<Self> {
        let count = plan.layers.len();
        if count == 0 {
            return None;
        }
        let drift = dirt.drift;
        let mut run = Run::new(plan, filter, build, vessel, dirt, draw);
        let (fall, full) = (draw.constant(A::OpenAtFall), draw.constant(A::OpenAtVoids));
        let none = vec![L::zero(); count];
        let mut rates = none.clone();
        if run.dirt.course.is_some() {
            run.solve(vessel, L::zero(), &none);
        }
        let clean = run.moment(L::zero(), vessel, &none, &mut rates);
        let all = run.capture.all().max(L::splat(1e-30));
        let aged = Aged {
            interval: L::splat(LONGEST),
            opened: vec![Opened::Calendar; L::WIDTH],
            dirty: clean,
            opening: clean,
            worst_bypass: clean.bypass,
            history: vec![clean],
            solved: L::mask(true),
            caught: none.clone(),
            shares: run.capture.takings.iter().map(|taking| *taking / all).collect(),
            settled: run.capture.settled / all,
            steps: Vec::new(),
        };
        let horizon = run.dirt.course.map_or(LONGEST, |course| course.until.max(1e-3));
        let mut days = L::splat(horizon / 8.0);
        for (layer, rate) in run.layers.iter().zip(&rates) {
            let to_full = layer.room(full) / (*rate * run.bulk).max(L::splat(1e-30));
            days = days.min(to_full * FIRST_STEP);
        }
        let mut start = Vec::new();
        vessel.network.copy_into(&mut start);
        Some(Self {
            run,
            marks: Marks { clean, fall, full, drift },
            aged,
            done: L::mask(false),
            horizon,
            half: none.clone(),
            next: none.clone(),
            rates_then: none.clone(),
            mass: none,
            rates,
            now: clean,
            days,
            days_before: days,
            next_start: L::one(),
            tries: L::zero(),
            states: States { middle: start.clone(), end: start.clone(), start },
            scratch: Vec::new(),
            taken: Vec::new(),
            since: vec![0; L::WIDTH],
            starts: Vec::new(),
            clean_flows: vessel.network.flows().to_vec(),
        })
    }

    /// One step, or a try at one, of every draw that is not done.
    pub fn step(&mut self, vessel: &mut Vessel<L>) {
        let Self { run, marks, aged, mass, half, next, rates, rates_then, states, .. } = self;
        let (now, one) = (self.now, L::one());
        let (clean, full) = (marks.clean, marks.full);
        let days = self.days.min(L::splat(self.horizon) - now.day).max(L::splat(1e-9));
        if !self.taken.is_empty() {
            let ahead = L::select(self.done, one, self.next_start + days / self.days_before * 0.5);
            let last = [&states.start, &states.middle, &states.end].map(Vec::as_slice);
            vessel.network.start_along(last, self.next_start);
            vessel.network.copy_into(&mut self.scratch);
            vessel.network.start_along(last, ahead);
            std::mem::swap(&mut states.start, &mut self.scratch);
        }
        run.grown(mass, rates, days * 0.5, half);
        let middle = now.day + days * 0.5;
        let mut good = run.solve(vessel, middle, half);
        let middle = run.moment(middle, vessel, half, rates_then);
        vessel.network.copy_into(&mut states.middle);
        vessel.network.start_beyond(&states.start);
        let turn = run.turn((rates, rates_then), half, days, full);
        run.grown(mass, rates_then, days, next);
        good = L::and(good, run.solve(vessel, now.day + days, next));
        let then = run.moment(now.day + days, vessel, next, rates_then);
        vessel.network.copy_into(&mut states.end);
        let step = Step { from: now, middle, to: then };
        let error = (step.bend(&clean) / BEND).max(turn / TURN).max(L::splat(1e-3));
        let tired = (self.tries * (run.dirt.step / PATIENCE) - 1.0).max(L::zero());
        let hurry = if L::any(tired.gt(L::zero())) { (tired * (8.0 * LN_2)).exp() } else { one };
        let error = error / (hurry * run.dirt.step);
        self.tries += one;
        let again = L::and(error.gt(one), L::and(days.gt(L::splat(1e-6)), L::not(self.done)));
        // A draw that cannot be solved stops here and is counted; it does not go on with a guess.
        good = L::and(good, self.tries.lt(L::splat(MOST_STEPS)));
        aged.solved = L::and(aged.solved, L::or(good, self.done));
        let done = L::or(self.done, L::not(aged.solved));
        let goes = L::not(L::or(again, done));
        vessel.stand(goes);
        (self.next_start, self.days_before) = (L::select(again, L::zero(), one), days);
        // What bends is of the second order.
        self.days = days * (one / error.sqrt() * 0.9).clamp(0.3, 2.0);
        let step = step.only(goes, now);
        let crossing = marks.crossing(&step);
        // A course is followed past the marks.
        let fed = L::and(run.dirt.feed.gt(L::zero()), L::mask(run.dirt.course.is_none()));
        let opens = L::and(L::and(goes, fed), crossing.at.le(one));
        let part = L::select(opens, crossing.at.min(one), one);
        let at = step.at(part);
        if L::any(opens) {
            aged.interval = L::select(opens, at.day, aged.interval);
            for (draw, opened) in aged.opened.iter_mut().enumerate() {
                if L::holds(opens, draw) {
                    *opened = marks.says(&crossing, &at, draw, || run.fullest_layer(next, draw));
                }
            }
        }
        let half_way = L::and(goes, step.middle.day.le(at.day));
        let worst = L::select(half_way, aged.worst_bypass.max(step.middle.bypass), aged.worst_bypass);
        aged.worst_bypass = L::select(goes, worst.max(at.bypass), worst);
        if L::WIDTH == 1 {
            aged.history.extend([step.at(part * 0.5), at].into_iter().filter(|_| L::any(goes)));
            self.starts.push(mass.clone());
        }
        for i in 0..mass.len() {
            mass[i] = L::select(goes, mass[i] + (next[i] - mass[i]) * part, mass[i]);
            rates[i] = L::select(goes, rates_then[i], rates[i]);
        }
        self.now = at;
        self.taken.push(step);
        let ends = L::and(goes, at.day.ge(L::splat(self.horizon - 1e-6)));
        self.done = L::or(done, L::or(opens, ends));
    }

    /// A draw that has just got to its end: what came of it stands in [`Self::aged`] then.
    pub fn leave(&mut self, draw: usize) {
        let aged = &mut self.aged;
        aged.opening.take(draw, &self.now, draw);
        aged.caught.take(draw, &self.mass, draw);
        let own = self.taken.get(self.since[draw]..).unwrap_or(&[]);
        let dirty = aged::before(own, aged.interval, self.marks.clean, draw);
        aged.dirty.take(draw, &dirty, draw);
    }

    /// The steps of draws that have left are forgotten.
    pub fn forget(&mut self) {
        let oldest = self.since.iter().copied().min().unwrap_or(0);
        if oldest > FORGETS {
            self.taken.drain(..oldest);
            self.since.iter_mut().for_each(|since| *since -= oldest);
        }
    }

    fn finish(mut self, vessel: &mut Vessel<L>) -> Aged<L> {
        let mut out = self.aged;
        if L::WIDTH == 1 {
            self.starts.push(self.mass);
            let (step, part) = aged::place(&self.taken, out.dirty.day);
            if let (Some(from), Some(to)) = (self.starts.get(step), self.starts.get(step + 1)) {
                // The last step ends where it was opened, the others where the next begins.
                let whole =
                    (self.starts.len() - 2 == step).then(|| (self.now.day, self.taken[step].from.day));
                let span = whole
                    .map_or(part, |(end, start)| (out.dirty.day - start) / (end - start).max(L::splat(1e-9)));
                let dirty: Vec<L> = from.iter().zip(to).map(|(a, b)| *a + (*b - *a) * span).collect();
                self.run.solve(vessel, out.dirty.day, &dirty);
            }
        }
        if self.run.dirt.course.is_some() {
            out.steps = self.taken;
        }
        out
    }
}

impl<L: Real> Lane for Ageing<'_, L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.run.take(at, &from.run, lane);
        self.marks.take(at, &from.marks, lane);
        self.aged.take(at, &from.aged, lane);
        self.mass.take(at, &from.mass, lane);
        self.rates.take(at, &from.rates, lane);
        self.now.take(at, &from.now, lane);
        self.days.take(at, &from.days, lane);
        self.days_before.take(at, &from.days_before, lane);
        self.next_start.take(at, &from.next_start, lane);
        self.tries.take(at, &from.tries, lane);
        self.states.start.take(at, &from.states.start, lane);
        self.states.middle.take(at, &from.states.middle, lane);
        self.states.end.take(at, &from.states.end, lane);
        self.since[at] = self.taken.len();
        self.done = L::and(self.done, L::not(L::only(at)));
    }
}

/// Ages a vessel that was solved clean, until something says "open it" or [`LONGEST`]. None where nothing lies in it.
/// The vessel is left as on the day before it should be opened in a single draw, anyhow in many.
pub fn age<L: Real>(
    plan: &Plan,
    filter: &Filter,
    build: &Build,
    vessel: &mut Vessel<L>,
    dirt: Dirt<'_, L>,
    draw: &dyn Draw<L>,
) -> Option<Aged<L>> {
    let mut ageing = Ageing::new(plan, (filter, build), vessel, dirt, draw)?;
    while !L::all(ageing.done) {
        ageing.step(vessel);
    }
    (0..L::WIDTH).for_each(|draw| ageing.leave(draw));
    if ageing.aged.opened.contains(&Opened::Dirt) {
        let mut slimed = vessel.clone();
        slimed.clean_again();
        slimed.network.restore_flows(&ageing.clean_flows);
        name_slime(plan, &mut ageing.aged, &mut slimed);
    }
    Some(ageing.finish(vessel))
}

/// Whose the fall of the flow was: with clean media and that day's slime, does half of it remain? `vessel` is clean.
pub fn name_slime<L: Real>(plan: &Plan, aged: &mut Aged<L>, vessel: &mut Vessel<L>) {
    let Some(clean) = aged.history.first().filter(|_| aged.opened.contains(&Opened::Dirt)) else { return };
    vessel.slime(aged.interval);
    vessel.solve(plan, Tolerance::FOLLOWING);
    let fell = vessel.flow(plan) / clean.flow;
    let at_opening = L::one() - (L::one() - aged.opening.flow / clean.flow) * 0.5;
    for (draw, opened) in aged.opened.iter_mut().enumerate() {
        if *opened == Opened::Dirt && fell.draw(draw) <= at_opening.draw(draw) {
            *opened = Opened::Slime;
        }
    }
}
