//! Sources: constants, words of doubt, media, fittings, cautions, and what the model leaves out; looked through,
//! narrowed by typing and by who stands behind each.

use std::sync::Arc;

use crate::app::list::holds;
use crate::app::state::sources::{Item, Part};
use crate::app::{Area, Done, Effect, Goal, Line, List, Place, Screen, State, keep_row_in_window, pages};
use crate::assumptions::{A, Kind};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::Medium;
use crate::order::InOrder;
use crate::report::sources::{self, CAUTIONS, Entry, LEFT_OUT};

/// From this width on the entry under the cursor stands whole beside the list.
const BESIDE: u16 = 100;

pub struct Sources;

impl Screen for Sources {
    fn place(&self, _: &State) -> Place {
        Place::Sources
    }
    fn step(&self, state: &mut State, by: isize) {
        let left = items(state).len();
        state.sources.list.step(by, left);
        self.keep(state);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, window(state)));
    }
    /// Puts the cursor on what stands there; where it was there already, shows it whole.
    fn press(&self, state: &mut State, x: u16, y: u16) {
        let inner = area(state).inner();
        if state.sources.whole && beside(state).is_none() {
            state.sources.whole = false;
        } else if inner.holds(x, y) && usize::from(y - inner.y) < window(state) {
            let at = state.sources.list.top + usize::from(y - inner.y);
            let (lines, now) = lines(state);
            if at == now {
                state.sources.whole = true;
            } else if let Some(Shown::Item(_)) = lines.get(at) {
                let heads = lines.iter().take(at).filter(|l| matches!(l, Shown::Head(_))).count();
                state.sources.list.cursor = at - heads;
            }
            self.keep(state);
        }
    }
    fn back(&self, state: &mut State) -> bool {
        let screen = &mut state.sources;
        if screen.whole {
            screen.whole = false;
        } else if !screen.wanted.is_empty() {
            screen.wanted.clear();
        } else if screen.kind.is_some() {
            screen.kind = None;
        } else {
            return false;
        }
        self.keep(state);
        true
    }
    fn keep(&self, state: &mut State) {
        let narrowed = (wanted(state), state.sources.kind);
        if state.sources.seen != narrowed {
            state.sources.seen = narrowed;
            state.sources.list = List::default();
        }
        let last = items(state).len().saturating_sub(1);
        state.sources.list.cursor = state.sources.list.cursor.min(last);
        let rows = window(state);
        let (lines, at) = lines(state);
        let len = lines.len();
        let headed = at > 0 && matches!(lines.get(at - 1), Some(Shown::Head(_))) && rows > 2;
        let top = keep_row_in_window(state.sources.list.top, at, rows, len);
        state.sources.list.top = keep_row_in_window(top, if headed { at - 1 } else { at }, rows, len);
    }
    /// The entries follow what is loaded; which measures use which constants is asked once the builds are judged.
    fn sync(&self, state: &mut State) {
        let made_for = Some((state.round, state.units));
        if state.sources.made_for != made_for {
            state.sources.made_for = made_for;
            state.sources.items = Arc::new(all(state));
        }
        self.keep(state);
        if state.sources.asked != Some(state.round) && state.unjudged() == 0 && !state.entries.is_empty() {
            state.sources.asked = Some(state.round);
            state.ask(Effect::Uses);
        }
    }
}

pub fn search(state: &mut State) {
    state.sources.whole = false;
    state.line = Some(Line::new(Goal::Sources, &state.sources.wanted));
    Sources.keep(state);
}

/// Only what is published, only common practice, only ours, or all.
pub fn whose(state: &mut State) {
    state.sources.kind = match state.sources.kind {
        None => Some(Kind::Published),
        Some(Kind::Published) => Some(Kind::Practice),
        Some(Kind::Practice) => Some(Kind::Ours),
        Some(Kind::Ours) => None,
    };
    Sources.keep(state);
}

pub fn part(state: &mut State, by: isize) {
    let items = items(state);
    let cursor = state.sources.list.cursor;
    let now = items.get(cursor).map(|i| i.part);
    let first = |part: Part| items.iter().position(|i| i.part == part);
    let to = if by > 0 {
        items.iter().skip(cursor).find(|i| Some(i.part) != now)
    } else {
        // To the head of this part first, then of the one before.
        let on_first = now.and_then(first) == Some(cursor);
        cursor.checked_sub(usize::from(on_first)).and_then(|i| items.get(i))
    };
    if let Some(to) = to.and_then(|i| first(i.part)) {
        state.sources.list.cursor = to;
    }
    Sources.keep(state);
}

/// Shows the entry under the cursor whole, or the list again.
pub fn whole(state: &mut State) {
    state.sources.whole = !state.sources.whole && here(state).is_some();
    Sources.keep(state);
}

