//! What the table lists: builds with what is known of them so far, and files that cannot be used.

use std::path::PathBuf;
use std::sync::Arc;

use crate::assess::{Assessment, Simulated};
use crate::measures::{Measure, Missing, Outcome};
use crate::model::Filter;
use crate::uncertainty::Band;

/// The line under the cursor, by what it is and not by where it stands: sorting does not move it off its build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Id {
    /// A build, by its place in [`super::state::State::entries`].
    Build(usize),
    /// A broken file, by its place in [`super::state::State::broken`].
    Broken(usize),
}

#[derive(Clone, Debug)]
pub struct Entry {
    pub filter: Arc<Filter>,
    pub path: PathBuf,
    pub build: usize,
    /// `Tamsin 1100 · restacked`.
    pub name: String,
    /// What it came to, once worked out.
    pub judged: Option<Arc<Assessment>>,
    /// Its cases hang on logs that have changed since.
    pub stale: bool,
    /// Why it could not be judged: a fault of the program, told instead of its figures.
    pub failed: Option<String>,
}

impl Entry {
    pub fn new(filter: Arc<Filter>, path: PathBuf, build: usize) -> Self {
        let name = match filter.builds.get(build) {
            Some(b) => format!("{} · {}", filter.name, b.name),
            None => filter.name.clone(),
        };
        Self { filter, path, build, name, judged: None, stale: false, failed: None }
    }
    /// A measure; `None` while it is being worked out.
    pub fn outcome(&self, measure: Measure) -> Option<Outcome> {
        self.judged.as_ref().map(|judged| judged.outcome(measure))
    }
    /// A measure's 5th and 95th percentiles, where they are known.
    pub fn band(&self, measure: Measure) -> Option<Band> {
        self.judged.as_ref()?.band(measure)
    }
    pub fn simulated(&self) -> Option<&Arc<Simulated>> {
        self.judged.as_ref()?.simulated.as_ref()
    }
    /// All is worked out: figures, advice and cases, and no log has changed since.
    pub fn is_whole(&self) -> bool {
        self.simulated().is_some() && !self.stale
    }
    /// Takes in its figures. Cases simulated before stand until others come.
    pub fn judge(&mut self, mut judged: Arc<Assessment>) {
        if let (Some(known), None) = (self.simulated(), &judged.simulated) {
            let known = Some(Arc::clone(known));
            let logged = self.judged.as_ref().and_then(|judged| judged.logged.clone());
            let row = Arc::make_mut(&mut judged);
            (row.simulated, row.logged) = (known, logged);
        }
        (self.judged, self.failed) = (Some(judged), None);
    }
    /// Takes in simulated cases; a build that is not judged has no use for them.
    pub fn simulate(&mut self, simulated: Arc<Simulated>) {
        if let Some(judged) = &mut self.judged {
            let row = Arc::make_mut(judged);
            row.logged.clone_from(&simulated.logged);
            row.simulated = Some(simulated);
        }
        self.stale = false;
    }
    pub fn missing(&self, measure: Measure) -> Option<Missing> {
        match self.outcome(measure) {
            Some(Outcome::Missing(why)) => Some(why),
            _ => None,
        }
    }
    pub fn build_name(&self) -> &str {
        self.filter.builds.get(self.build).map_or("", |b| b.name.as_str())
    }
}
