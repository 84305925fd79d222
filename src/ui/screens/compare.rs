//! Compare: measures, stacks and inputs of two to four builds side by side.

use ratatui::buffer::Buffer;
use ratatui::text::Line;

use super::super::paint::{self, Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use super::super::widgets::{table, verdict};
use crate::app::entry::Entry;
use crate::app::layout;
use crate::app::list::List;
use crate::app::screens::compare::{self, Compared as What};
use crate::app::state::State;
use crate::compare::align::Step;
use crate::measures::{Measure, Missing, Outcome};
use crate::report::{figures, reasons};

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let Some(area) = state.parts().main else { return 0 };
    let said = if state.compare.all { " all" } else { " what differs" };
    let count = state.marks.len();
    let cut =
        if count > compare::MOST { format!(" · the first four of {count} marked") } else { String::new() };
    let title = vec![bit("Compare", theme.text()), bit(format!("{said}{cut}"), theme.text())];
    let inner = paint::frame(buffer, area, &title, true, theme);
    let w = usize::from(inner.w);
    if let Err(why) = compare::allowed(state) {
        let said = format!("nothing to compare: {}", state.keys.fill(why));
        paint::lines(buffer, inner, &paint::prose(&said, w, theme.text()), 0);
        return 0;
    }
    let entries = entries(state);
    let across = Across::new(w, entries.len());
    paint::lines(buffer, inner, &names(state, &entries, &across, theme), 0);
    let rows = layout::table_rows(area);
    let lines = compare::lines(state);
    let List { cursor, top } = state.compare.list;
    let in_view = lines.iter().enumerate().skip(top).take(rows);
    let shown: Vec<Row> =
        in_view.map(|(i, l)| line(state, &entries, l, i == cursor, &across, theme)).collect();
    paint::lines(buffer, inner.rows(2, rows as u16), &shown, 0);
    if let Some(chosen) = lines.get(cursor) {
        let told_rows = layout::strip_rows(area);
        let told = paint::prose(&told(state, &entries, chosen, &across), w, theme.quiet());
        paint::lines(buffer, inner.rows(inner.h - told_rows, told_rows), &told, 0);
    }
    paint::more(buffer, area, top, lines.len().saturating_sub(rows), theme);
    0
}

/// All of it, for copying.
pub fn whole(state: &State, _: usize, theme: Theme) -> Vec<Row> {
    if let Err(why) = compare::allowed(state) {
        return vec![row(format!("nothing to compare: {}", state.keys.fill(why)), theme.text())];
    }
    let entries = entries(state);
    let across = Across::new(40 + 36 * entries.len(), entries.len());
    let mut out = names(state, &entries, &across, theme);
    let lines = compare::lines(state);
    out.extend(lines.iter().map(|l| line(state, &entries, l, false, &across, theme)));
    out
}

/// All of it as sentences, one a line: what stands in columns says whose it is.
pub fn sentences(state: &State) -> Vec<String> {
    if let Err(why) = compare::allowed(state) {
        return vec![format!("nothing to compare: {}", state.keys.fill(why))];
    }
    let entries = entries(state);
    let letter = |i: usize| char::from_u32(u32::from('A') + i as u32).unwrap_or('?');
    let mut out: Vec<String> = entries
        .iter()
        .enumerate()
        .map(|(i, e)| format!("{} is {}", letter(i), text::clean(&e.name)))
        .collect();
    let called: Vec<String> = (0..entries.len()).map(|i| letter(i).to_string()).collect();
    out.extend(compare::lines(state).iter().map(|what| sentence(state, &entries, what, &called)));
    out
}

/// The chosen line as a sentence, each build by its name.
pub fn sentence_here(state: &State) -> String {
    let entries = entries(state);
    let called: Vec<String> = entries.iter().map(|e| format!("{}:", text::clean(&e.name))).collect();
    let lines = compare::lines(state);
    lines
        .get(state.compare.list.cursor)
        .map_or(String::new(), |what| sentence(state, &entries, what, &called))
}

fn sentence(state: &State, entries: &[&Entry], what: &What, called: &[String]) -> String {
    if let What::Head(said) | What::Nothing(said) = what {
        return (*said).to_owned();
    }
    let (label, cells) = cells(state, entries, what);
    let each = cells.iter().zip(called).map(|(cell, called)| match cell.trim() {
        "" => format!("{called} nothing"),
        said => format!("{called} {said}"),
    });
    format!("{}: {}", label.trim(), each.collect::<Vec<_>>().join("; "))
}

fn entries(state: &State) -> Vec<&Entry> {
    compare::builds(state).into_iter().filter_map(|id| state.entry(id)).collect()
}

/// Widths of the labels, of the first build, and of each other: those have the difference and its verdict
/// beside the figure.
struct Across {
    label: usize,
    first: usize,
    other: usize,
}

impl Across {
    fn new(w: usize, builds: usize) -> Self {
        let label = (w * 2 / 9).clamp(8, 26).min(w);
        let others = builds.saturating_sub(1);
        let other = w.saturating_sub(label) * 10 / (7 + 10 * others);
        Self { label, first: w.saturating_sub(label + other * others), other }
    }
    fn cell(&self, i: usize) -> usize {
        if i == 0 { self.first } else { self.other }
    }
}

