//! Builds: the table, and the pictures of the build under the cursor.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use unicode_width::UnicodeWidthStr;

use crate::app::layout;
use crate::app::order;
use crate::app::panes::Pane;
use crate::app::screen::NOTHING_LISTED;
use crate::app::screens::ranking;
use crate::app::{
    Area, By, Column, Effect, Entry, Id, May, Place, Screen, State, Tab, View, beyond, columns,
    keep_row_in_window, moved, only_if, pages,
};
use crate::assess::Mode;
use crate::measures::Measure;
use crate::model::put_right::State as Repaired;
use crate::model::{Filter, Tank};
use crate::profile::Loaded;

pub struct Builds;

impl Screen for Builds {
    fn place(&self, _: &State) -> Place {
        Place::Builds
    }
    fn step(&self, state: &mut State, by: isize) {
        to_row(state, moved(state.row_here(), by, state.rows.len()));
    }
    fn page(&self, state: &mut State, by: isize) {
        let parts = state.parts();
        if state.pane == Pane::Table {
            self.step(state, pages(by, parts.main.map_or(1, layout::table_rows)));
        } else {
            let side = parts.side.iter().find(|(p, _)| *p == state.pane);
            scroll(state, pages(by, side.map_or(1, |(_, a)| usize::from(a.inner().h))));
        }
    }
    fn column(&self, state: &mut State, by: isize) {
        state.column = moved(state.column, by, state.columns.len() + 1);
        place(state);
    }
    fn press(&self, state: &mut State, x: u16, y: u16) {
        if let Some(main) = state.parts().main.filter(|a| a.holds(x, y)) {
            press_table(state, main, x, y);
        } else {
            on_side(state, x, y, 0);
        }
    }
    fn wheel(&self, state: &mut State, x: u16, y: u16, by: isize) {
        if !on_side(state, x, y, by * 3) {
            self.step(state, by);
        }
    }
    fn figure(&self, state: &State) -> Result<(usize, Measure), &'static str> {
        let of = match state.cursor {
            Some(Id::Build(i)) => i,
            Some(Id::Broken(_)) => {
                return Err("a broken file has no figures: its problems are in the pane ({next_pane})");
            }
            None => return Err(listed(state).err().unwrap_or(NOTHING_LISTED)),
        };
        if state.column_here() == Some(Column::Known) {
            return Err(
                "the strip below tells how the inputs are known: choose a figure with {left} and {right}",
            );
        }
        let measure = state.measure_here();
        measure.map(|m| (of, m)).ok_or("the cursor is on the name: choose a figure with {left} and {right}")
    }
    fn on_line(&self, state: &State) -> May {
        listed(state)
    }
    fn back(&self, state: &mut State) -> bool {
        if state.pane != Pane::Table {
            state.pane = Pane::Table;
            state.scroll = 0;
            place(state);
        } else if state.narrow.is_empty() {
            return false;
        } else {
            state.narrow.clear();
            settle(state);
        }
        true
    }
}

pub fn listed(state: &State) -> May {
    if !state.rows.is_empty() {
        Ok(())
    } else if state.narrow.is_empty() {
        Err(NOTHING_LISTED)
    } else {
        Err("nothing is left of the search ({back} shows all)")
    }
}

pub const NO_BUILD: &str = "a broken file has no build to mark";

pub fn on_build(state: &State) -> May {
    match state.cursor {
        Some(Id::Build(_)) => Ok(()),
        Some(Id::Broken(_)) => Err(NO_BUILD),
        None => listed(state),
    }
}

pub fn in_pane(state: &State) -> May {
    beyond(state.drawn.pane)?;
    only_if(
        !(state.pane == Pane::Table && state.broken_here().is_none()),
        "no pane is in focus ({next_pane})",
    )
}

pub fn marked(state: &State) -> May {
    if state.marks.is_empty() { Err("nothing is marked") } else { Ok(()) }
}

pub fn to_row(state: &mut State, row: usize) {
    if let Some(id) = state.rows.get(row).copied() {
        to(state, id);
    }
}

/// Puts the cursor on a build or a broken file.
pub fn to(state: &mut State, id: Id) {
    if state.cursor != Some(id) {
        state.scroll = 0;
    }
    state.cursor = Some(id);
    state.chosen = true;
    place(state);
}

pub fn turn(state: &mut State, by: isize) {
    state.pane = state.pane.turned(by);
    state.scroll = 0;
    place(state);
}

/// The list, both, or a pane: what of them is in view.
pub fn view(state: &mut State) {
    let narrow = state.size.0 < layout::WIDE;
    state.view = state.view.turned(1);
    state.pane = match (state.view, state.pane) {
        (View::Pane, Pane::Table) => Pane::Inside,
        (View::Pane, pane) => pane,
        _ => Pane::Table,
    };
    let what = match state.view {
        View::List => "the list, as many figures as fit",
        View::Both if narrow => "the list with long names; panes stand beside it from 120 columns on",
        View::Both => "the list and panes",
        View::Pane => "a pane",
    };
    state.tell(format!("in view: {what}"));
    place(state);
}

