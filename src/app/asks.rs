//! What Diff, Ranking and the report ask of the background.

use std::path::PathBuf;
use std::sync::Arc;

use super::entry::Entry;
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::model::filter::Filter;
use crate::model::tank::Tank;
use crate::profile::Broken;
use crate::report::figures::Units;

/// Two builds, by their places among the entries, and a measure in which they differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pair {
    /// The first.
    pub first: usize,
    /// The one held against it.
    pub other: usize,
    /// The measure.
    pub measure: Measure,
}

/// A build as the ranking needs it.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Its file.
    pub path: PathBuf,
    /// Its filter.
    pub filter: Arc<Filter>,
    /// Which of the filter's builds.
    pub build: usize,
    /// Its figures.
    pub judged: Arc<Assessment>,
}

/// How builds stand for a tank.
#[derive(Clone, Debug)]
pub struct RankAsk {
    /// The question's number.
    pub number: u64,
    /// The builds judged so far.
    pub builds: Vec<Judged>,
    /// The tank.
    pub tank: Arc<Tank>,
    /// A weight for each weighted measure of the tank, in the tank's order.
    pub weights: Vec<f64>,
    /// Doubt is worked out for all of them.
    pub settled: bool,
    /// Units that people read.
    pub units: Units,
    /// Columns there are.
    pub width: usize,
}

impl PartialEq for RankAsk {
    /// Questions are told apart by their number.
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

/// A report to be written, and where.
#[derive(Clone, Debug)]
pub struct ReportAsk {
    /// Builds, with what is known of them so far.
    pub builds: Vec<Entry>,
    /// Files that cannot be used.
    pub broken: Vec<Broken>,
    /// The tank it is written for.
    pub tank: Arc<Tank>,
    /// Units that people read.
    pub units: Units,
    /// The folder as it was typed.
    pub folder: String,
}

impl PartialEq for ReportAsk {
    /// Told apart by where they go: what they hold is long.
    fn eq(&self, other: &Self) -> bool {
        self.folder == other.folder
    }
}
