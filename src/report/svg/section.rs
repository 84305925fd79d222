//! The vessel cut open, to scale: layers hatched by role, the way of the water, and each place where water slips
//! past with its share, clean and at service.

mod above;
mod frame;
mod inside;
mod lid;

use super::MARGIN;
use super::canvas::{Embedding, QUIET, n};
use super::plot::{Wish, apart};
use crate::assess::{Assessment, Section};
use crate::measures::{Measure, Outcome};
use crate::model::Way;
use crate::place::Space;
use crate::report::figures::{self, Units};
use crate::report::wording::{pictures, sentences};
use crate::report::{Canvas, TextAnchor};
use frame::{Frame, LEFT, TOP, WALL};
use inside::Inside;

/// Narrower than this the heading and the legend have no room.
const NARROWEST: f64 = 560.0;

pub fn draw(row: &Assessment, units: Units, embedding: Embedding<'_>) -> String {
    let judged = row;
    let section = &judged.section;
    let frame = Frame::new(section);
    let width = frame.width.max(NARROWEST);
    let mut c = Canvas::new(embedding);
    let room = width - 2.0 * MARGIN;
    super::title(&mut c, super::Picture::Section, row, embedding, room);
    c.text(QUIET, (MARGIN, 57.0), TextAnchor::Left, &QUIET.fit(&summary(judged, units), room));

    lid::body(&mut c, &frame);
    let inside = Inside { frame: &frame, way: section.way, units };
    for slot in &frame.slots {
        inside.shapes(&mut c, slot);
    }
    for slot in &frame.slots {
        inside.grid(&mut c, slot);
    }
    lid::tube(&mut c, &frame, section);
    turns(&mut c, &frame, section.way);
    lid::lid(&mut c, &frame, section, judged, units);
    let mut callouts = Vec::new();
    for slot in &frame.slots {
        inside.words(&mut c, slot, &mut callouts);
    }
    heights(&mut c, &frame, section, units);
    inside::leaks(&mut c, &inside, &judged.leaks, &mut callouts);
    let column = inside::column(&mut c, &frame, &callouts);

    let below = if section.tube_mm.is_none() { lid::HOSE + 6.0 } else { 0.0 };
    let across = (MARGIN, width - MARGIN);
    let y = (frame.bottom + WALL + below).max(column) + 26.0;
    c.line("rule", (MARGIN, y), (width - MARGIN, y));
    let y = above::outlines(&mut c, section, units, across, y + 18.0);
    let slips = judged.leaks.iter().any(|l| l.share > 0.0);
    let y = above::legend(&mut c, section, slips, across, y + 20.0);
    let said = "Heights and widths to scale; lid, hoses, walls and gaps are drawn larger than they are.";
    let sizes = section.tube_assumed || section.trays.iter().any(|tray| tray.assumed);
    let dotted = if sizes { " Dotted: assumed." } else { "" };
    c.text(QUIET, (MARGIN, y + 25.0), TextAnchor::Left, &format!("{said}{dotted}"));
    let title = format!("{}: the vessel cut open", row.title());
    c.finish((width, y + 42.0), &title, &sentences(&pictures::section(judged, units)), embedding)
}

fn summary(judged: &Assessment, units: Units) -> String {
    let way = match judged.section.way {
        Way::Rising => "water rises through the trays",
        Way::Falling => "water falls through the trays",
    };
    let say = |m: Measure| figures::show_with_sign(m, judged.outcome(m), units);
    match (judged.outcome(Measure::FilteredFlow), judged.outcome(Measure::Flow)) {
        (Outcome::Value(_), Outcome::Value(_)) => format!(
            "{way} · {} flows, {} crosses the finest stage, {} slips past",
            say(Measure::Flow),
            say(Measure::FilteredFlow),
            say(Measure::Bypass)
        ),
        (Outcome::Missing(why), Outcome::Value(_)) => {
            format!("{way} · {} flows · {}", say(Measure::Flow), why.words())
        }
        (_, Outcome::Missing(why)) => format!("{way} · flow cannot be told: {}", why.words()),
        _ => way.to_owned(),
    }
}

