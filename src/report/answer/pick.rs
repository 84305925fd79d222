//! Which to take: the headline, the short list, and what did not make it.

use super::super::wording::told_apart;
use super::words::{self, in_cases};
use super::{Case, One};
use crate::assumptions::A;
use crate::compare::ranking::Met;
use crate::compare::requirements::Bound;
use crate::measures::{Measure, Outcome, Unit};

/// A must that fails in so many draws is worth a warning.
const MAY_FAIL: f64 = 0.05;
/// Turnover beyond and short of these parts of the aim is worth a word. Our own choice.
const TOO_MUCH: f64 = 2.0;
const SHORT: f64 = 0.9;

/// The answer in one line.
pub fn headline(case: &Case<'_>) -> String {
    let names: Vec<String> =
        case.listed.iter().take(case.tied.max(1)).map(|one| case.full_name(one)).collect();
    let Some(first) = case.listed.first() else { return "There is nothing to choose from".to_owned() };
    if case.answer.standing.none_passes {
        return if case.answer.candidates.len() == 1 {
            format!("{} will not do as asked", words::sentence(&case.name(first)))
        } else {
            let nearest = case.full_name(first);
            format!(
                "None of these {} will do as asked; nearest comes {nearest}",
                case.answer.candidates.len()
            )
        };
    }
    if first.number(Measure::Flow).is_none() {
        let names: Vec<String> = case.listed.iter().map(|one| case.name(one)).collect();
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
        (_, true) if first.stands.musts.iter().any(|met| met.passes == Some(false)) => {
            format!("Nearest to what is asked: {name}")
        }
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
    said.extend(turns(case, one));
    said.extend(costs(case, one));
    let fails: Vec<String> = one.stands.ruled_out_by().map(|met| fails(case, met)).collect();
    if !fails.is_empty() {
        said.push(format!("What rules it out: {}.", fails.join("; ")));
    }
    said.extend(may_fail(case, one));
    said.extend(untold(case, one));
    if case.doubt() && case.listed.len() > 1 && !case.answer.standing.none_passes {
        let first = case.answer.standing.rank(one.at).map_or(0.0, crate::compare::rank::Ranked::first);
        said.push(match first {
            x if x >= 1.0 => "It always comes first.".to_owned(),
            x if x <= 0.0 => "It never comes first.".to_owned(),
            x => format!("It comes first {}.", in_cases(x)),
        });
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
        let why = words::why_not(row, Measure::FilteredFlow).unwrap_or("it cannot be told");
        return format!(
            "{} come back to the tank; what of it is filtered cannot be told: {why}",
            case.with_doubt(row, Measure::Flow)
        );
    };
    let worked = case.with_doubt(row, Measure::FilteredFlow);
    let mut text = if bypass > A::RiskyBypass.value() {
        format!(
            "{} of the water slips past its media, so of {} only {worked} really go through them",
            case.value(row, Measure::Bypass),
            case.value(row, Measure::Flow)
        )
    } else {
        format!("{worked} really go through its finest media")
    };
    if flow > 0.0 && bypass <= A::RiskyBypass.value() {
        match one
            .number(Measure::BypassDirty)
            .filter(|late| *late > A::RiskyBypass.value() * 0.5 && *late > 2.0 * bypass)
        {
            Some(_) => text.push_str(&format!(
                ", and {} slips past, {} by the time it is dirty",
                case.value(row, Measure::Bypass),
                case.value(row, Measure::BypassDirty)
            )),
            None => text.push_str(&format!(", and {} slips past", case.value(row, Measure::Bypass))),
        }
    }
    if one.number(Measure::OpeningInterval).is_some() && !one.stands.most_passes {
        text.push_str(&format!(
            "; it runs {} between openings",
            case.with_doubt(row, Measure::OpeningInterval)
        ));
    }
    text
}

fn carries(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let margin = one.number(Measure::AmmoniaCapacity)?;
    let said = case.with_doubt(one.row, Measure::AmmoniaCapacity);
    Some(if margin < 1.0 {
        format!("Its media carry only {said} for ammonia: feed less, or keep another filter beside it.")
    } else {
        format!("For ammonia its media carry {said}.")
    })
}

/// Turnover against the tank's aim, where the two are far apart.
fn turns(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let (aim, turnover) = (case.answer.tank.aims.turnover, one.number(Measure::Turnover)?);
    let said = case.value(one.row, Measure::Turnover);
    let aim_said = super::super::sources::plain(aim);
    if turnover > TOO_MUCH * aim {
        Some(format!(
            "It turns the tank over {said}, far more than the {aim_said} aimed at: spread its jet, or look for less."
        ))
    } else if turnover < SHORT * aim {
        Some(format!("It turns the tank over {said}, short of the {aim_said} aimed at."))
    } else {
        None
    }
}

/// Asking price and putting right together, where both are known.
pub fn to_buy(one: &One<'_>) -> Option<f64> {
    let asking = one.unit()?.asking.as_ref()?.si();
    Some(asking + one.number(Measure::RepairCost)?)
}

/// What it costs, against the budget where one is given.
fn costs(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let repair_cost = one.number(Measure::RepairCost);
    let asking =
        one.unit().and_then(|unit| unit.asking.as_ref()).map(crate::uncertainty::uncertain::Uncertain::si);
    let mut text = match (asking, repair_cost) {
        (Some(asking), Some(fix)) if fix > 0.0 && asking > 0.0 => {
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
        (Some(asking), _) if asking > 0.0 => format!("{} asked", case.money(asking)),
        (Some(_), Some(fix)) if fix > 0.0 => {
            format!("It is to be had for nothing, and needs {} to put it right", case.money(fix))
        }
        (Some(_), _) => "It is to be had for nothing".to_owned(),
        (None, Some(fix)) if fix > 0.0 => format!("{} to put it right", case.money(fix)),
        _ => return None,
    };
    if one.number(Measure::FirstYearCost).is_some() {
        text.push_str(&format!(
            "; the first year with power and wear comes to {}",
            case.value(one.row, Measure::FirstYearCost)
        ));
    }
    Some(format!("{text}."))
}

fn plain(case: &Case<'_>, amount: f64) -> String {
    super::super::figures::show(Measure::RepairCost, Outcome::Value(amount), case.answer.units)
}

/// `turnover 2.1 times an hour, at least 3 asked`.
fn fails(case: &Case<'_>, met: &Met) -> String {
    let (bound, word) = match met.limit.bound {
        Bound::Yes => return "it does not fit the cabinet".to_owned(),
        Bound::AtLeast(bound) => (bound, "at least"),
        Bound::AtMost(bound) => (bound, "at most"),
    };
    let measure = met.limit.measure;
    let said = |x: f64| words::value(measure, x, &case.answer.tank.currency, case.answer.units);
    let (figure, limit) = match met.figure.number() {
        // Rounded they are the same: enough digits to see which is the greater.
        Some(x) if said(x) == said(bound) => told_apart(measure, x, bound),
        Some(x) => (said(x), said(bound)),
        None => (super::super::figures::DASH.to_owned(), said(bound)),
    };
    let limit = super::tank::round(&limit);
    // The unit was said with the figure.
    let unit = figure.split_once(' ').map_or("", |(_, unit)| unit);
    let limit = limit.strip_suffix(unit).map_or(&*limit, str::trim_end);
    let percent = if unit == "%" { " %" } else { "" };
    format!("{} {figure}, {word} {limit}{percent} asked", words::spoken(measure))
}

/// Musts that it passes, but not in every draw.
fn may_fail(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let chances = one.stands.chances.as_ref()?;
    let out: Vec<Measure> = one.stands.ruled_out_by().map(|met| met.limit.measure).collect();
    let mut rather = Vec::new();
    let mut perhaps = Vec::new();
    for (met, chance) in one.stands.musts.iter().zip(&chances.each) {
        let fails_in = chance.fails();
        if out.contains(&met.limit.measure) || fails_in < MAY_FAIL {
            continue;
        }
        match met.passes {
            Some(false) => rather.push(format!("{} ({})", fails(case, met), in_cases(fails_in))),
            Some(true) => {
                perhaps.push(format!("{} {}", words::spoken(met.limit.measure), in_cases(fails_in)));
            }
            None => {}
        }
    }
    let mut said = Vec::new();
    if !rather.is_empty() {
        said.push(format!("By its nominal figures it misses what is asked: {}.", words::list(&rather)));
    }
    if !perhaps.is_empty() {
        said.push(format!("It may miss what is asked: {}.", words::list(&perhaps)));
    }
    (!said.is_empty()).then(|| said.join(" "))
}

/// What counts but cannot be told, and so counts against it.
fn untold(case: &Case<'_>, one: &One<'_>) -> Option<String> {
    let mut reasons: Vec<(&str, Vec<String>)> = Vec::new();
    for (criterion, value) in case.answer.standing.criteria.iter().zip(&one.stands.values) {
        // Without draws nobody expects a risk.
        if !value.is_nan() || (criterion.measure == Measure::BypassChance && !case.doubt()) {
            continue;
        }
        let why = words::why_not(one.row, criterion.measure).unwrap_or("it cannot be told");
        let why = if one.unit().is_none() && criterion.measure.row().unit == Unit::Money {
            "nothing is said of its price and condition"
        } else {
            why
        };
        let what = words::spoken(criterion.measure).to_owned();
        match reasons.iter_mut().find(|(known, _)| *known == why) {
            Some((_, all)) => all.push(what),
            None => reasons.push((why, vec![what])),
        }
    }
    let told: Vec<String> =
        reasons.iter().map(|(why, what)| format!("{}, since {why}", words::list(what))).collect();
    (!told.is_empty()).then(|| format!("Not known, and so counted against it: {}.", told.join("; ")))
}

/// Those that did not make the list, and why.
pub fn others(case: &Case<'_>) -> String {
    let mut said = Vec::new();
    if !case.further.is_empty() {
        let names: Vec<String> = case.further.iter().map(|one| case.full_name(one)).collect();
        let verb = if case.answer.standing.none_passes { "Further off" } else { "Further down the list" };
        said.push(format!("{verb}: {}.", words::list(&names)));
    }
    for one in &case.silent {
        let why = words::why_not(one.row, Measure::Flow).unwrap_or("its flow cannot be told");
        said.push(format!("Of {} nothing useful can be said: {why}.", case.name(one)));
    }
    if !case.out.is_empty() {
        let told: Vec<String> = case
            .out
            .iter()
            .map(|one| {
                let fails: Vec<String> = one.stands.ruled_out_by().map(|met| fails(case, met)).collect();
                format!("{} ({})", case.name(one), fails.join(", and "))
            })
            .collect();
        said.push(format!("Ruled out by what is asked: {}.", told.join("; ")));
    }
    said.join(" ")
}
