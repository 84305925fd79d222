//! What to do to a unit: one sum, and in full what to buy and how to stack it.

use super::super::figures;
use super::{Case, One, say};
use crate::assess::judge_build;
use crate::assumptions::A;
use crate::measures::Measure;
use crate::model::put_right::State;
use crate::model::{Build, Way};
use crate::propose::shopping::{self, Shopping};

/// Less than this much of a medium is not worth a line, m3.
const NOTHING: f64 = 5e-6;

/// What must be had for the build: with a unit as its cost of putting right counts it, else beside what lies in it now.
fn shopping(case: &Case<'_>, one: &One<'_>) -> Shopping {
    let nothing = Build::empty(one.filter.trays.len());
    let old = if one.unit().is_some() { &nothing } else { one.as_it_is };
    shopping::of(one.filter, old, one.build, case.answer.tank)
}

/// Asking price and putting right, where both are known.
pub fn to_buy(one: &One<'_>) -> Option<f64> {
    Some(one.number(Measure::AskingPrice)? + one.number(Measure::RepairCost)?)
}

/// Something of it has to be mended, bought or stacked anew.
fn asks_for_something(one: &One<'_>) -> bool {
    one.unit().is_some() || one.repacked()
}

/// The share of water that slips past the unit as it is, packed as it is; none where it is taken as it stands.
fn today(case: &Case<'_>, one: &One<'_>) -> Option<f64> {
    let found = one.filter.as_found();
    if !one.repacked() && one.filter.state() != State::AfterRepair {
        return None;
    }
    judge_build(found, one.as_it_is, Some(case.answer.tank)).outcome(Measure::Bypass).number()
}

/// `Parts and media come to 77 EUR, 122 EUR with the asking price.`
pub fn sum(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    if !asks_for_something(one) {
        return case.answer.tank.budget.map(|_| "Its price is not told.".to_owned());
    }
    let parts = one.unit().is_some_and(|unit| !unit.to_fix.is_empty());
    let what = match (parts, one.repacked()) {
        (true, true) => "Parts and media",
        (true, false) => "Parts",
        (false, _) => "Media",
    };
    let slips = today(case, one).filter(|share| *share > A::RiskyBypass.value());
    let now = slips.map_or_else(String::new, |share| {
        format!("As it stands {} of its water slips past; ", figures::share(share))
    });
    let repair = one.number(Measure::RepairCost).or_else(|| shopping(case, one).cost);
    let said = match (repair, to_buy(one)) {
        (Some(repair), _) if repair <= 0.0 => "nothing has to be bought".to_owned(),
        (Some(repair), Some(all)) => match (case.money(repair), case.money(all)) {
            (repair, all) if repair == all => format!("{what} come to {repair}, and it is given away"),
            (repair, all) => format!("{what} come to {repair}, {all} with the price"),
        },
        (Some(repair), None) => format!("{what} come to {}; its price is not told", case.money(repair)),
        (None, _) => format!("what {} cost is not known", super::say::lower(what)),
    };
    let lower = if now.is_empty() { said } else { super::say::lower(&said) };
    Some(super::super::wording::sentence(&format!("{now}{lower}.")))
}

/// `tray 1: fine foam 40 mm` along the water.
fn stack(case: &Case<'_>, one: &One<'_>) -> String {
    let section = &one.row.section;
    let floor = section.floor.iter().map(|floor| ("floor".to_owned(), floor));
    let trays = section.trays.iter().enumerate().map(|(i, tray)| (format!("tray {}", i + 1), tray));
    let mut spaces: Vec<(String, Vec<String>)> = floor
        .chain(trays)
        .filter(|(_, space)| !space.layers.is_empty())
        .map(|(name, space)| {
            let layer = |slab: &crate::assess::assessment::Slab| {
                let height = figures::length(slab.height_mm.round(), case.answer.units);
                format!("{} {height}", slab.id)
            };
            (name, space.layers.iter().map(layer).collect())
        })
        .collect();
    if one.filter.way == Way::Falling {
        spaces.reverse();
        for (_, layers) in &mut spaces {
            layers.reverse();
        }
    }
    let told: Vec<String> =
        spaces.into_iter().map(|(name, layers)| format!("{name} {}", layers.join(", "))).collect();
    told.join("; ")
}

/// In full: what to buy, and how to stack it.
pub fn in_full(case: &Case<'_>, one: &One<'_>) -> Vec<String> {
    let mut said = Vec::new();
    if !asks_for_something(one) {
        return said;
    }
    let shopping = shopping(case, one);
    let mut parts: Vec<String> = one
        .unit()
        .map(|unit| {
            unit.to_fix.iter().map(|r| format!("{} ({})", r.part.words(), case.money(r.price.si()))).collect()
        })
        .unwrap_or_default();
    for item in shopping.items.iter().filter(|item| item.buy > NOTHING) {
        let volume = figures::volume(item.buy * 1e3, case.answer.units);
        let cost = item.cost.map_or_else(|| "price not known".to_owned(), |cost| case.money(cost));
        parts.push(format!("{volume} {} ({cost})", item.medium.id));
    }
    if !parts.is_empty() {
        said.push(format!("To buy: {}.", parts.join(", ")));
    }
    if one.repacked() {
        let way = if one.filter.way == Way::Rising { "from the bottom" } else { "from the top" };
        said.push(format!("Stack {way}: {}.", stack(case, one)));
    }
    let keep: Vec<String> = shopping.keep.iter().map(|(medium, _)| medium.id.clone()).collect();
    if !keep.is_empty() {
        said.push(format!("Keep the old {} running beside it for six weeks.", say::list(&keep)));
    }
    said
}
