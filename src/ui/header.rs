//! The line at the top: screens, what is loaded, what is broken, the tank, how far the work is. Where room is
//! short the least needed words go first.

use ratatui::style::Style;
use ratatui::text::Line;

use super::paint::{self, Row, bit};
use super::text;
use super::theme::Theme;
use crate::app::state::State;
use crate::app::tabs;
use crate::report::figures;
use crate::units::Quantity;

/// How many ways of saying it there are, each shorter than the one before.
const WAYS: usize = 4;
/// Fewest cells left to a tank's name.
const NAME: usize = 8;

/// The line, in so many cells.
pub fn row(state: &State, w: usize, theme: Theme) -> Row {
    let mut spans = Vec::new();
    let mut used = 1;
    for (screen, label) in tabs::tabs(state.screen, w) {
        let style = if screen == state.screen { theme.cursor() } else { theme.text() };
        used += text::width(&label);
        spans.push(bit(label, style));
    }
    spans.push(bit(" ", theme.text()));
    let room = w.saturating_sub(used);
    let width =
        |pieces: &[(String, Style)]| pieces.iter().map(|(said, _)| text::width(said) + 3).sum::<usize>();
    let fits = |way: &usize| width(&pieces(state, *way, theme)) <= room + 3;
    let way = (0..WAYS).find(fits).unwrap_or(WAYS);
    let mut pieces = pieces(state, way, theme);
    if way == WAYS
        && let Some(tank) = &state.tank
    {
        let name = text::clean(&tank.name);
        let left = (room + 3).saturating_sub(width(&pieces) + 3);
        if left >= NAME {
            pieces.push((text::fit(&name, left), theme.text()));
        }
    }
    for (i, (said, style)) in pieces.into_iter().enumerate() {
        if i > 0 {
            spans.push(bit(" · ", theme.quiet()));
        }
        spans.push(bit(said, style));
    }
    paint::cut(&Line::from(spans), w)
}

/// What to say, in one of the ways; in the last the tank's name is left to be cut to the room there is.
fn pieces(state: &State, way: usize, theme: Theme) -> Vec<(String, Style)> {
    let mut out = Vec::new();
    let source = text::clean(&state.source);
    let last = source.trim_end_matches(['/', '\\']).rsplit(['/', '\\']).next().unwrap_or(&source);
    match way {
        0 => out.push((source, theme.text())),
        1 => out.push((last.to_owned(), theme.text())),
        _ => {}
    }
    out.push((counted(state.entries.len(), "build", "builds"), theme.text()));
    match (state.broken.len(), way < 3) {
        (0, _) => {}
        (n, true) => {
            out.push((format!("! {} broken", counted(n, "file", "files")), theme.warn()));
        }
        (n, false) if way < WAYS => out.push((format!("! {n} broken"), theme.warn())),
        (n, false) => out.push((format!("! {n}"), theme.warn())),
    }
    if way < WAYS {
        out.push((tank(state, way), theme.text()));
    }
    if let Some(said) = progress(state, way) {
        out.push((said, theme.strong()));
    }
    if state.units != figures::Units::Metric && way < 3 {
        out.push((format!("{} units", state.units.word()), theme.text()));
    }
    out
}

fn counted(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

fn tank(state: &State, way: usize) -> String {
    let Some(tank) = &state.tank else { return "no tank".to_owned() };
    let name = text::clean(&tank.name);
    let volume = tank.volume.as_ref().filter(|_| way < 2);
    let volume =
        volume.map_or(String::new(), |v| format!(" {}", figures::volume(v.value.si() * 1e3, state.units)));
    if way < 3 { format!("tank: {name}{volume}") } else { name }
}

/// How far reading, judging and doubt are; none when all is done and there is nothing to say.
fn progress(state: &State, way: usize) -> Option<String> {
    let cells = if way < 3 { 8 } else { 4 };
    let bar = |share: f64| {
        let full = ((share.clamp(0.0, 1.0) * cells as f64).floor() as usize).min(cells);
        format!("{}{}", "█".repeat(full), "▁".repeat(cells - full))
    };
    if state.loading {
        return Some("reading files".to_owned());
    }
    let left = state.unjudged();
    if left > 0 {
        let all = state.entries.len().max(1);
        return Some(format!("judging {} {left} to go", bar(1.0 - left as f64 / all as f64)));
    }
    match (state.doubted, state.samples) {
        (Some(share), Some(n)) if share < 1.0 => {
            Some(format!("doubt {n} {} {}", bar(share), figures::share(share)))
        }
        (Some(_), Some(n)) if way < 3 => Some(format!("doubt from {n} draws")),
        (Some(_), Some(n)) => Some(format!("{n} draws")),
        _ => None,
    }
}
