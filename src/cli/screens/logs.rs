//! What logs make of the builds on the screens: learnt once for a tank, and again when a log changes.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, PoisonError};

use super::super::args::Run;
use crate::assess::assessment::Logged;
use crate::assess::log::Mode;
use crate::assess::monte_carlo::Simulated;
use crate::learn::learnt::{Ask, Learnt, has_log, learn};
use crate::model::filter::{Build, Filter};
use crate::model::tank::Tank;
use crate::profile::Loaded;
use crate::uncertainty::sampling::Draws;

pub struct Logs {
    mode: Mode,
    threads: usize,
    /// Filters of which a build was read with a log.
    read: Mutex<Vec<Arc<Filter>>>,
    known: Mutex<Option<Known>>,
}

/// What was learnt last, and from what.
struct Known {
    filters: Vec<Arc<Filter>>,
    tank: Option<Tank>,
    learnt: Arc<Learnt>,
}

/// Builds of filters, in their order.
fn builds(filters: &[Arc<Filter>]) -> Vec<(&Filter, &Build)> {
    filters.iter().flat_map(|filter| filter.builds.iter().map(|build| (&**filter, build))).collect()
}

impl Logs {
    pub fn new(run: &Run) -> Self {
        Self {
            mode: run.log.unwrap_or_default(),
            threads: run.threads(),
            read: Mutex::default(),
            known: Mutex::default(),
        }
    }

    /// Files were read.
    pub fn note(&self, loaded: &Loaded) {
        let kept = |filter: &Arc<Filter>| filter.builds.iter().any(|build| build.kept.packed.is_some());
        let filters = loaded.filters.iter().map(|sound| &sound.filter).filter(|filter| kept(filter));
        *self.read.lock().unwrap_or_else(PoisonError::into_inner) = filters.map(Arc::clone).collect();
    }

    /// The cases of a build as logs have them; none when told to stop.
    pub fn corrected(
        &self,
        mut cases: Simulated,
        (filter, build): (&Filter, usize),
        tank: Option<&Tank>,
        draws: &Draws,
        stop: &AtomicBool,
    ) -> Option<Simulated> {
        let Some(one) = filter.builds.get(build).filter(|_| self.mode != Mode::Off) else {
            return Some(cases);
        };
        let mut filters = self.read.lock().unwrap_or_else(PoisonError::into_inner).clone();
        // As it is now, which may not lie in a file yet.
        filters.retain(|other| other.id != filter.id);
        if filter.builds.iter().any(|build| has_log(filter, build, tank)) {
            filters.push(Arc::new(filter.clone()));
        }
        filters.sort_by(|a, b| a.id.cmp(&b.id));
        if !builds(&filters).iter().any(|(filter, build)| has_log(filter, build, tank)) {
            return Some(cases);
        }
        let learnt = self.learnt(&filters, tank, draws, stop)?;
        let at = builds(&filters).iter().position(|(f, b)| f.id == filter.id && b.name == one.name);
        let at = at.unwrap_or(usize::MAX);
        let told = learnt.of(at).cloned();
        if let Some(mut corrected) = learnt.simulate((filter, one), tank, at, stop) {
            corrected.logged = Some(Arc::new(Logged { model: Some(Arc::new(cases)), told }));
            Some(corrected)
        } else {
            cases.logged = told.map(|told| Arc::new(Logged { model: None, told: Some(told) }));
            Some(cases)
        }
    }

    fn learnt(
        &self,
        filters: &[Arc<Filter>],
        tank: Option<&Tank>,
        draws: &Draws,
        stop: &AtomicBool,
    ) -> Option<Arc<Learnt>> {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known.as_ref().filter(|k| k.filters == filters && k.tank.as_ref() == tank) {
            return Some(Arc::clone(&known.learnt));
        }
        let builds = builds(filters);
        let ask = Ask { builds: &builds, tank, mode: self.mode, draws, threads: self.threads, stop };
        let learnt = Arc::new(learn(&ask)?);
        *known = Some(Known { filters: filters.to_vec(), tank: tank.cloned(), learnt: Arc::clone(&learnt) });
        Some(learnt)
    }
}
