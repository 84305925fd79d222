//! Flow over the days of a log: what the model expected, what was read, and what is believed now.

use super::canvas::{Canvas, Embedding, STRONG, TextAnchor};
use super::plot::{Axis, KEY, Panel, dot, key, round_step, say_by_step, since};
use super::{MARGIN, WIDTH};
use crate::assess::Assessment;
use crate::learn::picture::Picture;
use crate::report::figures::{self, Units};
use crate::report::log;
use crate::units::litres_an_hour;

/// Errors that a bar shows, so that 9 of 10 lie within.
const BAR: f64 = 1.645;

pub fn draw(row: &Assessment, picture: &Picture, units: Units, embedding: Embedding<'_>) -> String {
    let mut c = Canvas::new(embedding);
    let room = WIDTH - 2.0 * MARGIN;
    super::title(&mut c, super::Picture::Log, row, embedding, room);
    let said: Vec<String> = row.told().map_or_else(Vec::new, |told| log::sentences(told, units));
    let mut y = 57.0;
    for line in
        said.iter().flat_map(|said| super::text_metrics::wrap(said, room, super::canvas::QUIET.size)).take(6)
    {
        c.text(super::canvas::QUIET, (MARGIN, y), TextAnchor::Left, &line);
        y += 16.0;
    }
    let flow = figures::flow_unit(units);
    let shown = |q: f64| litres_an_hour(q) * flow.0;
    let bands = || picture.model.iter().chain(&picture.corrected).map(|band| band.high);
    let most = bands().chain(picture.points.iter().map(|p| p.flow + BAR * p.error)).fold(0.0, f64::max);
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
        let ends = [-BAR, BAR].map(|by| panel.at((point.day, shown(point.flow + by * point.error))).1);
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
