//! What the table lists: builds with what is known of them so far, and files that cannot be used.

use std::path::PathBuf;
use std::sync::Arc;

use crate::assess::monte_carlo::Many;
use crate::assess::result::Judgement;
use crate::measures::{Measure, Missing, Outcome};
use crate::model::filter::Filter;

/// The line under the cursor, by what it is and not by where it stands: sorting does not move it off its build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Id {
    /// A build, by its place in [`super::state::State::entries`].
    Build(usize),
    /// A broken file, by its place in [`super::state::State::broken`].
    Broken(usize),
}

/// One build of one file.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The file's filter.
    pub filter: Arc<Filter>,
    /// Where the file lies.
    pub path: PathBuf,
    /// Which of the filter's builds.
    pub build: usize,
    /// `Tamsin 1100 · restacked`.
    pub name: String,
    /// Its figures at nominal values, once worked out.
    pub judged: Option<Arc<Judgement>>,
    /// Why it could not be judged: a fault of the program, told instead of its figures.
    pub failed: Option<String>,
    /// How far its figures may lie off, once worked out.
    pub doubt: Option<Arc<Doubts>>,
}

impl Entry {
    /// A build nothing is known of yet.
    pub fn new(filter: Arc<Filter>, path: PathBuf, build: usize) -> Self {
        let name = match filter.builds.get(build) {
            Some(b) => format!("{} · {}", filter.name, b.name),
            None => filter.name.clone(),
        };
        Self { filter, path, build, name, judged: None, failed: None, doubt: None }
    }
    /// A measure; none while it is being worked out.
    pub fn outcome(&self, measure: Measure) -> Option<Outcome> {
        let judged = self.judged.as_ref()?;
        // The risk is known only from all draws together.
        let risk = self.doubt.as_ref().and_then(|d| d.many.as_ref()?.risk);
        match (measure, risk) {
            (Measure::BypassChance, Some(risk)) => Some(Outcome::Value(risk)),
            _ => Some(judged.get(measure)),
        }
    }
    /// A measure's 5th and 95th percentiles, where they are known.
    pub fn doubt(&self, measure: Measure) -> Option<(f64, f64)> {
        self.doubt.as_ref().and_then(|d| d.get(measure))
    }
    /// Why a measure cannot be told, if it cannot.
    pub fn missing(&self, measure: Measure) -> Option<Missing> {
        match self.outcome(measure) {
            Some(Outcome::Missing(why)) => Some(why),
            _ => None,
        }
    }
    /// The build's own name.
    pub fn build_name(&self) -> &str {
        self.filter.builds.get(self.build).map_or("", |b| b.name.as_str())
    }
}

/// 5th and 95th percentiles of each measure, and the draws they come from.
#[derive(Clone, Debug, Default)]
pub struct Doubts {
    bands: [Option<(f64, f64)>; Measure::ALL.len()],
    /// The draws, where they are kept.
    pub many: Option<Many>,
}

impl Doubts {
    /// What the draws say.
    pub fn of(many: Many) -> Self {
        let mut doubts = Self::default();
        for measure in Measure::ALL {
            doubts.set(measure, many.band(measure).map(|band| (band.low, band.high)));
        }
        doubts.many = Some(many);
        doubts
    }

    /// Those of one measure.
    pub fn get(&self, measure: Measure) -> Option<(f64, f64)> {
        self.bands.get(measure as usize).copied().flatten()
    }
    /// Sets them.
    pub fn set(&mut self, measure: Measure, low_high: Option<(f64, f64)>) {
        if let Some(slot) = self.bands.get_mut(measure as usize) {
            *slot = low_high;
        }
    }
}
