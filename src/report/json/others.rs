//! What came of logs, and what a check found, for programs.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::log::plain;
use super::super::six_digits;
use super::{PROGRAM, SCHEMA};
use crate::assess::Assessment;
use crate::assess::log::{Read, Unused};
use crate::profile::{Checked, Problem};
use crate::report::BadSpot;
use crate::uncertainty::Band;

/// One build's log.
#[derive(Serialize, JsonSchema)]
pub struct Log<'a> {
    file: &'a str,
    filter: &'a str,
    build: &'a str,
    #[schemars(extend("enum" = ["all", "own"]))]
    mode: &'static str,
    /// Why it was not used; left out where it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["other_tank", "no_dirt", "impossible", "contradicts"]))]
    set_aside: Option<&'static str>,
    /// Equal rows that the weights are worth.
    ess: Option<f64>,
    khat: Option<f64>,
    /// Linear steps taken.
    rounds: usize,
    /// The power that readings were blunted to; null where they stand as they are.
    phi: Option<f64>,
    /// Chance of readings as far off all together.
    p: Option<f64>,
    readings: Vec<Reading>,
}

/// One reading: flows in l/h, shares of the flow when last opened, kg, W, m, m3, mg/l.
#[derive(Serialize, JsonSchema)]
struct Reading {
    kind: &'static str,
    /// Days since it was packed.
    day: f64,
    observed: Option<f64>,
    #[schemars(extend("type" = ["array", "null"]))]
    expected: Option<[Option<f64>; 3]>,
    #[schemars(extend("type" = ["array", "null"]))]
    corrected: Option<[Option<f64>; 3]>,
    /// Chance of as surprising a reading.
    p: Option<f64>,
    slip: Option<f64>,
    held: bool,
}

pub(super) fn log(row: &Assessment) -> Option<Log<'_>> {
    let told = row.told()?;
    Some(Log {
        file: &row.file,
        filter: &row.filter,
        build: &row.build,
        mode: told.mode.word(),
        set_aside: told.unused.as_ref().map(|why| match why {
            Unused::OtherTank(_) => "other_tank",
            Unused::NoDirt => "no_dirt",
            Unused::Impossible => "impossible",
            Unused::Contradicts => "contradicts",
        }),
        ess: six_digits(told.ess),
        khat: six_digits(told.khat),
        rounds: told.rounds,
        phi: told.phi.and_then(six_digits),
        p: six_digits(told.p),
        readings: told.readings.iter().map(reading).collect(),
    })
}

fn reading(read: &Read) -> Reading {
    let three = |band: Band| [band.low, band.median, band.high].map(|x| plain(read.sort, x));
    Reading {
        kind: read.sort.kind(),
        day: read.day,
        observed: read.seen.and_then(|x| plain(read.sort, x)),
        expected: read.expected.map(three),
        corrected: read.corrected.map(three),
        p: six_digits(read.alone),
        slip: six_digits(read.slip),
        held: read.held,
    }
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Check {
    #[schemars(range(min = 2, max = 2))]
    schema: u32,
    program: &'static str,
    files: Vec<File>,
}

#[derive(Serialize, JsonSchema)]
#[expect(clippy::struct_field_names, reason = "the names are those of the JSON")]
struct File {
    file: String,
    /// What it is, by its first word.
    is: &'static str,
    /// Builds, media or fittings in it; 0 where it is broken.
    parts: usize,
    problems: Vec<BadSpot>,
    /// What reads otherwise now; nothing is refused for it.
    hints: Vec<BadSpot>,
    /// What a filter lacks before it is shared.
    lacks: Vec<&'static str>,
}

/// The files that were checked, as JSON.
pub fn check(checked: &[Checked]) -> serde_json::Result<String> {
    let spots = |problems: &[Problem]| problems.iter().map(BadSpot::from).collect();
    let file = |file: &Checked| File {
        file: file.path.display().to_string(),
        is: file.what.words(),
        parts: file.parts,
        problems: spots(&file.problems),
        hints: spots(&file.hints),
        lacks: file.lacks.clone(),
    };
    let files = checked.iter().map(file).collect();
    Ok(serde_json::to_string_pretty(&Check { schema: SCHEMA, program: PROGRAM, files })? + "\n")
}
