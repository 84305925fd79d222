//! What a key does: each change is made through the one history, and what it did is told.

use super::super::effect::Effect;
use super::super::state::State;
use super::super::unsaved::{Loss, may_lose};
use super::edits::{self, Named};
use super::list::{self, Here};
use super::picker::{self, For};
use super::typed::Typing;
use super::work::Work;
use super::{Do, begin, keep, proposals, save, scroll, type_line};
use crate::model::edit::{EditError, Place, Workpiece};
use crate::model::tray::Amount;
use crate::report::figures::{self, Units};
use crate::units::trimmed;

/// Steps of slack and of a seal's gap, mm.
const SLACK_STEP: f64 = 0.5;
const GAP_STEP: f64 = 0.05;

/// Does what a key asks.
pub fn act(state: &mut State, what: Do) -> Vec<Effect> {
    let here = state.restack.work.as_ref().and_then(|w| list::here(w, state.restack.cursor));
    // What is typed or chosen stands in the list's pane.
    if matches!(
        what,
        Do::Add
            | Do::Swap
            | Do::Propose
            | Do::Save
            | Do::Rename
            | Do::Type
            | Do::TypeGap
            | Do::Hole
            | Do::Squeeze
    ) {
        state.restack.pane = super::Pane::List;
        state.restack.scroll = 0;
    }
    match what {
        Do::Pane(by) => {
            state.restack.pane = state.restack.pane.step(by);
            (state.restack.scroll, state.restack.measure) = (0, 0);
        }
        Do::Scroll(by) => scroll(state, by),
        Do::Undo => turned(state, "taken back", Work::undo),
        Do::Redo => turned(state, "made again", Work::redo),
        Do::OnHand => {
            state.restack.on_hand = !state.restack.on_hand;
            let which =
                if state.restack.on_hand { "only media on hand or in the build" } else { "all media" };
            state.told = Some(format!("picker and propose: {which}"));
            keep(state);
        }
        Do::Propose => return proposals::start(state),
        Do::Take => proposals::take(state),
        Do::Save => {
            let suggested = state.restack.work.as_ref().map(|w| save::suggested(state, w));
            type_line(state, Typing::File, &suggested.unwrap_or_default());
        }
        Do::Rename => {
            let name = state.restack.work.as_ref().map(|w| w.piece.build.name.clone());
            type_line(state, Typing::Name, &name.unwrap_or_default());
        }
        Do::Afresh => {
            if may_lose(state, Loss::Afresh)
                && let Some(work) = state.here().and_then(|e| Work::new(e, state.tank.as_ref()))
            {
                begin(state, work);
            }
        }
        Do::Narrow => {
            let wanted = state.restack.picker.as_ref().map(|p| p.wanted.clone());
            type_line(state, Typing::Narrow, &wanted.unwrap_or_default());
        }
        Do::Pick => pick(state),
        Do::Add => match here {
            Some(Here::Space(space)) => open_add(state, space.tray, None),
            Some(Here::Layer(layer, space)) => open_add(state, space.tray, Some(layer.at)),
            None => {}
        },
        other => match here {
            Some(Here::Layer(layer, space)) => on_layer(state, other, &layer, &space),
            Some(Here::Space(space)) => on_space(state, other, &space),
            None => {}
        },
    }
    Vec::new()
}

fn open_add(state: &mut State, tray: Option<usize>, after: Option<Place>) {
    let at = state.restack.work.as_ref().map(|w| edits::place_after(&w.piece, tray, after));
    if let Some(at) = at {
        picker::open(&mut state.restack, For::Add(at));
        keep(state);
    }
}

/// What a key does with the layer under the cursor.
fn on_layer(state: &mut State, what: Do, layer: &list::Shown, space: &list::Space) {
    let at = layer.at;
    match what {
        Do::Swap => {
            picker::open(&mut state.restack, For::Swap(at));
            keep(state);
        }
        Do::Type => {
            let text =
                state.restack.work.as_ref().and_then(|w| Some(written(w.piece.layer(at)?, state.units)));
            type_line(state, Typing::Amount(at), &text.unwrap_or_default());
        }
        Do::TypeGap => type_line(state, Typing::Slack(at), &typed(layer.slack_mm, 2)),
        Do::Hole => type_line(state, Typing::Hole(at), &typed(layer.hole_mm.unwrap_or(0.0), 2)),
        Do::Squeeze => type_line(state, Typing::Squeeze(at), &typed(layer.pressed * 100.0, 2)),
        Do::Remove => make(state, |p| edits::remove(p, at)),
        Do::Shift(along) => shift(state, at, along),
        Do::Trim(steps) => make(state, |p| edits::trim(p, at, steps, false)),
        Do::Cut(steps) => make(state, |p| edits::trim(p, at, steps, true)),
        Do::Fill => make(state, |p| edits::fill(p, at)),
        Do::Gap(steps) => {
            let mm = (layer.slack_mm + f64::from(steps) * SLACK_STEP).max(0.0);
            make(state, |p| edits::slack(p, at, mm));
        }
        Do::Mend => make(state, |p| edits::hole(p, at, 0.0)),
        Do::Dimples => make(state, |p| edits::turn(p, at)),
        Do::Seal => on_space(state, what, space),
        _ => {}
    }
}

