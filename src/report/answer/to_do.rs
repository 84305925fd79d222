//! What to do to each: how to stack it, what to buy, and the single repairs that gain most, each run through the
//! model again.

use std::sync::Arc;

use super::super::figures;
use super::before_paying::trays;
use super::words;
use super::{Case, One};
use crate::assess::improvements::{Repair, repairs};
use crate::measures::{Measure, Outcome};
use crate::model::edit::{Edit, Side, Workpiece};
use crate::model::filter::{Build, Way};
use crate::model::hoses::Fitting;
use crate::model::medium::Role;
use crate::model::tray::Layer;
use crate::propose::shopping::{self, Item, Shopping};

/// Repairs told of one unit at most.
const REPAIRS: usize = 2;
/// Gain from which something larger than what is there is worth a word, of [`Repair::score`].
const MUCH: f64 = 0.1;
/// Less than this much of a medium is not worth a line, m3.
const NOTHING: f64 = 5e-6;

/// A few lines for the first and those level with it, one for each of the others.
pub fn lines(case: &Case<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for (place, one) in case.listed.iter().enumerate() {
        let mut said = Vec::new();
        if place < case.tied && (one.repacked() || one.unit().is_some()) {
            said.extend(stack(case, one));
        }
        said.extend(parts(case, one));
        said.extend(mend(case, one));
        if !said.is_empty() {
            out.push(format!("{}: {}", words::sentence(&case.name(one)), said.join(" ")));
        }
    }
    out
}

/// The stack along the water: `Stack it along the water: floor, ...; tray 1, ...`.
fn stack(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let section = &one.row.section;
    let mut spaces: Vec<(String, Vec<String>)> = Vec::new();
    let layers = |slabs: &[crate::assess::assessment::Slab]| -> Vec<String> {
        slabs
            .iter()
            .map(|s| format!("{} of {}", figures::length(s.height_mm, case.answer.units), s.name))
            .collect()
    };
    if let Some(floor) = &section.floor {
        spaces.push(("floor".to_owned(), layers(&floor.layers)));
    }
    for (i, tray) in section.trays.iter().enumerate() {
        spaces.push((format!("tray {}", i + 1), layers(&tray.layers)));
    }
    if one.filter.way == Way::Falling {
        spaces.reverse();
        for (_, layers) in &mut spaces {
            layers.reverse();
        }
    }
    let told: Vec<String> = spaces
        .into_iter()
        .filter(|(place, layers)| !layers.is_empty() || place != "floor")
        .map(|(place, layers)| {
            format!(
                "{place}: {}",
                if layers.is_empty() { "nothing".to_owned() } else { words::list(&layers) }
            )
        })
        .collect();
    (!told.is_empty()).then(|| {
        let from = if one.filter.way == Way::Rising { "from the bottom" } else { "from the top" };
        format!("Stack it {from}, as the water goes: {}.", told.join("; "))
    })
}

/// Parts and media to pay for, which together are the cost of putting it right.
fn parts(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let nothing =
        Build { name: String::new(), floor: Vec::new(), trays: vec![Vec::new(); one.filter.trays.len()] };
    // For a unit that is for sale the media count as the cost of putting it right counts them; else what lies in
    // it now is there already.
    let old = if one.unit().is_some() { &nothing } else { one.as_it_is };
    if one.unit().is_none() && !one.repacked() {
        return None;
    }
    let shopping = shopping::of(one.filter, old, one.build, case.answer.tank);
    let mut told: Vec<String> = one
        .unit()
        .map(|unit| {
            unit.to_fix.iter().map(|r| format!("{} ({})", r.part, case.money(r.price.si()))).collect()
        })
        .unwrap_or_default();
    told.extend(shopping.items.iter().filter(|item| item.buy > NOTHING).map(|item| bought(case, item)));
    if told.is_empty() {
        return Some("Nothing has to be bought.".to_owned());
    }
    let all = one.number(Measure::RepairCost).or(shopping.cost).map_or_else(String::new, |all| {
        if told.len() > 1 { format!("; in all {}", about(case, all)) } else { String::new() }
    });
    let kept = kept(case, &shopping);
    Some(format!("To buy: {}{all}.{kept}", words::list(&told)))
}

