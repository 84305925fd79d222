//! What is said of one measure of one build, in a reply's words.

use super::super::figures::{self, Units};
use super::super::spans;
use super::super::wording::{self, told_apart};
pub use super::super::wording::{count, list};
use super::{Case, One};
use crate::assumptions::A;
use crate::compare::{Bound, Met};
use crate::measures::{Measure, Outcome, Unit};
use crate::uncertainty::Band;

/// A range this narrow is told by its middle.
const NARROW: f64 = 0.04;

/// Verb before the figure, and what stands behind it with or without its unit.
fn parts(measure: Measure) -> (&'static str, &'static str) {
    match measure {
        Measure::Clearing => ("frees the water of dirt", "times an hour"),
        Measure::ClearingDirty => ("still frees the water of dirt", "times an hour when dirty"),
        Measure::Caught => ("catches", "of the loose dirt"),
        Measure::FilteredFlow => ("filters", ""),
        Measure::FilteredFlowDirty => ("still filters", "when dirty"),
        Measure::Flow => ("delivers", ""),
        Measure::FlowDirty => ("still delivers", "when dirty"),
        Measure::Turnover => ("turns the tank over", "times an hour"),
        Measure::Bypass => ("lets", "of the water slip past"),
        Measure::BypassDirty => ("lets", "of the water slip past when dirty"),
        Measure::BypassChance => ("has bypass over 25 % in", ""),
        Measure::OpeningInterval => ("runs", "between openings"),
        Measure::AmmoniaCapacity => ("turns over", "times this feeding's ammonia"),
        Measure::AmmoniaCapacityTank => {
            ("turns over, with the tank's own surfaces,", "times this feeding's ammonia")
        }
        Measure::SuitsUpTo => ("suits tanks up to", ""),
        Measure::RuleOfThumbTank => ("holds porous media for", "by keepers' rule of thumb"),
        Measure::Nitrate => ("leaves nitrate at", ""),
        Measure::NitrateOff => ("may take", "off the nitrate"),
        Measure::OxygenOut => ("returns water with", "of oxygen"),
        Measure::UvDose => ("gives", "of UV"),
        Measure::TraySpace => ("has room for", "of media"),
        Measure::Media => ("holds", "of media"),
        Measure::BioMedia => ("holds", "of biological media"),
        Measure::MediaShare => ("fills", "of its size with media"),
        Measure::OrderFaults => ("breaks", "rules of media order"),
        Measure::AskingPrice => ("is offered at", ""),
        Measure::RepairCost => ("needs", "of parts and media"),
        Measure::FirstYearCost => ("costs", "in the first year"),
        Measure::Power => ("draws", ""),
        Measure::FullWeight => ("weighs", "full"),
        Measure::FitsCabinet => ("", ""),
    }
}

/// What a measure is called after "in".
pub fn noun(measure: Measure) -> &'static str {
    match measure {
        Measure::Clearing => "clearing",
        Measure::OpeningInterval => "openings",
        Measure::FirstYearCost => "first-year cost",
        Measure::AmmoniaCapacity => "ammonia",
        Measure::BypassChance | Measure::BypassDirty => "bypass when dirty",
        Measure::FilteredFlow => "filtered flow",
        Measure::AskingPrice => "budget",
        Measure::FitsCabinet => "cabinet",
        Measure::RepairCost => "repair",
        Measure::FullWeight => "weight",
        _ => measure.row().head,
    }
}

/// A span of a figure: `1.7–2.5`, or the middle where it is narrow or has none.
fn span(measure: Measure, x: f64, band: Option<Band>, units: Units) -> String {
    let band = band.filter(|b| (b.high - b.low).abs() > NARROW * b.high.abs().max(b.low.abs()));
    let figure = spans::figure(measure, Outcome::Value(x), band, units);
    figure.span.unwrap_or(figure.middle)
}

/// `2–18 weeks`, `5 days to half a year or more`.
fn times(x: f64, band: Option<Band>) -> String {
    let Some(Band { low, high, .. }) = band else { return days(x) };
    let (from, to) = (days(low), days(high));
    if from == to {
        return to;
    }
    match (from.split_once(' '), to.split_once(' ')) {
        (Some((n, a)), Some((_, b))) if a == b && n.chars().all(|c| c.is_ascii_digit()) => {
            format!("{n}–{to}")
        }
        _ => format!("{from} to {to}"),
    }
}

