//! Order of the media along the water, and rules of order that are broken.

use ratatui::text::Line;
use std::fmt::Write as _;

use super::super::theme::{self};
use super::super::{Row, Theme, bit, row, text};
use crate::assess::Assessment;
use crate::report::figures::Units;
use crate::report::wording::mends::costs;

pub fn rows(judged: &Assessment, w: usize, units: Units, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    if judged.stages.is_empty() {
        out.push(row("no media in it", theme.text()));
    }
    let mut spans = Vec::new();
    let mut used = 0;
    for (i, role) in judged.stages.iter().enumerate() {
        let arrow = if i == 0 { "" } else { " → " };
        let said = theme::sample(*role);
        let cells = text::width(arrow) + text::width(&said);
        if used + cells > w && used > 0 {
            out.push(Line::from(std::mem::take(&mut spans)));
            used = 0;
        }
        spans.push(bit(arrow, theme.text()));
        spans.push(bit(said, theme.text()));
        used += cells;
    }
    if !spans.is_empty() {
        out.push(Line::from(spans));
    }
    let said = match judged.faults.len() {
        0 => "no rule of order is broken".to_owned(),
        1 => "1 fault".to_owned(),
        n => format!("{n} faults"),
    };
    out.push(row(said, theme.text()));
    for fault in &judged.faults {
        let mut said = format!("{}: {}", text::clean(&fault.at), text::clean(&fault.says));
        let costs = costs(&fault.costs, units);
        if !costs.is_empty() {
            let _ = write!(said, " ({})", text::clean(&costs));
        }
        for (i, l) in text::wrap(&said, w.saturating_sub(2)).into_iter().enumerate() {
            let lead = if i == 0 { "! " } else { "  " };
            out.push(Line::from(vec![bit(lead, theme.warn()), bit(l, theme.text())]));
        }
    }
    out
}
