//! What logs make of the builds on the screens: learnt once for a tank, and again when a log changes.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex};

use super::super::Run;
use crate::assess::assessment::Logged;
use crate::assess::{Mode, Simulated};
use crate::learn::learnt::{Ask, Learnt, has_log, learn};
use crate::learn::search::ROWS;
use crate::model::{Build, Filter, Tank};
use crate::order::InOrder;
use crate::parallel::lock;
use crate::uncertainty::{Centre, Draws};

pub struct Logs {
    threads: usize,
    /// Whose figures they move, and the filters with a log as they are now, which may lie in no file yet.
    now: Mutex<(Mode, Vec<Arc<Filter>>)>,
    known: Mutex<Option<Known>>,
}

/// What was learnt last, and from what.
struct Known {
    mode: Mode,
    filters: Vec<Arc<Filter>>,
    tank: Option<Tank>,
    learnt: Arc<Learnt>,
}

fn builds(filters: &[Arc<Filter>]) -> Vec<(&Filter, &Build)> {
    filters.iter().flat_map(|filter| filter.builds.iter().map(|build| (&**filter, build))).collect()
}

impl Logs {
    pub fn new(run: &Run) -> Self {
        let now = Mutex::new((run.log.unwrap_or_default(), Vec::new()));
        Self { threads: run.threads(), now, known: Mutex::default() }
    }

    pub fn note(&self, filters: Vec<Arc<Filter>>, mode: Mode) {
        *lock(&self.now) = (mode, filters);
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
        let (mode, mut filters) = lock(&self.now).clone();
        let Some(one) = filter.builds.get(build).filter(|_| mode != Mode::Off) else {
            return Some(cases);
        };
        let has = |filter: &Filter| filter.builds.iter().any(|build| has_log(filter, build, tank));
        if !filters.iter().any(|other| other.id == filter.id) && has(filter) {
            filters.push(Arc::new(filter.clone()));
        }
        filters.retain(|filter| has(filter));
        filters.order_by(|a, b| a.id.cmp(&b.id));
        if filters.is_empty() {
            return Some(cases);
        }
        let learnt = self.learnt((&filters, mode), tank, draws, stop)?;
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

    /// What was learnt last, while logs move anything.
    fn known(&self) -> Option<Arc<Learnt>> {
        let moves = |(mode, filters): &(Mode, Vec<Arc<Filter>>)| *mode != Mode::Off && !filters.is_empty();
        if !moves(&lock(&self.now)) {
            return None;
        }
        let known = lock(&self.known);
        known.as_ref().map(|known| Arc::clone(&known.learnt))
    }

    pub fn columns(&self, plain: &Arc<Draws>) -> Arc<Draws> {
        self.known().map_or_else(|| Arc::clone(plain), |learnt| Arc::new(learnt.columns(plain)))
    }

    pub fn centre(&self) -> Centre {
        self.known().map(|learnt| learnt.centre()).unwrap_or_default()
    }

    fn learnt(
        &self,
        (filters, mode): (&[Arc<Filter>], Mode),
        tank: Option<&Tank>,
        draws: &Draws,
        stop: &AtomicBool,
    ) -> Option<Arc<Learnt>> {
        let mut known = lock(&self.known);
        let same = |k: &&Known| (k.mode, &*k.filters, k.tank.as_ref()) == (mode, filters, tank);
        if let Some(known) = known.as_ref().filter(same) {
            return Some(Arc::clone(&known.learnt));
        }
        let builds = builds(filters);
        let ask = Ask { builds: &builds, tank, mode, draws, rows: ROWS, threads: self.threads, stop };
        let learnt = Arc::new(learn(&ask)?);
        *known =
            Some(Known { mode, filters: filters.to_vec(), tank: tank.cloned(), learnt: Arc::clone(&learnt) });
        Some(learnt)
    }
}