pub fn scroll(state: &mut State, by: isize) {
    state.scroll = moved(state.scroll, by, state.drawn.pane + 1);
}

pub fn narrow(state: &mut State) {
    state.pane = Pane::Table;
    state.typing = true;
}

/// Sorts by the column under the cursor, or turns that round. The cursor stays on its build; a person who has
/// not moved it sees the new first row.
pub fn sort(state: &mut State) {
    let by = state.column_here().map_or(By::Name, By::from);
    state.sort = order::sort_by(&state.sort, by);
    settle(state);
}

pub fn mark(state: &mut State, id: Id) {
    match state.marks.iter().position(|m| *m == id) {
        Some(at) => drop(state.marks.remove(at)),
        None => state.marks.push(id),
    }
}

/// Marks the build under the cursor, or unmarks it, and goes one line down.
pub fn mark_here(state: &mut State) {
    if let Some(id) = state.cursor {
        mark(state, id);
        state.chosen = true;
        Builds.step(state, 1);
    }
}

/// Turns to the side pane at a cell, or scrolls it where it is in focus already; whether one is there.
fn on_side(state: &mut State, x: u16, y: u16, by: isize) -> bool {
    let parts = state.parts();
    let Some((pane, _)) = parts.side.iter().find(|(_, a)| a.holds(x, y)) else { return false };
    if state.pane == *pane {
        scroll(state, by);
    } else {
        // How far it can scroll is known once it is drawn.
        state.pane = *pane;
        state.scroll = 0;
    }
    true
}

fn press_table(state: &mut State, area: Area, x: u16, y: u16) {
    state.pane = Pane::Table;
    let inner = area.inner();
    if !inner.holds(x, y) {
        return;
    }
    let (x, y) = (usize::from(x - inner.x), usize::from(y - inner.y));
    let table = usize::from(inner.w);
    let column = if x < columns::name_width(state, table) {
        Some(0)
    } else {
        let shown = columns::shown(state, table, state.left);
        shown.iter().find(|s| x + columns::GAP >= s.x && x < s.x + s.w).map(|s| s.index + 1)
    };
    if let Some(column) = column {
        state.column = column;
    }
    let heads = usize::from(layout::head_rows(area));
    if y < heads {
        if column.is_some() {
            sort(state);
        }
    } else if y < heads + layout::table_rows(area) {
        to_row(state, state.top + y - heads);
    }
}

/// Takes in what was read. Cursor and marks stay on the builds they were on; figures of what did not change
/// stay until they are judged again.
pub fn take(state: &mut State, loaded: Loaded) {
    let logs = state.logs();
    let old = std::mem::take(&mut state.entries);
    let broken = std::mem::replace(&mut state.broken, loaded.broken);
    for sound in loaded.filters {
        let filter = if state.as_found { Arc::clone(&sound.filter) } else { sound.filter.put_right() };
        for build in 0..sound.filter.builds.len() {
            state.entries.push(Entry::new(Arc::clone(&filter), sound.path.clone(), build));
        }
    }
    // Builds of one name are told apart by their files.
    let mut names: HashMap<String, usize> = HashMap::new();
    for entry in &state.entries {
        *names.entry(entry.name.clone()).or_default() += 1;
    }
    for entry in state.entries.iter_mut().filter(|e| names.get(&e.name).is_some_and(|n| *n > 1)) {
        let stem = entry.path.file_stem().unwrap_or_default().to_string_lossy();
        entry.name = format!("{} ({stem})", entry.name);
    }
    let places: HashMap<_, usize> = old.iter().enumerate().map(|(i, e)| (identity(e), i)).collect();
    // What a key did is told before what the disk did.
    if !old.is_empty() && state.status.is_none() {
        let same = |e: &Entry| {
            places.get(&identity(e)).and_then(|i| old.get(*i)).is_some_and(|o| o.filter == e.filter)
        };
        state.status = read_again(state.entries.iter().filter(|e| !same(e)));
    }
    for entry in &mut state.entries {
        let was = places.get(&identity(entry)).and_then(|i| old.get(*i));
        if let Some(was) = was.filter(|o| o.filter == entry.filter) {
            (entry.judged, entry.stale) = (was.judged.clone(), was.stale);
        }
    }
    // A log tells of what builds share.
    if state.log_moves == Mode::All && state.logs() != logs {
        learn_again(&mut state.entries);
    }
    let entries = &state.entries;
    let now_broken = &state.broken;
    let by_path = |path: &Path| now_broken.iter().position(|b| b.path == path).map(Id::Broken);
    let moved = |id: Id| -> Option<Id> {
        match id {
            Id::Build(i) => {
                let o = old.get(i)?;
                // A file that broke under the cursor keeps the cursor, on its problems.
                let same = entries.iter().position(|e| identity(e) == identity(o)).map(Id::Build);
                same.or_else(|| by_path(&o.path))
            }
            Id::Broken(i) => {
                let path = &broken.get(i)?.path;
                by_path(path).or_else(|| entries.iter().position(|e| e.path == *path).map(Id::Build))
            }
        }
    };
    state.ranking.stood = None;
    state.compare.two = None;
    state.cursor = state.cursor.and_then(moved);
    state.marks =
        state.marks.iter().filter_map(|id| moved(*id)).filter(|id| matches!(id, Id::Build(_))).collect();
    let find = |(path, name): (String, String)| {
        let same = |e: &Entry| e.path.to_string_lossy() == *path && e.build_name() == name;
        state.entries.iter().position(same).map(Id::Build)
    };
    state.marks.extend(std::mem::take(&mut state.marks_kept).into_iter().filter_map(find));
    if let Some(last) = state.place_kept.take().and_then(find) {
        (state.cursor, state.chosen) = (Some(last), true);
    }
    state.longest_name = state.entries.iter().map(|e| e.name.width()).max().unwrap_or(0);
    state.loading = false;
    settle(state);
}

