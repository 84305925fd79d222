//! Power and money.

use super::chain::Worked;
use super::words::{litres, money, number, sum};
use super::{Seen, inputs};
use crate::assess::figures::bought;
use crate::assumptions::A;
use crate::cost::{KWH_A_WATT, working_lamp};
use crate::uncertainty::uncertain::Provenance;
use crate::units::{DAY, YEAR_DAYS};

/// Hours in a year.
const YEAR_HOURS: f64 = 8766.0;
/// Litres in a m3.
const LITRES: f64 = 1e3;
/// A lack below a cubic millimetre is rounding.
const NOTHING: f64 = 1e-9;

fn currency<'a>(seen: &'a Seen<'_>) -> &'a str {
    seen.case.tank.map_or("", |t| t.currency.as_str())
}

/// Pump and lamp; the watts come back.
fn watts(seen: &Seen<'_>, out: &mut Worked) -> Option<f64> {
    let filter = seen.case.filter;
    let power = filter.pump.power.as_ref()?;
    out.input("pump", power, "W");
    inputs::mains(out, filter, seen.case.tank);
    let mains = seen.clean.laws.outside.as_ref().map_or(1.0, |o| o.mains);
    let pump = power.si() * mains.powi(3);
    if (mains - 1.0).abs() > 1e-12 {
        out.step(
            "pump × (mains here / mains of its figures)³, an upper end",
            format!("{} W × {}³", number(power.si()), number(mains)),
            format!("{} W", number(pump)),
        );
    }
    let lamp = working_lamp(filter).map_or(0.0, |uv| {
        out.input("lamp", &uv.lamp, "W");
        uv.lamp.si()
    });
    if filter.uv.is_some() && lamp <= 0.0 {
        out.step("lamp", "it does not work, so it draws nothing", "0 W");
    }
    out.step(
        "watts = pump + working lamp",
        format!("{} + {}", number(pump), number(lamp)),
        format!("{} W", number(pump + lamp)),
    );
    Some(pump + lamp)
}

/// Pump and lamp.
pub fn power(seen: &mut Seen<'_>, out: &mut Worked) {
    let Some(watts) = watts(seen, out) else { return };
    out.answer("power", "running day and night", format!("{} W", number(watts)), watts);
}

/// Repairs and missing media; the sum comes back, none where a price is not known.
fn right_steps(seen: &Seen<'_>, out: &mut Worked) -> Option<f64> {
    let unit = seen.case.filter.unit.as_ref()?;
    let name = currency(seen);
    let (mut total, mut terms) = (0.0, Vec::new());
    for repair in &unit.to_fix {
        out.input(format!("to fix: {}", repair.part), &repair.price, name);
        total += repair.price.si();
        terms.push(money(repair.price.si(), ""));
        out.step("to fix", repair.part.clone(), money(repair.price.si(), name));
    }
    let volumes = bought(&seen.case, &seen.told.way);
    let mut known = true;
    for (at, (medium, _)) in volumes.iter().enumerate() {
        if volumes.iter().take(at).any(|(before, _)| before.id == medium.id) {
            continue;
        }
        let label = format!("media: {}", medium.name);
        if unit.includes.contains(&medium.id) {
            out.said(format!("comes with it: {}", medium.name), "as much as it holds", Provenance::Stated);
            out.step(label, "comes with the unit", money(0.0, name));
            continue;
        }
        let needed: f64 = volumes.iter().filter(|(m, _)| m.id == medium.id).map(|(_, v)| v).sum();
        let mut on_hand = 0.0;
        for held in seen.case.tank.iter().flat_map(|t| &t.on_hand).filter(|h| h.medium == medium.id) {
            out.input(format!("on hand: {}", medium.name), &held.volume, "l");
            on_hand += held.volume.si();
        }
        let lack = needed - on_hand;
        if lack <= NOTHING {
            let have = format!("{} needed, {} on hand", litres(needed), litres(on_hand));
            out.step(label, have, money(0.0, name));
            continue;
        }
        let Some(price) = &medium.price else {
            known = false;
            out.step(label, format!("{} to buy, price not known", litres(lack)), "–");
            continue;
        };
        inputs::of_medium(out, medium, "price a litre", price, name);
        let cost = lack * LITRES * price.si();
        total += cost;
        terms.push(money(cost, ""));
        out.step(
            label,
            format!(
                "({} needed − {} on hand) × {} a litre",
                litres(needed),
                litres(on_hand),
                money(price.si(), name)
            ),
            money(cost, name),
        );
    }
    known.then(|| {
        out.step("put right = repairs + media to buy", sum(&terms), money(total, name));
        total
    })
}