pub fn on_submit(state: &mut State, line: &Line, done: Done) {
    state.sources.wanted = if done == Done::Drop { String::new() } else { line.text() };
    Sources.keep(state);
    if let Done::Take(on) = done {
        Sources.step(state, on);
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shown<'a> {
    Head(Part),
    Item(&'a Item),
}

/// What entries are narrowed to now.
pub fn wanted(state: &State) -> String {
    match &state.line {
        Some(line) if line.goal == Goal::Sources => line.text(),
        _ => state.sources.wanted.clone(),
    }
}

pub fn items(state: &State) -> Vec<&Item> {
    let wanted = wanted(state);
    let kind = state.sources.kind;
    let fits = |item: &&Item| {
        kind.is_none_or(|kind| item.entry.as_ref().is_some_and(|e| e.kind == kind))
            && holds(&item.text, &wanted)
    };
    state.sources.items.iter().filter(fits).collect()
}

pub fn lines(state: &State) -> (Vec<Shown<'_>>, usize) {
    let mut out = Vec::new();
    let (mut part, mut at) = (None, 0);
    for (i, item) in items(state).into_iter().enumerate() {
        if part != Some(item.part) {
            part = Some(item.part);
            out.push(Shown::Head(item.part));
        }
        if i == state.sources.list.cursor {
            at = out.len();
        }
        out.push(Shown::Item(item));
    }
    (out, at)
}

pub fn here(state: &State) -> Option<&Item> {
    items(state).get(state.sources.list.cursor).copied()
}

/// The measures of the builds loaded that use a constant, in the catalogue's order.
pub fn users(state: &State, constant: A) -> Vec<Measure> {
    let uses = |m: &Measure| state.sources.uses.contains(&(constant, *m));
    Measure::ALL.into_iter().filter(uses).collect()
}

pub fn area(state: &State) -> Area {
    let main = state.parts().main.unwrap_or_default();
    if main.w < BESIDE { main } else { Area { w: main.w * 3 / 5, ..main } }
}

/// Where the entry under the cursor stands whole beside it.
pub fn beside(state: &State) -> Option<Area> {
    let (main, list) = (state.parts().main?, area(state));
    (list.w < main.w).then(|| Area::new(main.x + list.w, main.y, main.w - list.w, main.h))
}

/// Rows kept below the list for the entry under the cursor.
pub fn told_rows(state: &State) -> u16 {
    match area(state).inner().h {
        _ if beside(state).is_some() => 0,
        0..=3 => 0,
        4..=8 => 1,
        9..=15 => 3,
        _ => 6,
    }
}

fn window(state: &State) -> usize {
    usize::from(area(state).inner().h.saturating_sub(told_rows(state)))
}

fn all(state: &State) -> Vec<Item> {
    let entry = |part, constant, entry: Entry| Item {
        part,
        constant,
        text: format!(
            "{} {} {} {} {} {} {}",
            entry.key,
            entry.what,
            entry.value,
            entry.spread,
            entry.kind.word(),
            entry.checked,
            entry.source
        ),
        entry: Some(entry),
    };
    let said = |part, text: &&str| Item { part, constant: None, entry: None, text: (*text).to_owned() };
    let library = Library::shipped();
    let mut out: Vec<Item> =
        A::ALL.into_iter().map(|a| entry(Part::Constants, Some(a), sources::constant(a))).collect();
    out.extend(sources::words().into_iter().map(|e| entry(Part::Words, None, e)));
    let media = library.media().map(|m| (m, "ships with the program"));
    let media = media.chain(loaded(state).into_iter().map(|m| (m, "from a file that is loaded")));
    out.extend(media.map(|(m, from)| {
        let mut e = sources::medium(m, state.units);
        from.clone_into(&mut e.spread);
        entry(Part::Media, None, e)
    }));
    out.extend(library.fittings().map(|f| entry(Part::Fittings, None, sources::fitting(f, state.units))));
    out.extend(CAUTIONS.iter().map(|text| said(Part::Cautions, text)));
    out.extend(LEFT_OUT.iter().map(|text| said(Part::LeftOut, text)));
    out
}

/// Media of the builds loaded that do not ship, each once.
fn loaded(state: &State) -> Vec<&Arc<Medium>> {
    let library = Library::shipped();
    let mut out: Vec<&Arc<Medium>> = Vec::new();
    for entry in &state.entries {
        let Some(build) = entry.filter.builds.get(entry.build) else { continue };
        for layer in build.floor.iter().chain(build.trays.iter().flatten()) {
            let medium = &layer.medium;
            let ships = library.medium(&medium.id).is_some_and(|m| m == medium);
            if !ships && !out.contains(&medium) {
                out.push(medium);
            }
        }
    }
    out.order_by(|a, b| a.id.cmp(&b.id));
    out
}
