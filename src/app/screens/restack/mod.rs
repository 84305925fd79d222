//! The Restack screen: the trays of one build as a list to work in, beside the build as it was.

pub mod allowed;
pub mod areas;
pub mod asks;
pub mod background;
pub mod change;
pub mod edits;
pub mod list;
pub mod measures;
pub mod moves;
pub mod picker;
pub mod proposals;
mod save;
pub mod take;
pub mod typed;

use std::sync::Arc;

use crate::app::state::work::Source;
use crate::app::{Effect, List, Over, Place, Screen, State, Work};
use asks::Ask;

pub struct Restack;

impl Screen for Restack {
    fn place(&self, state: &State) -> Place {
        match state.restack.over() {
            Over::Nothing => Place::Restack,
            Over::Picker => Place::Picker,
            Over::Proposals => Place::Proposals,
        }
    }
    fn step(&self, state: &mut State, by: isize) {
        moves::step(state, by);
    }
    fn page(&self, state: &mut State, by: isize) {
        moves::page(state, by);
    }
    fn press(&self, state: &mut State, x: u16, y: u16) {
        moves::press(state, x, y);
    }
    fn wheel(&self, state: &mut State, x: u16, y: u16, by: isize) {
        moves::wheel(state, x, y, by);
    }
    fn back(&self, state: &mut State) -> bool {
        let Some(picker) = &mut state.restack.picker else { return proposals::back(state) };
        if picker.wanted.is_empty() {
            state.restack.picker = None;
        } else {
            picker.wanted.clear();
        }
        moves::keep(state);
        true
    }
    fn keep(&self, state: &mut State) {
        moves::keep(state);
    }
    fn sync(&self, state: &mut State) {
        sync(state);
    }
    fn sought(&self, state: &State) -> Vec<String> {
        state.restack.proposals.as_ref().map_or_else(Vec::new, proposals::media)
    }
    fn at(&self, state: &State) -> usize {
        state.restack.proposals.as_ref().map_or(0, |open| open.list.cursor)
    }
    fn go(&self, state: &mut State, line: usize) {
        if let Some(open) = &mut state.restack.proposals {
            open.list = List { cursor: line, top: 0 };
        }
    }
}

/// The working copy follows the build chosen on Builds, its
/// file, the tank, and asks for its figures.
fn sync(state: &mut State) {
    let here = state.here().cloned();
    let round = state.round;
    let busy = state.restack.over() != Over::Nothing || state.restack_typing().is_some();
    let restack = &mut state.restack;
    let entered = std::mem::take(&mut restack.entered);
    if restack.looked != Some(round)
        && let Some(work) = &mut restack.work
    {
        work.look_at_source(&state.entries);
        restack.looked = Some(round);
    }
    let of_another = |w: &Work| here.as_ref().is_some_and(|e| !w.is_of(e)) || w.source == Source::Changed;
    let afresh = match &restack.work {
        None => true,
        // What was undone or saved is kept as long as the screen is not left: it can still be made again.
        Some(work) => {
            let let_go = entered || (work.changes() == 0 && work.taken_back() == 0);
            !busy && let_go && !work.unsaved() && of_another(work)
        }
    };
    if afresh && let Some(work) = here.as_ref().and_then(|e| Work::new(e, state.tank.as_ref())) {
        moves::begin(state, work);
    }
    let restack = &mut state.restack;
    let Some(work) = &mut restack.work else { return };
    let tanks = (work.piece.tank.as_ref(), state.tank.as_ref());
    if !matches!(tanks, (None, None)) && !matches!(tanks, (Some(a), Some(b)) if Arc::ptr_eq(a, b)) {
        work.take_tank(state.tank.as_ref());
    }
    // What the list knows already need not be worked out again.
    if work.source == Source::Same
        && let Some(entry) = state.entries.iter().find(|e| work.is_of(e))
    {
        if work.before.judged.is_none() {
            work.before.judged.clone_from(&entry.judged);
        }
        if let (None, Some(known)) = (work.before.simulated(), entry.simulated()) {
            work.before.simulate(Arc::clone(known));
        }
    }
    if !work.stale || !work.piece.unfit().is_empty() {
        return;
    }
    restack.judged += 1;
    work.stale = false;
    work.asked = (restack.judged, work.alone());
    let ask = asks::Judge {
        number: restack.judged,
        before: Arc::clone(&work.before.filter),
        before_wanted: (work.before.judged.is_none(), work.before.simulated().is_none()),
        now: Arc::clone(&work.asked.1),
        tank: state.tank.clone(),
    };
    state.ask(Effect::Restack(Ask::Judge(Box::new(ask))));
}
