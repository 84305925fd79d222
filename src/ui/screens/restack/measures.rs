//! Was → now: every measure as it was and as it is packed now, and whether that is really better.

use ratatui::text::Line;

use super::super::super::paint::{self};
use super::super::super::spoken::{self};
use super::super::super::widgets::verdict;
use super::super::super::{Page, Row, Theme, bit, row, text};
use super::told_of;
use crate::app::screens::restack::{change::too_high, measures as shown};
use crate::app::{Entry, State, Work};
use crate::measures::{Measure, Outcome};
use crate::report::spans::{self};
use crate::report::{Scale, reasons, restack};

/// Cells of a middle, of low–high, and of a verdict.
const MIDDLE: usize = 6;
const SPAN: usize = 10;
const VERDICT: usize = 9;
/// From so many cells on a measure's name and unit are whole.
const WHOLE: usize = 21;

pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    if let Some(why) = too_high(work, state.units) {
        out.extend(paint::prose(&format!("! {why}"), w, theme.warn()));
    }
    let span = if w >= 2 * MIDDLE + SPAN + VERDICT + WHOLE { SPAN } else { 0 };
    let label = w.saturating_sub(2 * MIDDLE + span + VERDICT + 1).min(24);
    let head =
        format!("{}{}{}", text::left("", label), text::right("was", MIDDLE), text::right("now", MIDDLE));
    out.push(row(
        format!("{head}{}", text::right(if span > 0 { "low–high" } else { "" }, span)),
        theme.quiet(),
    ));
    let chosen = shown::chosen(state);
    // What can be told of neither is left out: its reason stands on Builds.
    for measure in shown::shown(work) {
        let here = chosen == Some(measure);
        let mark = if here { "►" } else { " " };
        let (unit, [was, now]) = both(state, work, measure);
        let said = format!(
            "{mark}{}",
            text::left(&format!("{} {unit}", measure.row().head), label.saturating_sub(2))
        );
        let mut spans = vec![
            bit(format!("{said} "), if here { theme.cursor() } else { theme.text() }),
            bit(text::right(&was.middle, MIDDLE), theme.quiet()),
            bit(text::right(&now.middle, MIDDLE), theme.text()),
        ];
        if span > 0 {
            spans.push(bit(text::right(&now.span.unwrap_or_default(), SPAN), theme.quiet()));
        }
        spans.push(bit(" ", theme.text()));
        if let Some(verdict) = verdict::verdict(state, &work.before, &work.now, measure) {
            spans.push(bit(reasons::mark(verdict.call), verdict::chip(verdict.call, theme)));
        }
        out.push(Line::from(spans));
    }
    notes(state, work, w, &mut out, theme);
    out
}

pub fn page(state: &State, work: &Work) -> Page {
    let theme = Theme::new(state.look);
    let mut lines: Vec<String> = too_high(work, state.units).iter().map(|why| format!("! {why}")).collect();
    let (all, before) = (shown::shown(work), lines.len());
    let on = shown::chosen(state).and_then(|chosen| all.iter().position(|m| *m == chosen));
    for measure in all {
        let (unit, [was, now]) = both(state, work, measure);
        let verdict = verdict::verdict(state, &work.before, &work.now, measure);
        let verdict = verdict.map_or(String::new(), |v| format!(", {}", v.call.word()));
        let head = measure.row().head;
        lines.push(format!("{head}: was {}, now {}{verdict}", was.middle, now.said(&unit)));
    }
    let mut rest = Vec::new();
    notes(state, work, spoken::WIDE, &mut rest, theme);
    lines.extend(spoken::rows(&rest));
    Page { lines, on: on.map(|on| on + before), more: Vec::new() }
}

/// The measures as they were and as they are, as many as there are rows for.
pub fn brief(state: &State, work: &Work, (w, most): (usize, usize), theme: Theme) -> Vec<Row> {
    const CELL: usize = 39;
    let across = (w / CELL).max(1);
    let cell = |measure: &Measure| {
        let (unit, [was, now]) = both(state, work, *measure);
        let said = text::fit(&format!(" {} {unit}", measure.row().head), 20);
        let moved = format!("{} → {} ", was.middle, now.middle);
        let verdict = verdict::verdict(state, &work.before, &work.now, *measure);
        let mark = verdict.map_or_else(String::new, |verdict| reasons::mark(verdict.call));
        let blank = CELL.saturating_sub(text::width(&said) + 1 + text::width(&moved) + text::width(&mark));
        let chip = verdict.map_or(theme.text(), |verdict| verdict::chip(verdict.call, theme));
        [
            bit(format!("{said} "), theme.quiet()),
            bit(moved, theme.text()),
            bit(mark, chip),
            bit(" ".repeat(blank), theme.text()),
        ]
    };
    let all = shown::shown(work);
    all.chunks(across).take(most).map(|line| line.iter().flat_map(cell).collect()).collect()
}

/// The unit of a measure, and its figure as it was and as it is now, on one scale.
pub(super) fn both(state: &State, work: &Work, measure: Measure) -> (String, [spans::Figure; 2]) {
    let pair = [&work.before, &work.now];
    let ends = |e: &&Entry| {
        let band = e.band(measure).map_or([0.0; 2], |band| [band.low, band.high]);
        e.outcome(measure).and_then(Outcome::number).into_iter().chain(band)
    };
    let scale = Scale::of(pair.iter().flat_map(ends));
    let unit = match scale.sign(measure) {
        "" => spans::unit(measure, state.units, state.currency()),
        sign => sign,
    };
    let figure = |e: &Entry| match e.outcome(measure) {
        Some(outcome) => spans::figure_on(scale, measure, outcome, e.band(measure), state.units),
        None => spans::Figure { middle: "…".to_owned(), ..spans::Figure::default() },
    };
    (unit.to_owned(), pair.map(figure))
}

/// Rules of order that are broken, and what is to be bought.
fn notes(state: &State, work: &Work, w: usize, out: &mut Vec<Row>, theme: Theme) {
    let Some(judged) = &work.now.judged else { return };
    let mut say = |said: &str, style| {
        for (i, l) in text::wrap(&text::clean(said), w.saturating_sub(2).max(4)).into_iter().enumerate() {
            let lead = if i == 0 { "" } else { "  " };
            out.push(row(format!("{lead}{l}"), style));
        }
    };
    for fault in &judged.faults {
        say(&format!("! {}: {}", fault.at, fault.says), theme.warn());
    }
    let title = work.title();
    if let (Some(shopping), Some(told)) = (&work.shopping, told_of(state, work, &title)) {
        for line in restack::shopping(shopping, told) {
            say(&line, theme.text());
        }
    }
    say("unplug before opening; figures are estimates", theme.quiet());
}
