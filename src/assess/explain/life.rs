//! Ammonia, oxygen, nitrate, and the rule of thumb for the whole nitrogen cycle.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::{inputs, room, water};
use crate::assess::biology::{Living, removal};
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Seen, Trace};
use crate::assumptions::A;
use crate::biology::denitrifying::{Inside, nitrate_limit};
use crate::biology::nitrate::NO3_PER_N;
use crate::biology::nitrifying::{self, MOST_TAN, Surface};
use crate::biology::{load, oxygen};
use crate::hydraulics::transport::Carried;
use crate::model::tank::Stock;
use crate::model::{Feed, Role};
use crate::uncertainty::{Nominal, Uncertain};
use crate::units::DAY;

fn value(a: A) -> f64 {
    a.entry().value
}

pub fn ammonia_capacity(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    inputs::protein(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&[
        A::TanPerProtein,
        A::NitrifyingRate,
        A::NitrifyingHalf,
        A::NitrifyingTheta,
        A::OxygenHalf,
        A::OxygenIn,
        A::AimTan,
        A::GuideAmmonia,
        A::CarryOver,
    ]);
    let (Some(_), Ok(living)) = (clean, seen.told.living.clone()) else { return };
    let per_protein = value(A::TanPerProtein);
    out.step(
        Eq::Tan,
        parts![Number living.feed, Share living.protein, Number per_protein, Number living.tan],
    );
    oxygen_in_step(&living, out);
    let aim: f64 = nitrifying::told_at(living.celsius, seen.case.ph(&Nominal), &Nominal);
    out.step(Eq::ToldAt, [value(A::AimTan), value(A::GuideAmmonia), aim].map(Value::Number));
    let surface = Surface::<f64>::drawn(&Nominal);
    let k1 = surface.first_order(aim, living.celsius, living.oxygen_in);
    let by_oxygen = k1 * (surface.half + aim) / surface.max / surface.theta.powf(living.celsius - 20.0);
    let speed = parts![Number surface.max, Given surface.theta, Number living.celsius, Number by_oxygen,
        Number surface.half, Number aim, Number k1];
    out.step(Eq::SurfaceSpeed, speed);
    let terms = layer_steps(seen, &living, k1, aim, out);
    let taken = terms.number().unwrap_or(0.0);
    out.step(Eq::Removal, [terms, Value::Number(taken)]);
    if living.margin.is_err() {
        return;
    }
    toxic_steps(seen, &living, &surface, out);
    let capacity = taken / living.tan;
    out.answer(Eq::Capacity, [taken, living.tan, capacity].map(Value::Number), capacity);
}

/// The same with the tank's own surfaces.
pub fn ammonia_capacity_tank(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    inputs::volume(out, &seen.case);
    out.uses(&[A::OwnSurface, A::AimTan, A::GuideAmmonia, A::NitrifyingRate]);
    let Ok(living) = seen.told.living.clone() else { return };
    let (Ok(filter), Ok(whole)) = (living.margin, living.with_tank) else { return };
    if let Some(area) = seen.case.tank.and_then(|tank| tank.own_area.as_ref()) {
        out.input("the tank's own surface", area, "");
    }
    out.answer(Eq::WithTank, [filter, whole - filter, whole].map(Value::Number), whole);
}

