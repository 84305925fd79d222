//! Nitrate, and the rule of thumb for the whole nitrogen cycle beside what the estimate says of it.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::chain::Worked;
use super::life::nitrogen_step;
use super::words::{grams, kilograms, mg, number, percent};
use super::{Seen, inputs, water};
use crate::assess::biology::Living;
use crate::assumptions::A;
use crate::biology::denitrifying::{Inside, nitrate_limit};
use crate::biology::load;
use crate::biology::nitrate::NO3_PER_N;
use crate::model::medium::Role;
use crate::model::tank::{Feed, Stock};
use crate::uncertainty::uncertain::{Nominal, Uncertain};
use crate::units::DAY;

/// Nitrate just before a water change.
pub fn nitrate(seen: &mut Seen<'_>, out: &mut Worked) {
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
    inside_steps(seen, &living, out);
    let (Ok(balance), Some(tank)) = (living.nitrate, seen.case.tank) else { return };
    let (Some(volume), Some(change)) = (tank.volume.as_ref(), tank.water_change.as_ref()) else { return };
    let (share, every) = (change.share.si().clamp(0.01, 1.0), change.every.si() / DAY);
    let (tap, plants) = (tank.water.tap_nitrate.si(), tank.plants.si());
    let at_mean = nitrate_limit(balance.cycle.mean / NO3_PER_N);
    let taken = living.potential * at_mean;
    out.step(
        "denitrified = what grains could take × S/(1 + S), S the mean as N",
        format!("{} N × {}", grams(living.potential), number(at_mean)),
        format!("{} N a day, {} of the load", grams(taken), percent(ratio(taken, living.nitrogen))),
    );
    let made = (living.nitrogen - taken) * NO3_PER_N / volume.si() - plants;
    out.step(
        "net production p = (N − denitrified) × 4.4268 / water in the tank − plants",
        format!(
            "({} − {}) × {} / {} l − {}",
            grams(living.nitrogen),
            grams(taken),
            number(NO3_PER_N),
            number(volume.si() * 1e3),
            mg(plants)
        ),
        format!("{} NO3 a day", mg(made)),
    );
    out.step(
        "mean = tap + p T (1/w − 1/2)",
        format!("{} + {} × {} × (1/{} − 1/2)", mg(tap), number(made), number(every), number(share)),
        mg(balance.cycle.mean),
    );
    let peak = (tap + made * every / share).max(0.0);
    out.answer(
        "peak = tap + p T/w, not below 0",
        format!("{} + {} × {} / {}", mg(tap), number(made), number(every), number(share)),
        format!("{} as NO3", mg(peak)),
        peak,
    );
}

