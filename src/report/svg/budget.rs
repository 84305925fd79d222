//! Where the pump's head goes: one bar in the order of the water, and its parts below it.

use super::canvas::{Canvas, Embedding, PLAIN, QUIET, STRONG, TextAnchor};
use super::{MARGIN, WIDTH};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::report::figures::{self, Units};
use crate::report::wording::{pictures, sentences};

const BAR: f64 = 34.0;
const LINE: f64 = 24.0;

pub fn draw(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
    let judged = row;
    if judged.head_budget.is_empty() {
        return Err(super::why_not(row, Measure::Flow));
    }
    let mut c = Canvas::new(embedding);
    let room = WIDTH - 2.0 * MARGIN;
    super::title(&mut c, super::Picture::Budget, row, embedding, room);
    let gives = match (judged.pump_head, judged.outcome(Measure::Flow)) {
        (Some(head), Outcome::Value(q)) => {
            format!(
                "the pump gives {} at {}; this takes it, in the order of the water",
                figures::head(head, units),
                figures::flow(q, units)
            )
        }
        _ => "what takes the pump's head, in the order of the water".to_owned(),
    };
    c.text(QUIET, (MARGIN, 57.0), TextAnchor::Left, &QUIET.fit(&gives, room));
    let sound = |x: f64| if x.is_finite() { x.max(0.0) } else { 0.0 };
    let total: f64 = judged.head_budget.iter().map(|p| sound(p.share)).sum();
    let most = judged.head_budget.iter().map(|p| sound(p.share)).fold(1e-9, f64::max);
    let mut x = MARGIN;
    for ((part, letter), i) in judged.head_budget.iter().zip('A'..).zip(0..) {
        let wide = room * sound(part.share) / total.max(1e-9);
        c.open(&format!("{}: {}", part.part, figures::head(part.m, units)));
        c.rect(tint(i), (x, 76.0), (wide, BAR), 0.0);
        c.close();
        if wide > 15.0 {
            c.rect("plate", (x + wide / 2.0 - 8.0, 76.0 + BAR / 2.0 - 9.0), (16.0, 18.0), 4.0);
            c.text(STRONG, (x + wide / 2.0, 76.0 + BAR / 2.0 + 4.5), TextAnchor::Middle, &letter.to_string());
        }
        x += wide;
    }
    let (name, head, share, bar) = (MARGIN + 48.0, MARGIN + 248.0, MARGIN + 302.0, MARGIN + 318.0);
    let mut y = 76.0 + BAR + 30.0;
    for ((part, letter), i) in judged.head_budget.iter().zip('A'..).zip(0..) {
        c.rect(tint(i), (MARGIN, y - 12.0), (18.0, 15.0), 0.0);
        c.text(STRONG, (MARGIN + 32.0, y), TextAnchor::Middle, &letter.to_string());
        c.text(PLAIN, (name, y), TextAnchor::Left, &PLAIN.fit(&part.part, head - name - 62.0));
        c.text(PLAIN, (head, y), TextAnchor::Right, &figures::head(part.m, units));
        c.text(QUIET, (share, y), TextAnchor::Right, &figures::share(part.share));
        c.rect(tint(i), (bar, y - 11.0), ((WIDTH - MARGIN - bar) * sound(part.share) / most, 13.0), 0.0);
        y += LINE;
    }
    let title = format!("{}: where the pump's head goes", row.title());
    Ok(c.finish((WIDTH, y + 4.0), &title, &sentences(&pictures::head_budget(judged, units)), embedding))
}

/// Neighbours differ in tint; the letters tell them apart where tints cannot be seen.
fn tint(i: usize) -> &'static str {
    match i % 4 {
        0 => "slab b-m2",
        1 => "slab b-m1",
        2 => "slab b-bio",
        _ => "slab b-other",
    }
}
