//! Sources: everything behind the figures as a list, and the entry under the cursor whole.

use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::super::paint::{self};
use super::super::spoken::{self};
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::screens::sources::{self, Shown as What};
use crate::app::state::sources::{Item, Part};
use crate::app::{Area, Goal, Line as Typed, State};
use crate::report::sources::Entry;

const KIND: usize = 15;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let beside = sources::beside(state);
    let area = sources::area(state);
    let title = title(state, theme);
    if state.sources.whole && beside.is_none() {
        return whole(state, area, buffer, theme);
    }
    let inner = paint::frame(buffer, area, &title, true, theme);
    let told_rows = sources::told_rows(state).min(inner.h);
    let rows = inner.h - told_rows;
    let w = usize::from(inner.w);
    let (lines, at) = sources::lines(state);
    let top = state.sources.list.top;
    let in_view = lines.iter().enumerate().skip(top).take(usize::from(rows));
    let shown: Vec<Row> = in_view.map(|(i, what)| line(what, i == at, w, theme)).collect();
    paint::lines(buffer, inner, &shown, 0);
    if lines.is_empty() {
        let said = match state.sources.kind {
            Some(kind) => {
                format!("nothing that is {} holds that", kind.word())
                    + &state.keys.fill(" ({whose}: whose, {back}: all)")
            }
            None => "nothing holds that".to_owned(),
        };
        paint::line(buffer, inner, 0, &row(said, theme.quiet()));
    }
    if let Some(item) = sources::here(state) {
        paint::lines(buffer, inner.rows(rows, told_rows), &entry(state, item, w, theme), 0);
    }
    paint::more(buffer, area, top, lines.len().saturating_sub(usize::from(rows)), theme);
    if let Some(area) = beside {
        whole(state, area, buffer, theme);
    }
    0
}

pub fn rows(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    if state.sources.whole {
        return sources::here(state).map(|item| entry(state, item, w, theme)).unwrap_or_default();
    }
    let mut out = vec![Line::from(title(state, theme))];
    for what in sources::lines(state).0 {
        match what {
            What::Head(part) => out.push(row(part.name(), theme.text())),
            What::Item(item) => {
                let said = match &item.entry {
                    None => item.text.clone(),
                    Some(e) => [&*e.what, &*e.value, &*e.spread, e.kind.word(), &*e.source]
                        .iter()
                        .filter(|s| !s.is_empty())
                        .copied()
                        .collect::<Vec<_>>()
                        .join("; "),
                };
                out.push(row(format!("  {}", text::clean(&said)), theme.text()));
            }
        }
    }
    out
}

pub fn page(state: &State) -> Page {
    let lines = spoken::rows(&rows(state, spoken::WIDE, Theme::new(state.look)));
    let on = if state.sources.whole { None } else { Some(sources::lines(state).1 + 1) };
    Page { lines, on, more: Vec::new() }
}

fn title(state: &State, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let mut out = vec![bit("Sources", theme.text())];
    if let Some(kind) = state.sources.kind {
        out.push(bit(format!(" · only {}", kind.word()), theme.text()));
    }
    let wanted = text::clean(&sources::wanted(state));
    let typing = state.line.as_ref().is_some_and(|l: &Typed| l.goal == Goal::Sources);
    if typing || !wanted.is_empty() {
        let caret = if typing { "▏" } else { "" };
        out.push(bit(format!(" · holding /{wanted}{caret}"), theme.text()));
    }
    out.push(bit(
        format!(" · {} of {}", sources::items(state).len(), state.sources.items.len()),
        theme.text(),
    ));
    out
}

