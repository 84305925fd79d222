//! What `rank` writes for programs.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::{PROGRAM, SCHEMA};
use crate::compare::{Bound, Gain, Met, Stands};
use crate::measures::Outcome;
use crate::report::{BadFile, Ranked, six_digits};

#[derive(Serialize, JsonSchema)]
pub(super) struct Ranking<'a> {
    #[schemars(range(min = 2, max = 2))]
    schema: u32,
    program: &'static str,
    samples: usize,
    seed: u64,
    tank: &'a str,
    #[schemars(extend("minProperties" = 1))]
    priorities: BTreeMap<&'static str, Option<f64>>,
    /// No build meets every requirement, so all are ranked.
    none_passes: bool,
    /// In the order to show.
    builds: Vec<Build<'a>>,
    measure_next: Vec<Next<'a>>,
    /// Assumptions that would change the choice as much and cannot be measured at home.
    not_at_home: Vec<Next<'a>>,
    broken: &'a [BadFile],
}

// The field is called as the JSON of `table` calls it.
#[allow(clippy::struct_field_names)]
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Build<'a> {
    pub file: &'a str,
    pub filter: &'a str,
    pub build: &'a str,
    pub ruled_out: bool,
    /// Null when ruled out, and so are the six that follow.
    #[schemars(range(min = 1))]
    pub place: Option<usize>,
    #[schemars(range(min = 0, max = 1))]
    pub score: Option<f64>,
    /// Chance of the first place.
    #[schemars(range(min = 0, max = 1))]
    pub first: Option<f64>,
    /// The same under any priorities.
    #[schemars(range(min = 0, max = 1))]
    pub first_any_priorities: Option<f64>,
    #[schemars(range(min = 1))]
    pub rank_low: Option<usize>,
    #[schemars(range(min = 1))]
    pub rank_high: Option<usize>,
    /// Chance of each rank, the first rank first.
    #[schemars(inner(range(min = 0, max = 1)))]
    ranks: Option<Vec<Option<f64>>>,
    /// Share of the simulated cases that meet every requirement; null where none were run.
    #[schemars(range(min = 0, max = 1))]
    pub passes: Option<f64>,
    requirements: Vec<Requirement>,
    /// Place in this list, from 0, of a build that is no worse in anything weighted and better in something.
    dominated_by: Option<usize>,
    /// Most water passes its finest layer from the first day.
    most_passes: bool,
    failed_cases: Option<usize>,
}

#[derive(Serialize, JsonSchema)]
struct Requirement {
    measure: &'static str,
    /// The figure is the asking price with the cost to repair.
    with_repair: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    value: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'static str>,
    /// At nominal values; null when it cannot be told.
    passes: Option<bool>,
    /// Share of the simulated cases that pass; null where none were run.
    #[schemars(range(min = 0, max = 1))]
    chance: Option<f64>,
    /// Share of them in which it cannot be told.
    #[schemars(range(min = 0, max = 1))]
    untold: Option<f64>,
}

/// A figure that is worth measuring.
#[derive(Serialize, JsonSchema)]
struct Next<'a> {
    key: String,
    gain: Option<f64>,
    /// Chance that knowing it changes the choice.
    #[schemars(range(min = 0, max = 1))]
    changes: Option<f64>,
    how: &'a str,
}

pub fn rank(ranked: &Ranked<'_>) -> Result<String, serde_json::Error> {
    let (sheet, standing) = (ranked.sheet, ranked.standing);
    super::write(&Ranking {
        schema: SCHEMA,
        program: PROGRAM,
        samples: standing.samples,
        seed: sheet.seed,
        tank: sheet.tank.as_deref().unwrap_or_default(),
        priorities: standing.criteria.iter().map(|c| (c.measure.key(), six_digits(c.weight))).collect(),
        none_passes: standing.none_passes,
        builds: builds(ranked),
        measure_next: ranked.first.top.iter().map(next).collect(),
        not_at_home: ranked.first.not_at_home.iter().map(next).collect(),
        broken: &sheet.broken,
    })
}

/// The builds in the order to show.
pub(in crate::report) fn builds<'a>(ranked: &Ranked<'a>) -> Vec<Build<'a>> {
    let order = ranked.standing.order();
    order.iter().enumerate().filter_map(|(place, b)| build(ranked, &order, place, *b)).collect()
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
        first_any_priorities: rank.and_then(|r| six_digits(r.first_any_weights)),
        rank_low: rank.map(|r| r.range.0),
        rank_high: rank.map(|r| r.range.1),
        ranks: rank.map(|r| r.ranks.all().into_iter().map(six_digits).collect()),
        passes: stands.chances.as_ref().and_then(|c| six_digits(c.all.passes)),
        requirements: stands.musts.iter().enumerate().map(|(i, met)| requirement(stands, i, met)).collect(),
        dominated_by: stands.dominated_by.and_then(|by| order.iter().position(|b| *b == by)),
        most_passes: stands.most_passes,
        failed_cases: row.simulated.as_ref().map(|cases| cases.failed),
    })
}

fn requirement(stands: &Stands, i: usize, met: &Met) -> Requirement {
    let chance = stands.chances.as_ref().and_then(|c| c.each.get(i));
    Requirement {
        measure: met.limit.measure.key(),
        with_repair: matches!(met.limit.bound, Bound::ToSpend(_)),
        at_least: if let Bound::AtLeast(x) = met.limit.bound { six_digits(x) } else { None },
        at_most: if let Bound::AtMost(x) | Bound::ToSpend(x) = met.limit.bound {
            six_digits(x)
        } else {
            None
        },
        value: met.figure.number().and_then(six_digits),
        why: if let Outcome::Missing(why) = met.figure { Some(why.words()) } else { None },
        passes: met.passes,
        chance: chance.and_then(|c| six_digits(c.passes)),
        untold: chance.and_then(|c| six_digits(c.untold)),
    }
}

fn next(gain: &Gain) -> Next<'_> {
    Next {
        key: gain.key.name(),
        gain: six_digits(gain.gain),
        changes: six_digits(gain.changes),
        how: gain.how(),
    }
}
