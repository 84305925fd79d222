//! Why one stands before another, drawn from the score and from the shares of what differs.

use super::super::figures;
use super::words::{self, in_cases};
use super::{Case, One};
use crate::assess::assessment::Leak;
use crate::compare::better::Side;
use crate::compare::reasons::reasons;
use crate::compare::shapley::{Group, Why};
use crate::measures::{Better, Measure, Outcome};
use crate::model::filter::{Build, Filter};

/// Points of score from which a measure is worth naming.
const NAMED: f64 = 0.01;
/// Most measures named on a side.
const MOST: usize = 3;
/// Part of the next one's price up to which one is called the cheapest. Our own choice.
const CHEAPER: f64 = 0.9;
/// Part of all shares that one must have to be named.
const PART: f64 = 0.15;
/// Part of all shares up to which a lump of groups leaves room for reasons.
const LUMP: f64 = 0.5;
/// Share of the water from which a leak is worth naming.
const LEAK: f64 = 0.02;

/// What tells the first from the second.
pub fn why_first(case: &Case<'_>) -> String {
    let [first, second, ..] = case.listed.as_slice() else { return String::new() };
    if case.answer.standing.none_passes {
        return String::new();
    }
    let (ahead, behind) = sides(case, first, second);
    let (one, two) = (case.name(first), case.name(second));
    let mut said = Vec::new();
    if case.tied > 1 {
        if !ahead.is_empty() {
            said.push(format!("{} has the better of it in {}.", words::sentence(&one), words::list(&ahead)));
        }
        if !behind.is_empty() {
            said.push(format!("{} in {}.", words::sentence(&two), words::list(&behind)));
        }
    } else {
        if !ahead.is_empty() {
            said.push(format!("What puts {one} before {two}: {}.", words::list(&ahead)));
        }
        if !behind.is_empty() {
            said.push(format!("For {two} speaks {}.", words::list(&behind)));
        }
    }
    said.extend(cheapest(case));
    said.extend(shares(case, first, second));
    if let Some(verdict) = case.answer.standing.better(first.at, second.at).filter(|_| case.doubt()) {
        let chance = verdict.chance_of(Side::First);
        said.push(if case.tied > 1 {
            format!("{} scores higher {}, which is no verdict.", words::sentence(&one), in_cases(chance))
        } else {
            format!("All told it scores higher {}.", in_cases(chance))
        });
    }
    said.join(" ")
}

