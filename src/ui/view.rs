//! The whole window: header, screen, footer, and whatever lies over them.

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::paint::{self};
use super::widgets::{columns, explain, help, reply};
use super::{Row, Theme, bit, header, row, screens, text};
use crate::app::state::Drawn;
use crate::app::{Area, Goal, Line as Typed, Overlay, State, actions};

/// Actions that go one way, each with the one that goes back.
const BACK: [(&str, &str); 4] =
    [("down", "up"), ("more", "less"), ("right", "left"), ("step_up", "step_down")];

/// Draws the window. What it returns has to be put into the state before the next key.
pub fn draw(state: &State, frame: &mut Frame<'_>) -> Drawn {
    paint_all(state, frame.buffer_mut())
}

/// Draws onto cells; the state's size is that of the buffer.
pub fn paint_all(state: &State, buffer: &mut Buffer) -> Drawn {
    let theme = Theme::new(state.look);
    let parts = state.parts();
    let pane = (screens::of(state.screen).draw)(state, buffer, theme);
    let mut drawn = Drawn { pane, overlay: 0 };
    if let Some(area) = parts.header {
        paint::line(buffer, area, 0, &header::screens(state, usize::from(area.w), theme));
        // Where one line is all there is, what was told takes it.
        let y = if state.status.is_some() { area.h - 1 } else { 1 };
        paint::line(buffer, area, y, &header::basis(state, usize::from(area.w), theme));
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

/// The keys that work right now, or a line that is typed.
fn footer(state: &State, w: usize, theme: Theme) -> Row {
    if matches!(state.overlay, Some(Overlay::Help { .. })) {
        return keys(&[("type", "search"), ("↑↓", "choose"), ("Enter", "do it"), ("Esc", "back")], w, theme);
    }
    if matches!(state.overlay, Some(Overlay::Pick { .. })) {
        return keys(&[("type", "find"), ("↑↓", "choose"), ("Enter", "take"), ("Esc", "back")], w, theme);
    }
    if matches!(state.overlay, Some(Overlay::New { .. })) {
        return keys(&[("Enter", "next"), ("↑↓", "field"), ("Esc", "leave")], w, theme);
    }
    if state.typing && state.overlay.is_none() {
        return keys(&[("type", "search"), ("Enter", "keep"), ("Esc", "clear")], w, theme);
    }
    // A line that has no place on its screen is typed here.
    let asks = |line: &Typed| match line.goal {
        Goal::Reply => Some(("write the reply into", "", "Enter writes, Esc drops")),
        Goal::Report => Some(("write the report into", "", "Enter writes, Esc drops")),
        Goal::SaveFilter => Some(("save the filter as", "", "Enter saves, Esc drops")),
        Goal::Form(true) => Some(("add", "", "Enter takes, Esc drops")),
        Goal::Seek => {
            let nowhere = if state.seek.nowhere { " (nowhere)" } else { "" };
            Some(("to the line with", nowhere, "Enter stays, Esc goes back"))
        }
        _ => None,
    };
    if let Some(line) = &state.line
        && let Some((what, after, then)) = asks(line)
    {
        let typed = format!("{}▏{}", text::clean(&line.before), text::clean(&line.after));
        return row(text::fit(&format!(" {what}: {typed}{after}   {then}"), w), theme.text());
    }
    if state.line.is_some() && state.overlay.is_none() {
        return keys(&[("type", "text"), ("Enter", "take"), ("Esc", "drop")], w, theme);
    }
    let Some(place) = actions::place(state) else { return Line::default() };
    let mut shown: Vec<(String, &str)> = Vec::new();
    for action in actions::of_place(place) {
        if !action.short.is_empty() && (action.allowed)(state).is_ok() {
            // One word stands for both ways, where the way back stands before it.
            let mut before = actions::of_place(place).take_while(|row| row.name != action.name);
            let back = BACK.iter().find(|(way, _)| *way == action.name).map_or("", |(_, back)| back);
            let other = before.find(|row| row.name == back);
            let other = other.map_or(String::new(), |row| state.keys.first(row));
            let first = state.keys.first(action);
            let gap = if other.chars().count() > 1 || first.chars().count() > 1 { " " } else { "" };
            let key = format!("{other}{gap}{first}").trim().to_owned();
            if !key.is_empty() {
                shown.push((key, action.short));
            }
        }
    }
    // Where room is short help stays, which has the rest.
    let cells = |s: &(String, &str)| text::width(&s.0) + text::width(s.1) + 3;
    let kept = |s: &(String, &str)| s.1 == "help";
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
    let inside = |area: Area| usize::from(area.framed().w);
    let area = body.centred(w, body.h);
    let (title, rows, from): (&str, Vec<Row>, Option<usize>) = match overlay {
        Overlay::Help { wanted, cursor } => {
            let (rows, at) = help::rows(state, wanted, *cursor, inside(area), theme);
            ("Help", rows, Some(at))
        }
        Overlay::Explain { of, measure, lines } => {
            ("Explain", explain::rows(state, *of, *measure, lines.as_deref(), inside(area), theme), None)
        }
        Overlay::Pick { adds, wanted, cursor } => {
            let (rows, at) = screens::form::picks(state, wanted, *cursor, inside(area), theme);
            (if *adds { "Add" } else { "Choose" }, rows, Some(at))
        }
        Overlay::New { typed, at } => (
            "New filter: three numbers, the rest is assumed",
            screens::filter::new(state, typed, *at, theme),
            None,
        ),
        Overlay::Reply(answer) => ("", reply::rows(answer, inside(area), theme), None),
        Overlay::Columns { cursor } => {
            ("Columns", columns::rows(state, *cursor, inside(area), theme), Some(*cursor))
        }
    };
    let area = body.centred(w, (rows.len() as u16).saturating_add(2).max(5));
    paint::wipe(buffer, area);
    let title = match overlay {
        Overlay::Reply(answer) => reply::title(state, answer, theme),
        _ => vec![bit(title.to_owned(), theme.text())],
    };
    let inner = paint::boxed(buffer, area, &title, theme);
    // A list keeps its chosen line in view; anything else is scrolled by hand.
    let from = from.map_or(0, |at| at.saturating_sub(usize::from(inner.h) / 2)) + state.overlay_scroll;
    let most = paint::lines(buffer, inner, &rows, from);
    paint::more(buffer, area, from, most, theme);
    most
}
