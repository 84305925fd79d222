//! Every measure of a case in one draw, or in eight at once.

use std::sync::Arc;

use super::biology::{Living, living, nitrifies, porous_mass};
use super::suits::{self, Suits};
use super::{Case, stage};
use crate::assumptions::A;
use crate::biology::load;
use crate::clogging::{Aged, Ageing, Capture, Dirt, age, name_slime};
use crate::cost::{self, Untold};
use crate::hydraulics::beds::void;
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::transport::Carried;
use crate::hydraulics::vessel::Vessel;
use crate::measures::{Measure, Missing, Outcome};
use crate::media_order;
use crate::model::filter::Outside;
use crate::model::tank::Stock;
use crate::model::{Feed, Lamp, Medium, Role};
use crate::simd::Real;
use crate::space::{self, Cuboid};
use crate::uncertainty::Draw;
use crate::units::litres_an_hour;
use crate::uv::{self, Chamber};

pub type Told<L> = Result<L, Missing>;

/// Every measure, with what it was worked out from.
#[derive(Clone, Debug)]
pub struct Figures<L: Real> {
    told: [Told<L>; Measure::ALL.len()],
    pub way: WaterWay<L>,
    pub aged: Told<Aged<L>>,
    pub living: Told<Living<L>>,
    /// Water in the vessel, m3; `None` where nothing is known of it.
    pub water_inside: Option<L>,
    pub suits: Told<Vec<Suits<L>>>,
    /// Draws in which everything was solved.
    pub solved: L::Mask,
}

impl<L: Real> Figures<L> {
    /// A measure in its unit; `fits` is 1 or 0.
    pub fn get(&self, measure: Measure) -> Told<L> {
        self.told.get(measure as usize).copied().unwrap_or(Err(Missing::NotSolved))
    }
    fn set(&mut self, measure: Measure, told: Told<L>) {
        if let Some(slot) = self.told.get_mut(measure as usize) {
            *slot = told;
        }
    }
}

impl Figures<f64> {
    /// What a measure came to, once the flow is known to be solved.
    pub fn outcome(&self, measure: Measure) -> Outcome {
        match self.get(measure) {
            Err(why) => Outcome::Missing(why),
            Ok(_) if !self.solved && measure.needs_flow() => Outcome::Missing(Missing::NotSolved),
            Ok(x) if measure == Measure::FitsCabinet => Outcome::Flag(x > 0.5),
            Ok(x) if x.is_finite() => Outcome::Value(x),
            Ok(_) => Outcome::Missing(Missing::NotSolved),
        }
    }
}

/// A solved vessel with its stage.
#[derive(Clone, Debug)]
pub struct WaterWay<L: Real> {
    /// The vessel, solved clean where its pump is known.
    pub vessel: Vessel<L>,
    /// Clean flows of all passages, m3/s.
    pub flows: Vec<L>,
    /// Delivered flow, m3/s.
    pub flow: Told<L>,
    /// The finest mechanical stage, with what each passage lets through untreated.
    pub stage: Option<(Role, Arc<[L]>)>,
    /// Untreated share entering each passage, clean.
    pub carried: Carried<L>,
    /// Share that crosses no layer of the stage.
    pub bypass: Told<L>,
    /// Share of rim water that stays at the rim.
    pub carry_over: L,
    /// Share of the dirt that one pass takes, clean.
    pub efficiency: Told<L>,
    pub solved: L::Mask,
}

