//! Builds: the table, and the pictures of the build under the cursor.

use ratatui::buffer::Buffer;

use super::super::paint::{self, Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use super::super::widgets::{budget, curve, section, stages, table, timeline};
use crate::app::entry::Entry;
use crate::app::layout::{self, Area};
use crate::app::order::By;
use crate::app::panes::Pane;
use crate::app::state::State;
use crate::app::tabs::Tab;
use crate::measures::Measure;
use crate::model::filter::{Priming, Release, Spares};
use crate::profile::Broken;
use crate::report::figures::Units;
use crate::report::wording;

/// Rows of a picture on paper.
const TALL: usize = 40;

/// Draws what of the screen is in view; returns how far the pane in focus can scroll.
pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let parts = state.parts();
    let mut scroll = 0;
    if let Some(area) = parts.main {
        draw_table(state, buffer, area, theme);
    }
    // A broken file has one thing to show: its problems, over all of the side.
    if let (Some(file), Some((first, top))) = (state.broken_here(), parts.side.first()) {
        let h = parts.side.iter().map(|(_, a)| a.h).sum();
        let area = Area::new(top.x, top.y, top.w, h);
        let focus = state.pane != Pane::Table || parts.main.is_some();
        let title =
            vec![bit("Problems", theme.strong()), bit(format!(" · {}", file_name(file)), theme.text())];
        let inner = paint::frame(buffer, area, &title, focus && *first == state.pane, theme);
        let rows = problems(file, usize::from(inner.w), theme);
        scroll = paint::lines(buffer, inner, &rows, state.scroll);
        paint::more(buffer, area, state.scroll, scroll, theme);
        return scroll;
    }
    for (pane, area) in &parts.side {
        let focus = *pane == state.pane;
        let title = title(state, *pane, theme);
        let inner = paint::frame(buffer, *area, &title, focus, theme);
        let rows = pane_rows(state, *pane, usize::from(inner.w), usize::from(inner.h), theme);
        let from = if focus { state.scroll } else { 0 };
        let most = paint::lines(buffer, inner, &rows, from);
        paint::more(buffer, *area, from, most, theme);
        if focus {
            scroll = most;
        }
    }
    scroll
}

fn title(state: &State, pane: Pane, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let name = state.here().map_or(String::new(), |e| format!(" · {}", text::clean(&e.name)));
    vec![bit(pane.name(), theme.strong()), bit(name, theme.text())]
}

fn draw_table(state: &State, buffer: &mut Buffer, area: Area, theme: Theme) {
    let focus = state.pane == Pane::Table;
    let inner = paint::frame(buffer, area, &table_title(state, theme), focus, theme);
    let w = usize::from(inner.w);
    let count = layout::table_rows(area);
    let rows = table::rows(state, w, state.top, count, theme);
    paint::lines(buffer, inner, &rows, 0);
    if state.rows.is_empty() && count > 0 {
        let said = match (state.loading, state.narrow.is_empty()) {
            (true, _) => "  reading the files …",
            (false, true) => "  no builds were found",
            (false, false) => "  nothing holds that ({back} clears it)",
        };
        paint::line(buffer, inner, 1, &row(state.keys.fill(said), theme.text()));
    }
    let told_rows = layout::told_rows(area);
    let told = text::wrap(&table::told(state), w);
    for (i, l) in (0..told_rows).zip(told.iter()) {
        let last = i + 1 == told_rows;
        let said = if last && told.len() > usize::from(told_rows) {
            text::fit(&format!("{l} …"), w)
        } else {
            l.clone()
        };
        paint::line(buffer, inner, inner.h - told_rows + i, &row(said, theme.quiet()));
    }
    let most = state.rows.len().saturating_sub(count);
    paint::more(buffer, area, state.top, most, theme);
}

/// The table's title: order, narrowing, how many.
fn table_title(state: &State, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let mut out = vec![bit("Builds", theme.strong())];
    if state.typing || !state.narrow.is_empty() {
        let caret = if state.typing { "▏" } else { "" };
        out.push(bit(format!(" holding /{}{caret}", text::clean(&state.narrow)), theme.key()));
        out.push(bit(
            format!(" {} of {}", state.rows.len(), state.entries.len() + state.broken.len()),
            theme.text(),
        ));
        if !state.marks.is_empty() {
            out.push(bit(" ·", theme.text()));
        }
    }
    // Before the order: where the title is cut, the arrow over a column still tells that.
    let marked = !state.marks.is_empty();
    if marked {
        out.push(bit(format!(" {} marked", state.marks.len()), theme.text()));
    }
    let named = |by: By| match by {
        By::Name => "name",
        By::Measure(m) => m.row().head,
    };
    if let Some(first) = state.sort.first() {
        let arrow = if first.falling { "▼" } else { "▲" };
        let gap = if marked { " ·" } else { "" };
        out.push(bit(format!("{gap} by {} {arrow}", named(first.by)), theme.text()));
    }
    if let Some(second) = state.sort.get(1) {
        out.push(bit(format!(", then {}", named(second.by)), theme.text()));
    }
    out
}

