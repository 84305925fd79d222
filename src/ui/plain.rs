//! The pane in focus as plain text, for copying: drawn without a terminal, on paper as wide as it needs.

use crate::app::overlay::Overlay;
use crate::app::state::State;
use crate::app::tabs::Tab;
use crate::ui::screens::{self, compare};
use crate::ui::spoken;
use crate::ui::text;
use crate::ui::theme::{self, Theme};
use crate::ui::widgets::{explain, reply};

/// Columns of the paper.
const PAPER: usize = 100;

/// The figure under the cursor whole, with whose it is; on a name the whole row.
pub fn here(state: &State) -> String {
    let said = match (state.screen, state.here(), state.measure_here()) {
        (Tab::Compare, ..) => compare::sentence_here(state),
        (_, Some(entry), Some(measure)) => {
            format!("{}: {}", text::clean(&entry.name), spoken::figure(state, entry, measure))
        }
        (_, Some(entry), None) if state.column_here().is_some() => {
            format!("{}: {}", text::clean(&entry.name), spoken::known(entry))
        }
        _ => state.cursor.map_or(String::new(), |id| spoken::line(state, None, id)),
    };
    let said = if state.look.ascii { theme::to_ascii(&said) } else { said };
    format!("{said}\n")
}

/// The text of the pane in focus.
pub fn pane(state: &State) -> String {
    let theme = Theme::new(state.look);
    let explained = match &state.overlay {
        Some(Overlay::Explain { of, measure, lines }) => {
            Some(explain::rows(state, *of, *measure, lines.as_deref(), PAPER, theme))
        }
        Some(Overlay::Reply(answer)) => Some(reply::rows(answer, PAPER, theme)),
        _ => None,
    };
    let text = || (screens::of(state.screen).text)(state, PAPER, theme);
    let mut out = String::new();
    for row in explained.unwrap_or_else(text) {
        let text: String = row.spans.iter().map(|s| s.content.as_ref()).collect();
        let text = if state.look.ascii { theme::to_ascii(&text) } else { text };
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}
