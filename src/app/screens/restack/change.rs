//! What a key does: each change is made through the one history, and what it did is told.

use super::allowed::here;
use super::edits::{self, Named};
use super::list::{self, Here};
use super::moves::{begin, keep, type_line};
use super::{picker, save};
use crate::app::state::Loss;
use crate::app::state::restack::{For, Pane, Picker};
use crate::app::{List, State, Typing, Work};
use crate::model::edit::{EditError, Place};
use crate::model::{Amount, Workpiece};
use crate::place::Space;
use crate::report::figures::{self, Units};
use crate::units::trimmed;

/// Steps of slack and of a seal's gap, mm.
const SLACK_STEP: f64 = 0.5;
const GAP_STEP: f64 = 0.05;

fn layer_here(state: &State) -> Option<list::Shown> {
    match here(state)? {
        Here::Layer(layer, _) => Some(layer),
        Here::Space(_) => None,
    }
}

/// Opens the picker for a layer behind the one under the cursor, or for the first of its tray.
pub fn add(state: &mut State) {
    let (tray, after) = match here(state) {
        Some(Here::Space(space)) => (space.tray, None),
        Some(Here::Layer(layer, space)) => (space.tray, Some(layer.at)),
        None => return,
    };
    if let Some(work) = &state.restack.work {
        let count = list::layers(&work.piece, tray).len();
        let at = (tray, after.map_or(0, |at: Place| at.1 + 1).min(count));
        open(state, For::Add(at));
    }
}

pub fn swap(state: &mut State) {
    if let Some(layer) = layer_here(state) {
        open(state, For::Swap(layer.at));
    }
}

fn open(state: &mut State, what: For) {
    let restack = &mut state.restack;
    (restack.pane, restack.scroll) = (Pane::List, 0);
    restack.picker = Some(Picker { what, wanted: String::new(), list: List::default() });
    keep(state);
}

pub fn narrow_media(state: &mut State) {
    let wanted = state.restack.picker.as_ref().map(|p| p.wanted.clone());
    type_line(state, Typing::Narrow, &wanted.unwrap_or_default());
}

fn on_layer(state: &mut State, edit: impl FnOnce(&Workpiece, &list::Shown) -> Option<Named>) {
    if let Some(layer) = layer_here(state) {
        make(state, |piece| edit(piece, &layer));
    }
}

pub fn remove(state: &mut State) {
    on_layer(state, |piece, layer| edits::remove(piece, layer.at));
}

/// Thicker or thinner by so many steps, small or wide ones.
pub fn trim(state: &mut State, steps: i32, wide: bool) {
    on_layer(state, |piece, layer| edits::trim(piece, layer.at, steps, wide));
}

pub fn fill(state: &mut State) {
    on_layer(state, |piece, layer| edits::fill(piece, layer.at));
}

pub fn mend(state: &mut State) {
    on_layer(state, |piece, layer| edits::hole(piece, layer.at, 0.0));
}

pub fn dimples(state: &mut State) {
    on_layer(state, |piece, layer| edits::turn(piece, layer.at));
}

/// Slack, or the gap of a seal, wider or narrower by so many steps.
pub fn gap(state: &mut State, steps: i32) {
    match here(state) {
        Some(Here::Layer(layer, _)) => {
            let mm = (layer.slack_mm + f64::from(steps) * SLACK_STEP).max(0.0);
            make(state, |p| edits::slack(p, layer.at, mm));
        }
        Some(Here::Space(list::Space { tray: Some(tray), seal, .. })) => {
            let gap = seal.map_or(0.0, |(_, mm)| mm);
            make(state, |p| edits::gap(p, tray, gap + f64::from(steps) * GAP_STEP));
        }
        _ => {}
    }
}

pub fn seal(state: &mut State) {
    let (Some(Here::Space(space) | Here::Layer(_, space)), Some(work)) = (here(state), &state.restack.work)
    else {
        return;
    };
    if let Some(tray) = space.tray {
        let first = work.first.clone();
        make(state, |p| edits::seal(p, &first, tray));
    }
}

pub fn shift(state: &mut State, up: bool) {
    let Some(at) = layer_here(state).map(|layer| layer.at) else { return };
    let moved = state.restack.work.as_ref().and_then(|w| edits::shift(&w.piece, at, up));
    let Some((named, to)) = moved else {
        let end = if up { "highest" } else { "lowest" };
        return state.tell(format!("it lies {end} already"));
    };
    if make(state, |_| Some(named)) {
        onto(state, to);
    }
}