/// Repairs and missing media.
pub fn repair_cost(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::laid(out, &seen.case);
    let Some(total) = right_steps(seen, out) else { return };
    // The sum is the measure itself.
    let last = out.explanation.lines.len() - 1;
    out.answer = Some((last, total));
}

/// Asking price, putting right, power, wear.
pub fn first_year_cost(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::laid(out, &seen.case);
    let name = currency(seen).to_owned();
    let filter = seen.case.filter;
    let asking = filter.unit.as_ref().and_then(|u| u.asking.as_ref());
    if let Some(asking) = asking {
        out.input("asking price", asking, &name);
        out.step("asking price", "", money(asking.si(), &name));
    }
    let right = right_steps(seen, out);
    let watts = watts(seen, out);
    let tariff = seen.case.tank.and_then(|t| t.power_price.as_ref());
    let power = watts.zip(tariff).map(|(watts, tariff)| {
        out.input("price of power, a kWh", tariff, &name);
        let cost = watts * KWH_A_WATT * tariff.si();
        out.step(
            "power = W × 8.766 kWh a year × price",
            format!("{} W × {} × {}", number(watts), KWH_A_WATT, money(tariff.si(), &name)),
            money(cost, &name),
        );
        cost
    });
    let wear = wear_steps(seen, out, &name);
    let (Some(asking), Some(right), Some(power), Some(wear)) = (asking, right, power, wear) else { return };
    let year = asking.si() + right + power + wear;
    let terms = [asking.si(), right, power, wear].map(|x| money(x, ""));
    out.answer("first year = asking + put right + power + wear", sum(&terms), money(year, &name), year);
}

/// Media and lamp worn out in a year, in fractions of a life.
fn wear_steps(seen: &Seen<'_>, out: &mut Worked, name: &str) -> Option<f64> {
    let (mut total, mut known) = (0.0, true);
    for (medium, volume) in bought(&seen.case, &seen.told.way) {
        let Some(life) = &medium.life else { continue };
        inputs::of_medium(out, &medium, "lasts", life, "months");
        let years = life.si() / (YEAR_DAYS * DAY);
        let Some(price) = &medium.price else {
            known = false;
            out.step(format!("wear: {}", medium.name), "it wears out, price not known", "–");
            continue;
        };
        inputs::of_medium(out, &medium, "price a litre", price, name);
        let cost = volume * LITRES * price.si() / years;
        total += cost;
        out.step(
            format!("wear: {} = volume × price × year/life", medium.name),
            format!("{} × {} / {} years", litres(volume), money(price.si(), name), number(years)),
            money(cost, name),
        );
    }
    if let Some(uv) = working_lamp(seen.case.filter) {
        out.uses(&[A::UvLife]);
        match &uv.price {
            None => {
                known = false;
                out.step("wear: lamp", "price not known", "–");
            }
            Some(price) => {
                out.input("price of a lamp", price, name);
                let life = A::UvLife.entry().value;
                let cost = price.si() * YEAR_HOURS / life;
                total += cost;
                out.step(
                    "wear: lamp = price × 8766 h / rated hours",
                    format!("{} × {} / {}", money(price.si(), name), YEAR_HOURS, number(life)),
                    money(cost, name),
                );
            }
        }
    }
    known.then_some(total)
}
