//! Power and money.

use super::inputs;
use crate::assess::figures::bought;
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Seen, Trace};
use crate::assumptions::A;
use crate::cost::{KWH_A_WATT, NOTHING, YEAR_HOURS, working_lamp};
use crate::uncertainty::Provenance;
use crate::units::{LITRES, YEAR};

fn watts(seen: &Seen<'_>, out: &mut Trace) -> Option<f64> {
    let filter = seen.case.filter;
    let power = filter.pump.power.as_ref()?;
    out.input("pump", power, "W");
    inputs::mains(out, filter, seen.case.tank);
    let mains = seen.clean.laws.outside.as_ref().map_or(1.0, |o| o.mains);
    let pump = power.si() * mains.powi(3);
    if (mains - 1.0).abs() > 1e-12 {
        out.step(Eq::PumpAtMains, [power.si(), mains, pump].map(Value::Number));
    }
    let lamp = working_lamp(filter).map_or(0.0, |uv| {
        out.input("lamp", &uv.lamp, "W");
        uv.lamp.si()
    });
    if filter.uv.is_some() && lamp <= 0.0 {
        out.step(Eq::DeadLamp, []);
    }
    out.step(Eq::Watts, [pump, lamp, pump + lamp].map(Value::Number));
    Some(pump + lamp)
}

pub fn power(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(watts) = watts(seen, out) else { return };
    out.answer(Eq::Power, [Value::Number(watts)], watts);
}

/// Repairs and missing media; the sum comes back with its terms, `None` where a price is not known.
fn repair_steps(seen: &Seen<'_>, out: &mut Trace) -> Option<(Value, f64)> {
    let unit = seen.case.filter.unit.as_ref()?;
    let mut terms = Vec::new();
    for repair in &unit.to_fix {
        out.price(format!("to fix: {}", repair.part.words()), &repair.price);
        terms.push(Value::Money(repair.price.si()));
        out.step(Eq::ToFix, [repair.part.words().into(), Value::Money(repair.price.si())]);
    }
    let volumes = bought(&seen.case, &seen.told.way);
    let mut known = true;
    for (at, (medium, _)) in volumes.iter().enumerate() {
        if volumes.iter().take(at).any(|(before, _)| before.id == medium.id) {
            continue;
        }
        let name = || medium.name.clone().into();
        if unit.includes.contains(&medium.id) {
            out.said(format!("comes with it: {}", medium.name), "as much as it holds", Provenance::Stated);
            out.step(Eq::ComesWithIt, [name(), Value::Money(0.0)]);
            continue;
        }
        let needed: f64 = volumes.iter().filter(|(m, _)| m.id == medium.id).map(|(_, v)| v).sum();
        let mut on_hand = 0.0;
        for held in seen.case.tank.iter().flat_map(|t| &t.on_hand).filter(|h| h.medium == medium.id) {
            out.input(format!("on hand: {}", medium.name), &held.volume, "l");
            on_hand += held.volume.si();
        }
        let lack = needed - on_hand;
        let (needed, on_hand) = (Value::Volume(needed), Value::Volume(on_hand));
        if lack <= NOTHING {
            out.step(Eq::OnHand, [name(), needed, on_hand, Value::Money(0.0)]);
        } else if let Some(price) = &medium.price {
            out.per_litre(format!("{}, price", medium.name), price);
            let cost = Value::Money(lack * LITRES * price.si());
            terms.push(cost.clone());
            out.step(Eq::MediaCost, [name(), needed, on_hand, Value::PerLitre(price.si()), cost]);
        } else {
            known = false;
            out.step(Eq::NoPrice, [name(), Value::Volume(lack)]);
        }
    }
    let terms = Value::Sum(terms);
    let total = terms.number().unwrap_or(0.0);
    known.then_some((terms, total))
}

pub fn repair_cost(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::laid(out, &seen.case);
    let Some((terms, total)) = repair_steps(seen, out) else { return };
    out.answer(Eq::RepairCost, [terms, Value::Money(total)], total);
}

pub fn asking_price(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(asking) = seen.case.filter.unit.as_ref().and_then(|u| u.asking.as_ref()) else { return };
    out.price("asking price", asking);
    out.answer(Eq::Asking, [Value::Money(asking.si())], asking.si());
}

pub fn first_year_cost(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::laid(out, &seen.case);
    let asking = seen.case.filter.unit.as_ref().and_then(|u| u.asking.as_ref());
    if let Some(asking) = asking {
        out.price("asking price", asking);
        out.step(Eq::Asking, [Value::Money(asking.si())]);
    }
    let repairs = repair_steps(seen, out).map(|(terms, total)| {
        out.step(Eq::RepairCost, [terms, Value::Money(total)]);
        total
    });
    let watts = watts(seen, out);
    let tariff = seen.case.tank.and_then(|t| t.power_price.as_ref());
    let power = watts.zip(tariff).map(|(watts, tariff)| {
        out.price("price of power, a kWh", tariff);
        let cost = watts * KWH_A_WATT * tariff.si();
        out.step(Eq::PowerCost, parts![Number watts, Given KWH_A_WATT, Money tariff.si(), Money cost]);
        cost
    });
    let wear = wear_steps(seen, out);
    let (Some(asking), Some(repairs), Some(power), Some(wear)) = (asking, repairs, power, wear) else {
        return;
    };
    let terms = Value::Sum([asking.si(), repairs, power, wear].map(Value::Money).into());
    let year = terms.number().unwrap_or(0.0);
    out.answer(Eq::FirstYear, [terms, Value::Money(year)], year);
}

/// Media and lamp worn out in a year, in fractions of a life.
fn wear_steps(seen: &Seen<'_>, out: &mut Trace) -> Option<f64> {
    let (mut total, mut known) = (0.0, true);
    for (medium, volume) in bought(&seen.case, &seen.told.way) {
        let Some(life) = &medium.life else { continue };
        out.input(format!("{}, lasts", medium.name), life, "months");
        let Some(price) = &medium.price else {
            known = false;
            out.step(Eq::WearUnknown, [medium.name.clone().into()]);
            continue;
        };
        out.per_litre(format!("{}, price", medium.name), price);
        let years = life.si() / YEAR;
        let cost = volume * LITRES * price.si() / years;
        total += cost;
        let name = medium.name.clone();
        out.step(Eq::Wear, parts![Words name, Volume volume, PerLitre price.si(), Number years, Money cost]);
    }
    if let Some(uv) = working_lamp(seen.case.filter) {
        out.uses(&[A::UvLife]);
        if let Some(price) = &uv.price {
            out.price("price of a lamp", price);
            let life = A::UvLife.entry().value;
            let cost = price.si() * YEAR_HOURS / life;
            total += cost;
            out.step(Eq::LampWear, parts![Money price.si(), Given YEAR_HOURS, Number life, Money cost]);
        } else {
            known = false;
            out.step(Eq::LampPriceUnknown, []);
        }
    }
    known.then_some(total)
}