pub fn digit(state: &mut State, digit: char) {
    if let Some(layer) = layer_here(state) {
        type_line(state, Typing::Amount(layer.at), &digit.to_string());
    }
}

/// Types the amount, or on a tray the gap of its seal.
pub fn type_amount(state: &mut State) {
    let Some(Here::Layer(layer, _)) = here(state) else { return type_gap(state) };
    let units = state.units;
    let work = state.restack.work.as_ref();
    let text = work.and_then(|w| Some(written(w.piece.layer(layer.at)?, units)));
    type_line(state, Typing::Amount(layer.at), &text.unwrap_or_default());
}

pub fn type_gap(state: &mut State) {
    match here(state) {
        Some(Here::Layer(layer, _)) => type_line(state, Typing::Slack(layer.at), &typed(layer.slack_mm, 2)),
        Some(Here::Space(list::Space { tray: Some(tray), seal, .. })) => {
            type_line(state, Typing::Gap(tray), &typed(seal.map_or(0.0, |(_, mm)| mm), 3));
        }
        _ => {}
    }
}

pub fn type_hole(state: &mut State) {
    if let Some(layer) = layer_here(state) {
        type_line(state, Typing::Hole(layer.at), &typed(layer.hole_mm.unwrap_or(0.0), 2));
    }
}

pub fn type_pressed(state: &mut State) {
    if let Some(layer) = layer_here(state) {
        type_line(state, Typing::Squeeze(layer.at), &typed(layer.pressed * 100.0, 2));
    }
}

pub fn rename(state: &mut State) {
    let name = state.restack.work.as_ref().map(|w| w.piece.build.name.clone());
    type_line(state, Typing::Name, &name.unwrap_or_default());
}

pub fn save_as(state: &mut State) {
    let suggested = state.restack.work.as_ref().map(|w| save::suggested(state, w));
    type_line(state, Typing::File, &suggested.unwrap_or_default());
}

pub fn afresh(state: &mut State) {
    if state.may_lose(Loss::Afresh)
        && let Some(work) = state.here().and_then(|e| Work::new(e, state.tank.as_ref()))
    {
        begin(state, work);
    }
}

/// Only what is on hand, or all media, in picker and search.
pub fn on_hand(state: &mut State) {
    state.restack.on_hand = !state.restack.on_hand;
    let which = if state.restack.on_hand { "only media on hand or in the build" } else { "all media" };
    state.tell(format!("picker and propose: {which}"));
    keep(state);
}

pub fn undo(state: &mut State) {
    turned(state, "taken back", Work::undo);
}

pub fn redo(state: &mut State) {
    turned(state, "made again", Work::redo);
}

/// A number as it would be typed, with so many decimals at most.
fn typed(number: f64, decimals: usize) -> String {
    trimmed(&figures::rounded((number * 1e6).round() / 1e6, decimals)).to_owned()
}

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

/// Makes a change, and tells why it is refused; whether it was made.
pub(super) fn make(state: &mut State, edit: impl FnOnce(&Workpiece) -> Option<Named>) -> bool {
    let units = state.units;
    let Some(work) = &mut state.restack.work else { return false };
    let Some((edit, said)) = edit(&work.piece) else {
        state.tell("that cannot be done here");
        return false;
    };
    let done = work.make(&edit, &said);
    let refused = done.as_ref().err().map(|why| words(why, units));
    if let Some(why) = refused.or_else(|| too_high(work, units)) {
        state.tell(why);
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
            let place = Space::of(*tray).in_a_sentence();
            format!(
                "{place} is overfull by {}",
                figures::cut_length((over * 1e4 - 1e-6).ceil() / 10.0, units)
            )
        }
        other => other.to_string(),
    }
}

fn onto(state: &mut State, at: Place) {
    let line = state.restack.work.as_ref().and_then(|w| list::line_of(&w.piece, at));
    state.restack.list.cursor = line.unwrap_or(state.restack.list.cursor);
    keep(state);
}

pub fn pick(state: &mut State) {
    let Some(picker) = state.restack.picker.clone() else { return };
    let Some(choice) = picker::choices(state).into_iter().nth(picker.list.cursor) else { return };
    let medium = choice.medium;
    let (at, taken) = match picker.what {
        For::Add(at) => (at, make(state, |p| edits::add(p, at, &medium))),
        For::Swap(at) => (at, make(state, |p| edits::swap(p, at, &medium))),
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
        state.tell(format!("{how}: {said}{unfit}"));
    }
    keep(state);
}
