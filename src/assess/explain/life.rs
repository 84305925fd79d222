//! Ammonia and oxygen.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::chain::Worked;
use super::words::{as_given, flow as lh, grams, mg, number, percent};
use super::{Seen, inputs, room, water};
use crate::assess::biology::{Living, removal};
use crate::assumptions::A;
use crate::biology::nitrifying::{self, MOST_TAN, Surface};
use crate::biology::oxygen;
use crate::hydraulics::transport::Carried;
use crate::uncertainty::uncertain::Nominal;
use crate::units::DAY;

fn value(a: A) -> f64 {
    a.entry().value
}

/// What the media take at the aim over what feeding makes.
pub fn ammonia_capacity(seen: &mut Seen<'_>, out: &mut Worked) {
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
        A::CarryOver,
    ]);
    let (Some(_), Ok(living)) = (clean, seen.told.living.clone()) else { return };
    out.step(
        "ammonia nitrogen made = dry food × protein × N per protein",
        format!("{} × {} × {}", grams(living.feed), percent(living.protein), number(value(A::TanPerProtein))),
        format!("{} N a day", grams(living.tan)),
    );
    oxygen_in_step(&living, out);
    let aim = value(A::AimTan);
    let surface = Surface::<f64>::drawn(&Nominal);
    let k1 = surface.first_order(aim, living.celsius, living.oxygen_in);
    out.step(
        "a surface's speed k1 = rmax θ^(t−20) fDO / (Ks + S), S the aim",
        format!(
            "{} × {}^({} − 20) × {} / ({} + {})",
            number(surface.max),
            as_given(surface.theta),
            number(living.celsius),
            number(k1 * (surface.half + aim) / surface.max / surface.theta.powf(living.celsius - 20.0)),
            number(surface.half),
            number(aim)
        ),
        format!("{} m a day", number(k1)),
    );
    let taken = layer_steps(seen, &living, k1, aim, out);
    out.step("removal at the aim = sum of the layers", "", format!("{} N a day", grams(taken)));
    if living.margin.is_err() {
        return;
    }
    toxic_steps(seen, &living, &surface, out);
    let margin = taken / living.tan;
    out.answer(
        "margin = removal at the aim / ammonia nitrogen made",
        format!("{} / {}", grams(taken), grams(living.tan)),
        number(margin),
        margin,
    );
}

/// Surface and takings of each layer at the aim; their sum comes back, g N a day.
fn layer_steps(seen: &Seen<'_>, living: &Living<f64>, k1: f64, aim: f64, out: &mut Worked) -> f64 {
    let way = &seen.told.way;
    let mut carried = Carried::new(seen.case.plan.what.len());
    removal(&seen.case, way, &living.areas, k1, aim, &mut carried);
    let mut sum = 0.0;
    let mut mechanical_before = false;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        let name = inputs::layer_words(at, layer);
        let fouled = nitrifying::is_fouled(medium.role, mechanical_before);
        mechanical_before |= medium.role.fineness().is_some();
        let Some(per_litre) = &medium.surface else {
            out.step(format!("{name}: surface for bacteria"), "none counted", "0 m2");
            continue;
        };
        inputs::of_medium(out, medium, "surface", per_litre, "m2/l");
        let volume = seen.clean.lain[n].free_volume();
        let mut factors = format!("{} l × {} m2/l", number(volume * 1e3), number(per_litre.si() * 1e-3));
        let mut area = volume * per_litre.si();
        if medium.is_porous() && !medium.is_pad() {
            let shell = value(A::ShellFactor);
            area *= shell;
            factors = format!("{factors} × {} for its open shell", number(shell));
            out.uses(&[A::ShellFactor, A::PorousFrom]);
        }
        if fouled {
            let fouling = value(A::FoulingFactor);
            area *= fouling;
            factors = format!("{factors} × {} for the dirt on it", number(fouling));
            out.uses(&[A::FoulingFactor]);
        }
        out.step(format!("{name}: surface for bacteria A"), factors, format!("{} m2", number(area)));
        let daily = way.flows[at.media] * DAY;
        let enters = carried.entering[at.media] * aim;
        let taken = daily * enters * (1.0 - (-k1 * area / daily.max(1e-30)).exp());
        sum += taken;
        out.step(
            "takes q S (1 − e^(−k1 A/q))",
            format!(
                "{} through it at {}, k1 A/q {}",
                lh(way.flows[at.media]),
                mg(enters),
                number(k1 * area / daily.max(1e-30))
            ),
            format!("{} N a day", grams(taken)),
        );
    }
    sum
}