/// What a key does with the tray under the cursor.
fn on_space(state: &mut State, what: Do, space: &list::Space) {
    let Some(tray) = space.tray else { return };
    let gap = space.seal.map_or(0.0, |(_, mm)| mm);
    match what {
        Do::Seal => {
            let first = state.restack.work.as_ref().map(|w| w.first.clone());
            if let Some(first) = first {
                make(state, |p| edits::seal(p, &first, tray));
            }
        }
        Do::Gap(steps) => make(state, |p| edits::gap(p, tray, gap + f64::from(steps) * GAP_STEP)),
        Do::Type | Do::TypeGap => type_line(state, Typing::Gap(tray), &typed(gap, 3)),
        _ => {}
    }
}

/// A number as it would be typed, with so many decimals at most.
fn typed(number: f64, decimals: usize) -> String {
    trimmed(&figures::rounded((number * 1e6).round() / 1e6, decimals)).to_owned()
}

/// The amount as it would be typed.
fn written(layer: &crate::model::tray::Layer, units: Units) -> String {
    let short = |x: f64| typed(x, 3);
    match &layer.amount {
        Amount::Depth(d) if units == Units::Us => format!("{} in", short(d.si() / 25.4e-3)),
        Amount::Depth(d) => format!("{} mm", short(d.si() * 1e3)),
        Amount::Volume(v) => format!("{} l", short(v.si() * 1e3)),
        Amount::Mass(m) => format!("{} kg", short(m.si())),
        Amount::Rest => "rest".to_owned(),
    }
}

/// Makes a change; why it is refused is told.
pub(super) fn make(state: &mut State, edit: impl FnOnce(&Workpiece) -> Option<Named>) {
    made(state, edit);
}

/// The same; whether it was made.
pub(super) fn made(state: &mut State, edit: impl FnOnce(&Workpiece) -> Option<Named>) -> bool {
    let units = state.units;
    let Some(work) = &mut state.restack.work else { return false };
    let Some((edit, said)) = edit(&work.piece) else {
        state.told = Some("that cannot be done here".to_owned());
        return false;
    };
    let done = work.make(&edit, &said);
    let refused = done.as_ref().err().map(|why| words(why, units));
    if let Some(why) = refused.or_else(|| too_high(work, units)) {
        state.told = Some(why);
    }
    keep(state);
    done.is_ok()
}

/// What no longer fits, and what that means.
pub fn too_high(work: &Work, units: Units) -> Option<String> {
    let unfit = work.piece.unfit();
    if unfit.is_empty() {
        return None;
    }
    let all: Vec<String> = unfit.iter().map(|why| words(why, units)).collect();
    Some(format!("{}; figures stay those of the last stack that fitted", all.join("; ")))
}

/// Why, with the length in the units that people read.
fn words(why: &EditError, units: Units) -> String {
    match why {
        EditError::Overfull(tray, over) => {
            let place = tray.map_or_else(|| "the floor".to_owned(), |t| format!("tray {}", t + 1));
            format!(
                "{place} is overfull by {}",
                figures::cut_length((over * 1e4 - 1e-6).ceil() / 10.0, units)
            )
        }
        other => other.to_string(),
    }
}

fn shift(state: &mut State, at: Place, along: bool) {
    let moved = state.restack.work.as_ref().and_then(|w| edits::shift(&w.piece, at, along));
    let Some((named, to)) = moved else {
        let end = if along { "last" } else { "first" };
        state.told = Some(format!("it lies {end} in the water already"));
        return;
    };
    if made(state, |_| Some(named)) {
        onto(state, to);
    }
}

/// Puts the cursor on a layer.
fn onto(state: &mut State, at: Place) {
    let line = state.restack.work.as_ref().and_then(|w| list::line_of(&w.piece, at));
    state.restack.cursor = line.unwrap_or(state.restack.cursor);
    keep(state);
}

/// Takes what is chosen in the picker.
fn pick(state: &mut State) {
    let Some(picker) = state.restack.picker.clone() else { return };
    let Some(choice) = picker::choices(state).into_iter().nth(picker.cursor) else { return };
    let medium = choice.medium;
    let (at, taken) = match picker.what {
        For::Add(at) => (at, made(state, |p| edits::add(p, at, &medium))),
        For::Swap(at) => (at, made(state, |p| edits::swap(p, at, &medium))),
    };
    if taken {
        state.restack.picker = None;
        onto(state, at);
    }
}

fn turned(state: &mut State, how: &str, turn: impl Fn(&mut Work) -> Option<String>) {
    let units = state.units;
    let Some(work) = &mut state.restack.work else { return };
    if let Some(said) = turn(work) {
        let unfit = too_high(work, units).map_or_else(String::new, |why| format!("; {why}"));
        state.told = Some(format!("{how}: {said}{unfit}"));
    }
    keep(state);
}
