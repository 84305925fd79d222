//! Sources.

use ratatui::buffer::Buffer;

use super::super::paint::{self, Row, bit};
use super::super::theme::Theme;
use crate::app::state::State;

/// Draws the screen; how far it can scroll comes back.
pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let Some(area) = state.parts().main else { return 0 };
    let title = vec![bit("Sources", theme.strong())];
    let inner = paint::frame(buffer, area, &title, true, theme);
    paint::lines(buffer, inner, &rows(state, usize::from(inner.w), theme), 0)
}

/// All of it, for copying.
pub fn rows(_state: &State, _w: usize, _theme: Theme) -> Vec<Row> {
    Vec::new()
}
