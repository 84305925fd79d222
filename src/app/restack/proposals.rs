//! Proposals: the search in the background, what it found, and taking one.

use std::sync::Arc;

use super::super::effect::Effect;
use super::super::state::State;
use super::asks::{Ask, Propose};
use super::picker;
use crate::model::edit::Edit;
use crate::propose::Proposal;

/// The search and what it found, while they are open.
#[derive(Clone, Debug)]
pub struct Proposals {
    /// How far the search is, 0 to 1; none when it has ended.
    pub searching: Option<f64>,
    /// It was told to stop.
    pub stopped: bool,
    /// The best first.
    pub found: Vec<Arc<Proposal>>,
    /// Looked for among what is on hand only.
    pub on_hand: bool,
    /// The chosen one.
    pub cursor: usize,
    /// How far the pane is scrolled by hand.
    pub top: usize,
}

/// Opens the list and asks for a search.
pub fn start(state: &mut State) -> Vec<Effect> {
    let media = picker::known(state);
    let on_hand = state.restack.on_hand;
    let Some(tank) = state.tank.clone() else { return Vec::new() };
    let restack = &mut state.restack;
    let Some(work) = &restack.work else { return Vec::new() };
    restack.searched += 1;
    restack.proposals = Some(Proposals {
        searching: Some(0.0),
        stopped: false,
        found: Vec::new(),
        on_hand,
        cursor: 0,
        top: 0,
    });
    restack.picker = None;
    let ask = Propose {
        number: restack.searched,
        filter: Arc::clone(&work.piece.filter),
        build: work.first.build.clone(),
        tank,
        media,
        on_hand,
    };
    vec![Effect::Restack(Ask::Propose(Box::new(ask)))]
}

/// Stops the search, or closes the list; whether one of them was open.
pub fn back(state: &mut State) -> Option<Vec<Effect>> {
    let restack = &mut state.restack;
    let open = restack.proposals.as_mut()?;
    if open.searching.take().is_some() {
        open.stopped = true;
        // What the search still finds is an answer to an older question.
        restack.searched += 1;
        state.told = Some("the search was stopped".to_owned());
        return Some(vec![Effect::Restack(Ask::Stop)]);
    }
    restack.proposals = None;
    Some(Vec::new())
}

/// Takes the chosen one, as one change.
pub fn take(state: &mut State) {
    let restack = &mut state.restack;
    let Some(chosen) = restack.proposals.as_ref().and_then(|p| p.found.get(p.cursor)).cloned() else {
        return;
    };
    let Some(work) = &mut restack.work else { return };
    let edit = Edit::SetStack { floor: chosen.build.floor.clone(), trays: chosen.build.trays.clone() };
    match work.make(&edit, "the proposal") {
        Ok(()) => {
            restack.proposals = None;
            restack.cursor = 0;
            state.told = Some(state.keys.fill("taken as one change: {undo} takes it back"));
        }
        Err(why) => state.told = Some(why.to_string()),
    }
}
