//! What is in view as plain text: as sentences, and drawn without a terminal, on paper as wide as it needs, for copying.

use crate::app::{Overlay, State, Tab, form};
use crate::profile::starter;
use crate::ui::screens::{self, compare};
use crate::ui::spoken::{self};
use crate::ui::theme::{self};
use crate::ui::widgets::{explain, reply};
use crate::ui::{Page, Theme, text};

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

pub fn page(state: &State) -> Page {
    match &state.overlay {
        Some(Overlay::Pick { cursor, .. }) => {
            let all = form::pick::picks(state);
            let lines = all.iter().map(|pick| spoken::words(&text::clean(&pick.says))).collect();
            Page { lines, on: Some(*cursor), more: Vec::new() }
                .titled("to choose from; words of one, then Enter")
        }
        Some(Overlay::New { typed, at }) => {
            Page::of(spoken::rows(&screens::filter::new(state, typed, *at, Theme::new(state.look))))
        }
        Some(Overlay::Explain { .. } | Overlay::Reply(_)) => Page::of(screen(state)),
        Some(Overlay::Columns { .. } | Overlay::Help { .. }) | None => {
            (screens::of(state.screen).page)(state)
        }
    }
}

pub fn asks(state: &State) -> String {
    let new = match state.overlay {
        Some(Overlay::New { at, .. }) => starter::FILTER.get(at).map(|asked| asked.words.to_owned()),
        _ => None,
    };
    let typing = state.restack_typing().map(|what| what.asks().to_owned());
    let field = || Some(text::clean(&form::here(state)?.label));
    new.or(typing).or_else(field).unwrap_or_else(|| "the text".to_owned())
}

/// What the screen in view holds, as copied, without what only draws.
fn screen(state: &State) -> Vec<String> {
    pane(state).lines().map(spoken::words).filter(|l| !l.is_empty()).collect()
}
