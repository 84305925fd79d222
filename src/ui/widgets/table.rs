//! The table: pinned name, a window of columns, the sorted one marked, only the rows in view.

use ratatui::text::Line;

use super::super::paint::{Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use crate::app::columns::{self, GAP, LEAD, Shown};
use crate::app::entry::{Entry, Id};
use crate::app::order::By;
use crate::app::state::State;
use crate::measures::Measure;
use crate::report::figures;

/// Head and rows for a table `w` wide, from row `top`, `count` rows.
pub fn rows(state: &State, w: usize, top: usize, count: usize, theme: Theme) -> Vec<Row> {
    let name = columns::name_width(state, w);
    let shown = columns::shown(state, w, state.left);
    let mut out = vec![head(state, name, &shown, w, theme)];
    for id in state.rows.iter().skip(top).take(count) {
        out.push(match *id {
            Id::Build(i) => match state.entries.get(i) {
                Some(entry) => build(state, *id, entry, name, &shown, theme),
                None => Line::default(),
            },
            Id::Broken(i) => broken(state, *id, i, w, theme),
        });
    }
    out
}

/// The head: names of the columns, the sorted ones with their arrow, and signs for columns out of view.
pub fn head(state: &State, name: usize, shown: &[Shown], w: usize, theme: Theme) -> Row {
    let cell = |by: By, here: bool| {
        let style = if here { theme.cursor() } else { theme.strong() };
        (arrow(state, by), style)
    };
    let (sign, style) = cell(By::Name, state.column == 0);
    let lead = if state.left > 0 { "◄" } else { "" };
    let mut spans = vec![
        bit(text::left(lead, LEAD.min(name)), theme.strong()),
        bit(text::left(&format!("build{sign}"), name.saturating_sub(LEAD)), style),
    ];
    let mut used = name;
    for s in shown {
        let (sign, style) = cell(By::Measure(s.measure), state.column == s.index + 1);
        spans.push(bit(" ".repeat(GAP), theme.text()));
        spans.push(bit(text::right(&format!("{}{sign}", s.measure.row().head), s.w), style));
        used = s.x + s.w;
    }
    let last = shown.last().map_or(state.left, |s| s.index + 1);
    if last < state.columns.len() && used < w {
        spans.push(bit("►", theme.strong()));
    }
    Line::from(spans)
}

/// The arrow of a sorted column: filled for the first key, a sign and a 2 for none but the first.
fn arrow(state: &State, by: By) -> &'static str {
    match state.sort.first() {
        Some(key) if key.by == by => {
            if key.falling {
                "▼"
            } else {
                "▲"
            }
        }
        _ => "",
    }
}

fn lead(state: &State, id: Id, broken: bool) -> String {
    let cursor = if state.cursor == Some(id) { '►' } else { ' ' };
    let mark = if broken {
        '!'
    } else if state.marks.contains(&id) {
        '•'
    } else {
        ' '
    };
    format!("{cursor}{mark} ")
}

fn build(state: &State, id: Id, entry: &Entry, name: usize, shown: &[Shown], theme: Theme) -> Row {
    let here = state.cursor == Some(id);
    let style = if here { theme.strong() } else { theme.text() };
    let name_style = if here && state.column == 0 { theme.cursor() } else { style };
    let mut spans = vec![
        bit(text::left(&lead(state, id, false), LEAD.min(name)), style),
        bit(text::left(&text::clean(&entry.name), name.saturating_sub(LEAD)), name_style),
    ];
    for s in shown {
        let cell = if here && state.column == s.index + 1 { theme.cursor() } else { style };
        spans.push(bit(" ".repeat(GAP), theme.text()));
        spans.push(bit(text::right(&figure(state, entry, s.measure), s.w), cell));
    }
    Line::from(spans)
}

/// A figure as the table shows it; dots while it is being worked out.
pub fn figure(state: &State, entry: &Entry, measure: Measure) -> String {
    match entry.outcome(measure) {
        Some(outcome) => figures::show_with_doubt(measure, outcome, entry.band(measure), state.units),
        None if entry.failed.is_some() => figures::DASH.to_owned(),
        None => "…".to_owned(),
    }
}

fn broken(state: &State, id: Id, i: usize, w: usize, theme: Theme) -> Row {
    let Some(file) = state.broken.get(i) else { return Line::default() };
    let name = file.path.file_name().map_or_else(|| file.path.to_string_lossy(), |n| n.to_string_lossy());
    let count = match file.problems.len() {
        1 => "1 problem".to_owned(),
        n => format!("{n} problems"),
    };
    let said = format!("{}{}: {count}", lead(state, id, true), text::clean(&name));
    let style = if state.cursor == Some(id) { theme.cursor() } else { theme.warn() };
    row(text::left(&said, w), style)
}

/// What the cell under the cursor is, and why it is a dash if it is one.
pub fn told(state: &State) -> String {
    if let Some(file) = state.broken_here() {
        let first = file.problems.first().map_or(String::new(), |p| {
            format!(" line {}, column {}: {}", p.line, p.column, text::clean(&p.message))
        });
        return format!("broken:{first}");
    }
    let Some(entry) = state.here() else { return String::new() };
    let Some(measure) = state.measure_here() else {
        return format!("{} in {}", text::clean(&entry.name), text::clean(&entry.path.to_string_lossy()));
    };
    told_of(state, entry, measure)
}

/// The same for any measure of any build.
pub fn told_of(state: &State, entry: &Entry, measure: Measure) -> String {
    let head = measure.row().head;
    if let Some(why) = &entry.failed {
        return format!("{head} –: a fault of this program: {}", text::clean(why));
    }
    match (entry.outcome(measure), entry.missing(measure)) {
        (None, _) => format!("{head}: being worked out"),
        (_, Some(why)) => format!("{head} –: {}", why.words()),
        (Some(outcome), None) => {
            let sign = figures::sign(measure, state.units);
            let shown = figures::show_with_doubt(measure, outcome, entry.band(measure), state.units);
            let gap = if sign.is_empty() { "" } else { " " };
            let range = figures::range(measure, entry.band(measure), state.units)
                .map_or(String::new(), |r| format!(" ({r} in 9 of 10 draws)"));
            format!("{head} {shown}{gap}{sign}{range}: {}", measure.row().says)
        }
    }
}
