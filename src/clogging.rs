//! Dirt over time on the network, and what says "open it".
//!
//! Dry solids reach the filter with the food; each pass a layer takes `1 - exp(-lambda L)` of what meets it,
//! the settlement space its share, and as water returns again and again the takings are scaled to the whole.
//! Deposit decays in place. Its wet volume narrows the media's pores (Kozeny–Carman with grown collectors, a
//! lower bound), never the gaps, so that water turns to the gaps: the network is solved again each step.

// Hot loops over arrays whose indices the plan made itself.
#![allow(clippy::indexing_slicing)]

use crate::assumptions::A;
use crate::hydraulics::beds::{pressed_void, strands};
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::plan::Plan;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::model::filter::{Build, Filter, Way};
use crate::model::medium::Bed;
use crate::model::tray::Layer;
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// Longest time looked at, days: 26 weeks, then open it by the calendar.
pub const LONGEST: f64 = 182.0;
/// Most of a layer's voids that one step may fill.
const FILL_STEP: f64 = 0.01;
/// Most that one step may move the bypass.
const BYPASS_STEP: f64 = 0.02;
/// Most that one step may move the flow, relative; also the filtered flow, which in a leaky build is small.
const FLOW_STEP: f64 = 0.04;
/// Longest step, days: decay is then still well followed.
const DAYS_STEP: f64 = 7.0;
/// Most steps of a timeline: far more than the limits above ask for; guards against a draw gone wrong.
const MOST_STEPS: usize = 4000;

/// What dirt does to one layer in one draw.
#[derive(Clone, Copy, Debug)]
struct Deposit<L> {
    media: usize,
    /// Bed volume that holds dirt, m3.
    holds: L,
    /// Void share.
    void: L,
    /// Share of the layer's resistance that lies in the part that holds dirt.
    part: L,
    /// Volume that fills first without raising resistance, m3: half the hollows of an egg-crate side.
    free: L,
    /// Strands or grains.
    strands: bool,
}

impl<L: Real> Deposit<L> {
    /// Deposit per bed volume, below 0.95 of the voids.
    fn deposit(&self, volume: L) -> L {
        ((volume - self.free).max(L::zero()) / self.holds).min(self.void * 0.95)
    }
    /// Resistance of the whole layer over clean.
    fn resistance(&self, deposit: L) -> L {
        L::one() + (resistance_ratio(self.strands, self.void, deposit) - 1.0) * self.part
    }
    fn fullness(&self, volume: L) -> L {
        self.deposit(volume) / self.void
    }
}

/// Resistance of a bed over clean: `((s0 + sigma)/s0)^p (e0/(e0 - sigma))^3`, `s0 = 1 - e0`, p = 1 for strands
/// and 4/3 for grains.
///
/// `void` e0 (above 0, below 1) and `deposit` sigma (wet volume over bed volume, 0 up and below `void`, where it
/// grows without bound; the caller holds it to 0.95 of the voids). Kozeny–Carman with grown collectors, of the family of
/// Ives 1970 and Tien & Payatakes 1979 (from memory): a lower bound.
pub fn resistance_ratio<L: Real>(strands: bool, void: L, deposit: L) -> L {
    let solid = L::one() - void;
    let grown = (solid + deposit) / solid;
    let grown = if strands { grown } else { grown.powf(L::splat(4.0 / 3.0)) };
    let open = void / (void - deposit);
    grown * open * open * open
}

/// One moment of the timeline.
#[derive(Clone, Copy, Debug)]
pub struct Moment<L> {
    /// Day.
    pub day: L,
    /// Delivered flow, m3/s.
    pub flow: L,
    /// Flow that crosses the stage, m3/s.
    pub worked: L,
    /// Share that does not.
    pub bypass: L,
    /// Fullest layer's voids.
    pub fullest: L,
}

/// How a build ages.
#[derive(Clone, Debug)]
pub struct Aged<L: Real> {
    /// Days until something says "open it"; [`LONGEST`] when nothing does.
    pub service: L,
    /// Filtered flow fell below the mark.
    pub by_flow: Vec<bool>,
    /// Index of the layer whose voids are full, per draw; none when it was not that.
    pub by_voids: Vec<Option<usize>>,
    /// On the day before it should be opened.
    pub at_service: Moment<L>,
    /// Greatest bypass up to service.
    pub worst_bypass: L,
    /// From day 0 to service.
    pub history: Vec<Moment<L>>,
    /// Draws in which the network was solved all along.
    pub solved: L::Mask,
    /// Deposit of each layer at the end, g dry.
    pub caught: Vec<L>,
    /// Share of each layer's clean takings in all, in the plan's order.
    pub shares: Vec<L>,
    /// Share taken by the settlement space, clean.
    pub settled: L,
}