/// Where the water turns: out of the tube into the floor, and from above the trays to the pump.
fn turns(c: &mut Canvas, f: &Frame<'_>, way: Way) {
    let (top, bottom) = f.head;
    let high = bottom - top;
    if high >= 14.0 {
        let long = (high - 5.0).min(30.0);
        let middle = f64::midpoint(top, bottom);
        let (a, b) = (middle - long / 2.0, middle + long / 2.0);
        let across = f.inside.1 - f.inside.0;
        match way {
            Way::Rising => {
                c.arrow("water", (f.pump, b), (f.pump, a), 2.6);
                c.arrow("water", (f.pump + across * 0.13, b), (f.pump + across * 0.1, a), 1.8);
                c.arrow("water", (f.pump - across * 0.13, b), (f.pump - across * 0.1, a), 1.8);
            }
            Way::Falling => {
                let x = f.middle + across * 0.18;
                c.arrow("water", (x, a), (x, b), 2.6);
                c.arrow("water", (x + across * 0.1, a), (x + across * 0.13, b), 1.8);
                c.arrow("water", (x - across * 0.1, a), (x - across * 0.13, b), 1.8);
            }
        }
    }
    let Some((a, b)) = f.tube else { return };
    let (x, end) = (f64::midpoint(a, b), f.tube_end());
    let low = f.bottom - 6.0;
    if low - end < 8.0 {
        return;
    }
    match way {
        Way::Rising => {
            c.thick(
                "a-water",
                &format!(
                    "M{x0} {e}Q{x0} {l} {x1} {l}",
                    x0 = n(x),
                    e = n(end - 3.0),
                    l = n(low - 3.0),
                    x1 = n(x + 18.0)
                ),
                2.4,
            );
            c.arrow("water", (x + 17.0, low - 3.0), (x + 34.0, low - 3.0), 2.4);
        }
        Way::Falling => {
            c.thick(
                "a-water",
                &format!(
                    "M{x1} {l}Q{x0} {l} {x0} {e}",
                    x0 = n(x),
                    e = n(end),
                    l = n(low - 3.0),
                    x1 = n(x + 30.0)
                ),
                2.4,
            );
        }
    }
}

fn heights(c: &mut Canvas, f: &Frame<'_>, section: &Section, units: Units) {
    let mut marks: Vec<(String, Option<f64>, (f64, f64))> =
        vec![("head space".to_owned(), section.head_mm, f.head)];
    for slot in &f.slots {
        let name = Space::of(slot.tray).to_string();
        marks.push((name, Some(slot.space.height_mm), slot.y));
    }
    let x = LEFT - 12.0;
    let wishes: Vec<Wish> =
        marks.iter().map(|(_, _, (a, b))| Wish { at: f64::midpoint(*a, *b), height: 31.0 }).collect();
    let middles = apart(&wishes, TOP + 20.0);
    for ((name, mm, (top, bottom)), middle) in marks.iter().zip(middles) {
        let (top, bottom) = (top + 1.0, bottom - 1.0);
        c.path("dim hair", &format!("M{} {}H{}V{}H{}", n(x + 5.0), n(top), n(x), n(bottom), n(x + 5.0)));
        let from = f64::midpoint(top, bottom);
        c.path("dim hair", &format!("M{} {}L{} {}", n(x), n(from), n(x - 5.0), n(middle)));
        let high = mm.map_or_else(|| "not given".to_owned(), |mm| figures::length(mm.round(), units));
        c.text(super::canvas::PLAIN, (x - 8.0, middle - 2.5), TextAnchor::Right, name);
        c.text(QUIET, (x - 8.0, middle + 11.5), TextAnchor::Right, &high);
    }
}
