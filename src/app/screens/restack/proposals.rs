//! Proposals: the search in the background, what it found, and taking one.

use std::sync::Arc;

use super::asks::{Ask, Propose};
use super::picker;
use crate::app::effect::Effect;
use crate::app::list::List;
use crate::app::state::State;
use crate::app::state::restack::{Pane, Proposals};
use crate::model::edit::Edit;

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
        list: List::default(),
    });
    restack.picker = None;
    (restack.pane, restack.scroll) = (Pane::List, 0);
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
        state.status = Some("the search was stopped".to_owned());
        return Some(vec![Effect::Restack(Ask::Stop)]);
    }
    restack.proposals = None;
    Some(Vec::new())
}

/// Takes the chosen one, as one change.
pub fn take(state: &mut State) {
    let restack = &mut state.restack;
    let Some(chosen) = restack.proposals.as_ref().and_then(|p| p.found.get(p.list.cursor)).cloned() else {
        return;
    };
    let Some(work) = &mut restack.work else { return };
    let edit = Edit::SetStack { floor: chosen.build.floor.clone(), trays: chosen.build.trays.clone() };
    match work.make(&edit, "the proposal") {
        Ok(()) => {
            restack.proposals = None;
            restack.list.cursor = 0;
            state.hint = Some("taken as one change: {undo} takes it back".to_owned());
        }
        Err(why) => state.status = Some(why.to_string()),
    }
}
