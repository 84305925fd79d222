//! The pane in focus as plain text, for copying: drawn without a terminal, on paper as wide as it needs.

use crate::app::overlay::Overlay;
use crate::app::panes::Pane;
use crate::app::screens::Screen;
use crate::app::state::State;
use crate::ui::paint::Row;
use crate::ui::screens::{builds, diff, ranking, restack, sources, tank};
use crate::ui::spoken;
use crate::ui::text;
use crate::ui::theme::{self, Theme};
use crate::ui::widgets::explain;

/// Columns of the paper.
const PAPER: usize = 100;
/// Rows of the section on it.
const TALL: usize = 40;

/// The figure under the cursor whole, with whose it is; on a name the whole row.
pub fn here(state: &State) -> String {
    let said = match (state.screen, state.here(), state.measure_here()) {
        (Screen::Diff, ..) => diff::sentence_here(state),
        (_, Some(entry), Some(measure)) => {
            format!("{}: {}", text::clean(&entry.name), spoken::figure(state, entry, measure))
        }
        _ => state.cursor.map_or(String::new(), |id| spoken::line(state, None, id)),
    };
    let said = if state.look.ascii { said.chars().map(theme::ascii).collect() } else { said };
    format!("{said}\n")
}

/// The text of the pane in focus.
pub fn pane(state: &State) -> String {
    let theme = Theme::new(state.look);
    let explained = match &state.overlay {
        Some(Overlay::Explain { of, measure, lines }) => {
            Some(explain::rows(state, *of, *measure, lines.as_deref(), PAPER, theme))
        }
        _ => None,
    };
    let titled = explained.is_none();
    let rows: Vec<Row> = match (state.screen, state.pane) {
        _ if explained.is_some() => explained.unwrap_or_default(),
        (Screen::Builds, Pane::Table) => builds::whole_table(state, theme),
        (Screen::Builds, pane) => builds::pane_rows(state, pane, PAPER, TALL, theme),
        (Screen::Diff, _) => diff::whole(state, theme),
        (Screen::Ranking, _) => ranking::rows(state, PAPER, theme),
        (Screen::Restack, _) => restack::rows(state, PAPER, theme),
        (Screen::Tank, _) => tank::rows(state, PAPER, theme),
        (Screen::Sources, _) => sources::rows(state, PAPER, theme),
    };
    let mut out = String::new();
    let titled = titled && state.pane != Pane::Table;
    if let (Screen::Builds, Some(entry), true) = (state.screen, state.here(), titled) {
        out = format!("{} · {}\n", state.pane.name(), text::clean(&entry.name));
    }
    for row in rows {
        let text: String = row.spans.iter().map(|s| s.content.as_ref()).collect();
        let text = if state.look.ascii { text.chars().map(theme::ascii).collect() } else { text };
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}