/// What a pane holds for the build under the cursor.
pub fn pane_rows(state: &State, pane: Pane, w: usize, h: usize, theme: Theme) -> Vec<Row> {
    if let Some(file) = state.broken_here() {
        return problems(file, w, theme);
    }
    let Some(entry) = state.here() else { return vec![row("no build is chosen", theme.text())] };
    let Some(judged) = entry.judged.as_deref() else {
        let said = entry.failed.as_ref().map_or_else(
            || "being worked out …".to_owned(),
            |why| format!("! it could not be judged, by a fault of this program: {}", text::clean(why)),
        );
        return paint::prose(&said, w, theme.text());
    };
    let (size, units) = ((w, h), state.units);
    match pane {
        Pane::Table => table::rows(state, w, state.top, h, theme),
        Pane::Section => section::rows(judged, size, units, theme),
        Pane::Staging => stages::rows(judged, w, units, theme),
        Pane::Head => budget::rows(judged, w, state.currency(), units, theme),
        Pane::Curve => curve::rows(judged, size, units, theme),
        Pane::Timeline => timeline::rows(judged, size, units, theme),
        Pane::Notes => notes(entry, w, units, theme),
    }
}

/// The whole table, for copying: every chosen column and every row.
pub fn whole_table(state: &State, theme: Theme) -> Vec<Row> {
    let mut all = state.clone();
    all.size = (u16::MAX, u16::MAX);
    all.screen = Tab::Builds;
    all.left = 0;
    let w = crate::app::columns::LEAD
        + all.longest_name.max(12)
        + all.columns.iter().map(|m| crate::app::columns::width(*m, all.has_doubt()) + 2).sum::<usize>();
    // Wide enough that the name column, at most two fifths of it, holds the longest name.
    let w = w.max((all.longest_name + 4) * 5 / 2 + 5);
    table::rows(&all, w, 0, all.rows.len(), theme)
}

fn file_name(file: &Broken) -> String {
    text::clean(&file.path.file_name().map_or_else(|| file.path.to_string_lossy(), |n| n.to_string_lossy()))
}

/// The pane in focus for copying: the whole table, or a picture with whose it is.
pub fn text(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    if state.pane == Pane::Table {
        return whole_table(state, theme);
    }
    let titled = state.here().map(|entry| format!("{} · {}", state.pane.name(), text::clean(&entry.name)));
    let mut out: Vec<Row> = titled.map(|title| row(title, theme.strong())).into_iter().collect();
    out.extend(pane_rows(state, state.pane, w, TALL, theme));
    out
}

/// A broken file's problems. Source lines keep their shape, so that the mark stays under its spot.
fn problems(file: &Broken, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    let said = format!("! {}", text::clean(&file.path.to_string_lossy()));
    out.extend(paint::prose(&said, w, theme.warn()));
    for problem in &file.problems {
        out.push(Row::default());
        let rendered = if problem.rendered.trim().is_empty() {
            let help = problem.help.as_deref().map_or(String::new(), |h| format!("\n{h}"));
            format!("{}:{}: {}{help}", problem.line, problem.column, problem.message)
        } else {
            problem.rendered.clone()
        };
        for l in text::clean_lines(&rendered) {
            let source = l.chars().take(8).any(|c| c == '|' || c == '│');
            if source {
                out.push(row(text::fit(&l, w), theme.text()));
            } else {
                out.extend(paint::prose(&l, w, theme.strong()));
            }
        }
    }
    out
}

/// Things to know, and how it is handled.
fn notes(entry: &Entry, w: usize, units: Units, theme: Theme) -> Vec<Row> {
    let mut said: Vec<String> = Vec::new();
    if let Some(judged) = &entry.judged {
        said.extend(wording::notes::lines(&judged.notes, units).iter().map(|n| text::clean(n)));
    }
    if !entry.filter.notes.trim().is_empty() {
        said.push(text::clean(entry.filter.notes.trim()));
    }
    if let Some(h) = entry.filter.handling {
        let priming = match h.priming {
            Priming::Electric => "primed by a motor",
            Priming::Push => "primed by a push button",
            Priming::ByHand => "primed by hand",
        };
        let release = match h.release {
            Release::Block => "both hoses come off in one block",
            Release::Unions => "a union on each hose",
            Release::None => "hoses come off only with a bucket at hand",
        };
        let clasps = h.clasps.map_or(String::new(), |n| format!(", {n} clasps"));
        said.push(format!("{priming}, {release}{clasps}"));
    }
    if let Some(spares) = entry.filter.unit.as_ref().and_then(|u| u.spares) {
        said.push(
            match spares {
                Spares::Plenty => "spare parts are plenty",
                Spares::Scarce => "spare parts are scarce",
                Spares::None => "spare parts are no longer made",
            }
            .to_owned(),
        );
    }
    if let Some(crate::measures::Outcome::Value(kg)) = entry.outcome(Measure::FullWeight)
        && kg >= 15.0
    {
        said.push("heavy when full: lift it with a straight back, or empty it first".to_owned());
    }
    if entry.filter.uv.is_some() {
        said.push("never look at a lit UV-C lamp; a broken one is mercury-bearing waste".to_owned());
    }
    said.push("unplug before opening".to_owned());
    said.push(format!("file: {}", text::clean(&entry.path.to_string_lossy())));
    let mut out = Vec::new();
    for s in said {
        for (i, l) in text::wrap(&s, w.saturating_sub(2)).into_iter().enumerate() {
            let lead = if i == 0 { "• " } else { "  " };
            out.push(row(format!("{lead}{l}"), theme.text()));
        }
    }
    out
}

pub fn says(state: &State) -> String {
    format!("{}: {}", state.pane.name(), state.pane.says())
}
