//! Nitrogen and oxygen of a case, on its clean flows.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::Case;
use crate::assumptions::A;
use crate::biology::denitrifying::{Conditions, Form, Grains, Inside, nitrate_limit};
use crate::biology::nitrate::{Balance, Changes, balance};
use crate::biology::nitrifying::{self, Surface};
use crate::biology::{load, oxygen};
use crate::hydraulics::beds::void;
use crate::hydraulics::transport::{Carried, carry};
use crate::hydraulics::vessel::Vessel;
use crate::measures::Missing;
use crate::model::Role;
use crate::model::medium::Bed;
use crate::simd::Real;
use crate::uncertainty::Draw;
use crate::units::DAY;

#[derive(Clone, Debug)]
pub struct Living<L> {
    /// Dry food, g a day.
    pub feed: L,
    pub protein: L,
    /// Ammonia nitrogen made, g N a day.
    pub tan: L,
    /// Nitrogen that ends as nitrate, g N a day.
    pub nitrogen: L,
    /// Water, °C.
    pub celsius: L,
    /// Oxygen entering, mg/l.
    pub oxygen_in: L,
    /// Oxygen of the returning water, mg/l.
    pub oxygen_out: L,
    /// Accessible surface of each layer with fouling, m2, in the plan's order.
    pub areas: Vec<L>,
    /// Removal by the filter alone at the ammonia told, over what is made.
    pub margin: Result<L, Missing>,
    /// The same with the tank's own surfaces.
    pub with_tank: Result<L, Missing>,
    /// Oxygen that organics take in the shut vessel, g a day.
    pub shut_use: L,
    /// Nitrate just before a water change if the filter took none, mg/l NO3.
    pub nitrate_made: Result<L, Missing>,
    pub grains: Vec<Grains<L>>,
    /// Nitrogen the grains could take if nitrate were plentiful, g N a day.
    pub potential: L,
    pub nitrate: Result<Balance<L>, Missing>,
}

/// Surface of the layers: accessible with fouling each, and without fouling in all: porous, other.
struct Surfaces<L> {
    areas: Vec<L>,
    porous: L,
    other: L,
    grains: Vec<Grains<L>>,
}

fn surfaces<L: Real>(case: &Case<'_>, vessel: &Vessel<L>, draw: &dyn Draw<L>) -> Surfaces<L> {
    let mut out = Surfaces { areas: Vec::new(), porous: L::zero(), other: L::zero(), grains: Vec::new() };
    let mut mechanical_before = false;
    for (at, lain) in case.plan.layers.iter().zip(&vessel.lain) {
        let Some(layer) = at.of(case.build) else { continue };
        let medium = &layer.medium;
        let open_pored = medium.is_porous() && !medium.is_pad();
        let shell = nitrifying::shell(open_pored, draw);
        let ripens = medium.surface.as_ref().filter(|_| nitrifying::is_kept(medium.role));
        let bare = ripens.map_or_else(L::zero, |surface| {
            nitrifying::accessible(draw.of(surface), lain.free_volume(), shell, L::one())
        });
        let fouled = nitrifying::is_fouled(medium.role, mechanical_before);
        out.areas.push(bare * nitrifying::fouling(fouled, draw));
        if open_pored {
            out.porous += bare;
            let volume = lain.free_volume() * (L::one() - void(&medium.bed, draw));
            let form = match &medium.bed {
                Bed::Rings { outer, inner, .. } => {
                    let quarter = (draw.of(outer) - draw.of(inner)) * 0.25;
                    Some(Form::Wall { half: quarter.max(L::splat(1e-5)) })
                }
                Bed::Pieces { size, .. } => Some(Form::Sphere { radius: draw.of(size) * 0.5 }),
                Bed::Foam { .. } | Bed::Fibre { .. } => None,
            };
            out.grains.extend(form.map(|form| Grains { volume, form }));
        } else {
            out.other += bare;
        }
        mechanical_before |= medium.role.fineness().is_some();
    }
    out
}

/// Nitrogen taken a day at a tank's ammonia nitrogen of `tan` mg/l, carried over the network by these flows and share of
/// rim water that stays at the rim.
pub fn removal<L: Real>(
    case: &Case<'_>,
    (flows, carry_over): (&[L], L),
    areas: &[L],
    k1: L,
    tan: L,
    carried: &mut Carried<L>,
) -> L {
    let mut keep = vec![L::one(); case.plan.what.len()];
    for (at, area) in case.plan.layers.iter().zip(areas) {
        let flow = flows[at.media].max(L::splat(1e-30)) * DAY;
        keep[at.media] = (-(k1 * *area / flow)).exp();
    }
    carry(&case.plan.walk, flows, &keep, carry_over, L::zero(), carried);
    let mut taken = L::zero();
    for at in &case.plan.layers {
        let p = at.media;
        taken += flows[p] * DAY * carried.entering[p] * (L::one() - keep[p]);
    }
    taken * tan
}

