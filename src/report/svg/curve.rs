//! Pump against system: what the pump gives, what hoses and vessel take, clean and at service, and where they meet.

use super::canvas::{Canvas, Embedding, QUIET, TextAnchor};
use super::plot::{Axis, KEY, Panel, dot, key, round_step, say_by_step};
use super::{MARGIN, WIDTH};
use crate::assess::Assessment;
use crate::measures::Measure;
use crate::report::figures::{self, Units};
use crate::report::wording::{self, pictures, sentences};

pub fn draw(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
    let Some(curve) = &row.curve else {
        return Err(super::why_not(row, Measure::Flow));
    };
    let mut c = Canvas::new(embedding);
    super::title(&mut c, super::Picture::Curve, row, embedding, WIDTH - 2.0 * MARGIN);
    c.text(
        QUIET,
        (MARGIN, 57.0),
        TextAnchor::Left,
        "what the pump gives, and what hoses, fittings and vessel take",
    );

    let flow = figures::flow_unit(units);
    let head = (figures::head_scale(units), if units == Units::Us { "ft" } else { "m" });
    let far = curve.pump.iter().map(|p| p.0).filter(|x| x.is_finite()).fold(0.0, f64::max);
    let high = curve.pump.iter().map(|p| p.1).filter(|x| x.is_finite()).fold(0.0, f64::max);
    let scaled = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
        points.iter().map(|(q, h)| (q * flow.0, h * head.0)).collect()
    };
    let one = |(q, h): (f64, f64)| (q * flow.0, h * head.0);
    let panel = Panel {
        x: (MARGIN + 44.0, WIDTH - MARGIN - KEY - 24.0),
        y: (100.0, 370.0),
        x_end: (far * flow.0 * 1.02).max(1e-9),
        y_end: (high * head.0 * 1.06).max(1e-9),
    };
    let steps = (round_step(panel.x_end, 6.0), round_step(panel.y_end, 6.0));
    panel.axes(
        &mut c,
        Some(&Axis::by(&format!("flow, {}", flow.1), &say_by_step(steps.0), steps.0)),
        &Axis::by(&format!("head, {} of water", head.1), &say_by_step(steps.1), steps.1),
    );
    let band = row.band(Measure::Flow);
    if let Some(band) = band {
        panel.band(&mut c, "f-water", (band.low * flow.0, band.high * flow.0));
    }
    panel.line(&mut c, "curve c-water", &scaled(&curve.clean));
    panel.line(&mut c, "curve c-slips late", &scaled(&curve.dirty));
    panel.line(&mut c, "curve c-ink", &scaled(&curve.pump));
    let (x, mut y) = (panel.x.1 + 24.0, panel.y.0 + 4.0);
    let said = |at: (f64, f64)| format!("{} at {}", figures::flow(at.0, units), figures::head(at.1, units));
    y = key(&mut c, "curve c-ink", (x, y), &["pump", "what it gives at each flow"]);
    y = key(&mut c, "curve c-water", (x, y + 6.0), &["system, clean", "what must be overcome"]);
    if !curve.dirty.is_empty() {
        y = key(&mut c, "curve c-slips late", (x, y + 6.0), &["system, dirty"]);
    }
    let (px, py) = panel.at(one(curve.works_at));
    c.line("hair dash c-water", (px, py), (px, panel.y.1));
    c.line("hair dash c-water", (panel.x.0, py), (px, py));
    if let Some(at) = curve.works_dirty_at {
        let (px, py) = panel.at(one(at));
        c.circle("wall2 c-slips", (px, py), 8.0);
    }
    c.circle("s-water", (px, py), 5.0);
    y = dot(&mut c, "s-water", (x, y + 12.0), &["works here, clean", &said(curve.works_at)]);
    if let Some(at) = curve.works_dirty_at {
        y = dot(&mut c, "wall2 c-slips", (x, y + 6.0), &["works here when dirty", &said(at)]);
    }
    if let Some(band) = band {
        c.rect("f-water", (x, y), (26.0, 14.0), 0.0);
        let spread = wording::spread(&figures::flow(band.low, units), &figures::flow(band.high, units));
        y = key(&mut c, "rule", (x, y + 7.0), &["uncertainty of the flow", &spread]);
    }
    let title = format!("{}: pump and system curves", row.title());
    let bottom = (panel.y.1 + 52.0).max(y + 8.0);
    Ok(c.finish((WIDTH, bottom), &title, &sentences(&pictures::curve(curve, units)), embedding))
}
