//! Words of a reply: figures in a sentence, chances, lists, and what each measure is called in speech.

use super::super::figures::{self, Units};
pub use super::super::wording::sentence;
use crate::assess::Assessment;
use crate::assumptions::A;
use crate::measures::{Measure, Missing, Outcome, Unit};

/// `a`, `a and b`, `a, b and c`.
pub fn list(parts: &[String]) -> String {
    joined(parts, "and")
}

/// `a`, `a or b`, `a, b or c`.
pub fn either(parts: &[String]) -> String {
    joined(parts, "or")
}

/// Parts that hold commas themselves are kept apart by more than one.
fn joined(parts: &[String], word: &str) -> String {
    let commas = parts.iter().any(|part| part.contains(", "));
    match (parts.split_last(), commas) {
        (Some((last, [])), _) => last.clone(),
        (Some((last, [first])), true) => format!("{first}, {word} {last}"),
        (Some((last, rest)), true) => format!("{}; {word} {last}", rest.join("; ")),
        (Some((last, rest)), false) => format!("{} {word} {last}", rest.join(", ")),
        (None, _) => String::new(),
    }
}

/// `in 89 of 100 cases`, `in every case`; never sure of what is not.
pub fn in_cases(chance: f64) -> String {
    if chance >= 1.0 {
        "in every case".to_owned()
    } else if chance <= 0.0 {
        "in no case".to_owned()
    } else {
        format!("in {:.0} of 100 cases", (chance * 100.0).clamp(1.0, 99.0))
    }
}

/// A share in a sentence: `less than 1 %`.
pub fn share(x: f64) -> String {
    let shown = figures::share(x);
    match (shown.strip_prefix('<'), shown.strip_prefix('>')) {
        (Some(rest), _) => format!("less than {rest}"),
        (_, Some(rest)) => format!("more than {rest}"),
        _ => shown,
    }
}

/// What a measure is called in a sentence.
pub fn spoken(measure: Measure) -> &'static str {
    match measure {
        Measure::Clearing => "clearing",
        Measure::ClearingDirty => "clearing when dirty",
        Measure::FlowDirty => "flow when dirty",
        Measure::Caught => "share of the loose dirt that it catches",
        Measure::AmmoniaCapacityTank => "capacity for ammonia with the tank's own surfaces",
        Measure::SuitsUpTo => "largest tank it suits",
        Measure::NitrateOff => "nitrate its media may take off",
        Measure::AskingPrice => "asking price",
        Measure::FilteredFlow => "flow through the finest media",
        Measure::Flow => "flow",
        Measure::FilteredFlowDirty => "flow through the finest media when dirty",
        Measure::Turnover => "turnover",
        Measure::TraySpace => "room for media",
        Measure::Media => "media",
        Measure::BioMedia => "biological media",
        Measure::MediaShare => "use of its space",
        Measure::OrderFaults => "faults of stacking",
        Measure::Bypass => "share slipping past",
        Measure::BypassDirty => "share slipping past when dirty",
        Measure::BypassChance => "risk that a quarter of the water slips past",
        Measure::AmmoniaCapacity => "capacity for ammonia",
        Measure::Nitrate => "nitrate",
        Measure::RuleOfThumbTank => "tank carried by the rule of thumb for media",
        Measure::OxygenOut => "oxygen in the returning water",
        Measure::OpeningInterval => "time between openings",
        Measure::UvDose => "UV dose",
        Measure::RepairCost => "cost of putting it right",
        Measure::FirstYearCost => "cost of the first year",
        Measure::Power => "power",
        Measure::FullWeight => "weight when full",
        Measure::FitsCabinet => "room in the cabinet",
    }
}

/// A value of a measure as it stands in a sentence: `629 l/h`, `8 weeks`, `114 EUR`, `1.2 times the need`.
pub fn value(measure: Measure, x: f64, currency: &str, units: Units) -> String {
    match measure.row().unit {
        Unit::Days => days(x),
        Unit::Money => {
            format!("{} {currency}", figures::show(measure, Outcome::Value(x), units)).trim_end().to_owned()
        }
        Unit::PerHour => format!("{} times an hour", figures::show(measure, Outcome::Value(x), units)),
        Unit::Ratio => format!("{} times the need", figures::show(measure, Outcome::Value(x), units)),
        Unit::Share | Unit::Probability => share(x),
        Unit::YesNo => if x >= 0.5 { "yes" } else { "no" }.to_owned(),
        _ => figures::show_with_sign(measure, Outcome::Value(x), units),
    }
}

/// The value of a row, or the dash.
pub fn of_row(row: &Assessment, measure: Measure, currency: &str, units: Units) -> String {
    row.outcome(measure)
        .number()
        .map_or_else(|| figures::DASH.to_owned(), |x| value(measure, x, currency, units))
}

/// The value with its doubt: `629 l/h (606 to 652)`; without the brackets where there is none to tell.
pub fn with_doubt(row: &Assessment, measure: Measure, currency: &str, units: Units) -> String {
    let told = of_row(row, measure, currency, units);
    let band = row.band(measure);
    let range = match measure.row().unit {
        Unit::Days => band
            .map(|band| (days(band.low), days(band.high)))
            .filter(|(low, high)| low != high)
            .map(|(low, high)| {
                // One unit said once: `3 to 20 weeks`.
                let short = match (low.split_once(' '), high.split_once(' ')) {
                    (Some((n, a)), Some((_, b))) if a == b && n.chars().all(|c| c.is_ascii_digit()) => {
                        n.to_owned()
                    }
                    _ => low.clone(),
                };
                if high == days(A::Horizon.value()) && told == high {
                    format!("{low} at the low end")
                } else {
                    format!("{short} to {high}")
                }
            }),
        _ => figures::range(measure, band, units),
    };
    match range {
        Some(range) if told != figures::DASH => format!("{told} ({range})"),
        _ => told,
    }
}

/// `less than a day`, `5 days`, `8 weeks`, `half a year or more`.
pub fn days(x: f64) -> String {
    if x >= A::Horizon.value() {
        "half a year or more".to_owned()
    } else if x < 1.0 {
        "less than a day".to_owned()
    } else if x.round() < 14.0 {
        let n = x.round();
        format!("{n:.0} day{}", if n < 1.5 { "" } else { "s" })
    } else {
        format!("{:.0} weeks", x / 7.0)
    }
}

/// Why a measure cannot be told.
pub fn why_not(row: &Assessment, measure: Measure) -> Option<&'static str> {
    if let Outcome::Missing(why) = row.outcome(measure) { Some(Missing::words(why)) } else { None }
}

/// A difference that a reader sees: the two do not read the same.
pub fn differ(a: &Assessment, b: &Assessment, measure: Measure, units: Units) -> bool {
    figures::show(measure, a.outcome(measure), units) != figures::show(measure, b.outcome(measure), units)
}
