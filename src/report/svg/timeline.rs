//! Flow, filtered flow and bypass over the weeks, with the day on which it should be opened and why.

use super::canvas::{Canvas, Embedding, QUIET, STRONG, TextAnchor};
use super::plot::{Axis, KEY, Panel, key, round_step, say_by_step, since};
use super::{MARGIN, WIDTH};
use crate::assess::Assessment;
use crate::assess::assessment::{Opens, TimePoint};
use crate::assumptions::A;
use crate::measures::Measure;
use crate::report::figures::{self, Units};
use crate::report::wording::{self, pictures, sentences};

pub fn draw(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
    let Some(line) = row.timeline.as_ref().filter(|t| !t.points.is_empty()) else {
        return Err(super::why_not(row, Measure::OpeningInterval));
    };
    let mut c = Canvas::new(embedding);
    let room = WIDTH - 2.0 * MARGIN;
    super::title(&mut c, super::Picture::Timeline, row, embedding, room);
    for (said, y) in super::text_metrics::wrap(&sentences(&[pictures::opens(&line.opens)]), room, QUIET.size)
        .iter()
        .zip([57.0, 73.0])
    {
        c.text(QUIET, (MARGIN, y), TextAnchor::Left, said);
    }

    let flow = figures::flow_unit(units);
    let sound =
        |of: fn(&TimePoint) -> f64| line.points.iter().map(of).filter(|x| x.is_finite()).fold(0.0, f64::max);
    let end = sound(|p| p.day).max(line.opens.day().filter(|d| d.is_finite()).unwrap_or(0.0)).max(0.25);
    let most = sound(|p| p.flow).max(sound(|p| p.worked)) * flow.0;
    let across = (MARGIN + 44.0, WIDTH - MARGIN - KEY - 24.0);
    let upper = Panel { x: across, y: (130.0, 296.0), x_end: end, y_end: (most * 1.08).max(1e-9) };
    let lower = Panel { x: across, y: (348.0, 424.0), x_end: end, y_end: 1.0 };
    let of = |part: fn(&TimePoint) -> f64, scale: f64| -> Vec<(f64, f64)> {
        line.points.iter().map(|p| (p.day, part(p) * scale)).collect()
    };
    let step = round_step(upper.y_end, 6.0);
    upper.axes(&mut c, None, &Axis::by(&format!("flow, {}", flow.1), &say_by_step(step), step));
    let share = Axis { few: true, ..Axis::by("bypass, share of the water", &figures::share, 0.5) };
    since("cleaned", end, |time| lower.axes(&mut c, Some(time), &share));
    let band = row.band(Measure::OpeningInterval).filter(|b| b.low < end);
    let worked = of(|p| p.worked, flow.0);
    upper.ground(&mut c, "f-water", &worked);
    upper.line(&mut c, "curve c-quiet late", &of(|p| p.flow, flow.0));
    upper.line(&mut c, "curve c-water", &worked);
    if let Some(band) = band {
        let ((from, _), (to, _)) = (lower.at((band.low, 0.0)), lower.at((band.high, 0.0)));
        whisker(&mut c, (from, to), upper.y.1 + 13.0, band.high > end);
    }
    lower.ground(&mut c, "f-slips", &of(|p| p.bypass, 1.0));
    lower.line(&mut c, "hair dash c-quiet", &[(0.0, A::RiskyBypass.value()), (end, A::RiskyBypass.value())]);
    lower.line(&mut c, "curve c-slips", &of(|p| p.bypass, 1.0));
    if let Opens::On { day, why } = line.opens
        && day.is_finite()
    {
        for panel in [&upper, &lower] {
            panel.upright(&mut c, "wall2 c-ink", day);
        }
        let said = format!("open after {}: {}", figures::days(day), pictures::opened_by(why));
        let wide = STRONG.width(&said);
        let (x, _) = upper.at((day, 0.0));
        // Above the axis' name, held so that it stays on the sheet.
        let x = (x - wide / 2.0).min(WIDTH - MARGIN - wide).max(MARGIN);
        c.text(STRONG, (x, upper.y.0 - 29.0), TextAnchor::Left, &STRONG.fit(&said, WIDTH - 2.0 * MARGIN));
    }
    let (x, mut y) = (across.1 + 24.0, upper.y.0 + 4.0);
    y = key(&mut c, "curve c-water", (x, y), &["filtered flow", "crosses the finest mechanical stage"]);
    y = key(&mut c, "curve c-quiet late", (x, y + 6.0), &["flow back to the tank"]);
    if let Some(band) = band {
        y += 6.0;
        whisker(&mut c, (x, x + 26.0), y, false);
        let spread = wording::spread(&figures::days(band.low), &figures::days(band.high));
        y = key(&mut c, "curve c-ink", (x, y), &["uncertainty of the day to open it", &spread]);
    }
    let y = key(&mut c, "curve c-slips", (x, (y + 6.0).max(lower.y.0 + 4.0)), &["bypass"]);
    let y = key(
        &mut c,
        "hair dash c-quiet",
        (x, y + 4.0),
        &[&format!("{}, from where it is a risk", figures::share(A::RiskyBypass.value()))],
    );
    let title = format!("{}: flow and bypass over time", row.title());
    Ok(c.finish(
        (WIDTH, (lower.y.1 + 52.0).max(y + 8.0)),
        &title,
        &sentences(&pictures::weeks(line, units)),
        embedding,
    ))
}

/// From where to where a day may lie; an arrow where it goes on beyond the panel.
fn whisker(c: &mut Canvas, (from, to): (f64, f64), y: f64, beyond: bool) {
    c.line("curve c-ink", (from, y), (to, y));
    c.line("curve c-ink", (from, y - 4.0), (from, y + 4.0));
    if beyond {
        c.polyline("s-ink", &[(to + 7.0, y), (to - 2.0, y - 5.0), (to - 2.0, y + 5.0)], true);
    } else {
        c.line("curve c-ink", (to, y - 4.0), (to, y + 4.0));
    }
}
