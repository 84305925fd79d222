//! How a figure came about.

use super::super::{Row, Theme, row, text};
use super::table;
use crate::app::{Of, State};
use crate::measures::Measure;
use crate::report::{spans, wording};

/// The lines for a width: the figure, what it says, why it is a dash if it is one, then its derivation.
pub fn rows(
    state: &State,
    of: Of,
    measure: Measure,
    lines: Option<&[String]>,
    w: usize,
    theme: Theme,
) -> Vec<Row> {
    let mut out = Vec::new();
    let Some(entry) = state.explained(of) else { return out };
    let add = |out: &mut Vec<Row>, said: &str, style| {
        for l in text::wrap(said, w) {
            out.push(row(l, style));
        }
    };
    add(&mut out, &format!("{}{}", text::clean(&entry.name), packed(state, of)), theme.text());
    let unit = spans::unit(measure, state.units, state.currency());
    let said = format!("{}  {}", measure.row().head, table::figure(state, entry, measure).said(unit));
    add(&mut out, &said, theme.text());
    add(&mut out, measure.row().says, theme.text());
    if let Some(why) = entry.missing(measure) {
        add(&mut out, &wording::cannot(why), theme.warn());
    }
    out.push(Row::default());
    match lines {
        None => out.push(row("being worked out …", theme.quiet())),
        Some(lines) => {
            for l in lines.iter().flat_map(|l| text::clean_lines(l)) {
                // Wrapped lines keep the indent of their first.
                let indent = l.chars().take_while(|c| *c == ' ').count().min(w / 2);
                for part in text::wrap(l.trim_start(), w.saturating_sub(indent).max(1)) {
                    out.push(row(format!("{}{part}", " ".repeat(indent)), theme.text()));
                }
            }
        }
    }
    out
}

/// What tells a working copy from the build of the same name that it is made from.
fn packed(state: &State, of: Of) -> &'static str {
    match (of, &state.restack.work) {
        (Of::Worked, Some(work)) if work.piece.unfit().is_empty() => ", as packed now",
        (Of::Worked, Some(_)) => ", the last stack that fitted",
        _ => "",
    }
}
