//! The Sources screen: constants, words of doubt, media, fittings, cautions, and what the model leaves out; looked
//! through, narrowed by typing and by who stands behind each.

use std::sync::Arc;

use super::effect::Effect;
use super::layout::{self, Area};
use super::line::{Done, Goal, Line as Typed};
use super::narrow;
use super::state::State;
use crate::assumptions::{A, Kind};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::medium::Medium;
use crate::report::catalogue::{self, Entry};
use crate::report::cautions::{CAUTIONS, LEFT_OUT};
use crate::report::figures::Units;

/// From this width on the entry under the cursor stands whole beside the list.
const BESIDE: u16 = 100;

/// What a key does on the Sources screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {
    /// Type to search.
    Search,
    /// Only what is published, common practice, ours, or all.
    Kind,
    /// To the next part, or the one before.
    Part(isize),
    /// Show the entry under the cursor whole, or the list again.
    Whole,
}

/// A part of the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Constants and assumptions of the model.
    Constants,
    /// Words of doubt.
    Words,
    /// Media, shipped and loaded.
    Media,
    /// Fittings that ship.
    Fittings,
    /// Cautions.
    Cautions,
    /// What the model leaves out.
    LeftOut,
}

impl Part {
    /// Its name above its entries.
    pub fn name(self) -> &'static str {
        match self {
            Self::Constants => "Constants and assumptions",
            Self::Words => "How sure a figure in a file is",
            Self::Media => "Media",
            Self::Fittings => "Fittings",
            Self::Cautions => "Cautions",
            Self::LeftOut => "What the model leaves out",
        }
    }
}

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The part it stands in.
    pub part: Part,
    /// The constant it is.
    pub constant: Option<A>,
    /// Its entry; cautions and what is left out have none.
    pub entry: Option<Entry>,
    /// All its words: what it says, or what is searched.
    pub text: String,
}

/// What the screen knows.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    /// All entries.
    pub items: Arc<Vec<Item>>,
    /// What they are narrowed to.
    pub wanted: String,
    /// Whose they are.
    pub kind: Option<Kind>,
    /// Which of those left is under the cursor.
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
    /// The entry under the cursor is shown whole.
    pub whole: bool,
    /// Which measures use which constants, once it is known.
    pub uses: Vec<(A, Measure)>,
    /// What the entries were made of.
    made_for: Option<(u64, Units)>,
    /// The round the uses were asked in.
    asked: Option<u64>,
    /// What was narrowed to last.
    seen: (String, Option<Kind>),
}

/// A line of the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Line<'a> {
    /// Begins a part.
    Head(Part),
    /// An entry.
    Item(&'a Item),
}

/// What entries are narrowed to now.
pub fn wanted(state: &State) -> String {
    match &state.line {
        Some(line) if line.goal == Goal::Sources => line.text(),
        _ => state.sources.wanted.clone(),
    }
}

/// The entries that are left.
pub fn items(state: &State) -> Vec<&Item> {
    let wanted = wanted(state);
    let kind = state.sources.kind;
    let fits = |item: &&Item| {
        kind.is_none_or(|kind| item.entry.as_ref().is_some_and(|e| e.kind == kind))
            && narrow::holds(&item.text, &wanted)
    };
    state.sources.items.iter().filter(fits).collect()
}

/// The lines of the list, and which of them the cursor is on.
pub fn lines(state: &State) -> (Vec<Line<'_>>, usize) {
    let mut out = Vec::new();
    let (mut part, mut at) = (None, 0);
    for (i, item) in items(state).into_iter().enumerate() {
        if part != Some(item.part) {
            part = Some(item.part);
            out.push(Line::Head(item.part));
        }
        if i == state.sources.cursor {
            at = out.len();
        }
        out.push(Line::Item(item));
    }
    (out, at)
}

/// The entry under the cursor.
pub fn here(state: &State) -> Option<&Item> {
    items(state).get(state.sources.cursor).copied()
}

/// The measures of the builds loaded that use a constant, in the catalogue's order.
pub fn users(state: &State, constant: A) -> Vec<Measure> {
    let uses = |m: &Measure| state.sources.uses.contains(&(constant, *m));
    Measure::ALL.into_iter().filter(uses).collect()
}

/// Where the list stands.
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

/// Moves the cursor by entries.
pub fn step(state: &mut State, by: isize) {
    let last = items(state).len().saturating_sub(1);
    state.sources.cursor = state.sources.cursor.saturating_add_signed(by).min(last);
    keep(state);
}

/// Moves by windows.
pub fn page(state: &mut State, by: isize) {
    let rows = isize::try_from(window(state).saturating_sub(1).max(1)).unwrap_or(1);
    step(state, by.saturating_mul(rows));
}

