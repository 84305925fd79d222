//! Under the vessel: outlines seen from above with the share of their box, and what the hatches mean.

use super::super::canvas::{PLAIN, QUIET, STRONG};
use crate::assess::Section;
use crate::assess::assessment::Space;
use crate::model::Role;
use crate::report::figures::{self, Units};
use crate::report::{Canvas, TextAnchor};

/// Longest side of an outline on the sheet, px.
const SIZE: f64 = 84.0;
const BLOCK: f64 = 216.0;

/// Outlines that differ, each with the places that have it; gives where they end.
pub fn outlines(c: &mut Canvas, section: &Section, units: Units, (left, right): (f64, f64), top: f64) -> f64 {
    let mut found: Vec<(String, &Space)> = Vec::new();
    let trays: Vec<&Space> = section.trays.iter().collect();
    let mut from = 0;
    while let Some(first) = trays.get(from) {
        let alike = trays.iter().skip(from).take_while(|t| same(t, first)).count().max(1);
        let name = match (alike, trays.len()) {
            (1, 1) => "the tray".to_owned(),
            (1, _) => format!("tray {}", from + 1),
            _ => format!("trays {} to {}", from + 1, from + alike),
        };
        found.push((name, first));
        from += alike;
    }
    if let Some(floor) = &section.floor {
        match found.iter_mut().find(|(_, s)| same(s, floor)) {
            Some((name, _)) => name.push_str(" and floor"),
            None => found.push(("floor".to_owned(), floor)),
        }
    }
    let largest = found
        .iter()
        .filter_map(|(_, s)| s.box_mm)
        .flat_map(|(w, d)| [w, d])
        .filter(|x| x.is_finite())
        .fold(1.0, f64::max);
    c.text(QUIET, (left, top + 8.0), TextAnchor::Left, "Outlines seen from above, each in its box");
    let top = top + 24.0;
    let (mut x, mut y) = (left, top);
    let mut end = top;
    for (name, space) in found {
        if x > left && x + BLOCK > right {
            x = left;
            y = end + 14.0;
        }
        let high = outline(c, &name, space, (x, y), SIZE / largest, units, right);
        end = end.max(y + high);
        x += BLOCK + 16.0;
    }
    end
}

fn same(a: &Space, b: &Space) -> bool {
    a.outline == b.outline && a.box_mm == b.box_mm && a.from_above == b.from_above
}

fn outline(
    c: &mut Canvas,
    name: &str,
    space: &Space,
    (x, y): (f64, f64),
    scale: f64,
    units: Units,
    right: f64,
) -> f64 {
    let drawn = space.box_mm.filter(|_| space.from_above.len() >= 3).map(|(w, d)| (w * scale, d * scale));
    if let Some((w, d)) = drawn {
        c.rect("rule dash c-quiet void", (x, y), (w, d), 0.0);
        let points: Vec<(f64, f64)> = space.from_above.iter().map(|(u, v)| (x + u * w, y + v * d)).collect();
        c.polyline("shape", &points, true);
    }
    let text = x + drawn.map_or(0.0, |(w, _)| w + 12.0);
    let room = (x + BLOCK).min(right) - text;
    let size = space.box_mm.map(|(w, d)| {
        let (wide, deep) = (figures::length(w.round(), units), figures::length(d.round(), units));
        format!("{} × {deep}", wide.split(' ').next().unwrap_or(&wide))
    });
    let fills = space.fills_box.map_or_else(
        || "its box is not known".to_owned(),
        |share| format!("fills {} of its box", figures::share(share)),
    );
    let mut at = y + 12.0;
    for (look, said) in [
        (STRONG, name.to_owned()),
        (PLAIN, space.outline.to_owned()),
        (QUIET, size.unwrap_or_default()),
        (QUIET, fills),
    ] {
        if said.is_empty() {
            continue;
        }
        c.text(look, (text, at), TextAnchor::Left, &look.fit(&said, room));
        at += look.line() + 1.0;
    }
    drawn.map_or(0.0, |(_, d)| d).max(at - y - 12.0)
}

/// What each hatch in use means; gives where it ends.
pub fn legend(c: &mut Canvas, section: &Section, slips: bool, (left, right): (f64, f64), top: f64) -> f64 {
    let layers = || section.trays.iter().chain(section.floor.iter()).flat_map(|s| &s.layers);
    let (mut x, mut y) = (left, top);
    let mut room_for = |wide: f64, x: &mut f64| {
        if *x > left && *x + wide > right {
            *x = left;
            y += 26.0;
        }
        let at = (*x, y);
        *x += wide + 18.0;
        at
    };
    for role in Role::ALL.into_iter().filter(|role| layers().any(|l| l.role == *role)) {
        let word = format!("{}  {}", role.letter(), role.called());
        let at = room_for(36.0 + PLAIN.width(&word), &mut x);
        c.hatched(role, at, (28.0, 16.0));
        c.text(PLAIN, (at.0 + 35.0, at.1 + 12.5), TextAnchor::Left, &word);
    }
    for (kind, word) in [("water", "way of the water"), ("slips", "slips past the finest stage")] {
        if kind == "slips" && !slips {
            continue;
        }
        let at = room_for(36.0 + PLAIN.width(word), &mut x);
        c.arrow(kind, (at.0, at.1 + 8.0), (at.0 + 27.0, at.1 + 8.0), 2.6);
        c.text(PLAIN, (at.0 + 35.0, at.1 + 12.5), TextAnchor::Left, word);
    }
    y + 16.0
}
