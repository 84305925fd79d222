//! Which to take: the headline, the short list, and what did not make it.

use super::super::ranking;
use super::words::{self, in_draws};
use super::{Case, One};
use crate::compare::musts::Bound;
use crate::compare::standing::Met;
use crate::measures::{Measure, Outcome};

/// A must that fails in so many draws is worth a warning.
const MAY_FAIL: f64 = 0.05;
/// Share slipping past that is told before anything else.
const LEAKS: f64 = 0.25;

/// The answer in one line.
pub fn headline(case: &Case<'_>) -> String {
    let names: Vec<String> =
        case.listed.iter().take(case.tied.max(1)).map(|one| case.full_name(one)).collect();
    let Some(first) = case.listed.first() else { return "There is nothing to choose from".to_owned() };
    if case.answer.standing.none_passes {
        return if case.answer.candidates.len() == 1 {
            format!("{} will not do as asked", words::sentence(&case.name(first)))
        } else {
            format!("None of these {} will do as asked", case.answer.candidates.len())
        };
    }
    if first.number(Measure::Flow).is_none() {
        return format!("The figures cannot tell whether {} would do", words::either(&names));
    }
    if case.tied > 1 {
        return if case.doubt() {
            format!("{}: the figures cannot tell them apart", words::sentence(&words::either(&names)))
        } else {
            format!("On paper {} are level", words::list(&names))
        };
    }
    let name = case.full_name(first);
    match (case.answer.candidates.len(), case.doubt()) {
        (1, _) => format!("{}: {}", words::sentence(&name), alone(first)),
        (_, true) => format!("I would take {name}"),
        (_, false) => format!("On paper, {name}"),
    }
}

