//! Proposals: the search in the background, what it found, and taking one.

use std::sync::Arc;

use super::asks::{Ask, Propose};
use super::picker;
use crate::app::state::restack::{Pane, Proposals};
use crate::app::{Effect, List, State};
use crate::measures::Measure;
use crate::model::Edit;
use crate::order::InOrder;
use crate::propose::Proposal;

pub fn start(state: &mut State) {
    let media = picker::known(state);
    let (on_hand, foam_only) = (state.restack.on_hand, state.restack.foam_only);
    let Some(tank) = state.tank.clone() else { return };
    let restack = &mut state.restack;
    let Some(work) = &restack.work else { return };
    restack.searched += 1;
    restack.proposals =
        Some(Proposals { searching: Some(0.0), stopped: false, found: Vec::new(), list: List::default() });
    restack.picker = None;
    (restack.pane, restack.scroll) = (Pane::List, 0);
    let ask = Propose {
        number: restack.searched,
        filter: Arc::clone(&work.piece.filter),
        build: work.first.build.clone(),
        tank,
        media,
        on_hand,
        foam_only,
    };
    state.ask(Effect::Restack(Ask::Propose(Box::new(ask))));
}

/// Stops the search, or closes the list; whether one of them was open.
pub fn back(state: &mut State) -> bool {
    let restack = &mut state.restack;
    let Some(open) = &mut restack.proposals else { return false };
    if open.searching.take().is_some() {
        open.stopped = true;
        // What the search still finds is an answer to an older question.
        restack.searched += 1;
        state.tell("the search was stopped");
        state.ask(Effect::Restack(Ask::Stop));
    } else {
        restack.proposals = None;
    }
    true
}

/// Whether a stack needs a second look: it misses a requirement, or holds nothing for bacteria to live on.
pub fn doubtful(found: &Proposal) -> bool {
    !found.unmet.is_empty() || found.judgement.outcome(Measure::BioMedia).number() == Some(0.0)
}

/// The table's rows in the order of their score, those that miss a requirement last: places among the stacks found, none
/// the stack as it is.
pub fn rows(open: &Proposals) -> Vec<Option<usize>> {
    let Some(first) = open.found.first() else { return Vec::new() };
    let found = open.found.iter().enumerate();
    let mut rows: Vec<(bool, f64, Option<usize>)> =
        found.map(|(i, f)| (!f.unmet.is_empty(), f.score, Some(i))).collect();
    rows.push((false, first.score_as_it_is, None));
    rows.order_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
    rows.into_iter().map(|(.., which)| which).collect()
}

/// The media of each row, by which one goes to it.
pub fn media(open: &Proposals) -> Vec<String> {
    let of = |which: Option<usize>| {
        let build = which.and_then(|i| open.found.get(i)).map(|found| &found.build);
        let layers = build.into_iter().flat_map(|b| b.floor.iter().chain(b.trays.iter().flatten()));
        layers.map(|layer| layer.medium.name.as_str()).collect::<Vec<_>>().join(" ")
    };
    rows(open).into_iter().map(of).collect()
}

/// The stack under the cursor; none on the one as it is.
pub fn chosen(open: &Proposals) -> Option<&Arc<Proposal>> {
    let which = rows(open).get(open.list.cursor).copied().flatten()?;
    open.found.get(which)
}

/// Looks again among the other media: what is on hand, or all.
pub fn other_media(state: &mut State) {
    state.restack.on_hand = !state.restack.on_hand;
    start(state);
}

/// Looks again for stacks that hold biological media, or for foam alone as well.
pub fn foam_only(state: &mut State) {
    state.restack.foam_only = !state.restack.foam_only;
    start(state);
}

/// Takes the chosen one, as one change; what is still looked for is not looked for any more.
pub fn take(state: &mut State) {
    let restack = &mut state.restack;
    let Some(chosen) = restack.proposals.as_ref().and_then(chosen).cloned() else {
        return state.tell("that is the stack as it is");
    };
    let Some(work) = &mut restack.work else { return };
    let looking = restack.proposals.as_ref().is_some_and(|open| open.searching.is_some());
    let edit = Edit::SetStack { floor: chosen.build.floor.clone(), trays: chosen.build.trays.clone() };
    if let Err(why) = work.make(&edit, "the proposal") {
        return state.tell(why.to_string());
    }
    restack.proposals = None;
    restack.list.cursor = 0;
    restack.searched += u64::from(looking);
    state.tell_keys("taken as one change: {undo} takes it back");
    if looking {
        state.ask(Effect::Restack(Ask::Stop));
    }
}
