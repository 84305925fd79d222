//! Why two builds differ: shares of the difference, in a line or as bars.

use ratatui::text::Line;

use super::super::super::paint::{self};
use super::super::super::{Row, Theme, bit, row, text};
use crate::app::State;
use crate::compare::Why;
use crate::compare::shapley::Share;
use crate::measures::Measure;
use crate::order::InOrder;
use crate::report::Scale;
use crate::report::spans::{self};

pub(super) fn parts(state: &State, why: &Why, measure: Measure) -> String {
    let shares = shares(why);
    if shares.is_empty() {
        return "nothing that the model sees differs".to_owned();
    }
    let scale = Scale::of(shares.iter().map(|s| s.amount).chain([why.second - why.first]));
    let signed = |x: f64| spans::difference(scale, measure, &[x], state.units);
    let most = shares.first().map_or(1.0, |s| s.amount.abs()).max(f64::MIN_POSITIVE);
    // What comes to nothing would only take the line's room; it has no sign.
    let told: Vec<String> = shares
        .iter()
        .filter(|s| signed(s.amount).starts_with(['+', '−']))
        .map(|s| {
            let bar = "█".repeat((s.amount.abs() / most * 6.0).round() as usize);
            let arrow = if s.amount > 0.0 { "▲" } else { "▼" };
            format!("{} {} {arrow}{bar}", s.group.label(), signed(s.amount))
        })
        .collect();
    format!("{}: {}", signed(why.second - why.first), told.join(" · "))
}

fn shares(why: &Why) -> Vec<&Share> {
    let mut shares: Vec<_> = why.shares.iter().filter(|share| share.group.bits != 0).collect();
    shares.order_by(|a, b| b.amount.abs().total_cmp(&a.amount.abs()));
    shares
}

/// The shares as bars, which add up to the difference.
pub(super) fn bars(state: &State, why: &Why, measure: Measure, w: usize, theme: Theme) -> Vec<Row> {
    let shares = shares(why);
    if shares.is_empty() {
        return vec![row("nothing that the model sees differs", theme.text())];
    }
    let scale = Scale::of(shares.iter().map(|s| s.amount).chain([why.second - why.first]));
    let signed = |x: f64| spans::difference(scale, measure, &[x], state.units);
    let unit = match scale.sign(measure) {
        "" => spans::unit(measure, state.units, state.currency()),
        sign => sign,
    };
    let sum = signed(why.second - why.first);
    let mut out =
        paint::prose(&format!("{sum} {unit} from the first; the parts add up to it:"), w, theme.text());
    let label = shares
        .iter()
        .map(|s| text::width(&s.group.label()))
        .max()
        .unwrap_or(0)
        .min((w / 2).max(w.saturating_sub(16)));
    let most = shares.first().map_or(1.0, |s| s.amount.abs()).max(f64::MIN_POSITIVE);
    for share in shares {
        let said = signed(share.amount);
        let room = w.saturating_sub(label + 10);
        let cells = (share.amount.abs() / most * room as f64).round() as usize;
        let arrow = if share.amount > 0.0 { "▲" } else { "▼" };
        let bar = if cells == 0 {
            String::new()
        } else {
            format!("{arrow}{}", "█".repeat(cells.saturating_sub(1)))
        };
        out.push(Line::from(vec![
            bit(text::left(&share.group.label(), label), theme.text()),
            bit(format!("{} ", text::right(&said, 8)), theme.text()),
            bit(bar, theme.quiet()),
        ]));
    }
    out
}
