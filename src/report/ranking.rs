//! How the builds stand for a tank, as a page: chance of the first place, not position alone; what rules a build
//! out; what to measure next.

use super::figures::{self, Units};
use super::page::List;
use super::{Cell, Column, Page, Sheet, Table, builds, sources, wording};
use crate::compare::better::{Odds, SURE};
use crate::compare::utility::UNKNOWN;
use crate::compare::{Bound, Gain, MeasureFirst, Met, Side, Standing, Stands};
use crate::measures::{Measure, Outcome, Unit};
use crate::uncertainty::key::Step;
use crate::uncertainty::{Key, Source};

/// Two chances of the first place nearer than this are much the same.
const NEAR: f64 = 0.15;

/// What a page of the standing is written from.
#[derive(Clone, Copy, Debug)]
pub struct Ranked<'a> {
    pub sheet: &'a Sheet,
    /// How they stand, in the same order.
    pub standing: &'a Standing,
    pub first: &'a MeasureFirst,
    /// Ids of the filters, which start their keys, with their names.
    pub names: &'a [(String, String)],
}

pub fn page(ranked: &Ranked<'_>, units: Units) -> Page {
    let Ranked { sheet, standing, .. } = ranked;
    let mut page = Page::default();
    page.paragraph(priorities(sheet, standing));
    page.table(table(ranked, units));
    if standing.none_passes {
        page.paragraph("No build meets every requirement, so all of them are ranked.");
    }
    page.paragraph(summary(ranked));
    page.list(notes(ranked));
    let out: Vec<String> = standing
        .order()
        .into_iter()
        .filter(|b| standing.rank(*b).is_none())
        .filter_map(|b| Some((b, standing.builds.get(b)?)))
        .map(|(b, stands)| format!("{}: {}", title(sheet, b), requirements(stands, sheet, units)))
        .collect();
    page.listed("Ruled out by a requirement of this tank", List::Lines, out);
    page.heading("Measure next");
    measure_next(ranked, &mut page);
    page
}

/// Its title, with its file where another is called the same.
fn title(sheet: &Sheet, build: usize) -> String {
    sheet.rows.get(build).map(|row| builds::called(sheet, row)).unwrap_or_default()
}

fn priorities(sheet: &Sheet, standing: &Standing) -> String {
    let named: Vec<String> = standing
        .criteria
        .iter()
        .map(|c| format!("{} {}", c.measure.as_priority(), sources::plain(c.weight)))
        .collect();
    let cases = match standing.samples {
        0 => "single figures, no cases simulated".to_owned(),
        n => format!("{n} simulated cases"),
    };
    format!(
        "For {}; priorities: {}; {cases}.",
        sheet.tank.as_deref().unwrap_or("no tank"),
        if named.is_empty() { "none".to_owned() } else { named.join(", ") }
    )
}

/// A chance as so many of 100; what is neither nothing nor all never reads as such.
pub fn of_100(chance: f64) -> String {
    figures::share(chance).trim_end_matches(" %").to_owned()
}

fn table(ranked: &Ranked<'_>, units: Units) -> Table {
    let Ranked { sheet, standing, .. } = ranked;
    let mut columns =
        vec![Column::figures("", ""), Column::names("build"), Column::figures("first", "of 100")];
    columns.extend([Column::words(""), Column::words("places"), Column::figures("score", "")]);
    columns.extend([Column::figures("any priorities", "of 100"), Column::prose("requirements")]);
    let order = standing.order();
    let rows = order.iter().enumerate().filter_map(|(place, build)| {
        let stands = standing.builds.get(*build)?;
        let mut line = Vec::new();
        let rank = standing.rank(*build)?;
        let (low, high) = rank.range;
        line.extend([(place + 1).to_string(), title(sheet, *build), of_100(rank.first())].map(Cell::from));
        line.push(Cell::Bar(rank.first()));
        line.push(if low == high { low.to_string() } else { format!("{low}–{high}") }.into());
        line.push(figures::rounded(rank.mean, 2).into());
        line.push(of_100(rank.first_any_weights).into());
        line.push(requirements(stands, sheet, units).into());
        Some(line)
    });
    Table { columns, rows: rows.collect(), ..Table::default() }
}

