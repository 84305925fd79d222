//! The tank as it was told, and what had to be assumed of it.

use super::super::figures::{self, Units};
use super::super::sources;
use super::words;
use crate::biology::load;
use crate::compare::requirements::{Bound, Limit};
use crate::measures::Measure;
use crate::model::tank::{Feed, Stock, Tank};
use crate::uncertainty::uncertain::{Nominal, Provenance, Spread, Uncertain};
use crate::units::{DAY, Quantity};

/// Whose is it: told by a person, or the program's own?
fn told<Q: Quantity>(figure: &Uncertain<Q>) -> bool {
    figure.known != Provenance::Assumed
}

/// `For the reading-room tank: 180 l at 25 °C, ...`.
pub fn restated(tank: &Tank, units: Units) -> String {
    let warm = told(&tank.water.temperature).then(|| temperature(tank, units));
    let volume = tank.volume.as_ref().map(|v| figures::volume(v.si() * 1e3, units));
    let start = match (volume, warm) {
        (Some(volume), Some(warm)) => format!("For {volume} at {warm} ({})", tank.name),
        (Some(volume), None) => format!("For {volume} ({})", tank.name),
        (None, Some(warm)) => format!("For {} at {warm}", tank.name),
        (None, None) => format!("For {}", tank.name),
    };
    let mut facts = Vec::new();
    facts.extend(fed(tank));
    if told(&tank.plants) && tank.plants.si() > 0.0 {
        facts.push(format!("plants that take {} mg/l of nitrate a day", sources::plain(tank.plants.si())));
    }
    if let Some(change) = &tank.water_change {
        facts.push(format!(
            "{} changed {}",
            figures::part(change.share.si()),
            every(change.every.si() / DAY)
        ));
    }
    if told(&tank.hoses.intake) {
        facts.push(hoses(tank, units));
    }
    if tank.hoses.outlet_above_water.si() > 0.0 {
        let above = figures::length(tank.hoses.outlet_above_water.si() * 1e3, units);
        facts.push(format!("the outlet {above} above the water"));
    }
    if tank.water.salt {
        facts.push("sea water, computed as fresh".to_owned());
    }
    let facts = if facts.is_empty() { String::new() } else { format!(": {}", facts.join(", ")) };
    format!("{start}{facts}.{}", asked(tank, units))
}

fn temperature(tank: &Tank, units: Units) -> String {
    let celsius = tank.water.temperature.si();
    match units {
        Units::Us => format!("{:.0} °F", celsius * 9.0 / 5.0 + 32.0),
        Units::Metric | Units::Uk => format!("{} °C", sources::plain(celsius)),
    }
}

fn hoses(tank: &Tank, units: Units) -> String {
    let length = |x: f64| match units {
        Units::Us => figures::head(x, units),
        Units::Metric | Units::Uk => format!("{} m", sources::plain(x)),
    };
    let bends = tank.hoses.bends.si();
    format!(
        "{} of hose out and {} back with {} bend{} in each",
        length(tank.hoses.intake.si()),
        length(tank.hoses.return_side.si()),
        sources::plain(bends),
        if (bends - 1.0).abs() < 1e-9 { "" } else { "s" }
    )
}

fn fed(tank: &Tank) -> Option<String> {
    match &tank.feed() {
        Feed::Daily(figure) => Some(match figure.spread {
            Spread::Uniform { low, high } => {
                format!("{} to {} g of dry food a day", sources::plain(low), sources::plain(high))
            }
            _ => format!("{} g of dry food a day", sources::plain(figure.si())),
        }),
        Feed::Stock(stock) => Some(
            match stock {
                Stock::Light => "lightly stocked",
                Stock::Normal => "normally stocked",
                Stock::Heavy => "heavily stocked",
            }
            .to_owned(),
        ),
        Feed::Unknown => None,
    }
}

/// `every week`, `every 10 days`.
fn every(days: f64) -> String {
    match days.round() as i64 {
        1 => "every day".to_owned(),
        7 => "every week".to_owned(),
        n if n % 7 == 0 => format!("every {} weeks", n / 7),
        n => format!("every {n} days"),
    }
}