/// Surface and takings of each layer at the aim; they come back as terms of a sum, g N a day.
fn layer_steps(seen: &Seen<'_>, living: &Living<f64>, k1: f64, aim: f64, out: &mut Trace) -> Value {
    let way = &seen.told.way;
    let mut carried = Carried::new(seen.case.plan.what.len());
    removal(&seen.case, (&way.flows, way.carry_over), &living.areas, k1, aim, &mut carried);
    let mut terms = Vec::new();
    let mut mechanical_before = false;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        let name = inputs::layer_words(at, layer);
        let fouled = nitrifying::is_fouled(medium.role, mechanical_before);
        mechanical_before |= medium.role.fineness().is_some();
        let kept = medium.surface.as_ref().filter(|_| nitrifying::is_kept(medium.role));
        let Some(per_litre) = kept else {
            out.step(Eq::NoSurface, [name.into()]);
            continue;
        };
        out.input(format!("{}, surface", medium.name), per_litre, "m2/l");
        let volume = seen.clean.lain[n].free_volume();
        let (mut area, mut factors) = (volume * per_litre.si(), String::new());
        if medium.is_porous() && !medium.is_pad() {
            area *= value(A::ShellFactor);
            factors.push_str(&[" × ", &value(A::ShellFactor).to_string(), " for its open shell"].concat());
            out.uses(&[A::ShellFactor, A::PorousFrom]);
        }
        if fouled {
            area *= value(A::FoulingFactor);
            factors.push_str(&[" × ", &value(A::FoulingFactor).to_string(), " for the dirt on it"].concat());
            out.uses(&[A::FoulingFactor]);
        }
        let per = Value::In(per_litre.si() * 1e-3, "m2/l");
        out.step(Eq::Surface, [name.into(), Value::Volume(volume), per, factors.into(), Value::Number(area)]);
        let daily = way.flows[at.media] * DAY;
        let enters = carried.entering[at.media] * aim;
        let speed = k1 * area / daily.max(1e-30);
        let taken = daily * enters * (1.0 - (-speed).exp());
        out.step(Eq::Takes, parts![Flow way.flows[at.media], Number enters, Number speed, Number taken]);
        terms.push(Value::Number(taken));
    }
    Value::Sum(terms)
}

/// The tank's steady ammonia and how much of it is poisonous.
fn toxic_steps(seen: &Seen<'_>, living: &Living<f64>, surface: &Surface<f64>, out: &mut Trace) {
    let mut carried = Carried::new(seen.case.plan.what.len());
    let carried = std::cell::RefCell::new(&mut carried);
    let steady = nitrifying::steady_tan(living.tan, |s: f64| {
        let k1 = surface.first_order(s, living.celsius, living.oxygen_in);
        let way = &seen.told.way;
        removal(&seen.case, (&way.flows, way.carry_over), &living.areas, k1, s, &mut carried.borrow_mut())
    });
    if steady >= MOST_TAN * 0.99 {
        out.step(Eq::SteadyNever, []);
        return;
    }
    let below = if steady < value(A::AimTan) { "below a kit's resolution" } else { "a kit can see it" };
    out.step(Eq::Steady, [Value::Number(steady), below.into()]);
    let Some(ph) = seen.case.tank.and_then(|t| t.water.ph.as_ref()) else {
        out.step(Eq::NoPh, []);
        return;
    };
    out.input("pH", ph, "");
    let share = nitrifying::un_ionised(living.celsius, ph.si());
    out.step(
        Eq::UnIonised,
        parts![Number ph.si(), Number living.celsius, Share share, Number steady * share],
    );
}

fn oxygen_in_step(living: &Living<f64>, out: &mut Trace) {
    let (share, full) = (value(A::OxygenIn), oxygen::saturation(living.celsius));
    out.step(Eq::OxygenIn, parts![Share share, Number full, Number living.celsius, Number living.oxygen_in]);
}

/// Oxygen of the returning water, and how long a stopped filter's lasts.
pub fn oxygen_out(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    inputs::protein(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&[A::OxygenIn, A::OxygenPerNitrogen, A::OxygenPerFeed, A::NitratePerProtein]);
    let (Some(q), Ok(living)) = (clean, seen.told.living.clone()) else { return };
    oxygen_in_step(&living, out);
    nitrogen_step(&living, out);
    let (per_n, per_f) = (value(A::OxygenPerNitrogen), value(A::OxygenPerFeed));
    let daily = per_n * living.nitrogen + per_f * living.feed;
    out.step(Eq::OxygenUse, [per_n, living.nitrogen, per_f, living.feed, daily].map(Value::Number));
    let drop = daily / (q * DAY);
    out.step(Eq::OxygenDrop, [Value::Number(daily), Value::Flow(q), Value::Number(drop)]);
    if let Some(water) = seen.told.water_inside {
        let shut = living.shut_use;
        let hours = oxygen::hours_to_scarce(water, living.oxygen_in, shut);
        if hours.is_finite() {
            let parts = [water * 1e3, living.oxygen_in, oxygen::SCARCE, shut, hours];
            out.step(Eq::PumpStops, parts.map(Value::Number));
        }
    }
    let leaves = (living.oxygen_in - drop).max(0.0);
    out.answer(Eq::OxygenOut, [living.oxygen_in, drop, leaves].map(Value::Number), leaves);
}