/// What ageing needs besides the vessel.
#[derive(Clone, Copy, Debug)]
pub struct Dirt<'a, L> {
    /// Dry solids that reach the filter, g a day.
    pub solids: L,
    /// Part of untreated water that each passage lets through, for the finest mechanical stage.
    pub keep_stage: &'a [L],
    /// Share of rim water that stays at the rim.
    pub carry_over: L,
    /// Times the longest step allowed: 1, or less to test that the steps are small enough.
    pub step: f64,
}

struct Run<'a, L: Real> {
    plan: &'a Plan,
    layers: Vec<Deposit<L>>,
    keep_dirt: Vec<L>,
    dirt: Dirt<'a, L>,
    settled: L,
    decay: L,
    /// m3 of wet sludge in a gram of dry solids.
    bulk: L,
    carried: Carried<L>,
    takings: Vec<L>,
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
        let factor = draw.constant(A::CaptureFactor);
        let mut keep_dirt = vec![L::one(); plan.what.len()];
        for (at, lain) in plan.layers.iter().zip(&vessel.lain) {
            if let Some(layer) = at.of(build) {
                let lambda = draw.of(&layer.medium.capture) * factor;
                keep_dirt[at.media] = (-(lambda * lain.free_depth)).exp();
            }
        }
        let has_floor = filter.body.floor.is_some();
        let settled = if has_floor { draw.constant(A::SettledShare) } else { L::zero() };
        let mut run = Self {
            plan,
            layers: Vec::with_capacity(plan.layers.len()),
            keep_dirt,
            dirt,
            settled,
            decay: draw.constant(A::DirtDecay),
            // g/ml is 1e6 g/m3.
            bulk: L::one() / (draw.constant(A::SludgeDensity) * 1e6),
            carried: Carried::new(plan.what.len()),
            takings: vec![L::zero(); plan.layers.len()],
        };
        let settled = run.take(vessel.network.flows());
        let mut before = settled;
        for (i, at) in plan.layers.iter().enumerate() {
            let caught = run.takings[i];
            let share_before = before / (before + caught).max(L::splat(1e-30));
            before += caught;
            if let Some(layer) = at.of(build) {
                run.layers.push(silting(layer, filter.way, &vessel.lain[i], share_before, at.media, draw));
            }
        }
        run
    }

    /// Shares of all that is caught, by layer, on these flows; the settlement space's comes back.
    fn take(&mut self, flows: &[L]) -> L {
        carry(&self.plan.walk, flows, &self.keep_dirt, self.dirt.carry_over, self.settled, &mut self.carried);
        let here = self.carried.settling * self.settled;
        let mut all = here;
        for (taking, at) in self.takings.iter_mut().zip(&self.plan.layers) {
            let p = at.media;
            *taking = flows[p] * self.carried.entering[p] * (L::one() - self.keep_dirt[p]);
            all += *taking;
        }
        let scale = L::one() / all.max(L::splat(1e-30));
        for taking in &mut self.takings {
            *taking *= scale;
        }
        here * scale
    }

    fn moment(&mut self, day: L, vessel: &Vessel<L>, mass: &[L]) -> Moment<L> {
        let flows = vessel.network.flows();
        let nothing = L::zero();
        carry(&self.plan.walk, flows, self.dirt.keep_stage, self.dirt.carry_over, nothing, &mut self.carried);
        let bypass = self.carried.at_pump.clamp(0.0, 1.0);
        let flow = vessel.flow(self.plan);
        let fullest = self
            .layers
            .iter()
            .zip(mass)
            .fold(nothing, |most, (layer, m)| most.max(layer.fullness(*m * self.bulk)));
        Moment { day, flow, worked: flow * (L::one() - bypass), bypass, fullest }
    }

    /// Solves the network with this deposit; the dirty flows stand in the vessel.
    fn solve(&self, vessel: &mut Vessel<L>, mass: &[L]) -> L::Mask {
        for (layer, m) in self.layers.iter().zip(mass) {
            let factor = layer.resistance(layer.deposit(*m * self.bulk));
            vessel.network.set_scaled(layer.media, vessel.clean[layer.media], factor);
        }
        vessel.solve(self.plan, Tolerance::FOLLOWING).solved
    }

    /// Longest step in which no layer fills by more than its part.
    fn longest_step(&self, mass: &[L]) -> L {
        let mut days = L::splat(DAYS_STEP);
        for ((layer, m), share) in self.layers.iter().zip(mass).zip(&self.takings) {
            let net = (*share * self.dirt.solids - *m * self.decay).abs() * self.bulk;
            let room = layer.holds * layer.void * FILL_STEP;
            days = days.min(room / net.max(L::splat(1e-30)));
        }
        days * self.dirt.step
    }
}

