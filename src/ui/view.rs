//! The whole window: header, screen, footer, and whatever lies over them.

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::text::{Line, Span};

use super::paint::{self, Row, bit, row};
use super::screens::{builds, diff, ranking};
use super::text;
use super::theme::Theme;
use super::widgets::{columns, explain, help};
use crate::app::actions;
use crate::app::layout::Area;
use crate::app::overlay::Overlay;
use crate::app::screens::{SCREENS, Screen};
use crate::app::state::{Drawn, State};
use crate::report::figures;
use crate::units::Quantity;

/// Draws the window. What it returns has to be put into the state before the next key.
pub fn draw(state: &State, frame: &mut Frame<'_>) -> Drawn {
    paint_all(state, frame.buffer_mut())
}

/// Draws onto cells; the state's size is that of the buffer.
pub fn paint_all(state: &State, buffer: &mut Buffer) -> Drawn {
    let theme = Theme::new(state.look);
    let parts = state.parts();
    let mut drawn = Drawn::default();
    match state.screen {
        Screen::Builds => drawn.pane = builds::draw(state, buffer, theme),
        Screen::Diff => diff::draw(state, buffer, theme),
        Screen::Ranking => drawn.pane = ranking::draw(state, buffer, theme),
    }
    if let Some(area) = parts.header {
        paint::line(buffer, area, 0, &header(state, usize::from(area.w), theme));
    }
    if let Some(overlay) = &state.overlay {
        drawn.overlay = over(state, overlay, buffer, parts.body, theme);
    }
    if let Some(area) = parts.footer {
        paint::line(buffer, area, 0, &footer(state, usize::from(area.w), theme));
    }
    if state.look.ascii {
        paint::to_ascii(buffer);
    }
    drawn
}

/// Screens, what is loaded, what is broken, the tank, how far the work is.
fn header(state: &State, w: usize, theme: Theme) -> Row {
    let mut spans: Vec<Span<'static>> = Vec::new();
    for (i, s) in SCREENS.iter().enumerate() {
        let style = if s.screen == state.screen { theme.cursor() } else { theme.text() };
        spans.push(bit(format!(" {} {} ", i + 1, s.name), style));
    }
    let count = match state.entries.len() {
        1 => "1 build".to_owned(),
        n => format!("{n} builds"),
    };
    let mut parts: Vec<(String, ratatui::style::Style)> = Vec::new();
    match state.broken.len() {
        0 => {}
        1 => parts.push(("! 1 file broken".to_owned(), theme.warn())),
        n => parts.push((format!("! {n} files broken"), theme.warn())),
    }
    parts.push((tank(state), theme.text()));
    if let Some(said) = progress(state) {
        parts.push((said, theme.strong()));
    }
    if state.units != figures::Units::Metric {
        parts.push((format!("{} units", state.units.word()), theme.text()));
    }
    spans.push(bit(format!("  {} · {count}", text::clean(&state.source)), theme.text()));
    for (said, style) in parts {
        spans.push(bit(" · ", theme.quiet()));
        spans.push(bit(said, style));
    }
    paint::cut(&Line::from(spans), w)
}

fn tank(state: &State) -> String {
    match &state.tank {
        None => "no tank".to_owned(),
        Some(tank) => {
            let volume = tank
                .volume
                .as_ref()
                .map_or(String::new(), |v| format!(" {}", figures::volume(v.value.si() * 1e3, state.units)));
            format!("tank: {}{volume}", text::clean(&tank.name))
        }
    }
}

/// How far reading, judging and doubt are; none when all is done and there is nothing to say.
fn progress(state: &State) -> Option<String> {
    let bar = |share: f64| {
        let full = (share.clamp(0.0, 1.0) * 8.0).floor() as usize;
        format!("{}{}", "█".repeat(full), "▁".repeat(8 - full.min(8)))
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
        (Some(_), Some(n)) => Some(format!("doubt from {n} draws")),
        _ => None,
    }
}

/// What was told last, or the keys that work right now.
fn footer(state: &State, w: usize, theme: Theme) -> Row {
    if let Some(said) = &state.told {
        return row(text::fit(&format!(" {}", text::clean(said)), w), theme.strong());
    }
    if matches!(state.overlay, Some(Overlay::Help { .. })) {
        return keys(&[("type", "search"), ("↑↓", "choose"), ("Enter", "do it"), ("Esc", "back")], w, theme);
    }
    if state.typing && state.overlay.is_none() {
        return keys(&[("type", "narrow"), ("Enter", "keep"), ("Esc", "clear")], w, theme);
    }
    let Some(place) = actions::place(state) else { return Line::default() };
    let mut shown: Vec<(String, &str)> = Vec::new();
    for action in actions::of_place(place) {
        if !action.short.is_empty() && (action.allowed)(state).is_ok() {
            let key = action.key_list().next().map_or(String::new(), crate::app::key::Key::label);
            shown.push((key, action.short));
        }
    }
    // Where room is short the ways out stay: the rest is in help.
    let cells = |s: &(String, &str)| text::width(&s.0) + text::width(s.1) + 3;
    let kept = |s: &(String, &str)| matches!(s.1, "help" | "leave" | "back");
    let reserved: usize = shown.iter().filter(|s| kept(s)).map(cells).sum();
    let mut room = w.saturating_sub(reserved);
    shown.retain(|s| {
        if kept(s) {
            return true;
        }
        let fits = cells(s) <= room;
        room = if fits { room - cells(s) } else { 0 };
        fits
    });
    let shown: Vec<(&str, &str)> = shown.iter().map(|(k, s)| (k.as_str(), *s)).collect();
    keys(&shown, w, theme)
}

fn keys(shown: &[(&str, &str)], w: usize, theme: Theme) -> Row {
    let mut spans = Vec::new();
    for (key, says) in shown {
        spans.push(bit(format!(" {key}"), theme.key()));
        spans.push(bit(format!(" {says} "), theme.text()));
    }
    paint::cut(&Line::from(spans), w)
}

/// What lies over the screen; returns how far it can scroll.
fn over(state: &State, overlay: &Overlay, buffer: &mut Buffer, body: Area, theme: Theme) -> usize {
    let w = if body.w <= 104 { body.w } else { 96 };
    let inside = |area: Area| usize::from(area.inner().w);
    let area = body.centred(w, body.h);
    let (title, rows, from): (&str, Vec<Row>, Option<usize>) = match overlay {
        Overlay::Help { wanted, cursor } => {
            let (rows, at) = help::rows(state, wanted, *cursor, inside(area), theme);
            ("Help", rows, Some(at))
        }
        Overlay::Explain { of, measure, lines } => {
            ("Explain", explain::rows(state, *of, *measure, lines.as_deref(), inside(area), theme), None)
        }
        Overlay::Columns { cursor } => {
            ("Columns", columns::rows(state, *cursor, inside(area), theme), Some(*cursor))
        }
    };
    let area = body.centred(w, (rows.len() as u16).saturating_add(2).max(5));
    paint::wipe(buffer, area);
    let inner = paint::frame(buffer, area, &[bit(title.to_owned(), theme.strong())], true, theme);
    // A list keeps its chosen line in view; anything else is scrolled by hand.
    let from = from.map_or(0, |at| at.saturating_sub(usize::from(inner.h) / 2)) + state.overlay_scroll;
    let most = paint::lines(buffer, inner, &rows, from);
    paint::more(buffer, area, from, most, theme);
    most
}
