//! What Compare, Ranking and the report ask of the background.

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
    pub first: usize,
    pub other: usize,
    pub measure: Measure,
}

/// A build as the ranking needs it.
#[derive(Clone, Debug)]
pub struct Judged {
    pub path: PathBuf,
    pub filter: Arc<Filter>,
    pub build: usize,
    pub judged: Arc<Assessment>,
}

/// How builds stand for a tank.
#[derive(Clone, Debug)]
pub struct RankAsk {
    pub number: u64,
    /// The builds judged so far.
    pub builds: Vec<Judged>,
    pub tank: Arc<Tank>,
    /// A weight for each weighted measure of the tank, in the tank's order.
    pub weights: Vec<f64>,
    /// Doubt is worked out for all of them.
    pub settled: bool,
    pub units: Units,
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
    pub broken: Vec<Broken>,
    /// The tank it is written for.
    pub tank: Arc<Tank>,
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
