//! What slows the flow: what the pump could lift, what uses it up in the order of the water, and what would gain most.

use ratatui::text::Line;

use super::super::paint::{self};
use super::super::{Row, Theme, bit, row, text};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::report::explained::helped;
use crate::report::figures::{self, Units};
use crate::report::svg::why_not;

const HELPS: usize = 3;

pub fn rows(judged: &Assessment, w: usize, currency: &str, units: Units, theme: Theme) -> Vec<Row> {
    if judged.head_budget.is_empty() {
        let why = why_not(judged, Measure::Flow);
        return paint::prose(&format!("cannot be told: {why}"), w, theme.text());
    }
    let mut out = Vec::new();
    if let (Some(head), Outcome::Value(flow)) = (judged.pump_head, judged.outcome(Measure::Flow)) {
        let lifts = judged.curve.iter().flat_map(|c| &c.pump).map(|p| p.1).filter(|m| m.is_finite());
        let most = figures::head(lifts.fold(head, f64::max), units);
        let (flow, head) = (figures::flow(flow, units), figures::head(head, units));
        out.extend(paint::prose(
            &format!("could lift {most}; at {flow} it lifts {head}, used up by:"),
            w,
            theme.text(),
        ));
    }
    let name = judged.head_budget.iter().map(|p| text::width(&p.part)).max().unwrap_or(0).min(w / 2);
    let room = w.saturating_sub(name + 12);
    let most = judged.head_budget.iter().map(|p| p.m).filter(|m| m.is_finite()).fold(0.0, f64::max);
    for part in &judged.head_budget {
        let length = if most > 0.0 { part.m.max(0.0) / most * room as f64 } else { 0.0 };
        out.push(Line::from(vec![
            bit(format!(" {}", text::left(&text::clean(&part.part), name)), theme.text()),
            bit(text::right(&figures::head(part.m, units), 9), theme.text()),
            bit(format!(" {}", "█".repeat((length.round() as usize).min(room))), theme.quiet()),
        ]));
    }
    out.push(row("most to gain:", theme.quiet()));
    out.extend(helps(judged, w, currency, units, theme));
    out
}

pub fn helps(judged: &Assessment, w: usize, currency: &str, units: Units, theme: Theme) -> Vec<Row> {
    let said = judged.helps.iter().take(HELPS).zip(1..).flat_map(|(help, n)| {
        let said = text::clean(&helped(judged, help, currency, units));
        let lines = text::wrap(&said, w.saturating_sub(2)).into_iter().enumerate();
        lines.map(move |(i, l)| if i == 0 { format!("{n} {l}") } else { format!("  {l}") })
    });
    let out: Vec<Row> = said.map(|l| row(l, theme.text())).collect();
    if out.is_empty() {
        vec![row("no repair or change of the usual ones would help it", theme.text())]
    } else {
        out
    }
}
