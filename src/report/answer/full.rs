//! The reply in full: pick, table, the others one by one, what tanks it suits, what to do, what to check, how sure, and
//! the cautions.

use super::super::next::LEADING;
use super::super::page::List;
use super::super::{Page, builds, figures, spans};
use super::short::{self, Room};
use super::{Case, Kind, One, catch, check, say, to_do};
use crate::assess::Stocking;
use crate::assess::suits::Limit;
use crate::assumptions::A;
use crate::measures::{Measure, Outcome};
use crate::model::Lamp;

/// Points before paying, and words of what is to be done.
const POINTS: usize = 3;
const TO_DO: usize = 60;
/// Names in one line of those that are ruled out.
const NAMES: usize = 4;

pub fn page(case: &Case<'_>) -> Page {
    let Some(chosen) = short::chosen(case) else { return super::page(case.answer, Kind::Short) };
    if chosen.number(Measure::Flow).is_none() {
        return super::page(case.answer, Kind::Short);
    }
    let mut page = Page::default();
    page.said(short::pick(case, Room::NoNext));
    let mut sheet = case.best();
    sheet.rows.truncate(case.answer.top.max(case.listed.len().min(case.answer.top)));
    let columns: Vec<_> = LEADING.into_iter().chain([Measure::SuitsUpTo]).collect();
    page.table(builds::table(&sheet, &columns, case.answer.units, std::iter::repeat(None)));
    page.list_of(List::Quiet, builds::legend(&sheet, &columns));
    page.paragraph(catch::catch(case, &chosen));
    page.list(others(case, &chosen));
    page.paragraph(suits(case, &chosen));
    page.paragraph(to_do(case, &chosen));
    let heading = if chosen.second_hand() { "Before paying" } else { "First" };
    let points = check::before(case).into_iter().take(POINTS);
    let point = |text: String| super::super::wording::sentence(&text) + ".";
    page.listed(heading, List::Lines, points.map(point).collect());
    page.paragraph(how_sure(case));
    page.paragraph(cautions(case, &chosen));
    page.paragraph(ruled_out(case));
    page
}

/// Each further one in a line: in what it differs from the one taken.
fn others(case: &Case<'_>, chosen: &One<'_>) -> Vec<String> {
    let others = case.listed.iter().filter(|one| one.at != chosen.at);
    let line = |one: &One<'_>| {
        let mut said = Vec::new();
        if let Some((met, fails)) = one.missed() {
            let sure = if one.stands.chances.is_some() && fails < 1.0 {
                format!(" in {}", say::cases(fails))
            } else {
                String::new()
            };
            said.push(format!("{}{sure}", say::misses(case, one, met)));
        }
        if case.simulated() {
            let first = case.first(one);
            said.push(if first < 0.005 {
                "never comes first".to_owned()
            } else {
                format!("comes first in {}", say::cases(first))
            });
        }
        format!("{}: {}.", case.in_full(one), said.join("; "))
    };
    let room = case.answer.top.saturating_sub(1);
    let mut out: Vec<String> = others.clone().take(room).map(line).collect();
    let rest = others.count().saturating_sub(room);
    if rest > 0 {
        out.push(format!("Further behind: {} more.", say::count(rest)));
    }
    out
}

/// `Suits up to, by stocking: light 619 l (clearing), …`.
fn suits(case: &Case<'_>, one: &One<'_>) -> String {
    let told: Vec<_> = one.row.suits().collect();
    let line = |stocking: Stocking| {
        let counts = told.iter().filter(|of| of.stocking == stocking);
        let counts = counts.filter(|of| matches!(of.limit, Limit::Ammonia | Limit::Clearing));
        let least = counts.min_by(|a, b| a.litres.total_cmp(&b.litres))?;
        let outcome = Outcome::Value(least.litres);
        let litres = spans::figure(Measure::SuitsUpTo, outcome, None, case.answer.units).middle;
        let unit = figures::sign(Measure::SuitsUpTo, case.answer.units);
        Some(format!("{} {litres} {unit} ({})", stocking.word(), least.limit.word()))
    };
    let words = Stocking::ALL.into_iter().filter(|stocking| matches!(stocking, Stocking::Word(_)));
    let lines: Vec<String> = words.filter_map(line).collect();
    if lines.is_empty() { String::new() } else { format!("Largest tank by stocking: {}.", lines.join(", ")) }
}

fn to_do(case: &Case<'_>, one: &One<'_>) -> String {
    let mut said: Vec<String> = to_do::sum(case, one).into_iter().collect();
    for more in to_do::in_full(case, one) {
        let all = said.iter().map(|text| say::of(text)).sum::<usize>() + say::of(&more);
        if all <= TO_DO {
            said.push(more);
        }
    }
    said.join(" ")
}

fn how_sure(case: &Case<'_>) -> String {
    let simulated = match case.answer.standing.samples {
        0 => "These are single figures, not simulated".to_owned(),
        n => format!("Nine of ten of {n} simulated cases lie in the ranges"),
    };
    let known = case.listed.first().map_or("from typical figures", |one| check::known(one));
    let assumed = check::assumed(case);
    let assumed = if assumed.is_empty() { assumed } else { format!(", {assumed}") };
    let marked = case.listed.iter().find_map(|one| Some((one, one.row.unsolved_of_100()?)));
    let marked = marked.map_or_else(String::new, |(one, of)| {
        format!(" Of {} {of:.0} of 100 cases could not be worked out.", case.the(one))
    });
    format!("{simulated}; estimates, {known}{assumed}.{marked}")
}

/// Short forms of the program's cautions, those that apply.
fn cautions(case: &Case<'_>, one: &One<'_>) -> String {
    let mut said =
        vec!["Unplug before opening; drip loop and residual current device on the lead.".to_owned()];
    if one.filter.uv.is_some() {
        let dead = one.lamp() == Some(Lamp::BurntOut);
        let waste = if dead { "; the dead one is mercury-bearing waste" } else { "" };
        said.push(format!("Never look at a lit UV lamp{waste}."));
    }
    if let Some(mass) = one.number(Measure::FullWeight) {
        let help = if mass > A::LiftForTwo.value() { ": lift it with help" } else { "" };
        said.push(format!("Full it weighs {}{help}.", figures::mass(mass, case.answer.units)));
    }
    said.push("Never change all biological media at once; no licence to overstock.".to_owned());
    said.join(" ")
}

fn ruled_out(case: &Case<'_>) -> String {
    let mut reasons: Vec<(&str, Vec<String>)> = Vec::new();
    let mut add = |why: &'static str, name: String| match reasons.iter_mut().find(|(known, _)| *known == why)
    {
        Some((_, names)) => names.push(name),
        None => reasons.push((why, vec![name])),
    };
    for one in &case.out {
        let measure = one.stands.ruled_out_by().next().map(|met| met.limit.measure);
        let why = if one.stands.contradicts {
            crate::report::log::CONTRADICTS
        } else {
            measure.map_or("what is asked", say::noun)
        };
        add(why, case.called(one));
    }
    for one in &case.silent {
        add("no pump figures", case.called(one));
    }
    let line = |(why, names): &(&str, Vec<String>)| {
        let more = names.len().saturating_sub(NAMES);
        let mut shown: Vec<String> = names.iter().take(NAMES).cloned().collect();
        if more > 0 {
            shown.push(format!("{} more", say::count(more)));
        }
        format!("{} ({why})", say::list(&shown))
    };
    let told: Vec<String> = reasons.iter().map(line).collect();
    if told.is_empty() { String::new() } else { format!("Ruled out: {}.", told.join("; ")) }
}