/// The tank's steady ammonia and how much of it is poisonous.
fn toxic_steps(seen: &Seen<'_>, living: &Living<f64>, surface: &Surface<f64>, out: &mut Worked) {
    let mut carried = Carried::new(seen.case.plan.what.len());
    let carried = std::cell::RefCell::new(&mut carried);
    let steady = nitrifying::steady_tan(living.tan, |s: f64| {
        let k1 = surface.first_order(s, living.celsius, living.oxygen_in);
        removal(&seen.case, &seen.told.way, &living.areas, k1, s, &mut carried.borrow_mut())
    });
    if steady >= MOST_TAN * 0.99 {
        out.step(
            "steady ammonia nitrogen in the tank: where removal = what is made",
            "these media alone never take so much, at any concentration",
            "it builds up: test the water",
        );
        return;
    }
    let aim = value(A::AimTan);
    let below = if steady < aim { ", below a kit's resolution" } else { ", a kit can see it" };
    out.step(
        "steady ammonia nitrogen in the tank: where removal = what is made",
        "media alone, ripe; plants and the tank's own surfaces come on top",
        format!("{}{below}", mg(steady)),
    );
    let Some(ph) = seen.case.tank.and_then(|t| t.water.ph.as_ref()) else {
        out.step("un-ionised (NH3) part of it", "give the tank's water its `ph`", "–");
        return;
    };
    out.input("pH", ph, "");
    let share = nitrifying::un_ionised(living.celsius, ph.si());
    out.step(
        "un-ionised (NH3) share = 1/(1 + 10^(pKa − pH)), fresh water",
        format!("pH {}, {} °C", number(ph.si()), number(living.celsius)),
        format!("{}, so {} NH3-N", percent(share), mg(steady * share)),
    );
}

fn oxygen_in_step(living: &Living<f64>, out: &mut Worked) {
    out.step(
        "oxygen entering = share of saturation (Benson & Krause)",
        format!(
            "{} × {} at {} °C",
            percent(value(A::OxygenIn)),
            mg(oxygen::saturation(living.celsius)),
            number(living.celsius)
        ),
        mg(living.oxygen_in),
    );
}

/// Oxygen of the returning water, and how long a stopped filter's lasts.
pub fn oxygen_out(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::feed(out, &seen.case);
    inputs::protein(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&[A::OxygenIn, A::OxygenPerNitrogen, A::OxygenPerFeed, A::NitratePerProtein]);
    let (Some(q), Ok(living)) = (clean, seen.told.living.clone()) else { return };
    oxygen_in_step(&living, out);
    nitrogen_step(&living, out);
    let (per_n, per_f) = (value(A::OxygenPerNitrogen), value(A::OxygenPerFeed));
    let daily = per_n * living.nitrogen + per_f * living.feed;
    out.step(
        "oxygen used in the box = 4.57 N + B F",
        format!(
            "{} × {} + {} × {}",
            number(per_n),
            grams(living.nitrogen),
            number(per_f),
            grams(living.feed)
        ),
        format!("{} a day", grams(daily)),
    );
    let drop = daily / (q * DAY);
    out.step("drop in one pass = use / flow", format!("{} a day / {}", grams(daily), lh(q)), mg(drop));
    if let Some(water) = room::water_inside(&seen.case, &seen.clean) {
        let hours = oxygen::hours_to_scarce(water, living.oxygen_in, daily);
        if hours.is_finite() {
            out.step(
                "if the pump stops: hours to 2 mg/l = water inside × (DO − 2) / use",
                format!(
                    "{} l × ({} − {}) / {} a day",
                    number(water * 1e3),
                    mg(living.oxygen_in),
                    number(oxygen::SCARCE),
                    grams(daily)
                ),
                format!("{} h", number(hours)),
            );
        }
    }
    let leaves = (living.oxygen_in - drop).max(0.0);
    out.answer(
        "oxygen out = oxygen entering − drop",
        format!("{} − {}", mg(living.oxygen_in), mg(drop)),
        mg(leaves),
        leaves,
    );
}

/// Nitrogen that ends as nitrate.
pub fn nitrogen_step(living: &Living<f64>, out: &mut Worked) {
    out.uses(&[A::NitratePerProtein]);
    out.step(
        "nitrogen load N = dry food × protein × N that ends as nitrate",
        format!(
            "{} × {} × {}",
            grams(living.feed),
            percent(living.protein),
            number(value(A::NitratePerProtein))
        ),
        format!("{} N a day", grams(living.nitrogen)),
    );
}
