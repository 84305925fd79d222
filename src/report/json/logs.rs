//! What came of logs, for programs.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::log::plain;
use super::super::six_digits;
use crate::assess::Assessment;
use crate::assess::log::{Read, Unused};
use crate::uncertainty::summary::Band;

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
