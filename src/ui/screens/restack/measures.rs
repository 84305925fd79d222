//! Every measure: as it was, as it is packed now, the difference, and whether that is really better.

use ratatui::text::Line;

use super::super::super::paint::{Row, bit, row};
use super::super::super::text;
use super::super::super::theme::Theme;
use super::super::super::widgets::{table, verdict};
use super::told_of;
use crate::app::restack::too_high;
use crate::app::restack::work::Work;
use crate::app::state::State;
use crate::compare::better::Side;
use crate::measures::{Measure, Missing, Outcome};
use crate::report::{figures, reasons, restack};

/// The lines.
pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> Vec<Row> {
    let label = (w / 4).clamp(8, 22).min(w);
    let left = w.saturating_sub(label);
    let cell = left * 24 / 100;
    let (cell, verdict) = (cell, left.saturating_sub(cell * 3));
    let across = |parts: [&str; 4]| {
        let [a, b, c, d] = parts;
        format!(
            "{}{}{}  {}",
            text::right(a, cell),
            text::right(b, cell),
            text::right(c, cell),
            text::left(d, verdict.saturating_sub(2))
        )
    };
    let mut out = Vec::new();
    let mut wrapped = |said: &str, style| {
        out.extend(text::wrap(said, w).into_iter().map(|l| row(l, style)));
    };
    if let Some(why) = too_high(work, state.units) {
        wrapped(&format!("! {why}"), theme.warn());
    }
    let head = format!("{}{}", text::left("", label), across(["as it was", "now", "differs", ""]));
    wrapped_row(&mut out, &head, w, theme);
    for measure in Measure::ALL {
        let of = |e: &crate::app::entry::Entry| e.outcome(measure).unwrap_or(Outcome::Missing(Missing::NotSolved));
        let (was, now) = (of(&work.before), of(&work.now));
        if matches!((was, now), (Outcome::Missing(_), Outcome::Missing(_))) && work.now.judged.is_some() {
            // Neither can be told: its reason stands on Builds.
            continue;
        }
        let known = work.before.judged.is_some() && work.now.judged.is_some();
        let differs = if known { figures::difference(measure, was, now, state.units) } else { String::new() };
        let shows = differs.contains(|c: char| ('1'..='9').contains(&c)) || differs.contains("yes") || differs.contains("longer");
        let said = verdict::verdict(state, &work.before, &work.now, measure).filter(|_| shows);
        let style = match said.and_then(|v| v.better) {
            Some(Side::Second) => theme.strong(),
            Some(Side::First) => theme.warn(),
            None => theme.text(),
        };
        let sign = figures::sign(measure, state.units);
        let line = across([
            &table::figure(state, &work.before, measure),
            &table::figure(state, &work.now, measure),
            if shows { &differs } else { "" },
            &said.map_or_else(String::new, reasons::against_first),
        ]);
        out.push(Line::from(vec![
            bit(text::left(&format!("{} {sign}", measure.row().head), label), theme.text()),
            bit(text::fit(&line, left), style),
        ]));
    }
    notes(state, work, w, &mut out, theme);
    out
}

fn wrapped_row(out: &mut Vec<Row>, said: &str, w: usize, theme: Theme) {
    out.push(row(text::fit(said, w), theme.quiet()));
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
