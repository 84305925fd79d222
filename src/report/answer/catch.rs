//! What speaks against the one to take, and what tank it suits.

use super::super::wording::sentence;
use super::super::{figures, spans};
use super::{Case, One, check, say};
use crate::compare::Met;
use crate::measures::{Measure, Outcome};
use crate::model::Feed;

/// Chance of bypass that is a catch.
const RISKY: f64 = 0.25;
/// Share of the cases from which a thing is more likely than not.
pub const HALF: f64 = 0.5;

pub fn litres(case: &Case<'_>) -> Option<f64> {
    case.answer.tank.volume.as_ref().map(|v| v.si() * 1e3)
}

/// `it suits tanks up to 215 l`, with the rule of thumb where that gives less.
fn suits(case: &Case<'_>, one: &One<'_>, with_span: bool) -> Option<String> {
    let Outcome::Value(litres) = one.row.outcome(Measure::SuitsUpTo) else { return None };
    let (band, units) = (one.row.band(Measure::SuitsUpTo), case.answer.units);
    let figure = spans::figure(Measure::SuitsUpTo, Outcome::Value(litres), band, units);
    let unit = spans::unit(Measure::SuitsUpTo, units, "");
    let thumb = one.number(Measure::RuleOfThumbTank).filter(|thumb| *thumb > 0.0 && *thumb < litres);
    let thumb = thumb.map(|thumb| {
        let thumb = figures::volume(if thumb < 10.0 { thumb } else { thumb.round() }, units);
        format!("{thumb} by keepers' rule of thumb for nitrate too")
    });
    let beside: Vec<String> = figure.span.filter(|_| with_span).into_iter().chain(thumb).collect();
    let beside = if beside.is_empty() { String::new() } else { format!(" ({})", beside.join("; ")) };
    let stocking = match case.answer.tank.feed() {
        Feed::Unknown => "normally stocked",
        Feed::Daily(_) => "so fed",
        Feed::Stock(_) => "so stocked",
    };
    Some(format!("{stocking} it suits tanks up to {} {unit}{beside}", figure.middle))
}

/// The catch, in the order in which they weigh.
pub enum Catch<'a> {
    /// A requirement that it misses, and in what share of the cases.
    Missed(&'a Met, f64),
    /// It may suit no tank as large as this: both ends, litres.
    Suits(f64, f64),
    Bypass(f64),
    /// A requirement that cannot be told.
    Unsure(&'a Met),
    None,
}

pub fn catch_of<'a>(case: &Case<'_>, one: &One<'a>) -> Catch<'a> {
    if let Some((met, fails)) = one.missed() {
        return Catch::Missed(met, fails);
    }
    let volume = litres(case);
    let suits_to = one.number(Measure::SuitsUpTo);
    let ends = one.row.band(Measure::SuitsUpTo).map(|band| (band.low, band.high));
    if let (Some(volume), Some((low, high))) = (volume, ends.or(suits_to.map(|x| (x, x))))
        && low < volume
    {
        return Catch::Suits(low, high);
    }
    let chance = one.row.outcome(Measure::BypassChance).number();
    let risky = chance.filter(|chance| *chance >= RISKY).map(Catch::Bypass);
    risky.or_else(|| one.unsure().map(Catch::Unsure)).unwrap_or(Catch::None)
}

/// The first catch that applies, and always what tank it suits.
pub fn catch(case: &Case<'_>, one: &One<'_>) -> String {
    let units = case.answer.units;
    let small = litres(case).map_or(0.0, |volume| one.too_small(volume));
    let suits_to = |with_span| {
        let less = if small >= HALF { ", less than yours" } else { "" };
        let said = suits(case, one, with_span);
        said.map_or_else(|| untold_suits(one), |said| format!("{}{less}.", sentence(&said)))
    };
    match catch_of(case, one) {
        Catch::Missed(met, fails) => {
            let simulated = one.stands.chances.is_some() && fails < 1.0;
            let chance = if simulated { format!(" in {}", say::cases(fails)) } else { String::new() };
            format!("The catch: it {}{chance}. {}", say::misses(case, one, met), suits_to(true))
        }
        Catch::Suits(low, high) => {
            let Some(said) = suits(case, one, false) else { return untold_suits(one) };
            let show =
                |litres: f64| spans::figure(Measure::SuitsUpTo, Outcome::Value(litres), None, units).middle;
            // Said once: what is to be done first may be this very thing.
            let first = check::before(case).first().is_some_and(|first| first.starts_with("weigh"));
            let food = matches!(case.answer.tank.feed(), Feed::Stock(_)) && !first;
            let until = if food { " until a week's food is weighed" } else { "" };
            let (low, high) = (show(low), show(high));
            if low == high {
                return format!("The catch: {said}, less than yours.");
            }
            if small >= HALF {
                let said = suits(case, one, true).unwrap_or(said);
                return format!("The catch: {said}, which is too little in {}.", say::cases(small));
            }
            format!("The catch: {said}, but {low} to {high} is possible{until}.")
        }
        Catch::Bypass(chance) => format!(
            "The catch: in {} over a quarter of its water slips past before it is opened. {}",
            say::cases(chance),
            suits_to(true)
        ),
        Catch::Unsure(met) => {
            let what = say::noun(met.limit.measure);
            let why = match met.figure {
                Outcome::Missing(why) if why.asked_of().is_some() => " (no price is told)".to_owned(),
                Outcome::Missing(why) => format!(" ({})", why.words()),
                _ => String::new(),
            };
            format!("The catch: whether it keeps to your {what} can't be told{why}. {}", suits_to(true))
        }
        Catch::None if one.stands.musts.is_empty() || !one.meets_all() => suits_to(true),
        Catch::None => format!("It meets all you asked. {}", suits_to(true)),
    }
}

fn untold_suits(one: &One<'_>) -> String {
    let why = match one.row.outcome(Measure::SuitsUpTo) {
        Outcome::Missing(why) => why.words(),
        _ => "it cannot be told",
    };
    format!("What tank it suits can't be told: {why}.")
}