/// What the musts and the budget ask.
fn asked(tank: &Tank, units: Units) -> String {
    let mut parts: Vec<String> = Vec::new();
    for limit in Limit::all(tank) {
        let value = |x: f64| round(&words::value(limit.measure, x, &tank.currency, units));
        parts.push(match (limit.measure, limit.bound) {
            (_, Bound::Yes) => {
                let cabinet = tank.cabinet.as_ref().map(|c| {
                    let side = |f: &Uncertain<crate::units::Length>| figures::length(f.si() * 1e3, units);
                    let (width, depth, height) = (side(&c.width), side(&c.depth), side(&c.height));
                    // The unit once, at the end.
                    let short = |text: &str| text.split(' ').next().unwrap_or_default().to_owned();
                    format!("{} × {} × {height}", short(&width), short(&depth))
                });
                cabinet.map_or_else(
                    || "fit the cabinet".to_owned(),
                    |sides| format!("fit a cabinet of {sides} (width, depth, height)"),
                )
            }
            (Measure::Turnover, Bound::AtLeast(x)) => format!("turn the tank over at least {}", value(x)),
            (Measure::AmmoniaCapacity, Bound::AtLeast(x)) if (x - 1.0).abs() < 1e-9 => {
                "carry all the ammonia that the feeding makes".to_owned()
            }
            (Measure::FullWeight, Bound::AtMost(x)) => format!("weigh at most {} full", value(x)),
            (Measure::FirstYearCost, Bound::AtMost(x)) => {
                format!("cost at most {} in the first year", value(x))
            }
            (Measure::BypassDirty, Bound::AtMost(x)) => {
                format!("let at most {} slip past when dirty", value(x))
            }
            (measure, Bound::AtLeast(x)) => {
                format!("keep {} at {} or more", words::spoken(measure), value(x))
            }
            (measure, Bound::AtMost(x)) => format!("keep {} at {} or less", words::spoken(measure), value(x)),
        });
    }
    let mut out = String::new();
    if !parts.is_empty() {
        out.push_str(&format!(" It must {}.", words::list(&parts)));
    }
    if let Some(budget) = tank.budget {
        let budget = words::value(Measure::RepairCost, budget, &tank.currency, units);
        out.push_str(&format!(" About {budget} to spend."));
    }
    out
}

/// A bound as a person sets it: `3 times an hour`, not `3.0`.
pub fn round(text: &str) -> String {
    match text.split_once(".0 ") {
        Some((whole, rest)) if whole.chars().all(|c| c.is_ascii_digit()) => format!("{whole} {rest}"),
        _ => text.to_owned(),
    }
}

/// What nobody told; nothing where all was told.
pub fn assumed(tank: &Tank, units: Units) -> String {
    let mut parts = Vec::new();
    if let Feed::Stock(_) = &tank.feed() {
        let volume = tank.volume.as_ref().map(Uncertain::si);
        if let Ok(grams) = load::fed::<f64>(&tank.feed(), volume, &Nominal) {
            parts.push(format!(
                "{} g of dry food a day from the stocking (half or twice that is possible, so weigh a week's food)",
                sources::plain((grams * 10.0).round() / 10.0)
            ));
        }
    }
    if !told(&tank.water.temperature) {
        parts.push(temperature(tank, units));
    }
    if !told(&tank.hoses.intake) {
        parts.push(hoses(tank, units));
    }
    if !told(&tank.food.protein) {
        parts.push(format!("{} protein in the food", figures::share(tank.food.protein.si())));
    }
    if !told(&tank.water.tap_nitrate) {
        parts.push(format!(
            "{} mg/l of nitrate in the tap water",
            sources::plain(tank.water.tap_nitrate.si())
        ));
    }
    let mut out = String::new();
    if !parts.is_empty() {
        out = format!("Nobody said, so I take {}.", words::list(&parts));
    }
    let missing: Vec<String> = [
        (tank.volume.is_none(), "the volume"),
        (matches!(tank.feed(), Feed::Unknown), "the feeding or stocking"),
        (tank.water_change.is_none(), "the water changes"),
    ]
    .into_iter()
    .filter(|(missing, _)| *missing)
    .map(|(_, what)| what.to_owned())
    .collect();
    if !missing.is_empty() {
        out.push_str(&format!(
            "{}I don't know {}, so what follows from it is left out.",
            if out.is_empty() { "" } else { " " },
            words::list(&missing)
        ));
    }
    out
}
