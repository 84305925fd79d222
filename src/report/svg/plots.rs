//! The pictures with lines: the weeks until it should be opened and why, where the head goes, pump against system, and a log.

use super::canvas::{Embedding, PLAIN, QUIET, STRONG};
use super::plot::{Axis, KEY, Panel, dot, key, round_step, say_by_step, since};
use super::{MARGIN, WIDTH};
use crate::assess::assessment::Opens;
use crate::assess::{Assessment, TimePoint};
use crate::assumptions::A;
use crate::learn::picture::Picture;
use crate::measures::{Measure, Outcome};
use crate::report::figures::{self, Units};
use crate::report::wording::{self, pictures, sentences};
use crate::report::{Canvas, TextAnchor, log};
use crate::units::litres_an_hour;

pub fn timeline(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
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

const BAR: f64 = 34.0;
const LINE: f64 = 24.0;

pub fn budget(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
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

pub fn curve(row: &Assessment, units: Units, embedding: Embedding<'_>) -> Result<String, &'static str> {
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

/// Errors that a bar shows, so that 9 of 10 lie within.
const WHISKER: f64 = 1.645;

pub fn log(row: &Assessment, picture: &Picture, units: Units, embedding: Embedding<'_>) -> String {
    let mut c = Canvas::new(embedding);
    let room = WIDTH - 2.0 * MARGIN;
    super::title(&mut c, super::Picture::Log, row, embedding, room);
    let said: Vec<String> = row.told().map_or_else(Vec::new, |told| log::sentences(told, units));
    let mut y = 57.0;
    for line in said.iter().flat_map(|said| super::text_metrics::wrap(said, room, QUIET.size)).take(6) {
        c.text(QUIET, (MARGIN, y), TextAnchor::Left, &line);
        y += 16.0;
    }
    let flow = figures::flow_unit(units);
    let shown = |q: f64| litres_an_hour(q) * flow.0;
    let bands = || picture.model.iter().chain(&picture.corrected).map(|band| band.high);
    let most = bands().chain(picture.points.iter().map(|p| p.flow + WHISKER * p.error)).fold(0.0, f64::max);
    let end = picture.days.last().copied().unwrap_or(1.0).max(0.25);
    let top = y + 34.0;
    let across = (MARGIN + 44.0, WIDTH - MARGIN - KEY - 24.0);
    let panel = Panel { x: across, y: (top, top + 210.0), x_end: end, y_end: (shown(most) * 1.08).max(1e-9) };
    let step = round_step(panel.y_end, 6.0);
    since("packed", end, |time| {
        panel.axes(&mut c, Some(time), &Axis::by(&format!("flow, {}", flow.1), &say_by_step(step), step));
    });
    let edge = |bands: &[crate::uncertainty::summary::Band],
                of: fn(&crate::uncertainty::summary::Band) -> f64| {
        let points = picture.days.iter().zip(bands).map(|(day, band)| (*day, shown(of(band))));
        points.collect::<Vec<(f64, f64)>>()
    };
    // The model's band is hatched by uprights, so that the corrected one on it stays plain.
    for (day, band) in picture.days.iter().zip(&picture.model) {
        let (from, to) = (panel.at((*day, shown(band.low))), panel.at((*day, shown(band.high))));
        c.line("hair c-quiet", from, to);
    }
    panel.line(&mut c, "hair dash c-quiet", &edge(&picture.model, |b| b.low));
    panel.line(&mut c, "hair dash c-quiet", &edge(&picture.model, |b| b.high));
    if !picture.corrected.is_empty() {
        let mut outline = panel.cut(&edge(&picture.corrected, |b| b.high));
        outline.extend(panel.cut(&edge(&picture.corrected, |b| b.low)).into_iter().rev());
        c.polyline("f-water", &outline, true);
        panel.line(&mut c, "curve c-water", &edge(&picture.corrected, |b| b.median));
    }
    for day in &picture.openings {
        panel.upright(&mut c, "hair dash c-ink", *day);
    }
    if let Some(today) = picture.today {
        panel.upright(&mut c, "wall2 c-ink", today);
        let (x, _) = panel.at((today, 0.0));
        c.text(STRONG, (x.min(across.1 - 20.0), panel.y.0 - 6.0), TextAnchor::Middle, "today");
    }
    for point in &picture.points {
        let (x, y) = panel.at((point.day, shown(point.flow)));
        let ends =
            [-WHISKER, WHISKER].map(|by| panel.at((point.day, shown(point.flow + by * point.error))).1);
        c.line("curve c-ink", (x, ends[0]), (x, ends[1]));
        if point.held {
            c.circle("curve c-ink", (x, y), 5.0);
            c.line("curve c-ink", (x - 6.0, y - 6.0), (x + 6.0, y + 6.0));
            c.line("curve c-ink", (x - 6.0, y + 6.0), (x + 6.0, y - 6.0));
        } else {
            c.circle("s-ink", (x, y), 4.0);
        }
    }
    let (x, mut y) = (across.1 + 24.0, panel.y.0 + 4.0);
    y = key(&mut c, "hair dash c-quiet", (x, y), &["the model, 9 of 10 cases"]);
    if !picture.corrected.is_empty() {
        y = key(&mut c, "curve c-water", (x, y + 6.0), &["corrected by the log", "9 of 10 cases"]);
    }
    y = dot(&mut c, "s-ink", (x, y + 6.0), &["your bucket"]);
    if picture.points.iter().any(|point| point.held) {
        y = dot(&mut c, "curve c-ink", (x, y + 6.0), &["held out: crossed"]);
    }
    if !picture.openings.is_empty() {
        y = key(&mut c, "hair dash c-ink", (x, y + 6.0), &["opened"]);
    }
    let title = format!("{}: the model against the log", row.title());
    c.finish((WIDTH, (panel.y.1 + 52.0).max(y + 8.0)), &title, &said.join(" "), embedding)
}