fn silting<L: Real, D: Draw<L>>(
    layer: &Layer,
    way: Way,
    lain: &crate::model::lay::LayerGeometry<L>,
    share_before: L,
    media: usize,
    draw: &D,
) -> Deposit<L> {
    let dimpled = layer.faces_flow(way);
    let whole = lain.standing;
    let depth = if dimpled { whole * draw.constant(A::DimpledShare) } else { whole };
    // How far a face this fine blinds when nothing stands before it: 0 not at all, 1 wholly.
    let fine = match &layer.medium.bed {
        Bed::Foam { ppi, .. } => (draw.of(ppi) - 20.0) / 25.0,
        Bed::Fibre { diameter, .. } => (L::splat(100e-6) - draw.of(diameter)) / 60e-6,
        Bed::Pieces { .. } | Bed::Rings { .. } => L::zero(),
    }
    .clamp(0.0, 1.0);
    let blind = (depth - draw.constant(A::BlindDepth)).max(L::zero());
    let holds = depth - fine * (L::one() - share_before) * blind;
    let hollows = if dimpled { (whole - depth) * 0.5 } else { L::zero() };
    Deposit {
        media,
        holds: holds * lain.area,
        void: pressed_void(&layer.medium.bed, lain.pressed, draw),
        part: holds / depth,
        free: hollows * lain.area,
        strands: strands(&layer.medium.bed),
    }
}

