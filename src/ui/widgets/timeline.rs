//! Flow and bypass over the weeks, and what says "open it".

use std::fmt::Write as _;

use super::super::{Row, Theme, row, text};
use super::plot::{Axis, Over, Series, coincide, plot};
use crate::assess::{Assessment, TimePoint};
use crate::measures::Measure;
use crate::report::figures::{self, Units};
use crate::report::wording::pictures::opens;

/// Days from which time is told in weeks.
const WEEKS: f64 = 28.0;

pub fn rows(judged: &Assessment, size: (usize, usize), units: Units, theme: Theme) -> Vec<Row> {
    let Some(line) = &judged.timeline else {
        let said = "no timeline: nothing in it catches dirt by design, or the flow cannot be told";
        return text::wrap(said, size.0).into_iter().map(|l| row(l, theme.text())).collect();
    };
    let (w, h) = size;
    let end = line.points.iter().map(|p| p.day).filter(|d| d.is_finite()).fold(0.0, f64::max);
    let (per_day, unit) = if end >= WEEKS { (1.0 / 7.0, "weeks") } else { (1.0, "days") };
    let (per_flow, flow_unit) = figures::flow_unit(units);
    let of = |part: fn(&TimePoint) -> f64, scale: f64| -> Vec<(f64, f64)> {
        line.points.iter().map(|p| (p.day * per_day, part(p) * scale)).collect()
    };
    let (flow, filtered) = (of(|p| p.flow, per_flow), of(|p| p.worked, per_flow));
    let bypass = of(|p| p.bypass, 100.0);
    let most = flow.iter().chain(&filtered).map(|p| p.1).filter(|q| q.is_finite()).fold(0.0, f64::max);
    let band = judged.band(Measure::OpeningInterval);
    let mut said = opens(&line.opens);
    if let Some(band) = band {
        let _ =
            write!(said, "; ░ {} to {} in 9 of 10 cases", figures::days(band.low), figures::days(band.high));
    }
    let mut words = text::wrap(&text::clean(&said), w);
    if line.points.first().is_some_and(|p| p.bypass > 0.5) {
        words.push("! most water passes it from the first day".to_owned());
    }
    let lines = if coincide(&flow, &filtered, most) {
        "flow and filtered flow coincide"
    } else {
        "filtered flow solid, flow dotted"
    };
    words.extend(text::wrap(lines, w));
    let over = || Over {
        marks: &[],
        upright: line.opens.day().map(|day| day * per_day),
        band: band.map(|b| (b.low * per_day, b.high * per_day)),
    };
    let x = Axis { end: end * per_day, name: unit.to_owned() };
    let room = h.saturating_sub(words.len()).clamp(8, 40);
    let lower = if room >= 16 { (room / 3).max(7) } else { 0 };
    let flows = [Series { points: &flow, dotted: true }, Series { points: &filtered, dotted: false }];
    let y = Axis { end: most, name: format!("flow, {flow_unit},") };
    let mut out = plot(&flows, &over(), (&x, &y), (w, room - lower), theme);
    if lower > 0 {
        let y = Axis { end: 100.0, name: "bypass, %,".to_owned() };
        out.extend(plot(&[Series { points: &bypass, dotted: false }], &over(), (&x, &y), (w, lower), theme));
    }
    out.extend(words.into_iter().map(|l| row(l, theme.text())));
    out
}
