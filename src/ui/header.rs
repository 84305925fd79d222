//! The two lines at the top: the screens and the units; then what the figures rest on, or what was told last. Where
//! room is short the least needed words go first.

use ratatui::style::Style;
use ratatui::text::Line;

use super::paint::{self};
use super::{Row, Theme, bit, text};
use crate::app::tabs::{self};
use crate::app::{Place, State as Shown, actions};
use crate::model::put_right::State;
use crate::report::figures;
use crate::units::Quantity;

/// How many ways of saying it there are, each shorter than the one before.
const WAYS: usize = 5;
/// Fewest cells left to a tank's name.
const NAME: usize = 8;

/// The screens, the present one reversed, and at the right edge the units.
pub fn screens(state: &Shown, w: usize, theme: Theme) -> Row {
    let mut spans: Vec<_> = tabs::tabs(state.screen, w)
        .into_iter()
        .map(|(tab, label)| bit(label, if tab == state.screen { theme.cursor() } else { theme.text() }))
        .collect();
    let used: usize = spans.iter().map(|s| text::width(&s.content)).sum();
    // Where digits type they turn no screen.
    let types = matches!(actions::place(state), Some(Place::Restack | Place::Filter | Place::Tank));
    let both = format!("g1–g7  {}", state.units.word());
    let units = match types {
        true if used + text::width(&both) < w => both.as_str(),
        true => "g1–g7",
        false => state.units.word(),
    };
    if used + text::width(units) < w {
        spans.push(bit(text::right(units, w - used), theme.quiet()));
    }
    paint::cut(&Line::from(spans), w)
}

/// What the figures rest on; what was told stands in its place until the next key, or for a while.
pub fn basis(state: &Shown, w: usize, theme: Theme) -> Row {
    if let Some(said) = &state.status {
        return paint::row(text::fit(&format!(" {}", text::clean(said)), w), theme.key());
    }
    let width = |pieces: &[Piece]| pieces.iter().map(|(said, _)| text::width(said)).sum::<usize>() + 1;
    let way = (0..WAYS).find(|way| width(&pieces(state, *way, usize::MAX, theme)) <= w).unwrap_or(WAYS);
    let over = if way == WAYS { width(&pieces(state, way, 0, theme)) } else { 0 };
    let mut spans = vec![bit(" ", theme.text())];
    let name = if way == WAYS { w.saturating_sub(over) } else { usize::MAX };
    spans.extend(pieces(state, way, name, theme).into_iter().map(|(said, style)| bit(said, style)));
    paint::cut(&Line::from(spans), w)
}

type Piece = (String, Style);

/// What to say, in one of the ways; in the last the tank's name has so many cells.
fn pieces(state: &Shown, way: usize, name: usize, theme: Theme) -> Vec<Piece> {
    let plain = theme.text();
    let mut out: Vec<Piece> = Vec::new();
    let mut say = |said: String, style| {
        if !out.is_empty() {
            out.push((" · ".to_owned(), theme.quiet()));
        }
        out.push((said, style));
    };
    let source = text::clean(&state.source);
    let last = source.trim_end_matches(['/', '\\']).rsplit(['/', '\\']).next().unwrap_or(&source).to_owned();
    match way {
        0 => say(source, plain),
        1 => say(last, plain),
        _ => {}
    }
    if way < WAYS || name >= NAME {
        say(text::fit(&tank(state, way), name), plain);
    }
    // Where nothing is to be put right it is one and the same.
    let repaired =
        state.entries.iter().map(|entry| entry.filter.state()).find(|state| *state != State::Whole);
    if let Some(said) = repaired.filter(|repaired| way < 4 || *repaired == State::AsFound) {
        say(said.words().to_owned(), plain);
    }
    say(counted(state.entries.len(), "build", "builds"), plain);
    match state.broken.len() {
        0 => {}
        n if way < 4 => say(format!("! {n} broken"), theme.warn()),
        n => say(format!("! {n}"), theme.warn()),
    }
    match state.marks.len() {
        0 => {}
        n if way < 3 => say(format!("{n} marked"), plain),
        n => say(format!("•{n}"), plain),
    }
    if let Some(said) = progress(state, way) {
        say(said, plain);
    }
    out
}

pub fn counted(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

fn tank(state: &Shown, way: usize) -> String {
    let Some(tank) = &state.tank else { return "no tank".to_owned() };
    let name = text::clean(&tank.name);
    let volume = tank.volume.as_ref().filter(|_| way < 3);
    let volume =
        volume.map_or(String::new(), |v| format!(", {}", figures::volume(v.value.si() * 1e3, state.units)));
    if way < 4 { format!("for {name}{volume}") } else { name }
}

/// How far reading, judging and simulating are; none when there is nothing to say.
fn progress(state: &Shown, way: usize) -> Option<String> {
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
        return Some(format!("{left} to go {}", bar(1.0 - left as f64 / all as f64)));
    }
    match (state.doubted, state.samples) {
        (Some(share), Some(n)) if share < 1.0 => {
            Some(format!("{n} cases {} {}", bar(share), figures::share(share)))
        }
        (Some(_), Some(n)) => Some(format!("{n} cases")),
        _ => None,
    }
}