/// What rules it out, `bypass dirty 61 % > 25 %`; else `meets all in 94 of 100`; what may fail, and what cannot be told.
pub fn requirements(stands: &Stands, sheet: &Sheet, units: Units) -> String {
    if stands.contradicts {
        return super::log::CONTRADICTS.to_owned();
    }
    let fails: Vec<String> = stands.ruled_out_by().map(|met| fails(met, sheet, units)).collect();
    if !fails.is_empty() {
        return fails.join("; ");
    }
    if stands.musts.is_empty() {
        return "none asked".to_owned();
    }
    let untold: Vec<&str> =
        stands.musts.iter().filter(|met| met.passes.is_none()).map(|met| met.limit.head()).collect();
    let untold =
        if untold.is_empty() { String::new() } else { format!("cannot be told: {}", untold.join(", ")) };
    let Some(chances) = &stands.chances else {
        return if untold.is_empty() { "meets all".to_owned() } else { untold };
    };
    let may_fail: Vec<String> = stands
        .musts
        .iter()
        .zip(&chances.each)
        .filter(|(met, chance)| met.passes.is_some() && chance.fails() >= 0.005)
        .map(|(met, chance)| {
            let chance = of_100(chance.fails());
            match met.passes {
                Some(false) => format!("{} in {chance} of 100", self::fails(met, sheet, units)),
                _ => format!("{} fails in {chance} of 100", met.limit.head()),
            }
        })
        .collect();
    let mut parts = Vec::new();
    if untold.is_empty() {
        parts.push(format!("meets all in {} of 100", of_100(chances.all.passes)));
    }
    parts.extend(may_fail);
    if !untold.is_empty() {
        parts.push(untold);
    }
    parts.join("; ")
}

fn fails(met: &Met, sheet: &Sheet, units: Units) -> String {
    let measure = met.limit.measure;
    let show = |outcome| {
        let shown = figures::show_with_sign(measure, outcome, units);
        if measure.row().unit == Unit::Money { format!("{shown} {}", sheet.currency) } else { shown }
    };
    let head = met.limit.head();
    let (sign, bound) = match met.limit.bound {
        Bound::Yes => return format!("{head}: no"),
        Bound::AtLeast(bound) => ('<', bound),
        Bound::AtMost(bound) | Bound::ToSpend(bound) => ('>', bound),
    };
    let (mut figure, mut limit) = (show(met.figure), show(Outcome::Value(bound)));
    if let (true, Some(x)) = (figure == limit, met.figure.number()) {
        (figure, limit) = wording::told_apart(measure, x, bound);
    }
    format!("{head} {figure} {sign} {limit}")
}

/// Whether the priorities decide: which build is first most often with any at all, and in what share of the cases.
pub fn under_any(
    standing: &Standing,
    first: usize,
    (any, share): (usize, f64),
    name: impl Fn(usize) -> String,
) -> String {
    let own = standing.rank(first).map_or(0.0, crate::compare::rank::Ranked::first);
    let part = match (any == first, (own - share).abs() <= NEAR) {
        (false, _) => "yours decide here",
        (_, true) => "yours decide little here",
        _ => "yours have a part in it",
    };
    format!("With any priorities at all {} is first in {} of 100: {part}.", name(any), of_100(share))
}

/// How clear the first place is, and whether other priorities would change it.
pub fn summary(ranked: &Ranked<'_>) -> String {
    let Ranked { sheet, standing, .. } = ranked;
    let order: Vec<usize> = standing.order().into_iter().filter(|b| standing.rank(*b).is_some()).collect();
    let (Some(&first), Some((any, share))) = (order.first(), standing.any_weights()) else {
        return "Nothing to rank.".to_owned();
    };
    let mut text = String::new();
    if let Some(&second) = order.get(1) {
        let (one, two) = (title(sheet, first), title(sheet, second));
        let told = standing.better(first, second).filter(|_| standing.samples > 0);
        match told {
            _ if standing.about_equal(first, second) => {
                text.push_str(&format!("{one} and {two} are about equal. "));
            }
            Some(Odds { better: Some(Side::First), chance, .. }) => {
                text.push_str(&format!("{one} scores higher than {two} in {} of 100 cases. ", of_100(chance)));
            }
            Some(Odds { chance, .. }) => text.push_str(&format!(
                "{one} or {two}: unsure, the first scores higher in {} of 100 cases (called better from {}). ",
                of_100(chance),
                of_100(SURE)
            )),
            None => {}
        }
    }
    text.push_str(&under_any(standing, first, (any, share), |b| title(sheet, b)));
    text
}

