//! What to check before paying for a used unit, from what its profile says of it.

use std::sync::Arc;

use super::super::figures;
use super::words;
use super::{Case, One};
use crate::assess::judge_build;
use crate::measures::Measure;
use crate::model::filter::{Build, Filter, Impeller, Lamp, Spares, Unit};
use crate::model::medium::Medium;
use crate::model::tray::SealCondition;
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::{DAY, Length, YEAR_DAYS};

/// Litres of a bucket test.
const BUCKET: f64 = 10.0;
/// Years from which rubber is worth a word. Common practice, no source.
const OLD: f64 = 5.0;

/// One line a unit that is for sale.
pub fn lines(case: &Case<'_>) -> Vec<String> {
    let mut out: Vec<String> =
        case.listed.iter().filter_map(|one| Some(line(case, one, one.unit()?))).collect();
    if out.is_empty() {
        return out;
    }
    let old: Vec<String> = case
        .listed
        .iter()
        .filter_map(|one| {
            let age = one.unit()?.age.as_ref()?;
            let years = age.si() / DAY / YEAR_DAYS;
            let perhaps = if age.known == Provenance::Guessed { "perhaps " } else { "" };
            (years >= OLD).then(|| format!("{} ({perhaps}{years:.0} years)", case.name(one)))
        })
        .collect();
    let mut all = String::new();
    if !old.is_empty() {
        all.push_str(&format!(
            "{}: press the lid seal with a thumbnail; rubber that stays dented or cracks is done. ",
            words::sentence(&words::list(&old))
        ));
    }
    let any = if out.len() > 1 { "whichever you take" } else { "it" };
    all.push_str(&format!(
        "Have {any} run for a minute with water in it: drips, and a pump that knocks, show in no figure."
    ));
    out.push(all);
    out
}

fn line(case: &Case<'_>, one: &One<'_>, unit: &Unit) -> String {
    let mut said = Vec::new();
    said.extend(impeller(case, one, unit));
    said.extend(seals(one));
    said.extend(lamp(case, one, unit));
    said.extend(comes_with(one, unit));
    said.extend(match unit.spares {
        Some(Spares::None) => Some(
            "No spares are to be had any more, so every part that is worn has to last or be made.".to_owned(),
        ),
        Some(Spares::Scarce) => Some("Spares are scarce: find the parts before you pay.".to_owned()),
        Some(Spares::Plenty) | None => None,
    });
    let parts: Vec<String> = unit.to_fix.iter().map(|repair| repair.part.clone()).collect();
    if !parts.is_empty() {
        said.push(format!("Known to need: {}.", words::list(&parts)));
    }
    format!("{}: {}", words::sentence(&case.name(one)), said.join(" "))
}

fn impeller(case: &Case<'_>, one: &One<'_>, unit: &Unit) -> Option<String> {
    let counted = match &unit.impeller {
        Impeller::Bucket(bucket) => {
            return Some(format!(
                "Its pump was tested with a bucket ({} in {:.0} s), so that is known.",
                figures::volume(bucket.volume.si() * 1e3, case.answer.units),
                bucket.time.si()
            ));
        }
        Impeller::New => "as good as new".to_owned(),
        Impeller::Share(share) => match share.spread {
            Spread::Uniform { low, high } => {
                format!("{} to {} of a new one", figures::share(low), figures::share(high))
            }
            _ => format!("{} of a new one{}", figures::share(share.si()), guess(share.known)),
        },
    };
    let seconds = seconds(case, one.filter)?;
    Some(format!(
        "The impeller is counted as {counted}: with the media out and both hose ends level, {} should run into a \
         bucket in about {seconds:.0} s; if it takes much longer, all figures here are too good.",
        figures::volume(BUCKET, case.answer.units)
    ))
}

fn guess(known: Provenance) -> &'static str {
    if known == Provenance::Guessed { ", a guess" } else { "" }
}

/// Seconds that a bucket takes with no media in the vessel and this tank's hoses, both ends level.
fn seconds(case: &Case<'_>, filter: &Arc<Filter>) -> Option<f64> {
    let mut tank = case.answer.tank.clone();
    let level = &tank.hoses.outlet_above_water;
    tank.hoses.outlet_above_water =
        Uncertain { value: Length::of(0.0), spread: Spread::Exact, ..level.clone() };
    let empty = Build { name: String::new(), floor: Vec::new(), trays: vec![Vec::new(); filter.trays.len()] };
    let flow = judge_build(filter, &empty, Some(&tank)).outcome(Measure::Flow).number()?;
    (flow > 0.0).then(|| BUCKET / flow * 3600.0)
}

/// Trays whose seal is worn, and those where it is missing.
pub fn bad_seals(filter: &Filter) -> (Vec<String>, Vec<String>) {
    let those = |condition: SealCondition| {
        let bad = |(_, tray): &(usize, &crate::model::tray::Tray)| {
            tray.seal.as_ref().is_some_and(|seal| seal.condition == condition)
        };
        filter.trays.iter().enumerate().filter(bad).map(|(i, _)| (i + 1).to_string()).collect()
    };
    (those(SealCondition::Worn), those(SealCondition::Missing))
}

/// `tray 3`, `trays 2 and 3`.
pub fn trays(numbers: &[String]) -> String {
    format!("tray{} {}", if numbers.len() == 1 { "" } else { "s" }, words::list(numbers))
}

fn seals(one: &One<'_>) -> Option<String> {
    let (worn, missing) = bad_seals(one.filter);
    let mut parts = Vec::new();
    if !worn.is_empty() {
        parts.push(format!("worn at {}", trays(&worn)));
    }
    if !missing.is_empty() {
        parts.push(format!("missing at {}", trays(&missing)));
    }
    (!parts.is_empty()).then(|| format!("The tray seals count as {}: look at them.", words::list(&parts)))
}

fn lamp(case: &Case<'_>, one: &One<'_>, unit: &Unit) -> Option<String> {
    let uv = one.filter.uv.as_ref()?;
    let price =
        uv.price.as_ref().map(|price| format!(" (about {})", case.money(price.si()))).unwrap_or_default();
    Some(match unit.lamp {
        Lamp::BurntOut => format!("The UV lamp is dead: ask whether a new one{price} can still be had."),
        Lamp::Absent => format!("The UV lamp is missing: ask whether one{price} can still be had."),
        Lamp::Working => match &uv.hours {
            Some(hours) => format!(
                "Ask how long the UV lamp has burnt: {:.0} hours are counted{}.",
                hours.si() / 3600.0,
                guess(hours.known)
            ),
            None => "Ask how long the UV lamp has burnt.".to_owned(),
        },
    })
}

/// Media that are to come with it, by name where the builds know them.
fn comes_with(one: &One<'_>, unit: &Unit) -> Option<String> {
    let layers = |build: &'_ Build| -> Vec<Arc<Medium>> {
        build
            .floor
            .iter()
            .chain(build.trays.iter().flatten())
            .map(|layer| Arc::clone(&layer.medium))
            .collect()
    };
    let known: Vec<Arc<Medium>> = one.filter.builds.iter().flat_map(layers).collect();
    let names: Vec<String> = unit
        .includes
        .iter()
        .map(|id| known.iter().find(|medium| medium.id == *id).map_or_else(|| id.clone(), |m| m.name.clone()))
        .collect();
    if names.is_empty() {
        return None;
    }
    Some(format!("See that what is to come with it is there and sound: {}.", words::list(&names)))
}
