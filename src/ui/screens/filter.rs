//! Filter: the profile as a form, what comes of it, and what to measure next.

use ratatui::buffer::Buffer;
use ratatui::text::Line as Text;

use super::super::paint::{self};
use super::super::spoken::{self};
use super::super::widgets::{plot, section, table};
use super::super::{Page, Row, Theme, bit, row, text};
use super::form as lines;
use crate::app::screens::filter;
use crate::app::{Area, Entry, Id, State};
use crate::assess::{Assessment, Mode};
use crate::measures::Measure;
use crate::profile::starter;
use crate::report::Look;

/// Rows of the outline from above, and of a drawing that leaves them.
const ABOVE: usize = 4;
const TALL_ENOUGH: usize = 20;
/// Columns of the paper that it is copied on.
const PAPER: usize = 200;
/// Figures told first.
const FIRST: [Measure; 5] = [
    Measure::Clearing,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::SuitsUpTo,
];

pub fn draw(state: &State, buffer: &mut Buffer, theme: Theme) -> usize {
    let area = filter::area(state);
    let inner = paint::frame(buffer, area, &[bit(title(state), theme.text())], true, theme);
    let w = usize::from(inner.w);
    let Some(form) = state.filter_form().map(|filter| &filter.form) else {
        let said = crate::app::form::allowed(state).err().unwrap_or_default();
        let said = paint::prose(&state.keys.fill(said), w.saturating_sub(1), theme.text());
        paint::lines(buffer, inner.inset(), &said, 0);
        return 0;
    };
    let rows = filter::rows(state);
    let all = lines::rows(state, form, w, Some(form.list.cursor), theme);
    let most = paint::lines(buffer, rows, &all, form.list.top);
    paint::more(buffer, area, form.list.top, most, theme);
    let below = inner.rows(rows.h, inner.h - rows.h);
    let mut said = Vec::new();
    if state.filters.log {
        let field = lines::below(state, form, w.saturating_sub(1), theme);
        paint::lines(buffer, below, &field, 0);
        let pane = filter::beside(state)
            .unwrap_or_else(|| below.rows(filter::FIELD, below.h.saturating_sub(filter::FIELD)));
        let title = bit("The model against yours", theme.text());
        let inner = paint::frame(buffer, pane, &[title], false, theme);
        let most =
            paint::lines(buffer, inner, &log(state, usize::from(inner.w), theme), state.filters.log_scroll);
        paint::more(buffer, pane, state.filters.log_scroll, most, theme);
        return most;
    }
    if filter::beside(state).is_none() {
        said.push(first(state, w, theme));
    }
    said.extend(next(state, w, 2, theme));
    said.extend(lines::below(state, form, w.saturating_sub(1), theme));
    paint::lines(buffer, below, &said, 0);
    if let Some(side) = filter::beside(state) {
        beside(state, side, buffer, theme);
    }
    0
}

fn beside(state: &State, area: Area, buffer: &mut Buffer, theme: Theme) {
    let Some(entry) = state.here() else { return };
    let inner = paint::frame(buffer, area, &[bit("Inside", theme.text())], false, theme);
    let figures = u16::try_from(FIRST.len()).unwrap_or(0) + 3;
    let drawing = inner.rows(0, inner.h.saturating_sub(figures));
    if let Some(judged) = &entry.judged {
        let above = above(judged, usize::from(drawing.h), theme);
        let size = (usize::from(drawing.w), usize::from(drawing.h) - above.len());
        let mut rows = section::rows(judged, size, state.units, theme);
        rows.extend(above);
        paint::lines(buffer, drawing, &rows, 0);
    }
    let below = Area { y: inner.y + drawing.h, h: inner.h - drawing.h, ..area };
    let below = paint::frame(buffer, below, &[bit("So far", theme.text())], false, theme);
    let mut out: Vec<Row> = FIRST.iter().map(|measure| figure(state, entry, *measure, theme)).collect();
    if let Some(judged) = &entry.judged {
        let known = judged.known;
        let said = format!(
            " known: {} measured, {} printed, {} guessed, {} assumed",
            known.measured, known.printed, known.guessed, known.assumed
        );
        out.extend(paint::prose(&said, usize::from(below.w), theme.quiet()));
    }
    paint::lines(buffer, below, &out, 0);
}

/// The lowest tray's outline seen from above, where it is told and there is room.
fn above(judged: &Assessment, h: usize, theme: Theme) -> Vec<Row> {
    let tray = judged.section.trays.first().filter(|_| h >= TALL_ENOUGH);
    let Some((space, (wide, deep))) = tray.and_then(|space| Some((space, space.box_mm?))) else {
        return Vec::new();
    };
    if space.from_above.len() < 3 || !(wide > 0.0 && deep > 0.0) {
        return Vec::new();
    }
    // Dots are as wide as they are high, two and four to a cell.
    let cols = (2.0 * ABOVE as f64 * wide / deep).round().clamp(3.0, 20.0) as usize;
    let drawn = plot::outline(&space.from_above, (cols, ABOVE));
    let line = |(i, drawn): (usize, String)| {
        let said = if i == 0 { "tray 1 from above" } else { "" };
        row(format!("{} {drawn}", text::left(said, 18)), theme.text())
    };
    drawn.into_iter().enumerate().map(line).collect()
}

fn figure(state: &State, entry: &Entry, measure: Measure, theme: Theme) -> Row {
    let (head, unit) = measure.row().head_lines();
    let figure = table::figure(state, entry, measure);
    Text::from(vec![
        bit(text::left(&format!(" {head} {unit}"), 20), theme.text()),
        bit(text::left(&figure.middle_alone(), 8), theme.text()),
        bit(figure.span.unwrap_or_default(), theme.quiet()),
    ])
}