pub fn water_way<L: Real>(case: &Case<'_>, draw: &dyn Draw<L>) -> WaterWay<L> {
    let plan = &case.plan;
    let mut vessel = Vessel::new(plan, case.filter, case.build, case.tank, draw);
    let carry_over = draw.constant(A::CarryOver);
    let mut carried = Carried::new(plan.what.len());
    let stage = plan.finest().map(|role| (role, Arc::from(stage::keep(plan, role))));
    let (flow, solved) = match &vessel.laws.outside {
        None => (Err(Missing::NoPumpCurve), L::mask(true)),
        Some(outside) => {
            let sound = outside.sound();
            if let Some(start) = &case.start {
                vessel.network.start_near(start);
            }
            let status = vessel.solve(plan, Tolerance::FULL);
            let flow = vessel.flow(plan);
            // A height that the pump cannot lift, or figures that make no sense, run backward: no answer.
            let forward = L::and(flow.gt(L::zero()), flow.finite());
            (Ok(flow), L::and(L::and(status.solved, sound), forward))
        }
    };
    let flow = if L::any(solved) { flow } else { flow.and(Err(Missing::NotSolved)) };
    let flows = vessel.network.flows().to_vec();
    let bypass = match (&stage, flow) {
        (_, Err(why)) => Err(why),
        (None, _) => Err(Missing::NoMechanicalMedia),
        (Some((_, keep)), Ok(_)) => Ok(stage::bypass(plan, &flows, keep, carry_over, &mut carried)),
    };
    let efficiency =
        flow.map(|_| Capture::new(plan, case.build, &vessel, carry_over, draw).pass(plan, &flows));
    WaterWay { vessel, flows, flow, stage, carried, bypass, carry_over, efficiency, solved }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    pub ageing: bool,
    /// Times the error allowed in a step of the timeline.
    pub step: f64,
}

impl Effort {
    pub const FULL: Self = Self { ageing: true, step: 1.0 };
    /// For one case of many: what a step may be off by, a few in ten thousand, is far below what tells the cases apart.
    pub const CASE: Self = Self { ageing: true, step: 2.0 };
}

pub fn figures<L: Real>(case: &Case<'_>, draw: &dyn Draw<L>, effort: Effort) -> Figures<L> {
    let mut clean = Clean::new(case, draw);
    let dirt = clean.dirt(case, draw, effort);
    let vessel = &mut clean.way.vessel;
    let aged = dirt.and_then(|dirt| {
        age(&case.plan, case.filter, case.build, vessel, dirt, draw).ok_or(Missing::NothingToClean)
    });
    clean.figures(case, aged, draw)
}

/// What is known of a case before any dirt.
#[derive(Clone, Debug)]
pub struct Clean<L: Real> {
    pub way: WaterWay<L>,
    living: Told<Living<L>>,
    removal: L,
}

impl<L: Real> Clean<L> {
    pub fn new(case: &Case<'_>, draw: &dyn Draw<L>) -> Self {
        let way = water_way(case, draw);
        let nitrifies = way.flow.map(|_| nitrifies(case, &way.vessel, way.carry_over, draw));
        let removal = nitrifies.as_ref().map_or_else(|_| L::zero(), |n| n.removal);
        let living = living(case, way.flow, nitrifies, draw);
        Self { way, living, removal }
    }