/// Among those that cannot be told apart, the one that costs least to buy and put right, where that is clear.
fn cheapest(case: &Case<'_>) -> Option<String> {
    let tied = case.listed.get(..case.tied).filter(|tied| tied.len() > 1)?;
    let mut costs = tied
        .iter()
        .map(|one| Some((super::pick::to_buy(one)?, one)))
        .collect::<Option<Vec<(f64, &One<'_>)>>>()?;
    costs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let [(least, one), (next, _), ..] = costs.as_slice() else { return None };
    (*least <= CHEAPER * next).then(|| {
        format!("Bought and put right, {} is the cheapest of them ({}).", case.name(one), case.money(*least))
    })
}

/// In what the first is ahead of the second, and in what it is behind, most first.
fn sides(case: &Case<'_>, first: &One<'_>, second: &One<'_>) -> (Vec<String>, Vec<String>) {
    let mut lead = case.answer.standing.lead(first.at, second.at).unwrap_or_default();
    lead.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let named = |for_first: bool| -> Vec<String> {
        lead.iter()
            .filter(|(measure, share)| {
                (*share > 0.0) == for_first
                    && share.abs() >= NAMED
                    && words::differ(first.row, second.row, *measure, case.answer.units)
            })
            .take(MOST)
            .filter_map(|(measure, _)| {
                let (one, other) = if for_first { (first, second) } else { (second, first) };
                Some(against(case, *measure, one, other)).filter(|text| !text.is_empty())
            })
            .collect()
    };
    (named(true), named(false))
}

/// `cost of the first year (114 EUR against 180 EUR)`.
fn against(case: &Case<'_>, measure: Measure, one: &One<'_>, other: &One<'_>) -> String {
    let told = |one: &One<'_>| one.number(measure).map(|_| case.value(one.row, measure));
    match (told(one), told(other)) {
        (Some(a), Some(b)) => format!("{} ({a} against {b})", words::spoken(measure)),
        (Some(a), None) => format!("{} ({a}, while nothing is known of the other)", words::spoken(measure)),
        _ => String::new(),
    }
}

/// Where one stands that is clearly not the first: in what it is behind, and in what ahead.
pub fn behind(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let first = case.listed.first()?;
    // The second is set against the first in a paragraph of its own.
    if case.listed.get(1).is_some_and(|second| second.at == one.at) || first.at == one.at {
        return None;
    }
    let (behind, ahead) = sides(case, first, one);
    let turned = |text: &Vec<String>| (!text.is_empty()).then(|| words::list(text));
    match (turned(&behind), turned(&ahead)) {
        (Some(behind), Some(ahead)) => Some(format!("The first is better in {behind}; this one in {ahead}.")),
        (Some(behind), None) => Some(format!("The first is better in {behind}.")),
        _ => None,
    }
}

/// The measures whose reasons are physical, and the one that stands in for a risk.
fn explained(measure: Measure) -> Option<Measure> {
    match measure {
        Measure::BypassChance => Some(Measure::BypassDirty),
        Measure::FilteredFlow
        | Measure::Flow
        | Measure::FilteredFlowDirty
        | Measure::Turnover
        | Measure::Bypass
        | Measure::BypassDirty
        | Measure::AmmoniaCapacity
        | Measure::Nitrate
        | Measure::OpeningInterval => Some(measure),
        _ => None,
    }
}

/// What lies behind the first physical measure that sets two apart.
fn shares(case: &Case<'_>, first: &One<'_>, second: &One<'_>) -> Option<String> {
    let mut lead = case.answer.standing.lead(first.at, second.at)?;
    lead.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    lead.iter().filter(|(_, share)| share.abs() >= NAMED).find_map(|(measure, _)| {
        let measure = explained(*measure)?;
        if !words::differ(first.row, second.row, measure, case.answer.units) {
            return None;
        }
        let less = measure.row().better == Better::Less;
        let (a, b) = (first.number(measure)?, second.number(measure)?);
        let (better, worse) = if (a > b) == less { (second, first) } else { (first, second) };
        let told = told(case, (worse.filter, worse.build), (better.filter, better.build), measure)?;
        Some(format!("In {} {} has its lead from {told}.", words::spoken(measure), case.name(better)))
    })
}

/// `seals and fit +3 wk, the stack −9 d`: what the second has over the first, greatest share first.
fn told(case: &Case<'_>, a: (&Filter, &Build), b: (&Filter, &Build), measure: Measure) -> Option<String> {
    let why: Why = reasons(a, b, Some(case.answer.tank), measure).ok()?;
    let all: f64 = why.shares.iter().map(|s| s.amount.abs()).sum();
    // A difference that mostly lies in one lump of vessel, seals and stack is no reason.
    if why.shares.iter().any(|s| s.group.names.len() > 1 && s.amount.abs() > LUMP * all) {
        return None;
    }
    let mut shares: Vec<_> =
        why.shares.iter().filter(|s| all > 0.0 && s.amount.abs() >= PART * all).collect();
    shares.sort_by(|a, b| b.amount.abs().total_cmp(&a.amount.abs()));
    let units = case.answer.units;
    let told: Vec<String> = shares
        .iter()
        .map(|share| {
            let amount =
                figures::difference(measure, Outcome::Value(0.0), Outcome::Value(share.amount), units);
            let sign = figures::sign(measure, units);
            format!("{} ({})", group(&share.group), format!("{amount} {sign}").trim_end())
        })
        .filter(|text| text.contains(|c: char| ('1'..='9').contains(&c)))
        .collect();
    (!told.is_empty()).then(|| words::list(&told))
}

fn group(group: &Group) -> String {
    let names: Vec<String> = group
        .names
        .iter()
        .map(|name| {
            match name.as_str() {
                "pump" => "the pump",
                "hoses" => "hoses and fittings",
                "vessel" => "the vessel",
                "stack" => "the stack",
                "stack with the fit of its layers" => "the stack and how its pads fit",
                "condition" => "the wear of the impeller",
                "lamp" => "the lamp",
                other => other,
            }
            .to_owned()
        })
        .collect();
    words::list(&names)
}

/// What the best, and those level with it, are worth as they stand: where the water slips past, what is out of
/// order, and what the other stack changes.
pub fn not_as_it_stands(case: &Case<'_>) -> String {
    if case.answer.standing.none_passes {
        return String::new();
    }
    let ones = case.listed.iter().take(case.tied).filter(|one| one.repacked());
    ones.filter_map(|one| as_it_stands(case, one)).collect::<Vec<_>>().join(" ")
}

fn as_it_stands(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let (now, then) = (one.row_as_it_is, one.row);
    let start = format!("As it stands now ({}) {}", one.as_it_is.name, case.name(one));
    let number = |measure: Measure| now.outcome(measure).number();
    let mut said = Vec::new();
    let leaks = || leaks(&now.leaks);
    match (number(Measure::FilteredFlow), then.outcome(Measure::FilteredFlow).number()) {
        (Some(is), Some(would)) if is < 0.9 * would => {
            said.push(format!(
                "{start} sends only {} through its finest media instead of {}{}.",
                case.value(now, Measure::FilteredFlow),
                case.value(then, Measure::FilteredFlow),
                leaks()
            ));
        }
        (None, _) => {
            let why = words::why_not(now, Measure::FilteredFlow)?;
            said.push(format!("{start} is not worth running: {why}."));
        }
        _ => {
            let (is, would) =
                (number(Measure::OpeningInterval)?, then.outcome(Measure::OpeningInterval).number()?);
            if is >= 0.9 * would {
                return None;
            }
            said.push(format!(
                "{start} would have to be opened after {} instead of {}.",
                case.value(now, Measure::OpeningInterval),
                case.value(then, Measure::OpeningInterval)
            ));
        }
    }
    if let Some(fault) = now.faults.first() {
        let mut says = fault.says.chars();
        let says: String = says.next().into_iter().flat_map(char::to_lowercase).chain(says).collect();
        said.push(format!("{}: {says}", words::sentence(&fault.at)));
    }
    Some(said.join(" "))
}

/// `: water slips past at the tray 3 seal (39 %) and the hole of tray 3, layer 1 (23 %)`.
fn leaks(leaks: &[Leak]) -> String {
    let mut leaks: Vec<&Leak> = leaks.iter().filter(|leak| leak.share >= LEAK).collect();
    leaks.sort_by(|a, b| b.share.total_cmp(&a.share));
    let told: Vec<String> =
        leaks.iter().take(MOST).map(|leak| format!("{} ({})", leak.at, words::share(leak.share))).collect();
    if told.is_empty() { String::new() } else { format!(": water slips past at {}", words::list(&told)) }
}
