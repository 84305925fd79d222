//! How the builds stand, for programs: JSON of schema 1, and CSV.

use std::collections::BTreeMap;

use csv::{Terminator, WriterBuilder};
use serde::Serialize;

use super::json::{self, BrokenFile};
use super::ranking::Ranked;
use super::{escape, six_digits};
use crate::compare::ranking::{Met, Stands};
use crate::compare::requirements::Bound;
use crate::compare::value_of_information::Gain;
use crate::measures::Outcome;

#[derive(Serialize)]
struct Document<'a> {
    schema: u32,
    program: &'static str,
    samples: usize,
    seed: u64,
    tank: Option<&'a str>,
    weights: BTreeMap<&'static str, Option<f64>>,
    /// No build passes every must, so all are ranked.
    none_passes: bool,
    /// In the order to show.
    builds: Vec<Build<'a>>,
    measure_first: Vec<First<'a>>,
    /// Assumptions that would change the choice as much and cannot be measured at home.
    not_at_home: Vec<First<'a>>,
    broken: Vec<BrokenFile<'a>>,
}

// The field is called as the JSON of `table` calls it.
#[allow(clippy::struct_field_names)]
#[derive(Serialize)]
struct Build<'a> {
    file: &'a str,
    filter: &'a str,
    build: &'a str,
    ruled_out: bool,
    /// Null when ruled out, and so are the six that follow.
    place: Option<usize>,
    score: Option<f64>,
    first: Option<f64>,
    first_any_weights: Option<f64>,
    rank_low: Option<usize>,
    rank_high: Option<usize>,
    /// Chance of each rank, the first rank first.
    ranks: Option<Vec<Option<f64>>>,
    /// Share of the draws that pass every must; null without doubt.
    passes: Option<f64>,
    musts: Vec<Must>,
    /// Place in this list, from 0, of a build that is no worse in anything weighted and better in something.
    dominated_by: Option<usize>,
    most_passes: bool,
    failed_draws: Option<usize>,
}

#[derive(Serialize)]
struct Must {
    measure: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    value: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'static str>,
    /// At nominal values; null when it cannot be told.
    passes: Option<bool>,
    /// Share of the draws that pass, and in which it cannot be told; null without doubt.
    chance: Option<f64>,
    untold: Option<f64>,
}

#[derive(Serialize)]
struct First<'a> {
    key: &'a str,
    gain: Option<f64>,
    changes: Option<f64>,
    how: &'a str,
}

/// The document.
pub fn json(ranked: &Ranked<'_>) -> Result<String, serde_json::Error> {
    let (sheet, standing) = (ranked.sheet, ranked.standing);
    let order = standing.order();
    let document = Document {
        schema: json::SCHEMA,
        program: json::PROGRAM,
        samples: standing.samples,
        seed: sheet.seed,
        tank: sheet.tank.as_deref(),
        weights: standing.criteria.iter().map(|c| (c.measure.key(), six_digits(c.weight))).collect(),
        none_passes: standing.none_passes,
        builds: order.iter().enumerate().filter_map(|(place, b)| build(ranked, &order, place, *b)).collect(),
        measure_first: ranked.first.top.iter().map(first).collect(),
        not_at_home: ranked.first.not_at_home.iter().map(first).collect(),
        broken: sheet.broken.iter().map(json::broken).collect(),
    };
    json::write(&document)
}

fn build<'a>(ranked: &Ranked<'a>, order: &[usize], place: usize, build: usize) -> Option<Build<'a>> {
    let (row, stands) = (ranked.sheet.rows.get(build)?, ranked.standing.builds.get(build)?);
    let rank = ranked.standing.rank(build);
    Some(Build {
        file: &row.file,
        filter: &row.filter,
        build: &row.build,
        ruled_out: stands.ruled_out,
        place: rank.map(|_| place + 1),
        score: rank.and_then(|r| six_digits(r.mean)),
        first: rank.and_then(|r| six_digits(r.first())),
        first_any_weights: rank.and_then(|r| six_digits(r.first_any_weights())),
        rank_low: rank.map(|r| r.range().0),
        rank_high: rank.map(|r| r.range().1),
        ranks: rank.map(|r| r.ranks.all().map(six_digits).collect()),
        passes: stands.chances.as_ref().and_then(|c| six_digits(c.all.passes)),
        musts: stands.musts.iter().enumerate().map(|(i, met)| must(stands, i, met)).collect(),
        dominated_by: stands.dominated_by.and_then(|by| order.iter().position(|b| *b == by)),
        most_passes: stands.most_passes,
        failed_draws: row.simulated.as_ref().map(|cases| cases.failed),
    })
}

fn must(stands: &Stands, i: usize, met: &Met) -> Must {
    let chance = stands.chances.as_ref().and_then(|c| c.each.get(i));
    Must {
        measure: met.limit.measure.key(),
        at_least: if let Bound::AtLeast(x) = met.limit.bound { six_digits(x) } else { None },
        at_most: if let Bound::AtMost(x) = met.limit.bound { six_digits(x) } else { None },
        value: met.figure.number().and_then(six_digits),
        why: if let Outcome::Missing(why) = met.figure { Some(why.words()) } else { None },
        passes: met.passes,
        chance: chance.and_then(|c| six_digits(c.passes)),
        untold: chance.and_then(|c| six_digits(c.untold)),
    }
}

fn first(gain: &Gain) -> First<'_> {
    First {
        key: gain.key.name(),
        gain: six_digits(gain.gain),
        changes: six_digits(gain.changes),
        how: gain.how,
    }
}

/// One row a build, in the order to show; what a build that is ruled out does not have is empty.
pub fn csv(ranked: &Ranked<'_>) -> Result<String, csv::Error> {
    let mut writer = WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    writer.write_record([
        "place",
        "file",
        "filter",
        "build",
        "ruled_out",
        "score",
        "first",
        "first_any_weights",
        "rank_low",
        "rank_high",
        "passes",
    ])?;
    let number = |x: Option<f64>| x.map(|x| x.to_string()).unwrap_or_default();
    let count = |x: Option<usize>| x.map(|x| x.to_string()).unwrap_or_default();
    let order = ranked.standing.order();
    for (place, b) in order.iter().enumerate() {
        let Some(told) = build(ranked, &order, place, *b) else { continue };
        writer.write_record([
            count(told.place),
            super::csv::name(told.file),
            super::csv::name(told.filter),
            super::csv::name(told.build),
            told.ruled_out.to_string(),
            number(told.score),
            number(told.first),
            number(told.first_any_weights),
            count(told.rank_low),
            count(told.rank_high),
            number(told.passes),
        ])?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    // What went in was text, so this changes nothing.
    Ok(escape::lines(&String::from_utf8_lossy(&bytes)).into_owned())
}