/// Two lines: filters, then builds; the chosen one carries a sign.
fn names(state: &State, entries: &[&Entry], across: &Across, theme: Theme) -> Vec<Row> {
    let mut filter = vec![bit(text::left("", across.label), theme.text())];
    let mut build = filter.clone();
    for (i, e) in entries.iter().enumerate() {
        let here = i == state.compare.column;
        let sign = if here { "►" } else { " " };
        let style = if here { theme.cursor() } else { theme.text() };
        let name = format!("{sign}{}", text::clean(&e.filter.name));
        filter.push(bit(text::left(&name, across.cell(i).saturating_sub(1)), style));
        filter.push(bit(" ", theme.text()));
        let first = if i == 0 { " (first)" } else { "" };
        let said = format!(" {}{first}", text::clean(e.build_name()));
        build.push(bit(text::left(&said, across.cell(i)), theme.text()));
    }
    vec![Line::from(filter), Line::from(build)]
}

fn line(state: &State, entries: &[&Entry], what: &What, here: bool, across: &Across, theme: Theme) -> Row {
    match what {
        What::Head(said) => return row(format!(" {said}"), theme.text()),
        What::Nothing(said) => {
            let sign = if here { '►' } else { ' ' };
            return row(format!("{sign}  {said}"), theme.quiet());
        }
        _ => {}
    }
    let (label, cells) = cells(state, entries, what);
    let sign = if here { "►" } else { " " };
    let style = if here { theme.text() } else { theme.text() };
    let mut spans = vec![
        bit(text::left(&format!("{sign}{label}"), across.label.saturating_sub(1)), style),
        bit(" ", style),
    ];
    for (i, cell) in cells.into_iter().enumerate() {
        let chosen = here && i == state.compare.column && matches!(what, What::Measure(_));
        let style = if chosen { theme.cursor() } else { style };
        spans.push(bit(text::left(&format!(" {cell}"), across.cell(i).saturating_sub(1)), style));
        spans.push(bit(" ", theme.text()));
    }
    Line::from(spans)
}

/// A line's label, and what stands there for each build.
fn cells(state: &State, entries: &[&Entry], what: &What) -> (String, Vec<String>) {
    match what {
        What::Head(said) | What::Nothing(said) => ((*said).to_owned(), Vec::new()),
        What::Measure(m) => {
            let sign = figures::sign(*m, state.units);
            let label = format!("{} {sign}", m.row().head);
            (label, entries.iter().map(|e| measure(state, entries, e, *m)).collect())
        }
        What::Step(r) => {
            let place = r.steps.iter().flatten().next().map_or(String::new(), |s| s.place.clone());
            let cells =
                r.steps.iter().enumerate().map(|(i, s)| step(&r.steps, i, s.as_ref(), &place)).collect();
            (place, cells)
        }
        What::Field(f) => {
            let cells = f.values.iter().map(|v| v.as_deref().map_or("–".to_owned(), text::clean)).collect();
            (text::clean(&f.path), cells)
        }
    }
}

/// The chosen cell whole, as columns may cut it.
fn told(state: &State, entries: &[&Entry], what: &What, across: &Across) -> String {
    let Some(entry) = entries.get(state.compare.column) else { return String::new() };
    match what {
        What::Head(_) | What::Nothing(_) => String::new(),
        What::Measure(m) => {
            let why = compare::pair_here(state).and_then(|pair| state.whys.get(&pair)?.clone());
            let told = table::told_of(state, entry, *m);
            let cell = measure(state, entries, entry, *m);
            let cut = text::width(&cell) + 2 > across.cell(state.compare.column);
            let told = if cut { format!("{cell}. {told}") } else { told };
            why.map_or(told.clone(), |why| format!("{}. {told}", text::clean(&why)))
        }
        What::Step(r) => match r.steps.get(state.compare.column).and_then(Option::as_ref) {
            Some(s) => format!("{}: {}", s.place, text::clean(&s.says)),
            None => "nothing of this build stands here".to_owned(),
        },
        What::Field(f) => {
            let value = f.values.get(state.compare.column).and_then(Option::as_deref);
            format!("{}: {}", text::clean(&f.path), value.map_or("–".to_owned(), text::clean))
        }
    }
}

/// The value, and the difference to the first.
fn measure(state: &State, entries: &[&Entry], entry: &Entry, measure: Measure) -> String {
    let shown = table::figure(state, entry, measure).both();
    let Some(first) = entries.first().filter(|f| !std::ptr::eq(**f, entry)) else { return shown };
    let of = |e: &Entry| e.outcome(measure).unwrap_or(Outcome::Missing(Missing::NotSolved));
    let difference = figures::difference(measure, of(first), of(entry), state.units);
    if difference == figures::DASH || difference == "0" {
        return shown;
    }
    let said = verdict::verdict(state, first, entry, measure)
        .map_or(String::new(), |said| format!(" {}", reasons::mark(said.call)));
    format!("{shown} ({difference}){said}")
}

/// A layer as a text diff shows it: `−` gone, `+` new against the first; its place where that differs.
fn step(steps: &[Option<Step>], i: usize, step: Option<&Step>, place: &str) -> String {
    let first = steps.first().and_then(Option::as_ref);
    let sign = match (i, first, step) {
        (0, Some(f), _) if steps.iter().skip(1).any(|s| s.as_ref().is_none_or(|s| s.says != f.says)) => "− ",
        (0, ..) => "  ",
        (_, Some(f), Some(s)) if f == s => "  ",
        (_, Some(f), Some(s)) if f.says == s.says => "~ ",
        (_, _, Some(_)) => "+ ",
        _ => "  ",
    };
    let at = |s: &Step| if s.place == place { String::new() } else { format!(" [{}]", s.place) };
    step.map_or(String::new(), |s| format!("{sign}{}{}", text::clean(&s.says), at(s)))
}

pub fn says(_: &State) -> String {
    "Compare: the first build is the one the others are held against. Down the stack, rows follow \
                         the water; the same medium stands beside the same."
        .to_owned()
}
