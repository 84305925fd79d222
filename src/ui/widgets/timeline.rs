//! Flow and bypass over the weeks, and what says "open it".

use super::super::paint::{Row, row};
use super::super::text;
use super::super::theme::Theme;
use super::plot::{Axis, Series, plot};
use crate::assess::assessment::Assessment;
use crate::report::figures::{self, Units};
use crate::report::wording::pictures::opens;

/// The picture for a width and height.
pub fn rows(judged: &Assessment, size: (usize, usize), units: Units, theme: Theme) -> Vec<Row> {
    let Some(line) = &judged.timeline else {
        return vec![row(
            "no timeline: nothing in it catches dirt by design, or the flow cannot be told",
            theme.text(),
        )];
    };
    let (w, h) = size;
    let mut words = text::wrap(&text::clean(&opens(&line.opens)), w);
    if line.points.first().is_some_and(|p| p.bypass > 0.5) {
        words.push("! most water passes it from the first day".to_owned());
    }
    words.extend(text::wrap(
        "filtered flow solid, flow dotted; bypass in a picture of its own where there is room",
        w,
    ));
    let end = line.points.iter().map(|p| p.day).filter(|d| d.is_finite()).fold(0.0, f64::max);
    let most = line.points.iter().map(|p| p.flow.max(p.worked)).filter(|q| q.is_finite()).fold(0.0, f64::max);
    let of = |part: fn(&crate::assess::assessment::TimePoint) -> f64| -> Vec<(f64, f64)> {
        line.points.iter().map(|p| (p.day, part(p))).collect()
    };
    let (flow, worked, bypass) = (of(|p| p.flow), of(|p| p.worked), of(|p| p.bypass));
    let upright = line.opens.day();
    let x = || Axis { end, label: figures::days(end.min(181.0)) };
    let room = h.saturating_sub(words.len()).clamp(6, 40);
    let lower = if room >= 10 { room / 3 } else { 0 };
    let mut out = plot(
        &[Series { points: &flow, dotted: true }, Series { points: &worked, dotted: false }],
        &[],
        upright,
        &x(),
        &Axis { end: most, label: figures::flow(most, units) },
        (w, room - lower),
        theme,
    );
    if lower > 0 {
        out.extend(plot(
            &[Series { points: &bypass, dotted: false }],
            &[],
            upright,
            &x(),
            &Axis { end: 1.0, label: text::right("100 %", text::width(&figures::flow(most, units))) },
            (w, lower),
            theme,
        ));
    }
    out.extend(words.into_iter().map(|l| row(l, theme.text())));
    out
}
