//! How the builds stand for a tank, as a page: chance of the first place, not position alone; what rules a build
//! out; what to measure first.

use super::figures::{self, Units};
use super::page::{Column, List, Page, Table};
use super::sources;
use super::{Sheet, builds, wording};
use crate::compare::better::{SURE, Side};
use crate::compare::ranking::{Met, Standing, Stands};
use crate::compare::requirements::Bound;
use crate::compare::value_of_information::{Gain, MeasureFirst};
use crate::measures::{Measure, Outcome, Unit};
use crate::uncertainty::key::{Key, Source, Step};

/// Cells of a full bar.
const BAR: f64 = 16.0;
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
    page.paragraph(weights(sheet, standing));
    page.table(table(ranked, units));
    if standing.none_passes {
        page.paragraph("No build passes every must, so all of them are ranked.");
    }
    page.paragraph(summary(ranked));
    page.list(notes(ranked));
    let out: Vec<String> = standing
        .order()
        .into_iter()
        .filter(|b| standing.rank(*b).is_none())
        .filter_map(|b| Some((b, standing.builds.get(b)?)))
        .map(|(b, stands)| format!("{}: {}", title(sheet, b), musts(stands, sheet, units)))
        .collect();
    page.listed("Ruled out by a must of this tank", List::Lines, out);
    page.heading("Measure this first");
    measure_first(ranked, &mut page);
    page
}

fn title(sheet: &Sheet, build: usize) -> String {
    sheet.rows.get(build).map(crate::assess::Assessment::title).unwrap_or_default()
}

fn weights(sheet: &Sheet, standing: &Standing) -> String {
    let named: Vec<String> = standing
        .criteria
        .iter()
        .map(|c| format!("{} {}", c.measure.row().head, sources::plain(c.weight)))
        .collect();
    let doubt = match standing.samples {
        0 => "nominal figures, their doubt was not worked out".to_owned(),
        n => format!("{n} draws"),
    };
    format!(
        "For {}; weights: {}; {doubt}.",
        sheet.tank.as_deref().unwrap_or("no tank"),
        if named.is_empty() { "none".to_owned() } else { named.join(", ") }
    )
}

fn table(ranked: &Ranked<'_>, units: Units) -> Table {
    let Ranked { sheet, standing, .. } = ranked;
    let mut columns = vec![Column::figures("", ""), Column::words("build"), Column::figures("first in", "")];
    columns.extend([Column::words(""), Column::words("rank"), Column::figures("score", "")]);
    columns.extend([Column::figures("any weights", ""), Column::words("musts")]);
    let order = standing.order();
    let rows = order.iter().enumerate().filter_map(|(place, build)| {
        let stands = standing.builds.get(*build)?;
        let mut line = Vec::new();
        let rank = standing.rank(*build)?;
        let (low, high) = rank.range();
        let bar = "█".repeat((rank.first() * BAR).round() as usize);
        line.extend([(place + 1).to_string(), title(sheet, *build), figures::share(rank.first()), bar]);
        line.push(if low == high { low.to_string() } else { format!("{low}–{high}") });
        line.push(figures::rounded(rank.mean, 2));
        line.push(figures::share(rank.first_any_weights()));
        line.push(musts(stands, sheet, units));
        Some(line)
    });
    Table::new(columns, rows)
}