fn first(state: &State, w: usize, theme: Theme) -> Row {
    let Some(entry) = state.here() else { return row("", theme.text()) };
    let told: Vec<String> = [Measure::Clearing, Measure::OpeningInterval, Measure::SuitsUpTo]
        .iter()
        .map(|measure| {
            let (head, unit) = measure.row().head_lines();
            format!("{head} {}", table::figure(state, entry, *measure).said(unit))
        })
        .collect();
    row(text::fit(&format!("so far: {}", told.join(" · ")), w), theme.text())
}

fn log(state: &State, w: usize, theme: Theme) -> Vec<Row> {
    let Some(judged) = state.here().and_then(|entry| entry.judged.as_ref()) else { return Vec::new() };
    if judged.told().is_none() {
        let said = match (state.logs().is_empty(), state.log_moves) {
            (true, _) => {
                "No reading yet. `packed` is the day the clean media went in; on the line `log` {add} adds a reading."
            }
            (false, Mode::Off) => "Logs move nothing now; {logs} changes that.",
            (false, _) => "The readings are being weighed, or this build has none.",
        };
        return paint::prose(&state.keys.fill(said), w.saturating_sub(1), theme.text());
    }
    let look = Look { units: state.units, ascii: state.look.ascii, width: w.saturating_sub(1) };
    let page = crate::report::text::page(&crate::report::log::page(judged, state.units), look);
    // Its heading is the pane's own.
    page.lines().skip(1).map(|line| row(format!(" {}", text::clean(line)), theme.text())).collect()
}

fn next(state: &State, w: usize, most: usize, theme: Theme) -> Vec<Row> {
    let of = state
        .filters
        .next
        .as_ref()
        .filter(|next| next.round == state.round && state.cursor == Some(Id::Build(next.entry)));
    let Some(lines) = of.and_then(|next| next.lines.as_ref()) else { return Vec::new() };
    let said = |(i, line): (usize, &String)| {
        let head = if i == 0 { "measure next" } else { "" };
        row(text::fit(&format!("{} {} {}", text::left(head, 12), i + 1, text::clean(line)), w), theme.text())
    };
    lines.iter().take(most).enumerate().map(said).collect()
}

pub fn rows(state: &State, _: usize, theme: Theme) -> Vec<Row> {
    let mut out = vec![row(title(state), theme.text())];
    if let Some(form) = state.filter_form() {
        out.extend(lines::rows(state, &form.form, PAPER, None, theme));
    }
    out
}

pub fn page(state: &State) -> Page {
    let theme = Theme::new(state.look);
    let Some(filter) = state.filter_form() else {
        let said = crate::app::form::allowed(state).err().unwrap_or_default();
        return Page::of(vec![state.keys.fill(said)]);
    };
    let mut page = lines::page(state, &filter.form).titled(&title(state));
    let told = if state.filters.log {
        log(state, spoken::WIDE, theme)
    } else {
        std::iter::once(first(state, spoken::WIDE, theme))
            .chain(next(state, spoken::WIDE, 2, theme))
            .collect()
    };
    page.lines.extend(spoken::rows(&told));
    page
}

fn title(state: &State) -> String {
    let Some(entry) = state.here() else { return "Filter".to_owned() };
    let name = text::clean(&entry.filter.name);
    let name = if state.filters.log {
        format!("{name} · log of {}", text::clean(entry.build_name()))
    } else {
        name
    };
    let Some(form) = state.filter_form() else { return format!("Filter · {name}") };
    let file = filter::saves_as(state).map(|path| {
        let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        text::clean(&name)
    });
    let saves = file.map_or(String::new(), |file| format!(" · saves as {file}"));
    match (form.fresh, form.form.changed(), form.form.problems.is_empty()) {
        (_, _, false) => format!("Filter · {name} · ! problems: figures as before"),
        (true, ..) => format!("Filter · {name} · not saved{saves}"),
        (false, true, _) => format!("Filter · {name} · changed{saves}"),
        _ => format!("Filter · {name}{saves}"),
    }
}

pub fn new(state: &State, typed: &[String], at: usize, theme: Theme) -> Vec<Row> {
    let mut out = vec![row("", theme.text())];
    for (i, asked) in starter::FILTER.iter().enumerate() {
        let here = i == at;
        let said = match state.line.as_ref().filter(|_| here) {
            Some(line) => format!("{}▏{}", text::clean(&line.before), text::clean(&line.after)),
            None => typed.get(i).map_or(String::new(), |text| text::clean(text)),
        };
        let style = if here { theme.cursor() } else { theme.text() };
        out.push(Text::from(vec![
            bit(if here { "►" } else { " " }, theme.text()),
            bit(text::left(asked.words, 16), style),
            bit(format!(" {said}"), theme.text()),
        ]));
    }
    out.push(row("", theme.text()));
    let understood = filter::understood(state).unwrap_or_default();
    out.push(row(format!(" {}", text::clean(&understood)), theme.quiet()));
    out.push(row(" name, bucket test, media: later, on Filter", theme.quiet()));
    out.push(row(" Enter next, the last makes it; ↑ back; Esc leaves", theme.quiet()));
    out
}

pub fn says(_: &State) -> String {
    "Filter: the profile of the build under the cursor on Builds as a form, drawn from the table of fields. Digits type: \
     200, 40 gal, 5/8 in, 235x200x410, ~30 for a guess, 20-30 for anywhere between; the line below says what was \
     understood. What is left out is assumed, dim, and says how far it may lie off. A change is judged at once on all \
     screens, and lies in no file until it is saved: in a new file, or over one that is unchanged since it was saved \
     here, never over one written by hand."
        .to_owned()
}