/// What the media of a build nitrify, whatever is fed.
pub struct Nitrifies<L> {
    surfaces: Surfaces<L>,
    /// At the ammonia nitrogen at which the capacity is told, g N a day.
    pub removal: L,
    /// What a square metre does there, g N a day.
    rate: L,
}

/// At the ammonia nitrogen at which the capacity is told, on the flows of a clean vessel.
pub fn nitrifies<L: Real>(
    case: &Case<'_>,
    vessel: &Vessel<L>,
    carry_over: L,
    draw: &dyn Draw<L>,
) -> Nitrifies<L> {
    let celsius = case.celsius(draw);
    let oxygen_in = oxygen::entering(celsius, draw.constant(A::OxygenIn));
    let surfaces = surfaces(case, vessel, draw);
    let told_at = nitrifying::told_at(celsius, case.ph(draw), draw);
    let k1 = Surface::drawn(draw).first_order(told_at, celsius, oxygen_in);
    let mut carried = Carried::new(case.plan.what.len());
    let flows = (vessel.network.flows(), carry_over);
    let removal = removal(case, flows, &surfaces.areas, k1, told_at, &mut carried);
    Nitrifies { surfaces, removal, rate: k1 * told_at }
}

/// Works out nitrogen and oxygen. Refused without a flow or without feed.
pub fn living<L: Real>(
    case: &Case<'_>,
    flow: Result<L, Missing>,
    nitrifies: Result<Nitrifies<L>, Missing>,
    draw: &dyn Draw<L>,
) -> Result<Living<L>, Missing> {
    let flow = flow?;
    let feed = case.feed(draw)?;
    let protein = case.protein(draw);
    let tan = load::tan(feed, protein, draw);
    let nitrogen = load::nitrate(feed, protein, draw);
    let celsius = case.celsius(draw);
    let oxygen_in = oxygen::entering(celsius, draw.constant(A::OxygenIn));
    let oxygen_use = oxygen::Demand::drawn(draw).daily(nitrogen, feed);
    let oxygen_out = oxygen::leaving(oxygen_in, oxygen::drop(oxygen_use, flow));
    let Nitrifies { surfaces, removal: at_aim, rate } = nitrifies?;
    // A feed of nothing in some draws only would divide by nothing there.
    let fed = if L::all(feed.gt(L::zero())) { Ok(()) } else { Err(Missing::NothingToNitrify) };
    let margin = fed.map(|()| at_aim / tan);
    let told = case.tank.and_then(|tank| tank.own_area.as_ref()).map(|area| draw.of(area));
    let own = match told {
        Some(area) => Ok(area),
        None => case.volume(draw).map(|volume| nitrifying::own_surface(volume, draw)),
    };
    let with_tank = fed.and_then(|()| Ok((at_aim + rate * own?) / tan));
    let conditions = Conditions {
        porous: surfaces.porous,
        other: surfaces.other,
        margin: margin.unwrap_or_else(|_| L::one()),
        feed,
        nitrogen,
        t: celsius,
        oxygen: oxygen_in,
    };
    let potential = Inside::drawn(draw).of_build(&surfaces.grains, &conditions);
    let nitrate_made = nitrate(case, nitrogen, L::zero(), draw).map(|balance| balance.cycle.peak);
    let nitrate = nitrate(case, nitrogen, potential, draw);
    let shut_use = draw.constant(A::OxygenPerFeed) * feed;
    Ok(Living {
        feed,
        protein,
        tan,
        nitrogen,
        celsius,
        oxygen_in,
        oxygen_out,
        areas: surfaces.areas,
        margin,
        with_tank,
        shut_use,
        nitrate_made,
        grains: surfaces.grains,
        potential,
        nitrate,
    })
}

fn nitrate<L: Real>(
    case: &Case<'_>,
    nitrogen: L,
    potential: L,
    draw: &dyn Draw<L>,
) -> Result<Balance<L>, Missing> {
    let tank = case.tank.ok_or(Missing::NoTank)?;
    let change = tank.water_change.as_ref().ok_or(Missing::NoWaterChange)?;
    let changes = Changes {
        share: draw.of(&change.share).clamp(0.01, 1.0),
        every: draw.of(&change.every) / DAY,
        tap: draw.of(&tank.water.tap_nitrate),
    };
    let plants = draw.of(&tank.plants);
    let volume = case.volume(draw)?;
    Ok(balance(&changes, nitrogen, volume, plants, |s| potential * nitrate_limit(s)))
}

/// Dry mass of the porous biological media, kg.
pub fn porous_mass<L: Real>(case: &Case<'_>, vessel: &Vessel<L>, draw: &dyn Draw<L>) -> L {
    case.plan.layers.iter().zip(&vessel.lain).fold(L::zero(), |sum, (at, lain)| match at.of(case.build) {
        Some(layer) if layer.medium.role == Role::Biological && layer.medium.is_porous() => {
            sum + draw.of(&layer.medium.dry) * lain.free_volume()
        }
        _ => sum,
    })
}