fn nitrogen_step(living: &Living<f64>, out: &mut Trace) {
    out.uses(&[A::NitratePerProtein]);
    let (per, load) = (value(A::NitratePerProtein), living.nitrogen);
    out.step(Eq::Nitrogen, parts![Number living.feed, Share living.protein, Number per, Number load]);
}

pub fn nitrate(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    inputs::protein(out, &seen.case);
    inputs::volume(out, &seen.case);
    if let Some(tank) = seen.case.tank {
        out.input("nitrate of the tap water", &tank.water.tap_nitrate, "mg/l");
        out.input("plants take", &tank.plants, "mg/l a day");
        if let Some(change) = &tank.water_change {
            out.share("water changed", &change.share);
            out.input("water changed every", &change.every, "d");
        }
    }
    let clean = water::flow_step(seen, out);
    let (Some(_), Ok(living)) = (clean, seen.told.living.clone()) else { return };
    nitrogen_step(&living, out);
    let Some(tank) = seen.case.tank else { return };
    let (Some(volume), Some(change)) = (tank.volume.as_ref(), tank.water_change.as_ref()) else { return };
    let (share, every) = (change.share.si().clamp(0.01, 1.0), change.every.si() / DAY);
    let (tap, plants) = (tank.water.tap_nitrate.si(), tank.plants.si());
    let made = living.nitrogen * NO3_PER_N / volume.si() - plants;
    let parts = [living.nitrogen, NO3_PER_N, volume.si() * 1e3, plants, made].map(Value::Number);
    out.step(Eq::NetProduction, parts);
    let peak = (tap + made * every / share).max(0.0);
    out.answer(Eq::NitratePeak, [tap, made, every, share, peak].map(Value::Number), peak);
}

/// What porous grains may take off it.
pub fn nitrate_off(seen: &mut Seen<'_>, out: &mut Trace) {
    nitrate(seen, out);
    let Ok(living) = seen.told.living.clone() else { return };
    inside_steps(seen, &living, out);
    let (Ok(balance), Ok(peak)) = (living.nitrate, living.nitrate_made) else { return };
    let at_mean = nitrate_limit(balance.cycle.mean / NO3_PER_N);
    let taken = living.potential * at_mean;
    let share = ratio(taken, living.nitrogen);
    out.step(Eq::Denitrified, parts![Number living.potential, Number at_mean, Number taken, Share share]);
    let off = peak - balance.cycle.peak;
    out.answer(Eq::NitrateOff, [peak, balance.cycle.peak, off].map(Value::Number), off);
}

