//! The table: pinned name, a window of columns, the sorted one marked, only the rows in view.

use ratatui::text::Line;

use super::super::{Row, Theme, bit, row, text};
use crate::app::columns::{self, GAP, LEAD, Shown};
use crate::app::{By, Column, Entry, Id, State};
use crate::measures::{Measure, Outcome};
use crate::report::figures;
use crate::report::spans::{self, Figure};

/// Head and rows for a table `w` wide, from row `top`, `count` rows, the head in so many lines.
pub fn rows(state: &State, w: usize, top: usize, count: usize, heads: u16, theme: Theme) -> Vec<Row> {
    let name = columns::name_width(state, w);
    let shown = columns::shown(state, w, state.left);
    let mut out = head(state, name, &shown, theme);
    if heads < 2 {
        out.truncate(1);
    }
    let in_view: Vec<&Id> = state.rows.iter().skip(top).take(count).collect();
    let entries: Vec<&Entry> = in_view.iter().filter_map(|id| state.entry(**id)).collect();
    let shown: Vec<(Shown, Kind)> = shown.into_iter().map(|s| (s, kind(state, s, &entries))).collect();
    for id in in_view {
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

/// The head: names of the columns, the sorted one with its arrow, and a sign for columns out of view at the left.
fn head(state: &State, name: usize, shown: &[Shown], theme: Theme) -> Vec<Row> {
    let style = |here: bool| if here { theme.cursor() } else { theme.text() };
    let lead = if state.left > 0 { "◄" } else { "" };
    let build = format!("build{}", arrow(state, By::Name));
    let mut above = vec![
        bit(text::left(lead, LEAD.min(name)), theme.text()),
        bit(text::left(&build, name.saturating_sub(LEAD)), style(state.column == 0)),
    ];
    let mut below = vec![bit(" ".repeat(name), theme.text())];
    for s in shown {
        let (first, second) = columns::heads(state, s.column);
        let sign = arrow(state, s.column.into());
        for (line, said, style) in [
            (&mut above, format!("{first}{sign}"), style(state.column == s.index + 1)),
            (&mut below, second, theme.quiet()),
        ] {
            line.push(bit(" ".repeat(GAP), theme.text()));
            line.push(bit(text::right(&said, s.w), style));
        }
    }
    vec![Line::from(above), Line::from(below)]
}

fn arrow(state: &State, by: By) -> &'static str {
    match state.sort.first() {
        Some(key) if key.by == by => {
            if key.falling {
                " ▼"
            } else {
                " ▲"
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

/// What of a figure a column shows, the same in each row in view.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Both,
    Span,
    Middle,
}

/// A middle and its low–high, where both have room; where not, low–high says more, but not why a row stands here.
fn kind(state: &State, s: Shown, entries: &[&Entry]) -> Kind {
    let figures: Vec<Figure> = entries.iter().map(|entry| cell(state, entry, s.column)).collect();
    let fit = |said: fn(&Figure) -> String| figures.iter().all(|f| text::width(&said(f)) <= s.w);
    match s.middle {
        true if fit(Figure::both) => Kind::Both,
        _ if columns::leads(state, s.column) || !fit(Figure::narrow) => Kind::Middle,
        _ => Kind::Span,
    }
}

fn build(state: &State, id: Id, entry: &Entry, name: usize, shown: &[(Shown, Kind)], theme: Theme) -> Row {
    let here = state.cursor == Some(id);
    let name_style = if here && state.column == 0 { theme.cursor() } else { theme.text() };
    let mut spans = vec![
        bit(text::left(&lead(state, id, false), LEAD.min(name)), theme.text()),
        bit(text::left(&text::clean(&entry.name), name.saturating_sub(LEAD)), name_style),
    ];
    for (s, kind) in shown {
        let under = here && state.column == s.index + 1;
        spans.push(bit(" ".repeat(GAP), theme.text()));
        let figure = cell(state, entry, s.column);
        let said = match kind {
            Kind::Both => figure.both(),
            Kind::Span => figure.narrow(),
            Kind::Middle => figure.middle_alone(),
        };
        let said = text::right(&said, s.w);
        if under {
            spans.push(bit(said, theme.cursor()));
        } else if let (true, Some((middle, span))) =
            (*kind == Kind::Both && figure.span.is_some(), said.trim_start().split_once(' '))
        {
            let blank = text::width(&said).saturating_sub(text::width(middle) + text::width(span) + 1);
            spans.push(bit(format!("{}{middle}", " ".repeat(blank)), theme.text()));
            spans.push(bit(format!(" {span}"), theme.quiet()));
        } else {
            spans.push(bit(said, theme.text()));
        }
    }
    Line::from(spans)
}

pub fn cell(state: &State, entry: &Entry, column: Column) -> Figure {
    match (column.measure(), &entry.judged) {
        (Some(measure), _) => figure(state, entry, measure),
        (None, Some(judged)) => Figure { middle: judged.known.counts(), ..Figure::default() },
        (None, None) => Figure { middle: "…".to_owned(), ..Figure::default() },
    }
}

/// A figure as the table shows it; dots while it is being worked out.
pub fn figure(state: &State, entry: &Entry, measure: Measure) -> Figure {
    match entry.outcome(measure) {
        Some(outcome) => spans::figure(measure, outcome, entry.band(measure), state.units),
        None if entry.failed.is_some() => Figure { middle: figures::DASH.to_owned(), ..Figure::default() },
        None => Figure { middle: "…".to_owned(), ..Figure::default() },
    }
}

fn broken(state: &State, id: Id, i: usize, w: usize, theme: Theme) -> Row {
    let Some(file) = state.broken.get(i) else { return Line::default() };
    let name = file.path.file_name().map_or_else(|| file.path.to_string_lossy(), |n| n.to_string_lossy());
    let count = match file.problems.len() {
        1 => "1 problem".to_owned(),
        n => format!("{n} problems"),
    };
    let said = format!("{}{}   {count}", lead(state, id, true), text::clean(&name));
    let style = if state.cursor == Some(id) { theme.cursor() } else { theme.warn() };
    row(text::left(&said, w), style)
}

/// What the strip below the table is of, and what it says, first things first.
pub fn strip(state: &State) -> (String, Vec<String>) {
    if let Some(file) = state.broken_here() {
        let first = file.problems.first().map_or(String::new(), |p| {
            format!("line {}, column {}: {}", p.line, p.column, text::clean(&p.message))
        });
        let name = file.path.file_name().map_or_else(|| file.path.to_string_lossy(), |n| n.to_string_lossy());
        return (text::clean(&name), vec![first]);
    }
    let Some(entry) = state.here() else { return (String::new(), Vec::new()) };
    let name = text::clean(&entry.name);
    if state.column_here() == Some(Column::Known) {
        let known = entry.judged.as_deref().map(|judged| judged.known.words()).unwrap_or_default();
        return (format!("{name} · known"), vec![known, Column::Known.says().to_owned()]);
    }
    let Some(measure) = state.measure_here() else {
        return (name, vec![format!("file {}", text::clean(&entry.path.to_string_lossy()))]);
    };
    (format!("{name} · {}", measure.row().head), told(state, entry, measure))
}

/// A figure of a build and what it means, or why it is a dash.
fn told(state: &State, entry: &Entry, measure: Measure) -> Vec<String> {
    let says = measure.row().says;
    if let Some(why) = &entry.failed {
        return vec![format!("–: a fault of this program: {}", text::clean(why))];
    }
    match (entry.outcome(measure), entry.missing(measure)) {
        (None, _) => vec!["being worked out".to_owned(), says.to_owned()],
        (_, Some(why)) => vec![format!("–: {}", why.words()), says.to_owned()],
        (Some(outcome), None) => {
            let figure = spans::figure(measure, outcome, entry.band(measure), state.units);
            let unit = spans::unit(measure, state.units, state.currency());
            let cloud = match (measure, outcome) {
                (Measure::Clearing | Measure::ClearingDirty, Outcome::Value(x)) if x > 0.0 => Some(cloud(x)),
                _ => None,
            };
            let first = cloud.clone().unwrap_or_else(|| says.to_owned());
            let more = cloud.map(|_| says.to_owned());
            let known = entry.judged.as_deref().map(|judged| judged.known.words()).filter(|w| !w.is_empty());
            let known = known.map(|words| format!("how known: {words}"));
            std::iter::once(format!("{}: {first}", figure.said(unit))).chain(more).chain(known).collect()
        }
    }
}

/// How long half of a cloud of dirt takes to go: ln 2 of an hour over clearing.
fn cloud(clearing: f64) -> String {
    let minutes = 60.0 * std::f64::consts::LN_2 / clearing;
    format!("half of a cloud of dirt is gone in about {} min", figures::rounded(minutes, 0))
}

/// A figure of a build in one line, with its name.
pub fn told_of(state: &State, entry: &Entry, measure: Measure) -> String {
    let told = told(state, entry, measure);
    let first = told.first().map_or("", String::as_str);
    let gap = if first.starts_with('–') { "" } else { ":" };
    format!("{}{gap} {first}", measure.row().head)
}