fn ratio(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

/// How much nitrate the porous grains could take, and why.
fn inside_steps(seen: &Seen<'_>, living: &Living<f64>, out: &mut Worked) {
    if living.grains.is_empty() {
        out.step("nitrate that grains could take", "no open-pored grains in it", "0 g N a day");
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
    out.step(
        "respiration inside grains f = min(0.5, 0.75 Ap/(Ap + Ao)) × min(1, ammonia margin)",
        format!(
            "Ap {} m2 of open-pored grains, Ao {} m2 of the rest, margin {}",
            number(porous),
            number(other),
            number(margin)
        ),
        percent(share),
    );
    let volume: f64 = living.grains.iter().map(|g| g.volume).sum();
    let k = inside.respiration(share, living.feed, living.nitrogen, volume);
    let airless = inside.airless_share(&living.grains, k, living.celsius, living.oxygen_in);
    out.step(
        "airless share of it, from how deep oxygen reaches into a grain",
        format!("{} l of grain using {} g O2 a litre a day", number(volume * 1e3), number(k * 1e-3)),
        percent(airless),
    );
    out.step(
        "nitrate that grains could take = airless share × f × B F × 0.7/2.86",
        format!("{} × {} × {}", percent(airless), percent(share), grams(inside.per_feed * living.feed)),
        format!("{} N a day, very doubtful", grams(inside.potential(airless, share, living.feed))),
    );
}

/// Surface of open-pored grains and of all other media, without fouling, m2.
fn bare_surfaces(seen: &Seen<'_>) -> (f64, f64) {
    let (mut porous, mut other) = (0.0, 0.0);
    for (n, _, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        let per_volume = medium.surface.as_ref().map_or(0.0, Uncertain::si);
        let area = per_volume * seen.clean.lain[n].free_volume();
        if medium.is_porous() && !medium.is_pad() {
            porous += area * A::ShellFactor.entry().value;
        } else {
            other += area;
        }
    }
    (porous, other)
}

/// The rule of thumb, with what the estimate says beside it.
pub fn rule_of_thumb_tank(seen: &mut Seen<'_>, out: &mut Worked) {
    out.uses(&[A::CycleNormal, A::CycleHeavy, A::HeavyFrom, A::PorousFrom]);
    inputs::laid(out, &seen.case);
    inputs::feed(out, &seen.case);
    inputs::volume(out, &seen.case);
    let mut mass = 0.0;
    let mut found = false;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        if medium.role != Role::Biological || !medium.is_porous() {
            continue;
        }
        found = true;
        inputs::of_medium(out, medium, "dry mass", &medium.dry, "kg/l");
        let volume = seen.clean.lain[n].free_volume();
        let own = medium.dry.si() * volume;
        mass += own;
        out.step(
            format!("porous biological media: {}", inputs::layer_words(at, layer)),
            format!("{} l × {} kg/l", number(volume * 1e3), number(medium.dry.si() * 1e-3)),
            kilograms(own),
        );
    }
    if !found {
        out.step("porous biological media", "none in this build", "0 kg");
    }
    let (heavy, why) = heavy(seen);
    let per_kilogram = if heavy { A::CycleHeavy } else { A::CycleNormal }.entry().value;
    out.step(
        "tank a kilogram carries: common practice, no source",
        why,
        format!("{} l", number(per_kilogram)),
    );
    honest_steps(seen, out);
    let litres = mass * per_kilogram;
    out.answer(
        "cycle litres = porous mass × tank a kilogram carries",
        format!("{} × {} l (common practice, no source)", kilograms(mass), number(per_kilogram)),
        format!("{} l", number(litres)),
        litres,
    );
}

fn heavy(seen: &Seen<'_>) -> (bool, String) {
    let Some(tank) = seen.case.tank else {
        return (false, "no tank given: taken as normally stocked".to_owned());
    };
    if let Feed::Stock(stock) = tank.feed() {
        let heavy = stock == Stock::Heavy;
        return (heavy, if heavy { "heavily stocked" } else { "not heavily stocked" }.to_owned());
    }
    let fed = seen.case.feed::<f64, _>(&Nominal).ok().zip(seen.case.volume::<f64, _>(&Nominal).ok());
    let Some((feed, volume)) = fed else {
        return (false, "food for the volume not known: taken as normally stocked".to_owned());
    };
    let per = load::per_100_l(feed, volume);
    let mark = A::HeavyFrom.entry().value;
    let heavy = per >= mark;
    let against = if heavy { "at or above" } else { "below" };
    (heavy, format!("{} of food per 100 l a day, {against} {} g", grams(per), number(mark)))
}

/// What the estimate says of the rule.
fn honest_steps(seen: &Seen<'_>, out: &mut Worked) {
    let Ok(living) = &seen.told.living else {
        out.step(
            "what the estimate says of it",
            "a tank with its feed is needed; physics does not confirm that such media remove all nitrate",
            "–",
        );
        return;
    };
    let taken = living.nitrate.map_or(living.potential, |b| b.denitrified);
    out.step(
        "the estimate, for nitrate: denitrified / nitrogen load",
        format!(
            "{} / {} N a day; physics does not confirm that such media remove all nitrate",
            grams(taken),
            grams(living.nitrogen)
        ),
        percent(ratio(taken, living.nitrogen)),
    );
    if let Ok(margin) = living.margin {
        out.step(
            "the estimate, for ammonia: margin of the whole build (see `ammonia_capacity`)",
            if margin >= 1.0 {
                "as nitrifiers physics confirms them: they take all that feeding makes"
            } else {
                "as nitrifiers physics confirms such media, but here there are too few for the feeding"
            },
            format!("{} times", number(margin)),
        );
    }
}
