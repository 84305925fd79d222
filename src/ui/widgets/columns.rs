//! The list of measures to show as columns.

use ratatui::text::Line;

use super::super::paint::{Row, bit};
use super::super::text;
use super::super::theme::Theme;
use crate::app::screens::columns;
use crate::app::state::State;

/// One line a measure; those shown first, in their order.
pub fn rows(state: &State, cursor: usize, w: usize, theme: Theme) -> Vec<Row> {
    columns::lines(state)
        .into_iter()
        .enumerate()
        .map(|(i, column)| {
            let here = i == cursor;
            let style = if here { theme.cursor() } else { theme.text() };
            let on = if state.columns.contains(&column) { "[x]" } else { "[ ]" };
            let sign = if here { "►" } else { " " };
            let said = format!("{sign} {on} {} {}", text::left(column.head(), 12), column.says());
            Line::from(bit(text::left(&said, w), style))
        })
        .collect()
}
