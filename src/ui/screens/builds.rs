//! Builds: the table, and the pictures of the build under the cursor.

use std::fmt::Write as _;

use ratatui::buffer::Buffer;

use super::super::paint::{self};
use super::super::spoken::{self};
use super::super::widgets::{budget, curve, section, stages, table, timeline};
use super::super::{Page, Row, Theme, bit, row, text};
use crate::app::layout::{self};
use crate::app::panes::Pane;
use crate::app::{Area, By, Entry, Id, State, View};
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::model::filter::{Priming, Release, Spares};
use crate::profile::Broken;
use crate::report::figures::Units;
use crate::report::wording::{self, pictures};
use crate::report::{Look, suits, text as text_of};

/// Rows of a picture on paper.
const TALL: usize = 40;

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let parts = state.parts();
    let mut scroll = 0;
    if let Some(area) = parts.main {
        draw_table(state, buffer, area, theme);
    }
    // A broken file has one thing to show: its problems, over all of the side.
    if let (Some(file), Some((first, top))) = (state.broken_here(), parts.side.first()) {
        let h = parts.side.iter().map(|(_, a)| a.h).sum();
        let title = vec![bit(format!("Problems · {}", file_name(file)), theme.text())];
        return draw_pane(state, buffer, *first, Area { h, ..*top }, &title, theme);
    }
    for (pane, area) in &parts.side {
        let most = draw_pane(state, buffer, *pane, *area, &title(state, *pane, theme), theme);
        if *pane == state.pane {
            scroll = most;
        }
    }
    scroll
}

fn draw_pane(
    state: &State,
    buffer: &mut Buffer,
    pane: Pane,
    area: Area,
    title: &[ratatui::text::Span<'static>],
    theme: Theme,
) -> usize {
    let focus = pane == state.pane;
    let inner = paint::frame(buffer, area, title, focus, theme).inset();
    let rows = pane_rows(state, pane, usize::from(inner.w), usize::from(inner.h), theme);
    let from = if focus || state.broken_here().is_some() { state.scroll } else { 0 };
    let most = paint::lines(buffer, inner, &rows, from);
    paint::more(buffer, area, from, most, theme);
    most
}

fn title(state: &State, pane: Pane, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let name = state.here().map_or(String::new(), |e| format!(" · {}", text::clean(&e.name)));
    vec![bit(format!("{}{name}", pane.name()), theme.text())]
}

fn draw_table(state: &State, buffer: &mut Buffer, area: Area, theme: Theme) {
    let focus = state.pane == Pane::Table;
    let count = layout::table_rows(area);
    let inner = paint::frame(buffer, area, &table_title(state, count, theme), focus, theme);
    let w = usize::from(inner.w);
    let heads = layout::head_rows(area);
    let rows = table::rows(state, w, state.top, count, heads, theme);
    paint::lines(buffer, inner, &rows, 0);
    if state.rows.is_empty() && count > 0 {
        let said = match (state.loading, state.narrow.is_empty()) {
            (true, _) => "reading the files …".to_owned(),
            (false, true) => {
                "nothing is loaded: start with a folder of profiles, as `cansift FOLDER`".to_owned()
            }
            (false, false) => {
                let all = state.entries.len() + state.broken.len();
                let wanted = text::clean(&state.narrow);
                format!("nothing holds '{wanted}'; {} shows all {all}", state.keys.fill("{back}"))
            }
        };
        paint::line(buffer, inner, heads, &row(format!("   {said}"), theme.text()));
    }
    let strip = layout::strip_rows(area);
    let (of, told) = table::strip(state);
    let below = inner.rows(inner.h - strip, strip);
    let titled = u16::from(strip > 1);
    if titled > 0 && !of.is_empty() {
        let title = Area { x: 0, w: area.x + area.w, ..below.rows(0, strip) };
        paint::frame(buffer, title, &[bit(of, theme.text())], false, theme);
    }
    let said = below.rows(titled, strip - titled).inset();
    // The first sentence as far as it goes, each further one only whole.
    let mut lines: Vec<String> = Vec::new();
    for (i, sentence) in told.iter().enumerate() {
        let wrapped = text::wrap(sentence, usize::from(said.w));
        if i == 0 || lines.len() + wrapped.len() <= usize::from(said.h) {
            lines.extend(wrapped);
        }
    }
    for (y, l) in (0..said.h).zip(&lines) {
        let cut = y + 1 == said.h && lines.len() > usize::from(said.h);
        let l = if cut { text::fit(&format!("{l} …"), usize::from(said.w)) } else { l.clone() };
        paint::line(buffer, said, y, &row(l, theme.text()));
    }
}

/// The table's title: what is searched, the order, which rows are in view.
fn table_title(state: &State, count: usize, theme: Theme) -> Vec<ratatui::text::Span<'static>> {
    let mut said = "Builds".to_owned();
    if state.typing || !state.narrow.is_empty() {
        let caret = if state.typing { "▏" } else { "" };
        let all = state.entries.len() + state.broken.len();
        let wanted = text::clean(&state.narrow);
        let _ = write!(said, " · holding /{wanted}{caret} · {} of {all}", state.rows.len());
    }
    let named = |by: By| match by {
        By::Name => "name",
        By::Measure(m) => m.row().head,
        By::Known => "known",
    };
    if let Some(first) = state.sort.first() {
        let _ = write!(said, " · by {} {}", named(first.by), if first.falling { "▼" } else { "▲" });
    }
    if let Some(second) = state.sort.get(1) {
        let _ = write!(said, ", then {}", named(second.by));
    }
    let all = state.rows.len();
    if all > count {
        let _ = write!(said, " · {}–{} of {all}", state.top + 1, (state.top + count).min(all));
    }
    vec![bit(said, theme.text())]
}

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
        Pane::Table => table::rows(state, w, state.top, h, 2, theme),
        Pane::Inside => section::rows(judged, size, units, theme),
        Pane::Order => stages::rows(judged, w, units, theme),
        Pane::Slows => budget::rows(judged, w, state.currency(), units, theme),
        Pane::Curve => curve::rows(judged, size, units, theme),
        Pane::Opening => timeline::rows(judged, size, units, theme),
        Pane::Suits => suits(state, entry, w, theme),
        Pane::Notes => notes(state, entry, w, theme),
    }
}