fn line(what: &What<'_>, here: bool, w: usize, theme: Theme) -> Row {
    let item = match what {
        What::Head(part) => return row(format!(" {}", part.name()), theme.text()),
        What::Item(item) => item,
    };
    let sign = if here { "► " } else { "  " };
    let style = if here { theme.cursor() } else { theme.text() };
    let Some(e) = &item.entry else {
        return row(text::left(&format!("{sign}{}", text::clean(&item.text)), w), style);
    };
    // Whose it is keeps its place; value and spread share what the name leaves.
    let kind = if w >= 46 { KIND + 2 } else { 0 };
    let left = w.saturating_sub(kind);
    let wide = matches!(item.part, Part::Media | Part::Fittings);
    let value = if wide { left * 11 / 20 } else { (left * 9 / 20).clamp(12, 32).min(left) };
    let said = if e.short.is_empty() { e.value.clone() } else { format!("{} ({})", e.value, e.short) };
    let (called, said) = (format!("{sign}{}", text::clean(&e.what)), text::clean(&said));
    // A long name takes what a short value leaves, and that stands at the end.
    let long = text::width(&called) > left.saturating_sub(value + 2);
    let value = if long { value.min(text::width(&said)) } else { value };
    let name = left.saturating_sub(value + 2);
    let mut out = vec![
        bit(text::left(&called, name), style),
        bit("  ", theme.text()),
        bit(text::left(&said, value), theme.text()),
    ];
    if kind > 0 {
        out.push(bit(format!("  {}", text::left(e.kind.word(), KIND)), theme.quiet()));
    }
    Line::from(out)
}

/// The entry under the cursor in a frame of its own; how far it can scroll comes back.
fn whole(state: &State, area: Area, buffer: &mut Buffer, theme: Theme) -> usize {
    let Some(item) = sources::here(state) else {
        paint::frame(buffer, area, &[], false, theme);
        return 0;
    };
    let focus = state.sources.whole;
    let inner = paint::frame(buffer, area, &[bit(item.part.name(), theme.text())], focus, theme);
    let rows = entry(state, item, usize::from(inner.w), theme);
    let most = paint::lines(buffer, inner, &rows, 0);
    paint::more(buffer, area, 0, most, theme);
    most
}

/// Who stands behind an entry, how far that was checked, and where it comes from; nothing of it twice.
fn stands_behind(e: &Entry) -> String {
    let kind = e.kind.word();
    let source =
        e.source.strip_prefix(kind).map_or(&*e.source, |rest| rest.trim_start_matches([':', ',', ' ']));
    let checked =
        if matches!(e.checked, "" | "our own") { String::new() } else { format!(", {}", e.checked) };
    if source.is_empty() { format!("{kind}{checked}") } else { format!("{kind}{checked}: {source}") }
}

fn entry(state: &State, item: &Item, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    let mut say = |said: &str, style| {
        out.extend(paint::prose(&text::clean(said), w, style));
    };
    let Some(e) = &item.entry else {
        say(&item.text, theme.text());
        return out;
    };
    say(&e.what, theme.text());
    let spread = match item.part {
        Part::Constants => format!("; spread: {}", e.spread),
        Part::Media => format!("; {}", e.spread),
        _ => String::new(),
    };
    say(&format!("{}{spread}", e.value), theme.text());
    say(&stands_behind(e), theme.text());
    if let Some(constant) = item.constant {
        let users: Vec<&str> = sources::users(state, constant).into_iter().map(|m| m.row().head).collect();
        let said = match (users.as_slice(), state.sources.uses.is_empty()) {
            (_, true) if state.entries.is_empty() => "no build is loaded that could use it".to_owned(),
            (_, true) => "which measures use it is being worked out".to_owned(),
            ([], _) => "no measure of the builds loaded uses it".to_owned(),
            (users, _) => format!("used by: {}", users.join(", ")),
        };
        say(&said, theme.text());
    }
    say(&format!("key: {}", e.key), theme.quiet());
    out
}

pub fn says(_: &State) -> String {
    "Sources: everything behind the figures. Published: a formula or figure from a source that is named; \
             from memory: the source was not at hand when it was written down. Common practice: what the trade \
             does, without a source. Ours: chosen by this program. A spread is two standard deviations to \
             either side, and the simulated cases are drawn from it. Your own media, in a file of yours, win \
             over those that ship."
                .to_owned()
}
