//! The table's columns: which are shown, how wide each is, and which part of them the window holds.

pub use super::column::Column;
use super::{State, View, layout};
use crate::measures::Unit;
use crate::report::spans;

/// Signs before a name: cursor, mark, and the space after them.
pub const LEAD: usize = 3;
/// Cells between columns.
pub const GAP: usize = 1;
/// Cells of `12–31`, `2–20 wk`, and of `2.3 1.7–2.8`.
const NARROW: usize = 8;
const WHOLE: usize = 11;
/// Cells more of litres an hour and of times: `1205–1382`, `13–26+ wk`, `1306 1205–1382`.
const MORE: [usize; 2] = [1, 3];

/// Columns that stand beside panes where these have just room.
const BESIDE: usize = 5;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Its place among the chosen columns.
    pub index: usize,
    pub column: Column,
    pub x: usize,
    pub w: usize,
    /// The middle of the figure stands before its low and high.
    pub middle: bool,
}

/// Fewest cells of a name in a table that wide.
fn least_name(table: usize) -> usize {
    if table < 79 { table.saturating_sub(33).clamp(13, 24) } else { 27 }
}

/// The two lines of a column's head: its words, the last of them below with the unit.
pub fn heads(state: &State, column: Column) -> (String, String) {
    let Some(measure) = column.measure() else { return (column.head().to_owned(), "m p g a".to_owned()) };
    let head = measure.row().head;
    let below = ["dirty", "every", "out", "cabinet", "to", "cost"];
    let (above, below) = match head.rsplit_once(' ') {
        Some((above, last)) if below.contains(&last) => (above, last),
        _ => (head, ""),
    };
    let unit = spans::unit(measure, state.units, state.currency());
    (above.to_owned(), format!("{below} {unit}").trim().to_owned())
}

pub fn leads(state: &State, column: Column) -> bool {
    state.sort.first().is_some_and(|key| key.by == column.into())
}

/// Cells of a column: heads are never cut, nor the arrow of the sorted one.
fn width(state: &State, column: Column, middle: bool) -> usize {
    let (above, below) = heads(state, column);
    let arrow = if leads(state, column) { 2 } else { 0 };
    let cells = |said: &str| said.chars().count();
    let long = column.measure().map(|m| m.row().unit);
    let long = matches!(long, Some(Unit::LitresAnHour | Unit::Days));
    let [narrow, whole] = if long { MORE } else { [0; 2] };
    let figures = if middle { WHOLE + whole } else { NARROW + narrow };
    (cells(&above) + arrow).max(cells(&below)).max(figures)
}

/// Whether all columns have room with their middles.
fn all_whole(state: &State, table: usize) -> bool {
    let cells = |column: &Column| GAP + width(state, *column, true);
    LEAD + least_name(table) + state.columns.iter().map(cells).sum::<usize>() <= table
}

/// The pinned name column's width in a table that wide: what the columns in view leave.
pub fn name_width(state: &State, table: usize) -> usize {
    let taken: usize = fitting(state, table, state.left).iter().map(|(.., w)| w + GAP).sum();
    table.saturating_sub(taken)
}

/// The columns that fit from one on: place, what it is of, whether whole, width.
fn fitting(state: &State, table: usize, left: usize) -> Vec<(usize, Column, bool, usize)> {
    let all = all_whole(state, table);
    // What rows are sorted by shows its middle wherever it stands; names pay for it.
    let sorted = state.columns.iter().skip(left + 1).any(|column| leads(state, *column));
    let paid = if sorted && !all { WHOLE - NARROW } else { 0 };
    let mut room = table.saturating_sub(LEAD + least_name(table).saturating_sub(paid));
    // With panes wanted that have no room yet, names take what more columns would: once they stand there it must not be
    // fewer.
    let most = if state.view == View::Both && state.size.0 < layout::WIDE { BESIDE } else { usize::MAX };
    let columns = state.columns.iter().copied().enumerate().skip(left).take(most);
    let sized = columns.map(|(i, column)| {
        let middle = all || i == left || column == Column::Known || leads(state, column);
        (i, column, middle, width(state, column, middle))
    });
    sized
        .take_while(|(.., w)| {
            let fits = w + GAP <= room;
            room = room.saturating_sub(w + GAP);
            fits
        })
        .collect()
}

/// The columns that the window holds, from the first one scrolled to.
pub fn shown(state: &State, table: usize, left: usize) -> Vec<Shown> {
    let shown = fitting(state, table, left);
    let mut x = name_width(state, table);
    let out = shown.into_iter().map(|(index, column, middle, w)| {
        let shown = Shown { index, column, x: x + GAP, w, middle };
        x += GAP + w;
        shown
    });
    out.collect()
}

/// The first column to show so that the one under the cursor is in the window.
pub fn keep_in_window(state: &State, table: usize) -> usize {
    // Column 0 is the name, which is always there.
    let Some(index) = state.column.checked_sub(1) else { return state.left };
    let mut left = state.left.min(index);
    while left < index && !fitting(state, table, left).iter().any(|(i, ..)| *i == index) {
        left += 1;
    }
    left
}
