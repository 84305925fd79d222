//! Pump and system curves.

use super::super::{Row, Theme, row, text};
use super::plot::{Axis, Over, Series, coincide, plot};
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::report::figures::{self, Units};
use crate::uncertainty::Band;

pub fn rows(judged: &Assessment, size: (usize, usize), units: Units, theme: Theme) -> Vec<Row> {
    let Some(picture) = &judged.curve else {
        return vec![row("no curve: the flow cannot be told", theme.text())];
    };
    let (w, h) = size;
    let band = judged.band(Measure::Flow);
    let at = |(q, m): (f64, f64)| format!("{} against {}", figures::flow(q, units), figures::head(m, units));
    let mut said = vec![format!("works at {} (O)", at(picture.works_at))];
    said.extend(picture.works_dirty_at.map(|works| format!("dirty {} (x)", at(works))));
    if let Some(Band { low, high, .. }) = band {
        let (low, high) = (figures::flow(low, units), figures::flow(high, units));
        said.push(format!("░ {low} to {high} in 9 of 10 cases"));
    }
    let mut words = text::wrap(&said.join("; "), w);
    let (per_flow, flow_unit) = figures::flow_unit(units);
    let (per_head, head_unit) = (figures::head_scale(units), if units == Units::Us { "ft" } else { "m" });
    let scaled = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
        points.iter().map(|(q, m)| (q * per_flow, m * per_head)).collect()
    };
    let (pump, clean, dirty) = (scaled(&picture.pump), scaled(&picture.clean), scaled(&picture.dirty));
    let greatest =
        |part: fn(&(f64, f64)) -> f64| pump.iter().map(part).filter(|v| v.is_finite()).fold(0.0, f64::max);
    let x = Axis { end: greatest(|p| p.0), name: format!("flow, {flow_unit}") };
    let y = Axis { end: greatest(|p| p.1), name: format!("lift, {head_unit},") };
    let lines = if coincide(&clean, &dirty, y.end) {
        "Falling: what the pump lifts. Rising: what hoses and vessel use up; clean and dirty coincide."
    } else {
        "Falling: what the pump lifts. Rising: what hoses and vessel use up, clean solid, dirty dotted."
    };
    words.extend(text::wrap(lines, w));
    let point = |(q, m): (f64, f64), sign| (q * per_flow, m * per_head, sign);
    // The clean point is drawn last, so that it shows where both are one.
    let mut marks: Vec<_> = picture.works_dirty_at.map(|works| point(works, 'x')).into_iter().collect();
    marks.push(point(picture.works_at, 'O'));
    let over =
        Over { marks: &marks, upright: None, band: band.map(|b| (b.low * per_flow, b.high * per_flow)) };
    let height = h.saturating_sub(words.len()).clamp(8, 30);
    let series = [
        Series { points: &pump, dotted: false },
        Series { points: &dirty, dotted: true },
        Series { points: &clean, dotted: false },
    ];
    let mut out = plot(&series, &over, (&x, &y), (w, height), theme);
    out.extend(words.into_iter().map(|l| row(l, theme.text())));
    out
}
