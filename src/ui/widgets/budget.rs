//! Where the pump's head goes: one bar in the order of the water, its numbers, and what would help most.

use ratatui::text::Line;

use super::super::paint::{Row, bit, row};
use super::super::text;
use super::super::theme::Theme;
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::report::figures::{self, Units};
use crate::report::helps::words;

/// Most improvements listed.
const HELPS: usize = 3;

/// The lines for a width.
pub fn rows(judged: &Assessment, w: usize, currency: &str, units: Units, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    if judged.head_budget.is_empty() {
        let why = match judged.outcome(Measure::Flow) {
            Outcome::Missing(why) => why.words(),
            _ => "it was not worked out",
        };
        out.push(row(format!("no budget: {why}"), theme.text()));
        return out;
    }
    if let (Some(head), Outcome::Value(flow)) = (judged.pump_head, judged.outcome(Measure::Flow)) {
        let said = format!("pump gives {} at {}", figures::head(head, units), figures::flow(flow, units));
        out.push(row(said, theme.text()));
    }
    out.push(bar(judged, w, theme));
    let name = judged.head_budget.iter().map(|p| text::width(&p.part)).max().unwrap_or(0).min(w / 2);
    let room = w.saturating_sub(name + 2 + 9 + 6 + 1);
    let most = judged.head_budget.iter().map(|p| p.share).filter(|s| s.is_finite()).fold(0.0, f64::max);
    for (i, part) in judged.head_budget.iter().enumerate() {
        let length = if most > 0.0 { part.share.max(0.0) / most * room as f64 } else { 0.0 };
        out.push(Line::from(vec![
            bit(format!("{} ", letter(i)), theme.text()),
            bit(text::left(&text::clean(&part.part), name), theme.text()),
            bit(text::right(&figures::head(part.m, units), 9), theme.text()),
            bit(text::right(&figures::share(part.share), 6), theme.text()),
            bit(format!(" {}", "█".repeat((length.round() as usize).min(room))), theme.quiet()),
        ]));
    }
    out.push(Line::default());
    out.extend(helps(judged, w, currency, units, theme));
    out
}

/// One bar, each part as long as its share, its letter in it.
fn bar(judged: &Assessment, w: usize, theme: Theme) -> Row {
    let whole: f64 = judged.head_budget.iter().map(|p| p.share.max(0.0)).filter(|s| s.is_finite()).sum();
    let mut spans = Vec::new();
    let (mut done, mut before) = (0, 0.0);
    for (i, part) in judged.head_budget.iter().enumerate() {
        before += if part.share.is_finite() { part.share.max(0.0) } else { 0.0 };
        let to = if whole > 0.0 { (before / whole * w as f64).round() as usize } else { 0 };
        let cells = to.min(w).saturating_sub(done);
        if cells == 0 {
            continue;
        }
        done += cells;
        let fill = if i % 2 == 0 { '░' } else { '▒' };
        let mut said: String = std::iter::repeat_n(fill, cells).collect();
        if cells >= 3 {
            let side = (cells - 1) / 2;
            let lead: String = std::iter::repeat_n(fill, side).collect();
            let tail: String = std::iter::repeat_n(fill, cells - 1 - side).collect();
            said = format!("{lead}{}{tail}", letter(i));
        }
        spans.push(bit(said, if i % 2 == 0 { theme.text() } else { theme.text() }));
    }
    Line::from(spans)
}

fn letter(i: usize) -> char {
    char::from_u32(u32::from('a') + (i % 26) as u32).unwrap_or('?')
}

/// What would help most, in words.
pub fn helps(judged: &Assessment, w: usize, currency: &str, units: Units, theme: Theme) -> Vec<Row> {
    let mut out = Vec::new();
    for (i, help) in judged.helps.iter().take(HELPS).enumerate() {
        for (n, l) in text::wrap(&text::clean(&words(judged, help, currency, units)), w.saturating_sub(2))
            .into_iter()
            .enumerate()
        {
            let lead = if n == 0 { format!("{} ", i + 1) } else { "  ".to_owned() };
            let style = if i == 0 { theme.text() } else { theme.text() };
            out.push(Line::from(vec![bit(lead, theme.text()), bit(l, style)]));
        }
    }
    if out.is_empty() {
        out.push(row("no repair or change of the usual ones would help it", theme.text()));
    }
    out
}