/// What is computed is no finer than whole money.
fn about(case: &Case<'_>, amount: f64) -> String {
    if amount < 1.0 { format!("less than {}", case.money(1.0)) } else { case.money(amount.round()) }
}

/// `1.1 l of fine foam, 30 PPI 14 EUR`.
fn bought(case: &Case<'_>, item: &Item) -> String {
    let volume = figures::volume(item.buy * 1e3, case.answer.units);
    let cost = item.cost.map_or_else(|| "price not known".to_owned(), |cost| about(case, cost));
    format!("{volume} of {} ({cost})", item.medium.name)
}

/// Old media that must not go all at once.
fn kept(case: &Case<'_>, shopping: &Shopping) -> String {
    let names: Vec<String> = shopping
        .keep
        .iter()
        .map(|(medium, volume)| {
            format!("{} of {}", figures::volume(volume * 1e3, case.answer.units), medium.name)
        })
        .collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(
            " If it runs on this tank now, keep {} wet and running beside it for six to eight weeks.",
            words::list(&names)
        )
    }
}

/// New biological media are bought for it.
pub fn buys_biological(case: &Case<'_>, one: &One<'_>) -> bool {
    let nothing =
        Build { name: String::new(), floor: Vec::new(), trays: vec![Vec::new(); one.filter.trays.len()] };
    let old = if one.unit().is_some() { &nothing } else { one.as_it_is };
    let shopping = shopping::of(one.filter, old, one.build, case.answer.tank);
    shopping.items.iter().any(|item| item.medium.role == Role::Biological && item.buy > NOTHING)
}

/// The repairs that gain most, as one sentence.
fn mend(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let piece =
        Workpiece::new(Arc::clone(one.filter), one.build.clone(), Some(Arc::new(case.answer.tank.clone())));
    let mut found = repairs(&piece);
    // What is worn or cut badly comes before what would merely be larger.
    found.sort_by_key(|repair| u8::from(larger(&repair.edit)));
    let mut told: Vec<String> = Vec::new();
    let mut kinds = Vec::new();
    for repair in &found {
        let kind = first_of(&repair.edit).map(std::mem::discriminant);
        let Some((what, gains)) = what(case, one, &repair.edit).zip(gains(case, one, repair)) else {
            continue;
        };
        let paid = bought_already(one, &repair.edit);
        let cost = match repair.help.cost.filter(|cost| *cost > 0.0) {
            _ if paid => " (counted above)".to_owned(),
            Some(cost) => format!(" (about {})", about(case, cost)),
            None => String::new(),
        };
        let text = format!("{what}{cost} would give {gains}");
        if told.len() < REPAIRS && !kinds.contains(&kind) && (repair.score >= MUCH || !larger(&repair.edit)) {
            kinds.push(kind);
            told.push(text);
        }
    }
    (!told.is_empty()).then(|| format!("Beyond these figures: {}.", told.join("; ")))
}

fn first_of(edit: &Edit) -> Option<&Edit> {
    if let Edit::All(edits) = edit { edits.first() } else { Some(edit) }
}

/// New seals, lamp or impeller stand among the parts to fix already, so their price is counted.
fn bought_already(one: &One<'_>, edit: &Edit) -> bool {
    let word = match first_of(edit) {
        Some(Edit::SetSeal { .. }) => "seal",
        Some(Edit::SetLamp { .. }) => "lamp",
        Some(Edit::SetImpeller { .. }) => "impeller",
        _ => return false,
    };
    one.unit().is_some_and(|unit| unit.to_fix.iter().any(|repair| repair.part.to_lowercase().contains(word)))
}

/// An improvement of what is not worn.
fn larger(edit: &Edit) -> bool {
    matches!(
        first_of(edit),
        Some(Edit::SetFittingBore { .. } | Edit::SetHoseBore { .. } | Edit::SetImpeller { .. })
    )
}

