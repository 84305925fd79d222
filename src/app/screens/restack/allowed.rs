//! When a key of this screen does something, and why not.

use super::list::{self, Here};
use super::picker;
use crate::app::state::work::Source;
use crate::app::{May, Over, State, beyond, only_if};

pub fn here(state: &State) -> Option<Here> {
    list::here(state.restack.work.as_ref()?, state.restack.list.cursor)
}

pub fn work(state: &State) -> May {
    only_if(state.restack.work.is_some(), "no build is chosen: put the cursor on one on Builds ({builds})")
}

pub fn layer(state: &State) -> May {
    work(state)?;
    only_if(
        matches!(here(state), Some(Here::Layer(..))),
        "choose a layer: the cursor is on the line of a tray or the floor",
    )
}

pub fn pad(state: &State) -> May {
    layer(state)?;
    let piece = state.restack.work.as_ref().map(|w| &w.piece);
    match (here(state), piece) {
        (Some(Here::Layer(l, _)), Some(piece)) if piece.layer(l.at).is_some_and(|l| l.medium.is_pad()) => {
            Ok(())
        }
        _ => Err("only a pad has that: this medium is loose"),
    }
}

/// A layer that can still grow.
pub fn thicker(state: &State) -> May {
    layer(state)?;
    only_if(
        !matches!(here(state), Some(Here::Layer(l, _)) if l.fills),
        "it fills what the others leave: make those thinner",
    )
}

/// A layer, with something left in its tray.
pub fn fill(state: &State) -> May {
    thicker(state)?;
    only_if(
        !matches!(here(state), Some(Here::Layer(_, space)) if space.left_mm < 0.05),
        "nothing is left in there to fill",
    )
}

pub fn hole(state: &State) -> May {
    layer(state)?;
    only_if(!matches!(here(state), Some(Here::Layer(l, _)) if l.hole_mm.is_none()), "there is no hole in it")
}

/// A pad, or a tray with a seal.
pub fn gap(state: &State) -> May {
    work(state)?;
    match here(state) {
        Some(Here::Space(space)) => match space.seal {
            Some(_) => Ok(()),
            None if space.tray.is_none() => Err("the floor has no seal"),
            None => Err("nothing is known of this tray's seal: {seal} gives it one"),
        },
        _ => pad(state),
    }
}

/// A pad whose slack, or a seal whose gap, is above nothing.
pub fn narrower(state: &State) -> May {
    gap(state)?;
    match here(state) {
        Some(Here::Layer(l, _)) if l.slack_mm <= 0.0 => Err("it has no slack"),
        Some(Here::Space(s)) if s.seal.is_some_and(|(_, mm)| mm <= 0.0) => Err("it has no gap"),
        _ => Ok(()),
    }
}

/// What Enter types: an amount, or the gap of a seal.
pub fn typed(state: &State) -> May {
    match here(state) {
        Some(Here::Space(_)) => gap(state),
        _ => layer(state),
    }
}

/// A tray, or a layer in one.
pub fn tray(state: &State) -> May {
    work(state)?;
    only_if(
        matches!(here(state), Some(Here::Space(s) | Here::Layer(_, s)) if s.tray.is_some()),
        "the floor has no seal",
    )
}

pub fn undo(state: &State) -> May {
    work(state)?;
    only_if(state.restack.work.as_ref().is_some_and(|w| w.changes() > 0), "nothing was changed yet")
}

pub fn redo(state: &State) -> May {
    work(state)?;
    only_if(state.restack.work.as_ref().is_some_and(|w| w.taken_back() > 0), "nothing was taken back")
}

pub fn propose(state: &State) -> May {
    work(state)?;
    if state.tank.is_none() {
        return Err("what suits best hangs on the tank: choose one on the Tank screen ({tank})");
    }
    Ok(())
}

pub fn save(state: &State) -> May {
    work(state)?;
    let Some(work) = &state.restack.work else { return Ok(()) };
    if !work.piece.unfit().is_empty() {
        Err("what does not fit cannot be saved: make it thinner, or take something out")
    } else if work.unsaved() {
        Ok(())
    } else {
        Err("nothing was changed since it was read or saved")
    }
}

/// A listed build is under the cursor on Builds.
pub fn afresh(state: &State) -> May {
    match (state.here(), &state.restack.work) {
        (None, _) => Err("no build is under the cursor on Builds"),
        (Some(e), Some(w)) if w.is_of(e) && w.changes() == 0 && w.source == Source::Same => {
            Err("it is as it was: nothing to begin afresh (another build: choose it on Builds)")
        }
        _ => Ok(()),
    }
}

pub fn pick(state: &State) -> May {
    if picker::choices(state).is_empty() { Err("no medium is left to choose from") } else { Ok(()) }
}

pub fn proposed(state: &State) -> May {
    match &state.restack.proposals {
        Some(p) if !p.found.is_empty() => Ok(()),
        Some(p) if p.searching.is_some() => Err("it is still looking: {back} stops it"),
        _ => Err("nothing was found to take"),
    }
}

pub fn scrolls(state: &State) -> May {
    beyond(state.drawn.pane)
}

pub fn list(state: &State) -> May {
    if state.restack.over() == Over::Nothing { work(state) } else { Ok(()) }
}