/// `read again: tamsin-1100.ron, 2 builds changed`; nothing where none did.
fn read_again<'a>(changed: impl Iterator<Item = &'a Entry>) -> Option<String> {
    let mut files: Vec<String> = Vec::new();
    let mut count = 0;
    for entry in changed {
        count += 1;
        let name = entry.path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if !files.contains(&name) {
            files.push(name);
        }
    }
    let which = match files.as_slice() {
        [] => return None,
        [one] => one.clone(),
        [one, more @ ..] => format!("{one} and {} more files", more.len()),
    };
    let builds = if count == 1 { "1 build".to_owned() } else { format!("{count} builds") };
    Some(format!("read again: {which}, {builds} changed"))
}

/// Takes another tank, or none: figures for the one before would mislead, so they go. Every build is to be
/// judged again.
pub fn take_tank(state: &mut State, tank: Option<Arc<Tank>>) {
    state.no_tank = tank.is_none();
    ranking::take_tank(state, tank.as_deref());
    state.tank = tank;
    judge_afresh(state);
}

/// Units as they are, or as put right: the other of the two.
pub fn other_state(state: &mut State) {
    state.as_found = !state.as_found;
    let mut turned: HashMap<PathBuf, Arc<Filter>> = HashMap::new();
    for entry in &mut state.entries {
        let other = turned.entry(entry.path.clone()).or_insert_with(|| match &entry.filter.found {
            Some(found) => Arc::clone(found),
            None => entry.filter.put_right(),
        });
        entry.filter = Arc::clone(other);
    }
    state.tell(if state.as_found { "units as found, with nothing put right" } else { "units after repair" });
    judge_afresh(state);
    state.ask(Effect::Judge);
}

pub fn repairs(state: &State) -> May {
    only_if(
        state.entries.iter().any(|entry| entry.filter.state() != Repaired::Whole),
        "no profile names seals, impeller or lamp in `to_fix`",
    )
}

/// Simulated cases stand until others come.
fn learn_again(entries: &mut [Entry]) {
    for entry in entries {
        entry.stale = entry.simulated().is_some();
    }
}

/// Logs move other figures: those of all builds, the logged build's own, or none's.
pub fn whose_logs(state: &mut State) {
    state.log_moves = state.log_moves.turned(1);
    let says = match state.log_moves {
        Mode::All => "logs move every build that shares a figure",
        Mode::Own => "logs move the logged build alone",
        Mode::Off => "logs move nothing",
    };
    state.tell(says);
    learn_again(&mut state.entries);
    state.judge_anew();
}

pub fn logged(state: &State) -> May {
    if state.logs().is_empty() { Err("no build here has a log") } else { Ok(()) }
}

/// Figures there are no longer hold.
fn judge_afresh(state: &mut State) {
    for entry in &mut state.entries {
        entry.judged = None;
        entry.failed = None;
    }
    state.doubted = None;
    state.whys.clear();
    // The question's number goes on, so that answers for the tank before are dropped.
    state.ranking.asked += 1;
    (state.ranking.stood, state.ranking.stale) = (None, true);
    state.round += 1;
    // Rows keep their order until the new figures are there: without any they would only jump.
    place(state);
}

/// Puts rows, cursor and windows right after anything changed.
pub fn settle(state: &mut State) {
    state.rows = order::rows(&state.entries, &state.broken, &state.sort, &state.narrow);
    place(state);
}

/// Puts cursor and windows right when only they moved.
pub fn place(state: &mut State) {
    let at = match state.cursor {
        Some(id) if state.chosen => state.rows.iter().position(|r| *r == id),
        _ => None,
    };
    let at = if let Some(at) = at {
        at
    } else {
        // Its row went away: the nearest one that stands.
        let near = if state.chosen { state.top.min(state.rows.len().saturating_sub(1)) } else { 0 };
        state.cursor = state.rows.get(near).copied();
        near
    };
    state.column = state.column.min(state.columns.len());
    if let Some(main) = state.parts().main
        && state.screen == Tab::Builds
    {
        let rows = layout::table_rows(main);
        state.top = keep_row_in_window(state.top, at, rows, state.rows.len());
        state.left = columns::keep_in_window(state, usize::from(main.inner().w));
    }
}

/// What makes a build the same one after its file was read again.
fn identity(entry: &Entry) -> (&Path, &str) {
    (&entry.path, entry.build_name())
}