/// What can be said of the only one there is.
fn alone(one: &One<'_>) -> &'static str {
    let sure = one.stands.chances.as_ref().is_none_or(|c| c.all.passes >= 1.0 - MAY_FAIL);
    if one.stands.musts.is_empty() {
        "the only one to judge"
    } else if one.stands.musts.iter().any(|met| met.passes.is_none()) {
        "part of what is asked cannot be told"
    } else if one.stands.musts.iter().any(|met| met.passes == Some(false)) {
        "probably not"
    } else if sure {
        "yes, it meets what is asked"
    } else {
        "probably, but not for certain"
    }
}

/// The short list, one line each.
pub fn listed(case: &Case<'_>) -> Vec<String> {
    case.listed.iter().enumerate().map(|(place, one)| line(case, place, one)).collect()
}

fn line(case: &Case<'_>, place: usize, one: &One<'_>) -> String {
    let mut said = vec![format!("{}: {}.", words::sentence(&case.full_name(one)), works(case, one))];
    said.extend(carries(case, one));
    said.extend(costs(case, one));
    let fails: Vec<String> = one.stands.ruled_out_by().map(|met| fails(case, met)).collect();
    if !fails.is_empty() {
        said.push(format!("What rules it out: {}.", fails.join("; ")));
    }
    said.extend(may_fail(case, one));
    said.extend(untold(case, one));
    if case.doubt() && case.listed.len() > 1 && !case.answer.standing.none_passes {
        let first = case.answer.standing.rank(one.at).map_or(0.0, crate::compare::rank::Ranked::first);
        said.push(format!("It comes first {}.", in_draws(first)));
    }
    if place >= case.tied && !case.answer.standing.none_passes {
        said.extend(super::reasons::behind(case, one));
    }
    said.join(" ")
}

/// What really works: `about 629 l/h (606 to 652) go through its finest media, 1 % slips past; ...`.
fn works(case: &Case<'_>, one: &One<'_>) -> String {
    let row = one.row;
    let Some(flow) = one.number(Measure::Flow) else {
        let why = words::why_not(row, Measure::Flow).unwrap_or("it cannot be told");
        return format!("what flows through it cannot be told: {why}");
    };
    let Some(bypass) = one.number(Measure::Bypass) else {
        let why = words::why_not(row, Measure::WorkedFlow).unwrap_or("it cannot be told");
        return format!(
            "{} come back to the tank; what of it is filtered cannot be told: {why}",
            case.with_doubt(row, Measure::Flow)
        );
    };
    let worked = case.with_doubt(row, Measure::WorkedFlow);
    let mut text = if bypass > LEAKS {
        format!(
            "{} of the water slips past its media, so of {} only {worked} really go through them",
            case.value(row, Measure::Bypass),
            case.value(row, Measure::Flow)
        )
    } else {
        format!("{worked} really go through its finest media")
    };
    if flow > 0.0 && bypass <= LEAKS {
        match one.number(Measure::BypassAtService).filter(|late| *late > LEAKS * 0.5 && *late > 2.0 * bypass)
        {
            Some(_) => text.push_str(&format!(
                ", and {} slips past, {} by the time it is dirty",
                case.value(row, Measure::Bypass),
                case.value(row, Measure::BypassAtService)
            )),
            None => text.push_str(&format!(", and {} slips past", case.value(row, Measure::Bypass))),
        }
    }
    if one.number(Measure::Service).is_some() && !one.stands.most_passes {
        text.push_str(&format!("; it needs opening after {}", case.with_doubt(row, Measure::Service)));
    }
    text
}

/// What its media carry.
fn carries(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let margin = one.number(Measure::AmmoniaMargin)?;
    let said = case.with_doubt(one.row, Measure::AmmoniaMargin);
    Some(if margin < 1.0 {
        format!("Its media carry only {said} for ammonia: feed less, or keep another filter beside it.")
    } else {
        format!("For ammonia its media carry {said}.")
    })
}

/// What it costs, against the budget where one is given.
fn costs(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let put_right = one.number(Measure::PutRight);
    let asking = one.unit().and_then(|unit| unit.asking.as_ref()).map(crate::doubt::figure::Figure::si);
    let mut text = match (asking, put_right) {
        (Some(asking), Some(fix)) if fix > 0.0 => {
            let all = asking + fix;
            let budget = case.answer.tank.budget.map_or_else(String::new, |budget| {
                let within = if all <= budget { "within" } else { "over" };
                format!(", {within} the {}", case.money(budget))
            });
            format!(
                "{} asked and {} to put it right make {}{budget}",
                plain(case, asking),
                plain(case, fix),
                case.money(all)
            )
        }
        (Some(asking), _) => {
            if asking > 0.0 {
                format!("{} asked", case.money(asking))
            } else {
                "It is to be had for nothing".to_owned()
            }
        }
        (None, Some(fix)) if fix > 0.0 => format!("{} to put it right", case.money(fix)),
        _ => return None,
    };
    if one.number(Measure::FirstYear).is_some() {
        text.push_str(&format!(
            "; the first year with power and wear comes to {}",
            case.value(one.row, Measure::FirstYear)
        ));
    }
    Some(format!("{text}."))
}

fn plain(case: &Case<'_>, amount: f64) -> String {
    super::super::figures::show(Measure::PutRight, Outcome::Value(amount), case.answer.units)
}

/// `turnover 2.1 times an hour where at least 3.0 is asked`.
fn fails(case: &Case<'_>, met: &Met) -> String {
    if let Bound::Yes = met.limit.bound {
        return "it does not fit the cabinet".to_owned();
    }
    ranking::fails(met, case.answer.sheet, case.answer.units, words::spoken(met.limit.measure))
}

/// Musts that it passes, but not in every draw.
fn may_fail(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let chances = one.stands.chances.as_ref()?;
    let out: Vec<Measure> = one.stands.ruled_out_by().map(|met| met.limit.measure).collect();
    let told: Vec<String> = one
        .stands
        .musts
        .iter()
        .zip(&chances.each)
        .filter(|(met, chance)| {
            met.passes.is_some() && chance.fails() >= MAY_FAIL && !out.contains(&met.limit.measure)
        })
        .map(|(met, chance)| match met.passes {
            Some(false) => format!("{} {}", fails(case, met), in_draws(chance.fails())),
            _ => format!("{} {}", words::spoken(met.limit.measure), in_draws(chance.fails())),
        })
        .collect();
    (!told.is_empty()).then(|| format!("It may miss what is asked: {}.", words::list(&told)))
}

/// What counts but cannot be told, and so counts against it.
fn untold(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let mut reasons: Vec<(&str, Vec<String>)> = Vec::new();
    for (criterion, value) in case.answer.standing.criteria.iter().zip(&one.stands.values) {
        // Without draws nobody expects a risk.
        if !value.is_nan() || (criterion.measure == Measure::BypassRisk && !case.doubt()) {
            continue;
        }
        let why = words::why_not(one.row, criterion.measure).unwrap_or("it cannot be told");
        let what = words::spoken(criterion.measure).to_owned();
        match reasons.iter_mut().find(|(known, _)| *known == why) {
            Some((_, all)) => all.push(what),
            None => reasons.push((why, vec![what])),
        }
    }
    let told: Vec<String> =
        reasons.iter().map(|(why, what)| format!("{} ({why})", words::list(what))).collect();
    (!told.is_empty()).then(|| format!("Not known, so it counts against it: {}.", told.join("; ")))
}

/// Those that did not make the list, and why.
pub fn others(case: &Case<'_>) -> String {
    let mut said = Vec::new();
    if !case.further.is_empty() {
        let names: Vec<String> = case.further.iter().map(|one| case.full_name(one)).collect();
        let verb = if case.answer.standing.none_passes { "Further off" } else { "Further down the list" };
        said.push(format!("{verb}: {}.", words::list(&names)));
    }
    if !case.out.is_empty() {
        let told: Vec<String> = case
            .out
            .iter()
            .map(|one| {
                let fails: Vec<String> = one.stands.ruled_out_by().map(|met| fails(case, met)).collect();
                format!("{} ({})", case.name(one), fails.join("; "))
            })
            .collect();
        said.push(format!("Ruled out by what is asked: {}.", words::list(&told)));
    }
    said.join(" ")
}
