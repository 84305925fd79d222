//! Lid, hoses, pump, lamp and the walls of the vessel.

use std::f64::consts::TAU;

use super::super::canvas::{PLAIN, QUIET, WATER, n};
use super::frame::{Frame, LID, TOP, WALL};
use super::inside::wall;
use crate::assess::{Assessment, Section};
use crate::measures::{Measure, Outcome};
use crate::model::Way;
use crate::report::figures::{self, Units};
use crate::report::{Canvas, TextAnchor};

/// Length of a hose above the lid or below the bottom.
pub const HOSE: f64 = 40.0;
const HOSE_WIDE: f64 = 22.0;
const PUMP: f64 = 20.0;

pub fn body(c: &mut Canvas, f: &Frame<'_>) {
    let (left, right) = f.inside;
    let half = WALL / 2.0;
    c.rect("pool", (left, f.head.0), (right - left, f.bottom - f.head.0), 6.0);
    c.path(
        "wall",
        &format!(
            "M{l} {t}V{b}Q{l} {bb} {ll} {bb}H{rr}Q{r} {bb} {r} {b}V{t}",
            l = n(left - half),
            r = n(right + half),
            t = n(TOP + LID),
            b = n(f.bottom - 8.0),
            bb = n(f.bottom + half),
            ll = n(left + 8.0),
            rr = n(right - 8.0),
        ),
    );
}

pub fn tube(c: &mut Canvas, f: &Frame<'_>, section: &Section) {
    let Some((a, b)) = f.tube else { return };
    let way = section.way;
    let (top, end) = (f.head.0, f.tube_end());
    c.open(match way {
        Way::Rising => "down pipe: the water goes down to the floor",
        Way::Falling => "tube: the water is drawn up to the pump",
    });
    c.rect("void", (a - 2.0, top), (b - a + 4.0, end - top), 0.0);
    c.rect("pool", (a, top), (b - a, end - top), 0.0);
    for side in [a - 1.2, b + 1.2] {
        c.line(wall(section.tube_assumed), (side, top), (side, end));
    }
    let x = f64::midpoint(a, b);
    let steps = ((end - top) / 110.0).round().max(1.0);
    let step = (end - top) / steps;
    for i in 0..steps as usize {
        let y = top + step * (i as f64 + 0.5);
        let (from, to) = (y - 15.0, y + 15.0);
        match way {
            Way::Rising => c.arrow("water", (x, from), (x, to), 2.6),
            Way::Falling => c.arrow("water", (x, to), (x, from), 2.6),
        }
    }
    c.close();
}

/// The lid with pump and lamp, and the hoses with what goes through them.
pub fn lid(c: &mut Canvas, f: &Frame<'_>, section: &Section, judged: &Assessment, units: Units) {
    let (left, right) = (f.inside.0 - WALL, f.inside.1 + WALL);
    let below = section.tube_mm.is_none();
    let tube = f.tube.map(|(a, b)| f64::midpoint(a, b));
    let flow = match judged.outcome(Measure::Flow) {
        Outcome::Value(q) => format!("{} out", figures::flow(q, units)),
        _ => "out".to_owned(),
    };
    let (inlet, outlet) = match section.way {
        Way::Rising => (tube, Some(f.pump)),
        Way::Falling => (Some(f.middle + (right - left) * 0.18), tube.map(|_| f.pump)),
    };
    for (x, said, inward) in [(inlet, "in".to_owned(), true), (outlet, flow.clone(), false)] {
        let Some(x) = x else { continue };
        hose(c, x, TOP - HOSE, HOSE, inward);
        c.text(WATER, (x + HOSE_WIDE / 2.0 + 8.0, TOP - HOSE / 2.0 + 3.0), TextAnchor::Left, &said);
    }
    c.rect("part", (left - 5.0, TOP), (right - left + 10.0, LID), 9.0);
    c.line("edge", (left - 5.0, TOP + LID - 9.0), (right + 5.0, TOP + LID - 9.0));
    let mid = TOP + (LID - 9.0) / 2.0;
    let mut free_from = left + 14.0;
    if below && section.way == Way::Falling {
        pump_below(c, f, &flow);
    } else {
        pump(c, (f.pump, mid));
        let room = right - f.pump - PUMP - 12.0;
        if room > PLAIN.width("pump") {
            c.text(PLAIN, (f.pump + PUMP + 8.0, mid + 4.0), TextAnchor::Left, "pump");
        }
        if f.pump < f.middle {
            free_from = f.pump + PUMP + 20.0 + PLAIN.width("pump");
        }
    }
    if below && section.way == Way::Rising {
        let x = f.middle - 40.0;
        hose(c, x, f.bottom + WALL, HOSE, false);
        c.text(
            WATER,
            (x + HOSE_WIDE / 2.0 + 8.0, f.bottom + WALL + HOSE / 2.0 + 4.0),
            TextAnchor::Left,
            "in from below",
        );
    }
    // No tube tells the inlet's place in the lid, so the lamp stands clear of the pump.
    let free_to = if f.pump < f.middle { right - 14.0 } else { f.pump - PUMP - 12.0 };
    if section.uv && free_to - free_from > 70.0 {
        lamp(c, free_from, free_to.min(free_from + 150.0), mid);
    }
}

