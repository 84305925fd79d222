//! The list of measures to show as columns.

use ratatui::text::Line;

use super::super::{Row, Theme, bit, text};
use crate::app::State;
use crate::app::screens::columns;

/// Cells before what a measure means.
const LEAD: usize = 19;

/// One line a measure; those shown first, in their order. What the one under the cursor means stands whole.
pub fn rows(state: &State, cursor: usize, w: usize, theme: Theme) -> Vec<Row> {
    columns::lines(state)
        .into_iter()
        .enumerate()
        .flat_map(|(i, column)| {
            let here = i == cursor;
            let style = if here { theme.cursor() } else { theme.text() };
            let on = if state.columns.contains(&column) { "[x]" } else { "[ ]" };
            let sign = if here { "►" } else { " " };
            let lead = format!("{sign} {on} {}", text::left(column.head(), 12));
            let room = w.saturating_sub(LEAD).max(1);
            let said =
                if here { text::wrap(column.says(), room) } else { vec![text::fit(column.says(), room)] };
            let line = |(n, said): (usize, String)| {
                let lead = if n == 0 { lead.as_str() } else { "" };
                Line::from(bit(text::left(&format!("{}{said}", text::left(lead, LEAD)), w), style))
            };
            said.into_iter().enumerate().map(line).collect::<Vec<_>>()
        })
        .collect()
}
