//! Every measure: as it was, as it is packed now, the difference, and whether that is really better.

use ratatui::text::Line;

use super::super::super::paint::{self, Row, bit, row};
use super::super::super::text;
use super::super::super::theme::Theme;
use super::super::super::widgets::{table, verdict};
use super::told_of;
use crate::app::screens::restack::{change::too_high, measures as shown};
use crate::app::state::State;
use crate::app::state::work::Work;
use crate::compare::better::Call;
use crate::measures::{Missing, Outcome};
use crate::report::{figures, reasons, restack};

pub fn rows(state: &State, work: &Work, w: usize, theme: Theme) -> Vec<Row> {
    let across = Across::new(w);
    let mut out = Vec::new();
    let mut wrapped = |said: &str, style| {
        out.extend(paint::prose(said, w, style));
    };
    if let Some(why) = too_high(work, state.units) {
        wrapped(&format!("! {why}"), theme.warn());
    }
    let was = if across.doubt { "as it was" } else { "was" };
    let head = format!("{}{}", text::left("", across.label), across.row([was, "now", "differs", ""]));
    out.push(row(text::fit(&head, w), theme.quiet()));
    let chosen = shown::chosen(state);
    // What can be told of neither is left out: its reason stands on Builds.
    for measure in shown::shown(work) {
        let of =
            |e: &crate::app::entry::Entry| e.outcome(measure).unwrap_or(Outcome::Missing(Missing::NotSolved));
        let (was, now) = (of(&work.before), of(&work.now));
        let known = work.before.judged.is_some() && work.now.judged.is_some();
        let differs = if known { figures::difference(measure, was, now, state.units) } else { String::new() };
        let shows = differs.contains(|c: char| ('1'..='9').contains(&c))
            || differs.contains("yes")
            || differs.contains("longer");
        let said = verdict::verdict(state, &work.before, &work.now, measure).filter(|_| shows);
        let style = match said.map(|v| v.call) {
            Some(Call::Worse) => theme.warn(),
            Some(Call::Better | Call::Same | Call::Unsure) | None => theme.text(),
        };
        let sign = figures::sign(measure, state.units);
        let before = if across.doubt || !known {
            table::figure(state, &work.before, measure).both()
        } else {
            figures::show(measure, was, state.units)
        };
        let here = |style| if chosen == Some(measure) { theme.cursor() } else { style };
        let mark = if chosen == Some(measure) { "►" } else { " " };
        let line = across.row([
            &before,
            &table::figure(state, &work.now, measure).both(),
            if shows { &differs } else { "" },
            &said.map_or_else(String::new, |v| reasons::mark(v.call)),
        ]);
        let mut label = format!("{} {sign}", measure.row().head);
        if text::width(&label) >= across.label {
            measure.row().head.clone_into(&mut label);
        }
        out.push(Line::from(vec![
            bit(text::left(&format!("{mark}{label}"), across.label), here(theme.text())),
            bit(text::fit(&line, w.saturating_sub(across.label)), here(style)),
        ]));
    }
    notes(state, work, w, &mut out, theme);
    out
}

/// Widths of a row's parts.
struct Across {
    label: usize,
    was: usize,
    now: usize,
    differs: usize,
    /// There is room for the doubt of the build as it was.
    doubt: bool,
}

impl Across {
    fn new(w: usize) -> Self {
        let doubt = w >= 66;
        let (was, now, differs) = if doubt { (13, 13, 12) } else { (6, 11, 11) };
        // `better 100 %` takes twelve.
        let label = w.saturating_sub(was + now + differs + 13).clamp(7, 22).min(w);
        Self { label, was, now, differs, doubt }
    }

    fn row(&self, parts: [&str; 4]) -> String {
        let [was, now, differs, verdict] = parts;
        // A difference that fills its column would stand against the figure before it.
        let gap = usize::from(text::width(differs) >= self.differs);
        let now = format!("{}{}", text::right(now, self.now.saturating_sub(gap)), " ".repeat(gap));
        format!("{}{now}{} {verdict}", text::right(was, self.was), text::right(differs, self.differs))
    }
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