/// Puts the cursor on what stands at a cell; where it was there already, shows it whole.
pub fn press(state: &mut State, x: u16, y: u16) {
    let inner = area(state).inner();
    if state.sources.whole && beside(state).is_none() {
        state.sources.whole = false;
        return;
    }
    if !inner.holds(x, y) || usize::from(y - inner.y) >= window(state) {
        return;
    }
    let at = state.sources.top + usize::from(y - inner.y);
    let (lines, now) = lines(state);
    if at == now {
        state.sources.whole = true;
    } else if let Some(Line::Item(_)) = lines.get(at) {
        let heads = lines.iter().take(at).filter(|l| matches!(l, Line::Head(_))).count();
        state.sources.cursor = at - heads;
    }
    keep(state);
}

/// Keeps cursor and window within what there is.
pub fn keep(state: &mut State) {
    let narrowed = (wanted(state), state.sources.kind);
    if state.sources.seen != narrowed {
        state.sources.seen = narrowed;
        (state.sources.cursor, state.sources.top) = (0, 0);
    }
    state.sources.cursor = state.sources.cursor.min(items(state).len().saturating_sub(1));
    let rows = window(state);
    let (lines, at) = lines(state);
    let len = lines.len();
    let headed = at > 0 && matches!(lines.get(at - 1), Some(Line::Head(_))) && rows > 2;
    let top = layout::keep_row_in_window(state.sources.top, at, rows, len);
    state.sources.top = layout::keep_row_in_window(top, if headed { at - 1 } else { at }, rows, len);
}

/// After anything happened while the screen is in view: the entries follow what is loaded, and which measures use
/// which constants is asked once the builds are judged.
pub fn follow(state: &mut State) -> Vec<Effect> {
    let made_for = Some((state.round, state.units));
    if state.sources.made_for != made_for {
        state.sources.made_for = made_for;
        state.sources.items = Arc::new(all(state));
    }
    keep(state);
    if state.sources.asked != Some(state.round) && state.unjudged() == 0 && !state.entries.is_empty() {
        state.sources.asked = Some(state.round);
        return vec![Effect::Uses];
    }
    Vec::new()
}

/// Takes in which measures use which constants.
pub fn take_uses(state: &mut State, round: u64, uses: Vec<(A, Measure)>) {
    if round == state.round {
        state.sources.uses = uses;
    }
}

/// Every entry.
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
        A::ALL.into_iter().map(|a| entry(Part::Constants, Some(a), catalogue::constant(a))).collect();
    out.extend(catalogue::words().into_iter().map(|e| entry(Part::Words, None, e)));
    let media = library.media().map(|m| (m, "ships with the program"));
    let media = media.chain(loaded(state).into_iter().map(|m| (m, "from a file that is loaded")));
    out.extend(media.map(|(m, from)| {
        let mut e = catalogue::medium(m, state.units);
        from.clone_into(&mut e.spread);
        entry(Part::Media, None, e)
    }));
    out.extend(library.fittings().map(|f| entry(Part::Fittings, None, catalogue::fitting(f, state.units))));
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
    out.sort_by(|a, b| a.id.cmp(&b.id));
    out
}

/// Does what a key asks.
pub fn act(state: &mut State, what: Do) -> Vec<Effect> {
    match what {
        Do::Search => {
            state.sources.whole = false;
            state.line = Some(Typed::new(Goal::Sources, &state.sources.wanted));
        }
        Do::Kind => {
            state.sources.kind = match state.sources.kind {
                None => Some(Kind::Published),
                Some(Kind::Published) => Some(Kind::Practice),
                Some(Kind::Practice) => Some(Kind::Ours),
                Some(Kind::Ours) => None,
            };
        }
        Do::Part(by) => {
            let items = items(state);
            let now = items.get(state.sources.cursor).map(|i| i.part);
            let first = |part: Part| items.iter().position(|i| i.part == part);
            let to = if by > 0 {
                items.iter().skip(state.sources.cursor).find(|i| Some(i.part) != now)
            } else {
                // To the head of this part first, then of the one before.
                let on_first = now.and_then(first) == Some(state.sources.cursor);
                let before = state.sources.cursor.checked_sub(usize::from(on_first));
                before.and_then(|i| items.get(i))
            };
            if let Some(to) = to.and_then(|i| first(i.part)) {
                state.sources.cursor = to;
            }
        }
        Do::Whole => state.sources.whole = !state.sources.whole && here(state).is_some(),
    }
    keep(state);
    Vec::new()
}

/// A line was typed for the screen.
pub fn taken(state: &mut State, line: &Typed, done: Done) -> Vec<Effect> {
    state.sources.wanted = match done {
        Done::Drop => String::new(),
        _ => line.text(),
    };
    keep(state);
    if let Done::Take(on) = done {
        step(state, on);
    }
    Vec::new()
}

/// One step back on this screen; whether there was one.
pub fn back(state: &mut State) -> bool {
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
    keep(state);
    true
}