/// The whole table, for copying: every chosen column and every row.
pub fn whole_table(state: &State, theme: Theme) -> Vec<Row> {
    let mut all = state.clone();
    all.left = 0;
    all.view = View::List;
    let w = crate::app::columns::LEAD + all.longest_name.max(28) + all.columns.len() * 12;
    table::rows(&all, w, 0, all.rows.len(), 2, theme)
}

fn suits(state: &State, entry: &Entry, w: usize, theme: Theme) -> Vec<Row> {
    let Some(judged) = &entry.judged else { return Vec::new() };
    let look = Look { units: state.units, ascii: false, width: w };
    let mut out: Vec<Row> = text_of::table(&suits::table(judged, None, state.units), look)
        .into_iter()
        .map(|l| row(text::clean(&l), theme.text()))
        .collect();
    out.extend(paint::prose(&suits::sentence(judged, state.units), w, theme.text()));
    out
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
    let mut out: Vec<Row> = titled.map(|title| row(title, theme.text())).into_iter().collect();
    out.extend(pane_rows(state, state.pane, w, TALL, theme));
    out
}

pub fn page(state: &State) -> Page {
    if state.pane == Pane::Table {
        let line = |(i, id): (usize, &Id)| spoken::line(state, Some(i + 1), *id);
        let lines = state.rows.iter().enumerate().map(line).collect();
        return Page { lines, on: Some(state.row_here()), more: Vec::new() };
    }
    let name = state.here().map_or(String::new(), |entry| format!(" of {}", text::clean(&entry.name)));
    Page::of(in_words(state, state.pane)).titled(&format!("{}{name}", state.pane.name()))
}

/// Every figure of a build, or the problems of a broken file.
pub fn all_of(state: &State) -> Vec<String> {
    match state.here() {
        Some(entry) => Measure::ALL.into_iter().map(|m| table::told_of(state, entry, m)).collect(),
        None => spoken::rows(&pane_rows(state, Pane::Notes, spoken::WIDE, 1, Theme::new(state.look))),
    }
}

/// A pane for the build under the cursor, in words.
pub fn in_words(state: &State, pane: Pane) -> Vec<String> {
    let judged = state.here().and_then(|e| e.judged.as_deref());
    let said = match (pane, judged) {
        (Pane::Inside, Some(judged)) => pictures::section(judged, state.units),
        (Pane::Slows, Some(judged)) => head(judged, state.currency(), state.units, Theme::new(state.look)),
        (Pane::Curve, Some(Assessment { curve: Some(picture), .. })) => pictures::curve(picture, state.units),
        (Pane::Opening, Some(Assessment { timeline: Some(line), .. })) => pictures::weeks(line, state.units),
        _ => return spoken::rows(&pane_rows(state, pane, spoken::WIDE, 1, Theme::new(state.look))),
    };
    said.iter().map(|line| spoken::words(line)).collect()
}

fn head(judged: &Assessment, currency: &str, units: Units, theme: Theme) -> Vec<String> {
    let mut out = pictures::head_budget(judged, units);
    out.push("what would help most:".to_owned());
    out.extend(spoken::rows(&budget::helps(judged, spoken::WIDE, currency, units, theme)));
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
                out.extend(paint::prose(&l, w, theme.text()));
            }
        }
    }
    out
}

fn notes(state: &State, entry: &Entry, w: usize, theme: Theme) -> Vec<Row> {
    let units = state.units;
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
    let told = state.told.iter().rev().map(|told| text::clean(told));
    let mut out = Vec::new();
    let messages = said.len();
    for (at, s) in said.into_iter().chain(told).enumerate() {
        if at == messages {
            out.extend([row("", theme.text()), row("Messages so far, the last first", theme.quiet())]);
        }
        for (i, l) in text::wrap(&s, w.saturating_sub(2)).into_iter().enumerate() {
            let lead = if i == 0 { "• " } else { "  " };
            out.push(row(format!("{lead}{l}"), theme.text()));
        }
    }
    out
}

pub fn says(state: &State) -> String {
    format!("{}: {}", state.pane.name(), state.pane.row().1)
}
