//! What the screens need from the rest of the program.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use crate::app::screens::restack::background::RestackHooks;
use crate::app::{Because, RankAsk, ReplyAsk, ReportAsk, Stood, tank_form};
use crate::assess::{Assessment, Mode, Simulated};
use crate::measures::Measure;
use crate::model::{Filter, Tank};
use crate::parallel::caught;
use crate::profile::Loaded;
use crate::report::figures::Units;

/// Judges a build in every draw of the doubt; none when told to stop.
pub type Doubt = Arc<dyn Fn(&Filter, usize, Option<&Tank>, &AtomicBool) -> Option<Simulated> + Send + Sync>;

#[derive(Clone)]
#[allow(clippy::type_complexity)] // each stands once, beside what it is for
pub struct Hooks {
    pub load: Arc<dyn Fn() -> Loaded + Send + Sync>,
    /// Takes in the filters with a log as they are now, and whose figures logs move.
    pub logs: Arc<dyn Fn(Vec<Arc<Filter>>, Mode) + Send + Sync>,
    pub judge: Arc<dyn Fn(&Filter, usize, Option<&Tank>) -> Assessment + Send + Sync>,
    /// Adds to a judgement what takes dozens of runs: what helps most, what faults cost.
    pub advise: Arc<dyn Fn(&Filter, usize, Option<&Tank>, &mut Assessment) + Send + Sync>,
    /// Works out the doubt of a build; none where it is not wanted.
    pub doubt: Option<Doubt>,
    /// Shares out the difference of two builds in a measure.
    pub why: Arc<dyn Fn((&Filter, usize), (&Filter, usize), Measure, Option<&Tank>) -> Because + Send + Sync>,
    /// Says what to measure next of a build, a line each.
    pub next: Arc<dyn Fn(&Filter, &Assessment, Units) -> Vec<String> + Send + Sync>,
    pub rank: Arc<dyn Fn(&RankAsk) -> Stood + Send + Sync>,
    pub reply: Arc<dyn Fn(&ReplyAsk) -> String + Send + Sync>,
    /// What to tell of a report comes back.
    pub report: Arc<dyn Fn(&ReportAsk) -> String + Send + Sync>,
    pub explain: Arc<dyn Fn(&Filter, usize, Measure, Option<&Tank>, Units) -> Vec<String> + Send + Sync>,
    /// Finds and saves tanks; none where nothing comes of it.
    pub form: Arc<dyn Fn(tank_form::Ask) -> Option<tank_form::Answer> + Send + Sync>,
    pub restack: RestackHooks,
}

impl Hooks {
    /// How a figure came about, line by line; a fault of the program is told in its place.
    pub fn explained(
        &self,
        filter: &Filter,
        build: usize,
        measure: Measure,
        tank: Option<&Tank>,
        units: Units,
    ) -> Vec<String> {
        caught(|| (self.explain)(filter, build, measure, tank, units))
            .unwrap_or_else(|why| vec![format!("it could not be explained: {why}")])
    }
}
