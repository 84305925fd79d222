//! Ranking: weights to move, and how the builds stand for the tank.

use ratatui::buffer::Buffer;

use super::super::paint::{self, Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use crate::app::screens::ranking;
use crate::app::state::State;

/// Draws the screen; how many lines lie below comes back.
pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let Some(area) = state.parts().main else { return 0 };
    let title = vec![bit("Ranking", theme.text()), bit(" chance, not position", theme.text())];
    let inner = paint::frame(buffer, area, &title, true, theme);
    let w = usize::from(inner.w);
    let rows = rows(state, w, theme);
    let below = paint::lines(buffer, inner, &rows, state.ranking.top);
    paint::more(buffer, area, state.ranking.top, below, theme);
    below
}

pub fn rows(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    if let Err(why) = ranking::allowed(state) {
        return paint::prose(&state.keys.fill(why), w, theme.text());
    }
    let mut out = weights(state, w, theme);
    out.push(Row::default());
    if state.ranking.lines.is_empty() {
        out.push(row("the builds are being ranked", theme.quiet()));
    }
    out.extend(state.ranking.lines.iter().map(|l| row(text::clean(l), theme.text())));
    out
}

/// Weights, the one the arrow keys move between signs; as many to a line as fit.
fn weights(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = vec![Row::default()];
    let mut used = 0;
    for (i, (measure, weight)) in state.ranking.weights.iter().enumerate() {
        let here = i == state.ranking.cursor;
        let (before, after) = if here { ("►", "◄") } else { (" ", " ") };
        let said = format!("{before}{} {weight}{after} ", measure.row().head);
        let cells = text::width(&said);
        if used + cells > w && used > 0 {
            out.push(Row::default());
            used = 0;
        }
        used += cells;
        let style = if here { theme.cursor() } else { theme.text() };
        if let Some(line) = out.last_mut() {
            line.spans.push(bit(said, style));
        }
    }
    out
}

pub fn says(_: &State) -> String {
    "Ranking: the chance that a build is first over all draws of the doubt, with the weights above. Each \
             weighted measure counts from 0 at its poor end to 1 at its good end, set by the tank's aims \
             (listed below the keys); what fails a must is ruled out."
        .to_owned()
}
