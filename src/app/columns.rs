//! The table's columns: which are shown, how wide each is, and which part of them the window holds.

use super::state::State;
use crate::measures::{Measure, Unit};

/// Signs before a name: cursor, mark, and the space after them.
pub const LEAD: usize = 3;
/// Cells between columns.
pub const GAP: usize = 2;

/// Cells a measure's column takes, without the gap before it.
pub fn width(measure: Measure, doubt: bool) -> usize {
    let figure = match (measure.row().unit, doubt) {
        (Unit::YesNo | Unit::Faults, _) => 3,
        (_, false) => 6,
        (Unit::LitresAnHour | Unit::Litres | Unit::Kilograms | Unit::Money | Unit::Days, true) => 9,
        (_, true) => 8,
    };
    // One more for the arrow of the sorted column.
    figure.max(measure.row().head.chars().count() + 1)
}

/// One column in the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Its place among the chosen columns.
    pub index: usize,
    pub measure: Measure,
    pub x: usize,
    pub w: usize,
}

/// The pinned name column's width in a table that wide.
pub fn name_width(state: &State, table: usize) -> usize {
    let wanted = LEAD + state.longest_name.max(8);
    let most = if table >= 70 { table * 2 / 5 } else { (table / 2).max(16) };
    wanted.min(most).min(table)
}

/// The columns that the window holds, from the first one scrolled to.
pub fn shown(state: &State, table: usize, left: usize) -> Vec<Shown> {
    let measures = state.columns.iter().copied().enumerate().skip(left);
    in_room(measures, name_width(state, table), table, state.has_doubt())
}

/// As many of those measures as have room from a column on.
pub fn in_room(
    measures: impl Iterator<Item = (usize, Measure)>,
    from: usize,
    table: usize,
    doubt: bool,
) -> Vec<Shown> {
    let mut x = from;
    let mut out = Vec::new();
    for (index, measure) in measures {
        let w = width(measure, doubt);
        if x + GAP + w > table {
            break;
        }
        out.push(Shown { index, measure, x: x + GAP, w });
        x += GAP + w;
    }
    out
}

/// The first column to show so that the one under the cursor is in the window.
pub fn keep_in_window(state: &State, table: usize) -> usize {
    // Column 0 is the name, which is always there.
    let Some(index) = state.column.checked_sub(1) else { return state.left };
    let mut left = state.left.min(index);
    while left < index && !shown(state, table, left).iter().any(|s| s.index == index) {
        left += 1;
    }
    left
}