/// What a repair is, in words; none for what the stack above already says.
fn what(case: &Case<'_>, one: &One<'_>, edit: &Edit) -> Option<String> {
    let all = if let Edit::All(edits) = edit { edits.as_slice() } else { std::slice::from_ref(edit) };
    let layer = |at: (Option<usize>, usize)| -> Option<&Layer> {
        match at.0 {
            None => one.build.floor.get(at.1),
            Some(tray) => one.build.trays.get(tray)?.get(at.1),
        }
    };
    let length = |metres: f64| figures::length(metres * 1e3, case.answer.units);
    Some(match all.first()? {
        Edit::SetSeal { .. } => {
            let numbers: Vec<String> = all
                .iter()
                .filter_map(|e| {
                    if let Edit::SetSeal { tray, .. } = e { Some((tray + 1).to_string()) } else { None }
                })
                .collect();
            format!("new seals at {}", trays(&numbers))
        }
        Edit::SetSlack { at, .. } if all.len() == 1 => {
            format!("a pad of {} cut to fit", layer(*at)?.medium.name)
        }
        Edit::SetSlack { .. } => "pads cut to fit".to_owned(),
        Edit::SetHole { at, .. } => format!("a pad of {} without a hole", layer(*at)?.medium.name),
        Edit::SetFittingBore { bore, .. } => {
            format!("{} of {}", fittings(one, all), length(bore.si()))
        }
        Edit::SetHoseBore { bore } => format!("hose of {}", length(bore.si())),
        Edit::SetLamp { .. } => "a new lamp".to_owned(),
        Edit::SetImpeller { .. } => "a new impeller".to_owned(),
        Edit::SetOutletHeight { .. } => "the outlet under the surface".to_owned(),
        Edit::SetStack { .. } => "the same layers in the right order".to_owned(),
        _ => return None,
    })
}

/// What it gains: `650 l/h through the finest media instead of 629 l/h, opening after 10 weeks instead of 8 weeks`.
fn gains(case: &Case<'_>, one: &One<'_>, repair: &Repair) -> Option<String> {
    let told = |measure: Measure, then: Option<f64>| -> Option<(String, String)> {
        let value = |x| words::value(measure, x, &case.answer.tank.currency, case.answer.units);
        let (now, then) = (one.number(measure)?, then?);
        let shows =
            figures::difference(measure, Outcome::Value(now), Outcome::Value(then), case.answer.units);
        ((then - now).abs() >= 0.02 * now.abs() && shows != "0").then(|| (value(then), value(now)))
    };
    let mut parts = Vec::new();
    if let Some((then, now)) = told(Measure::FilteredFlow, repair.help.worked) {
        parts.push(format!("{then} through the finest media instead of {now}"));
    } else if one.number(Measure::FilteredFlow).is_none()
        && let Some((then, now)) = told(Measure::Flow, repair.help.flow)
    {
        parts.push(format!("{then} instead of {now}"));
    }
    if let Some((then, now)) = told(Measure::OpeningInterval, repair.help.service).filter(|(a, b)| a != b) {
        parts.push(format!("{then} between openings instead of {now}"));
    }
    if parts.is_empty() {
        return None;
    }
    Some(words::list(&parts))
}

/// `a tap`, `connectors`.
fn fittings(one: &One<'_>, edits: &[Edit]) -> String {
    let name = edits.iter().find_map(|edit| {
        let Edit::SetFittingBore { side, index, .. } = edit else { return None };
        let list = if *side == Side::Intake { &one.filter.intake } else { &one.filter.return_side };
        match list.get(*index)? {
            Fitting::Connector { .. } => Some("connector"),
            Fitting::Tap { .. } => Some("tap"),
            Fitting::Strainer { .. } | Fitting::Elbow { .. } => None,
        }
    });
    let name = name.unwrap_or("fitting");
    if edits.len() == 1 { format!("a {name}") } else { format!("{name}s") }
}