fn notes(ranked: &Ranked<'_>) -> Vec<String> {
    let Ranked { sheet, standing, .. } = ranked;
    let mut lines = Vec::new();
    for build in standing.order() {
        let Some(stands) = standing.builds.get(build) else { continue };
        let name = title(sheet, build);
        if let Some(by) = stands.dominated_by {
            lines
                .push(format!("{name}: {} is no worse in any priority, and better in one", title(sheet, by)));
        }
        if standing.rank(build).is_none() {
            continue;
        }
        let weighs = standing.criteria.iter().any(|c| c.measure == Measure::OpeningInterval);
        if stands.most_passes && weighs {
            lines.push(format!(
                "{name}: most water passes it from the first day, so its interval counts for nothing"
            ));
        }
        let those = |is: fn(f64) -> bool| -> Vec<&str> {
            let values = standing.criteria.iter().zip(&stands.values).filter(|(_, value)| is(**value));
            values.map(|(criterion, _)| criterion.measure.row().head).collect()
        };
        let (untold, silent) = (those(f64::is_nan), those(|value| value == UNKNOWN));
        if !untold.is_empty() {
            lines.push(format!("{name}: cannot be told, and scores as poor: {}", untold.join(", ")));
        }
        if !silent.is_empty() {
            lines.push(format!(
                "{name}: its file is silent on {}, which scores anything from poor to good",
                silent.join(", ")
            ));
        }
    }
    lines.extend(builds::unsolved(sheet));
    lines
}

pub fn measure_next(ranked: &Ranked<'_>, page: &mut Page) {
    let Ranked { standing, first, names, .. } = ranked;
    let table = |gains: &[Gain], last: &str| {
        let mut columns = vec![
            Column::names("figure"),
            Column::figures("changes the choice", "of 100"),
            Column::figures("gain", "points"),
            Column::prose(last),
        ];
        columns.truncate(if last.is_empty() { 3 } else { 4 });
        let row = |gain: &Gain| {
            let points = format!("{:.1}", gain.gain * 100.0);
            vec![key_words(&gain.key, names), of_100(gain.changes), points, gain.how().to_owned()]
        };
        Table::new(columns, gains.iter().map(row).collect::<Vec<_>>())
    };
    if standing.samples == 0 {
        page.paragraph(wording::NO_CASES);
    } else if first.top.is_empty() {
        page.paragraph("Nothing that can be measured at home would clearly change the choice.");
    }
    page.table(table(&first.top, "how"));
    if !first.not_at_home.is_empty() {
        page.paragraph("These would change it as much or more, but nobody can measure them at home (assumptions of the model, properties of media):");
        page.table(table(&first.not_at_home, ""));
    }
}

/// A key in words: `Tamsin 1100: tray 3 seal`.
pub fn key_words(key: &Key, names: &[(String, String)]) -> String {
    let mut steps = key.at().steps();
    let whose = match key.source() {
        Source::Assumption(_) | Source::Named(_) => return key.name().replacen('/', ": ", 1),
        Source::Tank => "tank".to_owned(),
        Source::Library => {
            let (first, rest) = steps.split_first().unwrap_or((&Step::Edited, &[]));
            steps = rest;
            first.to_string()
        }
        Source::Filter(id) => {
            names.iter().find(|(i, _)| **i == **id).map_or(&**id, |(_, name)| name).to_owned()
        }
    };
    let mut in_space = false;
    let mut words = Vec::new();
    for step in steps {
        let word = match step {
            Step::Part("unit") => continue,
            Step::Build(name) => format!("{name},"),
            Step::Space(space) => space.to_string(),
            Step::Item(i) if in_space => format!("layer {}", i + 1),
            Step::Part("slack") => "edge gap".to_owned(),
            Step::Part(part) => part.trim_start_matches("unit/").replace(['_', '/'], " "),
            Step::Item(_) | Step::Id(_) | Step::Edited => step.to_string(),
        };
        in_space = matches!(step, Step::Space(_));
        words.push(word);
    }
    format!("{whose}: {}", words.join(" "))
}
