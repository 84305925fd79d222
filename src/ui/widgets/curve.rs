//! Pump and system curves.

use super::super::paint::{Row, row};
use super::super::text;
use super::super::theme::Theme;
use super::plot::{Axis, Series, plot};
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::report::figures::{self, Units};
use crate::uncertainty::summary::Band;
use std::fmt::Write as _;

/// The picture for a width and height.
pub fn rows(judged: &Assessment, size: (usize, usize), units: Units, theme: Theme) -> Vec<Row> {
    let Some(picture) = &judged.curve else {
        return vec![row("no curve: the flow cannot be told", theme.text())];
    };
    let (w, h) = size;
    let band = judged.band(Measure::Flow);
    let mut said = format!(
        "works at {} against {} (O)",
        figures::flow(picture.works_at.0, units),
        figures::head(picture.works_at.1, units)
    );
    if let Some((q, m)) = picture.works_dirty_at {
        let _ =
            write!(said, ", at service {} against {} (x)", figures::flow(q, units), figures::head(m, units));
    }
    if let Some(Band { low, high, .. }) = band {
        let (low, high) = (figures::flow(low, units), figures::flow(high, units));
        let _ = write!(said, "; from {low} to {high} in 9 of 10 draws (├ ┤)");
    }
    let mut words = text::wrap(&said, w);
    words.extend(text::wrap(
        "The pump's curve falls; what hoses and vessel take rises: clean solid, at service dotted.",
        w,
    ));
    let greatest = |points: &[(f64, f64)], part: fn(&(f64, f64)) -> f64| {
        points.iter().map(part).filter(|v| v.is_finite()).fold(0.0, f64::max)
    };
    let x_end = greatest(&picture.pump, |p| p.0);
    let y_end = greatest(&picture.pump, |p| p.1);
    let mut marks = vec![(picture.works_at.0, picture.works_at.1, 'O')];
    if let Some(Band { low, high, .. }) = band {
        // The point slides along the pump's curve; the ends stand at its own height, to be read against it.
        marks.insert(0, (low, picture.works_at.1, '├'));
        marks.insert(1, (high.min(x_end), picture.works_at.1, '┤'));
    }
    // The clean point is drawn last, so that it shows where both are one.
    if let Some((q, m)) = picture.works_dirty_at {
        marks.insert(marks.len() - 1, (q, m, 'x'));
    }
    let height = h.saturating_sub(words.len()).clamp(6, 30);
    let mut out = plot(
        &[
            Series { points: &picture.pump, dotted: false },
            Series { points: &picture.dirty, dotted: true },
            Series { points: &picture.clean, dotted: false },
        ],
        &marks,
        None,
        &Axis { end: x_end, label: figures::flow(x_end, units) },
        &Axis { end: y_end, label: figures::head(y_end, units) },
        (w, height),
        theme,
    );
    out.extend(words.into_iter().map(|l| row(l, theme.text())));
    out
}
