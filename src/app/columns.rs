//! The table's columns: which are shown, how wide each is, and which part of them the window holds.

use super::layout;
use super::panes::View;
use super::state::State;
use crate::measures::Measure;

/// Signs before a name: cursor, mark, and the space after them.
pub const LEAD: usize = 3;
/// Cells between columns.
pub const GAP: usize = 1;
/// Cells of `12–31`, `2–20 wk`, and of `2.3 1.7–2.8`.
const NARROW: usize = 8;
const WHOLE: usize = 11;

/// Columns that stand beside panes where these have just room.
const BESIDE: usize = 5;

/// What a column is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    Measure(Measure),
    /// How a build's inputs are known.
    Known,
}

impl From<Measure> for Column {
    fn from(measure: Measure) -> Self {
        Self::Measure(measure)
    }
}

impl PartialEq<Measure> for Column {
    fn eq(&self, other: &Measure) -> bool {
        *self == Self::Measure(*other)
    }
}

impl Column {
    pub fn all() -> impl Iterator<Item = Self> {
        Measure::ALL.into_iter().map(Self::Measure).chain([Self::Known])
    }
    pub fn from_key(key: &str) -> Option<Self> {
        if key == Self::Known.key() { Some(Self::Known) } else { Measure::from_key(key).map(Self::Measure) }
    }
    pub fn measure(self) -> Option<Measure> {
        match self {
            Self::Measure(measure) => Some(measure),
            Self::Known => None,
        }
    }
    pub fn key(self) -> &'static str {
        self.measure().map_or("known", |m| m.key())
    }
    pub fn head(self) -> &'static str {
        self.measure().map_or("known", |m| m.row().head)
    }
    pub fn says(self) -> &'static str {
        let known =
            "how many of its inputs were measured, printed, guessed (m p g), and how many are assumed (a)";
        self.measure().map_or(known, |m| m.row().says)
    }
}

/// One column in the window.
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
    if table < 79 { table.saturating_sub(33).clamp(13, 24) } else { 28 }
}

/// Whether all columns have room with their middles.
fn all_whole(state: &State, table: usize) -> bool {
    LEAD + least_name(table) + state.columns.len() * (GAP + WHOLE) <= table
}

/// The pinned name column's width in a table that wide: what the columns in view leave.
pub fn name_width(state: &State, table: usize) -> usize {
    let taken: usize = fitting(state, table, state.left).iter().map(|(.., w)| w + GAP).sum();
    table.saturating_sub(taken)
}

/// The columns that fit from one on: place, what it is of, whether whole, width.
fn fitting(state: &State, table: usize, left: usize) -> Vec<(usize, Column, bool, usize)> {
    let all = all_whole(state, table);
    let mut room = table.saturating_sub(LEAD + least_name(table));
    // With panes wanted that have no room yet, names take what more columns would: once they stand there it must not be
    // fewer.
    let most = if state.view == View::Both && state.size.0 < layout::WIDE { BESIDE } else { usize::MAX };
    let columns = state.columns.iter().copied().enumerate().skip(left).take(most);
    let sized = columns.map(|(i, column)| {
        let middle = all || i == left || column == Column::Known;
        (i, column, middle, if middle { WHOLE } else { NARROW })
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