/// The figure with its range and unit: `2–18 weeks`, `177–183 EUR`, `590–650 l/h`.
pub(super) fn figure(case: &Case<'_>, one: &One<'_>, measure: Measure) -> Option<String> {
    let Outcome::Value(x) = one.row.outcome(measure) else { return None };
    let (band, units) = (one.row.band(measure), case.answer.units);
    let unit = spans::unit(measure, units, &case.answer.tank.currency);
    Some(match measure.row().unit {
        Unit::Days => times(x, band),
        Unit::PerHour | Unit::Ratio | Unit::Faults => span(measure, x, band, units),
        Unit::Probability => format!("{} of 100 cases", span(measure, x, band, units)),
        _ => format!("{} {unit}", span(measure, x, band, units)).trim_end().to_owned(),
    })
}

/// `runs 2–18 weeks between openings`; `None` where it cannot be told.
pub(super) fn does(case: &Case<'_>, one: &One<'_>, measure: Measure) -> Option<String> {
    let (verb, behind) = parts(measure);
    match (measure, one.row.outcome(measure)) {
        (Measure::FitsCabinet, Outcome::Flag(true)) => return Some("fits the cabinet".to_owned()),
        (Measure::FitsCabinet, Outcome::Flag(false)) => return Some(wording::NO_ROOM.to_owned()),
        (Measure::OrderFaults, Outcome::Value(0.0)) => {
            return Some("breaks no rule of media order".to_owned());
        }
        (Measure::OrderFaults, Outcome::Value(1.0)) => {
            return Some("breaks one rule of media order".to_owned());
        }
        _ => {}
    }
    let figure = figure(case, one, measure)?;
    Some(format!("{verb} {figure} {behind}").split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A requirement that it misses: `it turns the tank over 2.1 times an hour, under the 3 asked`.
pub(super) fn misses(case: &Case<'_>, one: &One<'_>, met: &Met) -> String {
    let (measure, units) = (met.limit.measure, case.answer.units);
    let (bound, over) = match met.limit.bound {
        Bound::Yes => return wording::NO_ROOM.to_owned(),
        Bound::ToSpend(budget) => {
            let sum = met.figure.number().map_or_else(String::new, |sum| case.money(sum));
            return format!("takes {sum} to buy and put right, over the {}", case.money(budget));
        }
        Bound::AtLeast(bound) => (bound, "under"),
        Bound::AtMost(bound) => (bound, "over"),
    };
    let (_, behind) = parts(measure);
    let show = |x: f64| match measure.row().unit {
        Unit::Days => days(x),
        Unit::Money => case.money(x),
        _ => figures::show_with_sign(measure, Outcome::Value(x), units),
    };
    let limit = show(bound);
    let limit = limit.strip_suffix(" 1/h").unwrap_or(&limit);
    let limit = limit.strip_suffix(".0").unwrap_or(limit);
    if met.passes == Some(true) {
        return format!("may be {over} the {limit} asked for {}", noun(measure));
    }
    let value = met.figure.number().map_or_else(String::new, |x| {
        let shown = show(x);
        if shown == show(bound) { told_apart(measure, x, bound).0 } else { shown }
    });
    let value = value.strip_suffix(" 1/h").unwrap_or(&value);
    let said = does(case, one, measure).unwrap_or_default();
    let verb = parts(measure).0;
    let figure = if said.is_empty() { value.to_owned() } else { format!("{verb} {value} {behind}") };
    let figure = figure.split_whitespace().collect::<Vec<_>>().join(" ");
    format!("{figure}, {over} the {limit} asked")
}

/// The first letter small, for the middle of a sentence.
pub fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// `less than a day`, `5 days`, `8 weeks`, `half a year or more`.
pub fn days(x: f64) -> String {
    if x >= A::Horizon.value() {
        "half a year or more".to_owned()
    } else if x < 1.0 {
        "less than a day".to_owned()
    } else if x.round() < 14.0 {
        format!("{:.0} day{}", x.round(), if x.round() < 1.5 { "" } else { "s" })
    } else {
        format!("{:.0} weeks", x / 7.0)
    }
}

/// `3 of 10 cases`, `23 of 100 cases`, `every case`; never sure of what is not.
pub fn cases(chance: f64) -> String {
    let of_100 = (chance * 100.0).round().clamp(1.0, 99.0);
    if chance >= 1.0 {
        "every case".to_owned()
    } else if chance <= 0.0 {
        "no case".to_owned()
    } else if of_100 % 10.0 == 0.0 {
        format!("{:.0} of 10 cases", of_100 / 10.0)
    } else {
        format!("{of_100:.0} of 100 cases")
    }
}

/// A name of a file in a sentence: no longer than so many words.
pub fn short_name(name: &str, most: usize) -> String {
    match name.split_whitespace().nth(most) {
        Some(_) => format!("{}…", name.split_whitespace().take(most).collect::<Vec<_>>().join(" ")),
        None => name.to_owned(),
    }
}

pub fn of(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}