/// Ages a vessel that was solved clean, until something says "open it" or [`LONGEST`]. The vessel is left at
/// the last state looked at.
pub fn age<L: Real, D: Draw<L>>(
    plan: &Plan,
    filter: &Filter,
    build: &Build,
    vessel: &mut Vessel<L>,
    dirt: Dirt<'_, L>,
    draw: &D,
) -> Aged<L> {
    let mut run = Run::new(plan, filter, build, vessel, dirt, draw);
    let count = plan.layers.len();
    let mut mass = vec![L::zero(); count];
    let (mut middle, mut next) = (mass.clone(), mass.clone());
    let settled = run.take(vessel.network.flows());
    let shares = run.takings.clone();
    let mut now = run.moment(L::zero(), vessel, &mass);
    let clean = now;
    let open_worked = clean.worked * draw.constant(A::OpenAtFlow);
    let open_voids = draw.constant(A::OpenAtVoids);
    let mut history = vec![now];
    let mut flows_before = Vec::new();
    let mut solved = L::mask(true);
    let mut done = L::mask(false);
    let mut service = L::splat(LONGEST);
    let mut by_flow = L::mask(false);
    let mut by_voids: Vec<Option<usize>> = vec![None; L::WIDTH];
    // Shortens steps where bypass or flow move too fast.
    let mut care = L::one();
    for _ in 0..MOST_STEPS {
        if L::all(done) {
            break;
        }
        vessel.network.copy_flows_into(&mut flows_before);
        run.take(&flows_before);
        let left = L::splat(LONGEST) - now.day;
        let step = (run.longest_step(&mass) * care).min(left).max(L::zero());
        let step = L::select(done, L::zero(), step);
        for i in 0..count {
            middle[i] = mass[i] + (run.takings[i] * dirt.solids - mass[i] * run.decay) * step * 0.5;
        }
        let mut good = run.solve(vessel, &middle);
        run.take(vessel.network.flows());
        for i in 0..count {
            next[i] = mass[i] + (run.takings[i] * dirt.solids - middle[i] * run.decay) * step;
        }
        good = L::and(good, run.solve(vessel, &next));
        let then = run.moment(now.day + step, vessel, &next);
        let bypass_moves = (then.bypass - now.bypass).abs().gt(L::splat(BYPASS_STEP * dirt.step));
        let flow_moves = (then.flow - now.flow).abs().gt(clean.flow * (FLOW_STEP * dirt.step));
        let worked_moves = (then.worked - now.worked).abs().gt(clean.worked * (FLOW_STEP * dirt.step));
        let moves = L::or(L::or(bypass_moves, flow_moves), worked_moves);
        let short = care.le(L::splat(1e-3));
        let again = L::and(moves, L::not(L::or(short, done)));
        care = L::select(again, care * 0.4, (care * 1.6).min(L::one()));
        // A draw that cannot be solved stops here and is counted; it does not go on with a guess.
        solved = L::and(solved, L::or(good, done));
        done = L::or(done, L::not(solved));
        if L::any(again) {
            for (p, before) in flows_before.iter().enumerate() {
                let kept = L::select(again, *before, vessel.network.flow(p));
                vessel.network.guess(p, kept);
            }
        }
        let goes = L::not(L::or(again, done));
        for i in 0..count {
            mass[i] = L::select(goes, next[i], mass[i]);
        }
        let keep = |a: L, b: L| L::select(goes, a, b);
        let then = Moment {
            day: keep(then.day, now.day),
            flow: keep(then.flow, now.flow),
            worked: keep(then.worked, now.worked),
            bypass: keep(then.bypass, now.bypass),
            fullest: keep(then.fullest, now.fullest),
        };
        let flow_says = L::and(goes, then.worked.lt(open_worked));
        let voids_say = L::and(goes, then.fullest.ge(open_voids));
        let says = L::or(flow_says, voids_say);
        if L::any(says) {
            // The crossing by straight line inside the step; the earlier of the two names itself.
            let part = |from: L, to: L, mark: L| ((from - mark) / (from - to)).clamp(0.0, 1.0);
            let at_flow = part(now.worked, then.worked, open_worked);
            let at_voids = part(now.fullest, then.fullest, open_voids);
            let at_flow = L::select(flow_says, at_flow, L::splat(2.0));
            let at_voids = L::select(voids_say, at_voids, L::splat(2.0));
            let flow_first = L::and(flow_says, at_flow.le(at_voids));
            let day = now.day + (then.day - now.day) * at_flow.min(at_voids);
            service = L::select(says, day, service);
            by_flow = L::or(by_flow, L::and(says, flow_first));
            for (draw, by) in by_voids.iter_mut().enumerate() {
                if L::holds(says, draw) && !L::holds(flow_first, draw) {
                    *by = run.fullest_layer(&mass, draw);
                }
            }
        }
        let over = L::and(goes, then.day.ge(L::splat(LONGEST - 1e-9)));
        done = L::or(done, L::or(says, over));
        now = then;
        history.push(now);
    }
    let at_service = before_service(&history, service);
    let worst =
        history.iter().fold(L::zero(), |most, m| most.max(L::select(m.day.le(service), m.bypass, L::zero())));
    let worst_bypass = worst.max(at_service.bypass);
    Aged {
        service,
        by_flow: (0..L::WIDTH).map(|i| L::holds(by_flow, i)).collect(),
        by_voids,
        at_service,
        worst_bypass,
        history,
        solved: L::and(solved, done),
        caught: mass,
        shares,
        settled,
    }
}

impl<L: Real> Run<'_, L> {
    fn fullest_layer(&self, mass: &[L], draw: usize) -> Option<usize> {
        let full = |i: usize| self.layers[i].fullness(mass[i] * self.bulk).draw(draw);
        (0..self.layers.len()).max_by(|a, b| full(*a).total_cmp(&full(*b)))
    }
}

/// The state a day before service (clean if that is under a day; the last looked at if nothing says open).
fn before_service<L: Real>(history: &[Moment<L>], service: L) -> Moment<L> {
    let pick = |draw: usize| -> [f64; 5] {
        let service = service.draw(draw);
        let target = if service >= LONGEST { LONGEST } else { (service - 1.0).max(0.0) };
        let at = |m: &Moment<L>| {
            [
                m.day.draw(draw),
                m.flow.draw(draw),
                m.worked.draw(draw),
                m.bypass.draw(draw),
                m.fullest.draw(draw),
            ]
        };
        let mut before = history.first().map_or([0.0; 5], at);
        for m in history {
            let after = at(m);
            if after[0] >= target {
                let span = after[0] - before[0];
                let part = if span > 0.0 { (target - before[0]) / span } else { 1.0 };
                return std::array::from_fn(|i| before[i] + (after[i] - before[i]) * part);
            }
            before = after;
        }
        before
    };
    let all: Vec<[f64; 5]> = (0..L::WIDTH).map(pick).collect();
    let of = |field: usize| L::gather(|draw| all[draw][field]);
    Moment { day: of(0), flow: of(1), worked: of(2), bypass: of(3), fullest: of(4) }
}