fn ratio(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

/// How much nitrate the porous grains could take, and why.
fn inside_steps(seen: &Seen<'_>, living: &Living<f64>, out: &mut Trace) {
    if living.grains.is_empty() {
        out.step(Eq::NoGrains, []);
        return;
    }
    out.uses(&[
        A::GrainDiffusion,
        A::WaterDiffusion,
        A::DiffusionTheta,
        A::FilmOxygen,
        A::GrainShare,
        A::GrainShareMost,
        A::AnoxicRate,
        A::Patchiness,
        A::OxygenPerFeed,
        A::OxygenPerNitrogen,
        A::OxygenIn,
        A::ShellFactor,
        A::PorousFrom,
    ]);
    let (porous, other) = bare_surfaces(seen);
    let inside = Inside::<f64>::drawn(&Nominal);
    let margin = living.margin.unwrap_or(1.0);
    let share = inside.share_inside(porous, other, margin);
    out.step(Eq::Respiration, parts![Number porous, Number other, Number margin, Share share]);
    let volume: f64 = living.grains.iter().map(|g| g.volume).sum();
    let k = inside.respiration(share, living.feed, living.nitrogen, volume);
    let airless = inside.airless_share(&living.grains, k, living.celsius, living.oxygen_in);
    out.step(Eq::Airless, [Value::Number(volume * 1e3), Value::Number(k * 1e-3), Value::Share(airless)]);
    let burnt = inside.per_feed * living.feed;
    let potential = inside.potential(airless, share, living.feed);
    out.step(Eq::Potential, parts![Share airless, Share share, Number burnt, Number potential]);
}

/// Surface of open-pored grains and of all other media, without fouling, m2.
fn bare_surfaces(seen: &Seen<'_>) -> (f64, f64) {
    let (mut porous, mut other) = (0.0, 0.0);
    for (n, _, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        let kept = medium.surface.as_ref().filter(|_| nitrifying::is_kept(medium.role));
        let per_volume = kept.map_or(0.0, Uncertain::si);
        let area = per_volume * seen.clean.lain[n].free_volume();
        if medium.is_porous() && !medium.is_pad() {
            porous += area * value(A::ShellFactor);
        } else {
            other += area;
        }
    }
    (porous, other)
}

/// The rule of thumb, with what the estimate says beside it.
pub fn rule_of_thumb_tank(seen: &mut Seen<'_>, out: &mut Trace) {
    out.uses(&[A::CycleNormal, A::CycleHeavy, A::HeavyFrom, A::PorousFrom]);
    inputs::laid(out, &seen.case);
    inputs::feed(out, &seen.case);
    inputs::volume(out, &seen.case);
    let mut mass = 0.0;
    let mut found = false;
    for (n, at, layer) in inputs::layers(&seen.case) {
        if layer.medium.role == Role::Biological && layer.medium.is_porous() {
            found = true;
            mass += room::dry_step(seen, out, Eq::Porous, n, &inputs::layer_words(at, layer), layer);
        }
    }
    if !found {
        out.step(Eq::NoPorous, []);
    }
    let (heavy, why) = heavy(seen);
    let per_kilogram = value(if heavy { A::CycleHeavy } else { A::CycleNormal }) * 1e-3;
    out.step(Eq::PerKilogram, [why.into(), Value::Volume(per_kilogram)]);
    honest_steps(seen, out);
    let tank = mass * per_kilogram;
    out.answer(Eq::RuleOfThumb, parts![Mass mass, Volume per_kilogram, Volume tank], tank * 1e3);
}

fn heavy(seen: &Seen<'_>) -> (bool, String) {
    let Some(tank) = seen.case.tank else {
        return (false, "no tank given: taken as normally stocked".to_owned());
    };
    if let Feed::Stock(stock) = tank.feed() {
        let heavy = stock == Stock::Heavy;
        return (heavy, if heavy { "heavily stocked" } else { "not heavily stocked" }.to_owned());
    }
    let fed = seen.case.feed::<f64>(&Nominal).ok().zip(seen.case.volume::<f64>(&Nominal).ok());
    let Some((feed, volume)) = fed else {
        return (false, "food for the volume not known: taken as normally stocked".to_owned());
    };
    let per = load::per_100_l(feed, volume);
    let mark = value(A::HeavyFrom);
    let heavy = per >= mark;
    let against = if heavy { "at or above" } else { "below" };
    (heavy, format!("{per:.2} g of food per 100 l a day, {against} {mark} g"))
}

fn honest_steps(seen: &Seen<'_>, out: &mut Trace) {
    let Ok(living) = &seen.told.living else {
        out.step(Eq::NoEstimate, []);
        return;
    };
    let taken = living.nitrate.map_or(living.potential, |b| b.denitrified);
    let share = ratio(taken, living.nitrogen);
    out.step(Eq::EstimateNitrate, parts![Number taken, Number living.nitrogen, Share share]);
    if let Ok(margin) = living.margin {
        let said = if margin >= 1.0 {
            "as nitrifiers physics confirms them: they take all that feeding makes"
        } else {
            "as nitrifiers physics confirms such media, but here there are too few for the feeding"
        };
        out.step(Eq::EstimateAmmonia, [said.into(), Value::Number(margin)]);
    }
}