/// What rules it out, `bypass late 61 % > 25 %`; else `passes every must in 94 %`; what may fail, and what cannot be told.
pub fn musts(stands: &Stands, sheet: &Sheet, units: Units) -> String {
    let fails: Vec<String> = stands.ruled_out_by().map(|met| fails(met, sheet, units)).collect();
    if !fails.is_empty() {
        return fails.join("; ");
    }
    if stands.musts.is_empty() {
        return "no musts".to_owned();
    }
    let untold: Vec<&str> = stands
        .musts
        .iter()
        .filter(|met| met.passes.is_none())
        .map(|met| met.limit.measure.row().head)
        .collect();
    let untold =
        if untold.is_empty() { String::new() } else { format!("cannot be told: {}", untold.join(", ")) };
    let Some(chances) = &stands.chances else {
        return if untold.is_empty() { "passes every must".to_owned() } else { untold };
    };
    let may_fail: Vec<String> = stands
        .musts
        .iter()
        .zip(&chances.each)
        .filter(|(met, chance)| met.passes.is_some() && chance.fails() >= 0.005)
        .map(|(met, chance)| {
            let chance = figures::share(chance.fails());
            match met.passes {
                Some(false) => format!("{} in {chance}", self::fails(met, sheet, units)),
                _ => format!("{} fails in {chance}", met.limit.measure.row().head),
            }
        })
        .collect();
    let mut parts = Vec::new();
    if untold.is_empty() {
        parts.push(format!("passes every must in {}", figures::share(chances.all.passes)));
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
    let head = measure.row().head;
    let (sign, bound) = match met.limit.bound {
        Bound::Yes => return format!("{head}: no"),
        Bound::AtLeast(bound) => ('<', bound),
        Bound::AtMost(bound) => ('>', bound),
    };
    let (mut figure, mut limit) = (show(met.figure), show(Outcome::Value(bound)));
    if let (true, Some(x)) = (figure == limit, met.figure.number()) {
        (figure, limit) = wording::told_apart(measure, x, bound);
    }
    format!("{head} {figure} {sign} {limit}")
}

/// How clear the first place is, and whether taste would change it.
pub fn summary(ranked: &Ranked<'_>) -> String {
    let Ranked { sheet, standing, .. } = ranked;
    let order: Vec<usize> = standing.order().into_iter().filter(|b| standing.rank(*b).is_some()).collect();
    let (Some(&first), Some((any, share))) = (order.first(), standing.any_weights()) else {
        return "Nothing to rank.".to_owned();
    };
    let mut text = String::new();
    if let (Some(&second), true) = (order.get(1), standing.samples > 0)
        && let Some(verdict) = standing.better(first, second)
    {
        let (one, two) = (title(sheet, first), title(sheet, second));
        text.push_str(&match verdict.better {
            Some(Side::First) => {
                format!("{one} scores higher than {two} in {}. ", figures::share(verdict.chance))
            }
            _ => format!(
                "{one} or {two}: can't tell, the first scores higher in {} (called better from {}). ",
                figures::share(verdict.chance),
                figures::share(SURE)
            ),
        });
    }
    let of_any = figures::share(share);
    let own = standing.rank(first).map_or(0.0, crate::compare::rank::Ranked::first);
    text.push_str(&if any != first {
        format!(
            "With any weights at all {} is first most often, in {of_any}: taste decides here.",
            title(sheet, any)
        )
    } else if (own - share).abs() <= NEAR {
        format!("With any weights at all it is first in {of_any}, so taste decides little here.")
    } else {
        format!("With any weights at all it is first in {of_any}: taste has its part in it.")
    });
    text
}

fn notes(ranked: &Ranked<'_>) -> Vec<String> {
    let Ranked { sheet, standing, .. } = ranked;
    let mut lines = Vec::new();
    for build in standing.order() {
        let Some(stands) = standing.builds.get(build) else { continue };
        let name = title(sheet, build);
        if let Some(by) = stands.dominated_by {
            lines.push(format!(
                "{name}: {} is no worse in anything weighted, and better in something",
                title(sheet, by)
            ));
        }
        if standing.rank(build).is_none() {
            continue;
        }
        let weighs = standing.criteria.iter().any(|c| c.measure == Measure::OpeningInterval);
        if stands.most_passes && weighs {
            lines.push(format!(
                "{name}: most water passes it from the first day, so its service counts for nothing"
            ));
        }
        let untold: Vec<&str> = standing
            .criteria
            .iter()
            .zip(&stands.values)
            .filter(|(_, value)| value.is_nan())
            .map(|(criterion, _)| criterion.measure.row().head)
            .collect();
        if !untold.is_empty() {
            lines.push(format!("{name}: cannot be told, and scores as poor: {}", untold.join(", ")));
        }
    }
    lines.extend(builds::failed_draws(sheet));
    lines
}

fn measure_first(ranked: &Ranked<'_>, page: &mut Page) {
    let Ranked { standing, first, names, .. } = ranked;
    let table = |gains: &[Gain], last: &str| {
        let mut columns = vec![
            Column::words("figure"),
            Column::figures("changes the choice in", ""),
            Column::figures("gain, points of 100", ""),
            Column::prose(last),
        ];
        columns.truncate(if last.is_empty() { 3 } else { 4 });
        let row = |gain: &Gain| {
            let points = format!("{:.1}", gain.gain * 100.0);
            vec![key_words(&gain.key, names), figures::share(gain.changes), points, gain.how().to_owned()]
        };
        Table::new(columns, gains.iter().map(row).collect::<Vec<_>>())
    };
    if standing.samples == 0 {
        page.paragraph("Not told without doubt: ask for --samples above 0.");
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
            Step::Part(part) => part.trim_start_matches("unit/").replace(['_', '/'], " "),
            Step::Item(_) | Step::Id(_) | Step::Edited => step.to_string(),
        };
        in_space = matches!(step, Step::Space(_));
        words.push(word);
    }
    format!("{whose}: {}", words.join(" "))
}