fn hose(c: &mut Canvas, x: f64, top: f64, long: f64, down: bool) {
    let half = HOSE_WIDE / 2.0;
    c.rect("pool", (x - half, top), (HOSE_WIDE, long), 0.0);
    c.line("wall2 c-ink", (x - half, top), (x - half, top + long));
    c.line("wall2 c-ink", (x + half, top), (x + half, top + long));
    let (a, b) = (top + 5.0, top + long - 4.0);
    if down { c.arrow("water", (x, a), (x, b), 3.0) } else { c.arrow("water", (x, b), (x, a), 3.0) }
}

fn pump(c: &mut Canvas, (x, y): (f64, f64)) {
    c.open("pump");
    c.circle("part void", (x, y), PUMP);
    for i in 0..6 {
        let a = TAU * f64::from(i) / 6.0;
        let at = |r: f64, turn: f64| (x + r * (a + turn).cos(), y + r * (a + turn).sin());
        let ((x0, y0), (x1, y1), (x2, y2)) = (at(4.0, 0.0), at(10.0, 0.15), at(15.5, 0.7));
        c.thick("c-water", &format!("M{} {}Q{} {} {} {}", n(x0), n(y0), n(x1), n(y1), n(x2), n(y2)), 2.2);
    }
    c.circle("s-ink", (x, y), 3.6);
    c.close();
}

/// Falling water that leaves below takes the pump along.
fn pump_below(c: &mut Canvas, f: &Frame<'_>, flow: &str) {
    let x = f.middle - 40.0;
    let top = f.bottom + WALL;
    hose(c, x, top, HOSE, true);
    c.text(
        WATER,
        (x + HOSE_WIDE / 2.0 + 8.0, top + HOSE / 2.0 + 4.0),
        TextAnchor::Left,
        &format!("{flow}, below, to the pump"),
    );
}

fn lamp(c: &mut Canvas, from: f64, to: f64, y: f64) {
    c.open("UV-C lamp in its chamber");
    c.rect("part void", (from, y - 14.0), (to - from, 28.0), 14.0);
    let word = "UV-C";
    let text = QUIET.width(word);
    let glass = to - from - text - 34.0;
    if glass > 16.0 {
        let start = from + 12.0;
        c.rect("shape", (start, y - 5.0), (glass, 10.0), 5.0);
        let rays = (glass / 12.0) as usize;
        for i in 0..rays {
            let x = start + glass * (i as f64 + 0.5) / rays as f64;
            c.line("hair c-quiet", (x, y - 7.5), (x, y - 11.0));
            c.line("hair c-quiet", (x, y + 7.5), (x, y + 11.0));
        }
    }
    c.text(QUIET, (to - 12.0, y + 4.0), TextAnchor::Right, word);
    c.close();
}
