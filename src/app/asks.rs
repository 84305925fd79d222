//! What Compare, Ranking and the report ask of the background.

use std::sync::Arc;

use super::Entry;
use crate::assess::Assessment;
use crate::compare::{Standing, Why};
use crate::measures::Measure;
use crate::message::worded;
use crate::model::{Filter, Tank};
use crate::profile::Broken;
use crate::report::answer::Kind;
use crate::report::figures::Units;

/// Two builds, by their places among the entries, and a measure in which they differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pair {
    pub first: usize,
    pub other: usize,
    pub measure: Measure,
}

/// The difference shared out, or why it cannot be.
pub type Because = Result<Why, String>;

/// A build as the ranking needs it.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Its place among the entries.
    pub entry: usize,
    pub filter: Arc<Filter>,
    pub build: usize,
    pub judged: Arc<Assessment>,
}

#[derive(Clone, Debug)]
pub struct RankAsk {
    pub number: u64,
    pub builds: Vec<Judged>,
    pub tank: Arc<Tank>,
    /// A weight for each weighted measure of the tank, in the tank's order.
    pub weights: Vec<f64>,
    /// All of them are simulated.
    pub settled: bool,
}

/// How builds stand, as the screen shows it.
#[derive(Clone, Debug)]
pub struct Stood {
    pub standing: Standing,
    /// Which of the entries the builds of the standing are.
    pub entries: Vec<usize>,
    /// What to measure next, the best first.
    pub next: Vec<Next>,
    /// For each priority: the build that is first most often if that counted most, and how often.
    pub tops: Vec<(Measure, usize, f64)>,
    pub settled: bool,
}

#[derive(Clone, Debug)]
pub struct Next {
    pub what: String,
    pub how: String,
    /// Share of the cases in which knowing it turns the choice; none where there is no choice.
    pub changes: Option<f64>,
}

impl PartialEq for RankAsk {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

worded! {
    #[derive(Default)]
    Format name: &'static str {
        #[default]
        Text "text";
        Markdown "Markdown";
        Bbcode "BBCode";
    }
}

#[derive(Clone, Debug)]
pub struct ReplyAsk {
    pub number: u64,
    pub builds: Vec<Entry>,
    pub tank: Arc<Tank>,
    pub kind: Kind,
    pub format: Format,
    pub units: Units,
}

impl PartialEq for ReplyAsk {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

#[derive(Clone, Debug)]
pub struct ReportAsk {
    pub builds: Vec<Entry>,
    pub broken: Vec<Broken>,
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