    fn dirt(&self, case: &Case<'_>, draw: &dyn Draw<L>, effort: Effort) -> Told<Dirt<'static, L>> {
        self.way.flow?;
        let (feed, volume) = (case.feed(draw)?, case.volume(draw)?);
        if !effort.ageing {
            return Err(Missing::NotSolved);
        }
        let stage = self.way.stage.as_ref().map(|(_, keep)| Arc::clone(keep));
        let drift = case.faults.as_ref().map(|faults| faults.drawn(draw).1);
        let carry_over = self.way.carry_over;
        Ok(Dirt { feed, volume, stage, carry_over, step: effort.step, course: None, drift })
    }

    /// The first day of its timeline.
    pub fn ageing<'a>(&mut self, case: &'a Case<'_>, draw: &dyn Draw<L>) -> Told<Ageing<'a, L>> {
        let dirt = self.dirt(case, draw, Effort::CASE)?;
        let first = Ageing::new(&case.plan, (case.filter, case.build), &mut self.way.vessel, dirt, draw);
        first.ok_or(Missing::NothingToClean)
    }

    /// What opens a filter in these draws, of a timeline that was followed elsewhere.
    pub fn name_slime(&mut self, case: &Case<'_>, aged: &mut Aged<L>) {
        name_slime(&case.plan, aged, &mut self.way.vessel);
    }

    /// All figures, with the timeline or why there is none.
    pub fn figures(self, case: &Case<'_>, aged: Told<Aged<L>>, draw: &dyn Draw<L>) -> Figures<L> {
        let Self { way, living, removal } = self;
        let solved = aged.as_ref().map_or(way.solved, |aged| L::and(way.solved, aged.solved));
        let mut out = Figures {
            told: [Err(Missing::NotSolved); Measure::ALL.len()],
            way,
            aged,
            living,
            water_inside: None,
            suits: Err(Missing::NotSolved),
            solved,
        };
        water(case, &mut out, draw);
        out.suits = suits::suits(case, &out.way, removal, draw);
        let counted = suits::counted(case);
        let up_to = out.suits.as_ref().map_err(|why| *why);
        let up_to = up_to.and_then(|rows| {
            rows.iter().find(|row| row.stocking == counted).map(|row| row.up_to().0).ok_or(Missing::NoFeed)
        });
        out.set(Measure::SuitsUpTo, up_to);
        room(case, &mut out, draw);
        life(case, &mut out, draw);
        cost(case, &mut out, draw);
        out
    }
}

/// What rises and falls with the flow, clean and dirty.
const FLOWS: [(Measure, Measure); 3] = [
    (Measure::Clearing, Measure::ClearingDirty),
    (Measure::Flow, Measure::FlowDirty),
    (Measure::FilteredFlow, Measure::FilteredFlowDirty),
];

fn water<L: Real>(case: &Case<'_>, out: &mut Figures<L>, draw: &dyn Draw<L>) {
    let per_hour = |q: L| q * litres_an_hour(1.0);
    let (flow, bypass) = (out.way.flow, out.way.bypass);
    let worked = flow.and_then(|q| bypass.map(|b| per_hour(q * (L::one() - b))));
    let aged = out.aged.as_ref().map_err(|why| *why);
    let dirty = aged.map(|a| a.dirty);
    let stage = bypass.map(|_| ());
    let (interval, worst) = (aged.map(|a| a.interval), stage.and(aged.map(|a| a.worst_bypass)));
    let volume = case.volume(draw);
    let an_hour = |q: Told<L>| q.and_then(|q| volume.map(|v| q * 3600.0 / v));
    let clearing = an_hour(out.way.efficiency.and_then(|e| flow.map(|q| q * e)));
    out.set(Measure::Clearing, clearing);
    out.set(Measure::ClearingDirty, an_hour(dirty.map(|m| m.cleared())));
    out.set(Measure::Caught, clearing.map(|c| c / (c + draw.constant(A::SettlingRate))));
    out.set(Measure::Flow, flow.map(per_hour));
    out.set(Measure::FlowDirty, dirty.map(|m| per_hour(m.flow)));
    out.set(Measure::FilteredFlow, worked);
    out.set(Measure::FilteredFlowDirty, stage.and(dirty.map(|m| per_hour(m.filtered()))));
    out.set(Measure::Bypass, bypass);
    out.set(Measure::BypassDirty, worst);
    // Only many draws together have a risk; the draws' own share of them tells it.
    out.set(Measure::BypassChance, worst.and(Err(Missing::NoSamples)));
    out.set(Measure::OpeningInterval, interval);
    out.set(Measure::Turnover, an_hour(flow));
    if let Some(faults) = &case.faults {
        let (fault, drift) = faults.drawn(draw);
        let late = interval.map_or(L::zero(), |days| drift * days);
        for (clean, dirty) in FLOWS {
            out.set(clean, out.get(clean).map(|x| x * fault.exp()));
            out.set(dirty, out.get(dirty).map(|x| x * (fault + late).exp()));
        }
        out.set(Measure::Turnover, out.get(Measure::Turnover).map(|x| x * fault.exp()));
    }
    let faults = media_order::faults(case.filter, case.build).len();
    out.set(Measure::OrderFaults, Ok(L::splat(faults as f64)));
}

fn cuboid<L: Real>(outside: &Outside, draw: &dyn Draw<L>) -> Cuboid<L> {
    Cuboid {
        width: draw.of(&outside.width),
        depth: draw.of(&outside.depth),
        height: draw.of(&outside.height),
    }
}

/// What lies in the vessel, in m3 and kg.
struct Held<L> {
    empty: bool,
    capacity: L,
    media: L,
    bio: L,
    dry: L,
    water: L,
}

fn held<L: Real>(case: &Case<'_>, vessel: &Vessel<L>, draw: &dyn Draw<L>) -> Held<L> {
    let extents = &vessel.extents;
    let rooms: Vec<(L, L)> =
        extents.floor.iter().chain(&extents.trays).map(|(plan, height)| (plan.area, *height)).collect();
    let capacity = space::capacity(&rooms);
    let (mut media, mut bio, mut dry, mut solids) = (L::zero(), L::zero(), L::zero(), L::zero());
    for (at, lain) in case.plan.layers.iter().zip(&vessel.lain) {
        let Some(layer) = at.of(case.build) else { continue };
        media += lain.volume();
        if at.role == Role::Biological {
            bio += lain.volume();
        }
        dry += draw.of(&layer.medium.dry) * lain.free_volume();
        let inner = draw.of(&layer.medium.inner).clamp(0.0, 1.0);
        solids += space::solid(lain.free_volume(), void(&layer.medium.bed, draw), inner);
    }
    let body = &case.filter.body;
    let head = body.head_space.as_ref().map_or_else(L::zero, |h| draw.of(h));
    let tube =
        body.down_tube.as_ref().map_or_else(L::zero, |t| space::tube(draw.of(&t.bore), draw.of(&t.length)));
    let water = space::water(space::vessel(capacity, head, tube), solids);
    Held { empty: rooms.is_empty(), capacity, media, bio, dry, water }
}

/// Of the vessel full of water, kg.
pub fn full_weight<L: Real>(case: &Case<'_>, vessel: &Vessel<L>, draw: &dyn Draw<L>) -> Told<L> {
    weight(case, &held(case, vessel, draw), vessel, draw)
}

fn weight<L: Real>(case: &Case<'_>, held: &Held<L>, vessel: &Vessel<L>, draw: &dyn Draw<L>) -> Told<L> {
    let mass = case.filter.body.dry_mass.as_ref().ok_or(Missing::NoDryMass)?;
    Ok(space::full_weight(draw.of(mass), held.dry, held.water, vessel.water.density))
}

fn room<L: Real>(case: &Case<'_>, out: &mut Figures<L>, draw: &dyn Draw<L>) {
    let held = held(case, &out.way.vessel, draw);
    let wet = weight(case, &held, &out.way.vessel, draw);
    let vessel = |v: L| if held.empty { Err(Missing::NoVessel) } else { Ok(v * 1e3) };
    let outside = case.filter.body.outside.as_ref().ok_or(Missing::NoOutside).map(|o| cuboid(o, draw));
    let fits = outside.and_then(|outside| {
        let tank = case.tank.ok_or(Missing::NoTank)?;
        let cabinet = cuboid(tank.cabinet.as_ref().ok_or(Missing::NoCabinet)?, draw);
        let bore = draw.of(&case.filter.hose.bore);
        let fits = space::fits(&outside, &cabinet, bore, draw.constant(A::HoseClearance));
        Ok(L::select(fits, L::one(), L::zero()))
    });
    out.water_inside = (!held.empty).then_some(held.water);
    out.set(Measure::TraySpace, vessel(held.capacity));
    out.set(Measure::Media, vessel(held.media));
    out.set(Measure::BioMedia, vessel(held.bio));
    out.set(Measure::MediaShare, outside.map(|o| space::media_share(held.media, &o)));
    out.set(Measure::FullWeight, wet);
    out.set(Measure::FitsCabinet, fits);
}

fn life<L: Real>(case: &Case<'_>, out: &mut Figures<L>, draw: &dyn Draw<L>) {
    let living = out.living.as_ref().map_err(|why| *why);
    let with_tank = living.and_then(|l| l.with_tank);
    let margin = living.and_then(|l| l.margin);
    let oxygen = living.map(|l| l.oxygen_out);
    let made = living.and_then(|l| l.nitrate_made);
    let off = made.and_then(|made| living.and_then(|l| l.nitrate).map(|n| made - n.cycle.peak));
    let mass = porous_mass(case, &out.way.vessel, draw);
    let heavy = match (case.tank, case.feed(draw), case.volume(draw)) {
        (Some(tank), Ok(feed), Ok(volume)) => {
            let fed = load::per_100_l(feed, volume);
            load::is_heavy(&tank.feed(), fed, draw.constant(A::HeavyFrom))
        }
        (Some(tank), _, _) => L::mask(matches!(tank.feed(), Feed::Stock(Stock::Heavy))),
        _ => L::mask(false),
    };
    let (normal, tight) = (draw.constant(A::CycleNormal), draw.constant(A::CycleHeavy));
    let empty = out.way.vessel.extents.trays.is_empty() && out.way.vessel.extents.floor.is_none();
    let cycle = load::rule_of_thumb_tank(mass, heavy, normal, tight);
    out.set(Measure::AmmoniaCapacity, margin);
    out.set(Measure::OxygenOut, oxygen);
    out.set(Measure::AmmoniaCapacityTank, with_tank);
    out.set(Measure::Nitrate, made);
    out.set(Measure::NitrateOff, off);
    out.set(Measure::RuleOfThumbTank, if empty { Err(Missing::NoVessel) } else { Ok(cycle) });
    out.set(Measure::UvDose, dose(case, out, draw));
}

fn dose<L: Real>(case: &Case<'_>, out: &Figures<L>, draw: &dyn Draw<L>) -> Told<L> {
    let lamp = case.filter.uv.as_ref().ok_or(Missing::NoUv)?;
    match case.filter.unit.as_ref().map_or(Lamp::Working, |unit| unit.lamp) {
        Lamp::Working => {}
        Lamp::BurntOut => return Err(Missing::LampBurntOut),
        Lamp::Absent => return Err(Missing::LampAbsent),
    }
    let flow = out.way.flow?;
    let chamber = Chamber::drawn(draw);
    let hours = lamp.hours.as_ref().map_or_else(L::zero, |h| draw.of(h) / 3600.0);
    let gap = uv::gap(draw.of(&lamp.shell), draw.of(&lamp.sleeve)).max(L::splat(1e-4));
    Ok(chamber.dose(draw.of(&lamp.lamp), chamber.age(hours), gap, flow))
}

/// What was bought of each medium in the build, m3 of free bed.
pub fn bought<L: Real>(case: &Case<'_>, way: &WaterWay<L>) -> Vec<(Arc<Medium>, L)> {
    case.plan
        .layers
        .iter()
        .zip(&way.vessel.lain)
        .filter_map(|(at, lain)| Some((at.of(case.build)?.medium.clone(), lain.free_volume())))
        .collect()
}

fn untold(why: Untold) -> Missing {
    match why {
        Untold::NoUnit => Missing::NoUnit,
        Untold::NoAskingPrice => Missing::NoAskingPrice,
        Untold::NoTank => Missing::NoTank,
        Untold::NoPowerPrice => Missing::NoPowerPrice,
        Untold::NoPower => Missing::NoPower,
        Untold::NoPrice => Missing::NoPrice,
    }
}

fn cost<L: Real>(case: &Case<'_>, out: &mut Figures<L>, draw: &dyn Draw<L>) {
    let volumes = bought(case, &out.way);
    let mains = out.way.vessel.laws.outside.as_ref().map_or_else(L::one, |o| o.mains);
    let power = cost::watts(case.filter, mains, draw);
    let right = cost::repair_cost(case.filter, case.tank, &volumes, draw);
    let year = cost::first_year_cost(case.filter, case.tank, &volumes, mains, draw);
    out.set(Measure::Power, power.map_err(untold));
    out.set(Measure::AskingPrice, cost::asking_price(case.filter, draw).map_err(untold));
    out.set(Measure::RepairCost, right.map_err(untold));
    out.set(Measure::FirstYearCost, year.map_err(untold));
}
