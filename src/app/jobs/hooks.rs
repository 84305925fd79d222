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

pub type Judge = Arc<dyn Fn(&Filter, usize, Option<&Tank>) -> Assessment + Send + Sync>;
pub type Explain = Arc<dyn Fn(&Filter, usize, Measure, Option<&Tank>, Units) -> Vec<String> + Send + Sync>;
/// Adds to a judgement what takes dozens of runs: what helps most, what faults cost.
pub type Advise = Arc<dyn Fn(&Filter, usize, Option<&Tank>, &mut Assessment) + Send + Sync>;
/// Judges a build in every draw of the doubt; none when told to stop.
pub type Doubt = Arc<dyn Fn(&Filter, usize, Option<&Tank>, &AtomicBool) -> Option<Simulated> + Send + Sync>;
/// Shares out the difference of two builds in a measure.
pub type Why =
    Arc<dyn Fn((&Filter, usize), (&Filter, usize), Measure, Option<&Tank>) -> Because + Send + Sync>;
/// Says what to measure next of a build, a line each.
pub type Advice = Arc<dyn Fn(&Filter, &Assessment, Units) -> Vec<String> + Send + Sync>;
pub type Rank = Arc<dyn Fn(&RankAsk) -> Stood + Send + Sync>;
pub type Form = Arc<dyn Fn(tank_form::Ask) -> Option<tank_form::Answer> + Send + Sync>;
pub type Reply = Arc<dyn Fn(&ReplyAsk) -> String + Send + Sync>;
/// What to tell of a report comes back.
pub type Report = Arc<dyn Fn(&ReportAsk) -> String + Send + Sync>;
pub type Load = Arc<dyn Fn() -> Loaded + Send + Sync>;

/// Takes in the filters with a log as they are now, and whose figures logs move.
pub type NoteLogs = Arc<dyn Fn(Vec<Arc<Filter>>, Mode) + Send + Sync>;

#[derive(Clone)]
pub struct Hooks {
    pub load: Load,
    pub logs: NoteLogs,
    pub judge: Judge,
    pub advise: Advise,
    /// Works out the doubt of a build; none where it is not wanted.
    pub doubt: Option<Doubt>,
    pub why: Why,
    pub next: Advice,
    pub rank: Rank,
    pub reply: Reply,
    pub report: Report,
    pub explain: Explain,
    /// Finds and saves tanks; none where nothing comes of it.
    pub form: Form,
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
