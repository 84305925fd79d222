//! Pictures of every build of the demo: well formed, no label over another, no name that could do harm.

use std::collections::BTreeSet;

use crate::pictures::{hostile, renamed, sheet};

use cansift::assess::Assessment;
use cansift::hidden::is_hidden;
use cansift::report::figures::Units;
use cansift::report::svg::{Embedding, Picture, draw};
use roxmltree::{Document, Node};

fn pictures(row: &Assessment, units: Units) -> Vec<(Picture, String)> {
    Picture::ALL.into_iter().filter_map(|p| Some((p, draw(p, row, units, Embedding::Alone).ok()?))).collect()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap_or_else(|| panic!("no {name}")).parse().unwrap()
}

/// Left, right, top and bottom of a line of text. Widths are averages over the letters of a common sans-serif
/// face, heights those of a capital and a descender; common practice, no source.
fn place(node: Node<'_, '_>) -> (f64, f64, f64, f64) {
    let size = number(node, "font-size");
    let em: f64 = node
        .text()
        .unwrap_or("")
        .chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ' ' | '·' | '\'' | '|' | '(' | ')' => 0.31,
            'f' | 't' | 'r' | '-' => 0.38,
            'm' | 'w' | 'M' | 'W' | '%' | '→' | '…' | '–' => 0.9,
            'A'..='Z' => 0.7,
            '\u{1100}'.. => 1.0,
            _ => 0.59,
        })
        .sum();
    let wide = em * size * if node.attribute("font-weight").is_some() { 1.05 } else { 1.0 };
    let x = match node.attribute("text-anchor") {
        Some("middle") => number(node, "x") - wide / 2.0,
        Some("end") => number(node, "x") - wide,
        _ => number(node, "x"),
    };
    let y = number(node, "y");
    (x, x + wide, y - size * 0.74, y + size * 0.2)
}

fn assert_apart(title: &str, what: Picture, picture: &str) {
    let document = Document::parse(picture).unwrap_or_else(|e| panic!("{title} {what:?}: {e}"));
    let view: Vec<f64> = document
        .root_element()
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|x| x.parse().unwrap())
        .collect();
    let texts: Vec<_> =
        document.descendants().filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "text"))).collect();
    assert!(texts.len() > 8, "{title} {what:?} says something");
    let places: Vec<_> = texts.iter().map(|n| place(*n)).collect();
    for (i, a) in places.iter().enumerate() {
        let said = texts[i].text().unwrap_or("");
        assert!(
            a.0 >= 0.0 && a.1 <= view[2] && a.2 >= 0.0 && a.3 <= view[3],
            "{title} {what:?}: `{said}` leaves the picture: {a:?} in {view:?}"
        );
        for (j, b) in places.iter().enumerate().skip(i + 1) {
            let over = a.0 < b.1 && b.0 < a.1 && a.2 < b.3 && b.2 < a.3;
            assert!(!over, "{title} {what:?}: `{said}` over `{}`", texts[j].text().unwrap_or(""));
        }
    }
}

#[test]
fn no_label_of_any_demo_build_lies_over_another() {
    for row in &sheet().rows {
        for units in Units::ALL {
            for (what, picture) in pictures(row, units) {
                assert_apart(&row.title(), what, &picture);
            }
        }
    }
}

#[test]
fn the_same_build_gives_the_same_bytes() {
    let (a, b) = (sheet(), sheet());
    for (x, y) in a.rows.iter().zip(&b.rows) {
        assert_eq!(pictures(x, Units::Metric), pictures(y, Units::Metric));
    }
}

#[test]
fn every_picture_says_what_it_shows_to_those_who_cannot_see_it() {
    for row in &sheet().rows {
        for (what, picture) in pictures(row, Units::Metric) {
            let document = Document::parse(&picture).unwrap();
            let root = document.root_element();
            assert_eq!(root.attribute("role"), Some("img"));
            let named: Vec<&str> = root.attribute("aria-labelledby").unwrap().split(' ').collect();
            for id in named {
                let node = document.descendants().find(|n| n.attribute("id") == Some(id)).unwrap();
                assert!(node.text().unwrap().len() > 12, "{what:?} {id}");
            }
            // Every hatch that is used is defined.
            for node in document.descendants() {
                if let Some(id) = node.attribute("fill").and_then(|f| f.strip_prefix("url(#")) {
                    let id = id.trim_end_matches(')');
                    assert!(document.descendants().any(|n| n.attribute("id") == Some(id)), "{id}");
                }
            }
        }
    }
}

#[test]
fn section_marks_every_layer_and_every_leak() {
    for row in &sheet().rows {
        let picture = draw(Picture::Section, row, Units::Metric, Embedding::Alone).unwrap();
        let document = Document::parse(&picture).unwrap();
        let section = &row.section;
        let layers: usize = section.trays.iter().chain(&section.floor).map(|s| s.layers.len()).sum();
        let slabs = document
            .descendants()
            .filter(|n| n.attribute("class") == Some("slab") && n.parent_element().unwrap().has_tag_name("g"))
            .count();
        let groups: Vec<&str> = document
            .descendants()
            .filter(|n| n.tag_name().name() == "title")
            .filter_map(|n| n.text())
            .collect();
        let hatched = document
            .descendants()
            .filter(|n| n.attribute("fill").is_some_and(|f| f.starts_with("url(#")))
            .count();
        assert!(hatched >= layers, "{}: {hatched} of {layers}, {slabs}", row.title());
        for leak in row.leaks.iter().filter(|l| l.share > 0.001) {
            assert!(groups.iter().any(|g| g.starts_with(&leak.at)), "{}: {}", row.title(), leak.at);
        }
    }
}

/// A dimpled side is drawn the way it faces: hollows below the upper edge of a pad, above the lower one.
#[test]
fn dimples_are_drawn_on_their_side() {
    use cansift::model::tray::Dimples;
    let row = |dimples| {
        let mut row = sheet().rows[0].clone();
        for space in row.section.trays.iter_mut().chain(&mut row.section.floor) {
            space.layers.iter_mut().for_each(|slab| slab.dimples = None);
        }
        let tray = row.section.trays.iter_mut().find(|tray| !tray.layers.is_empty()).unwrap();
        tray.layers[0].dimples = dimples;
        row
    };
    let hollows = |dimples| {
        let picture = draw(Picture::Section, &row(dimples), Units::Metric, Embedding::Alone).unwrap();
        let document = Document::parse(&picture).unwrap();
        let paths = document.descendants().filter(|n| n.attribute("class") == Some("void"));
        paths.filter_map(|n| n.attribute("d").map(str::to_owned)).collect::<Vec<_>>()
    };
    assert!(hollows(None).is_empty());
    let [up, down, both] = [Dimples::Up, Dimples::Down, Dimples::Both].map(|d| hollows(Some(d)));
    assert_eq!((up.len(), down.len()), (1, 1));
    assert_eq!(both, [up.clone(), down.clone()].concat());
    let height = |d: &str| d[1..].split(['A', ' ']).nth(1).unwrap().parse::<f64>().unwrap();
    assert!(height(&up[0]) < height(&down[0]), "y grows downwards");
}

#[test]
fn to_scale_heights_and_widths_alike() {
    for row in &sheet().rows {
        let picture = draw(Picture::Section, row, Units::Metric, Embedding::Alone).unwrap();
        let document = Document::parse(&picture).unwrap();
        let section = &row.section;
        // Layers come tray by tray from the top down, then the floor; each from the bottom up.
        let spaces = section.trays.iter().rev().chain(&section.floor);
        let slabs = spaces.flat_map(|s| s.layers.iter().map(move |l| (s, l)));
        let drawn = document.descendants().filter(|n| n.attribute("class") == Some("slab"));
        let mut scales = Vec::new();
        for ((space, slab), node) in slabs.zip(drawn) {
            if slab.height_mm < 12.0 || space.excess_mm > 0.0 {
                continue;
            }
            scales.push(number(node, "height") / slab.height_mm);
            if let (Some((wide, _)), true) = (space.box_mm, slab.slack_mm == 0.0) {
                let floor = section.floor.as_ref().is_some_and(|f| std::ptr::eq(f, space));
                if !floor {
                    scales.push(number(node, "width") / wide);
                }
            }
        }
        let (low, high) = scales.iter().fold((f64::MAX, 0.0_f64), |(l, h), s| (l.min(*s), h.max(*s)));
        assert!(scales.is_empty() || high / low < 1.02, "{}: {low} to {high}", row.title());
    }
}

#[test]
fn hostile_names_are_harmless() {
    let sheet = sheet();
    for row in [&sheet.rows[0], sheet.rows.last().unwrap()] {
        let plain = pictures(row, Units::Metric);
        let elements =
            |picture: &str| Document::parse(picture).unwrap().descendants().filter(Node::is_element).count();
        for name in hostile() {
            let row = renamed(row, &name);
            for ((what, picture), (_, before)) in pictures(&row, Units::Metric).into_iter().zip(&plain) {
                assert_apart(&name, what, &picture);
                assert!(!picture.chars().any(|c| c != '\n' && is_hidden(c)), "{name}: {what:?}");
                let document = Document::parse(&picture).unwrap();
                let known: BTreeSet<&str> = [
                    "svg", "title", "desc", "style", "defs", "pattern", "rect", "path", "circle", "text", "g",
                ]
                .into();
                for node in document.descendants().filter(Node::is_element) {
                    assert!(known.contains(node.tag_name().name()), "{:?}", node.tag_name());
                    for a in node.attributes() {
                        assert!(!a.name().starts_with("on") && a.name() != "href", "{}", a.name());
                    }
                }
                assert_eq!(elements(&picture), elements(before), "{name}: {what:?}");
            }
        }
    }
}

#[test]
fn figures_that_are_not_numbers_spoil_no_picture() {
    let sheet = sheet();
    let mut row = sheet.rows[0].clone();
    for bad in [f64::NAN, f64::INFINITY, -5.0, 0.0, 1e300] {
        for space in &mut row.section.trays {
            space.height_mm = bad;
            space.box_mm = Some((bad, bad));
            for slab in &mut space.layers {
                slab.height_mm = bad;
                slab.slack_mm = bad;
                slab.hole_mm = Some(bad);
            }
        }
        row.section.tube_mm = Some(bad);
        row.section.head_mm = Some(bad);
        if let Some(curve) = &mut row.curve {
            curve.works_at = (bad, bad);
            curve.pump.push((bad, bad));
        }
        if let Some(timeline) = &mut row.timeline {
            timeline.points.iter_mut().for_each(|p| p.flow = bad);
        }
        for (what, picture) in pictures(&row, Units::Metric) {
            Document::parse(&picture).unwrap_or_else(|e| panic!("{bad} {what:?}: {e}"));
            assert!(!picture.contains("NaN") && !picture.contains("inf\""), "{bad} {what:?}");
        }
    }
}

mod odd_vessels {
    use super::*;
    use cansift::assess::assessment::{Leak, LeakPlace};
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(120))]
        #[test]
        fn labels_stay_apart_in_vessels_of_any_measure(
            heights in proptest::collection::vec(8.0..300.0_f64, 1..13),
            wide in 40.0..600.0_f64,
            tube in proptest::option::of(5.0..60.0_f64),
            head in proptest::option::of(0.0..200.0_f64),
            layers in proptest::collection::vec((1.0..120.0_f64, 0.0..8.0_f64, any::<bool>()), 0..6),
            uv: bool,
        ) {
            use std::sync::LazyLock;
            static ROW: LazyLock<Assessment> = LazyLock::new(|| sheet().rows.remove(0));
            let mut row = ROW.clone();
            let section = &mut row.section;
            let (space, slab) = (section.trays[0].clone(), section.trays[0].layers[0].clone());
            section.tube_mm = tube;
            section.head_mm = head;
            section.uv = uv;
            section.trays = heights
                .iter()
                .map(|&height_mm| {
                    let mut space = space.clone();
                    space.height_mm = height_mm;
                    space.box_mm = Some((wide, wide * 0.8));
                    space.layers = layers
                        .iter()
                        .map(|&(high, slack_mm, hole)| {
                            let hole_mm = hole.then_some(wide * 0.2);
                            let height_mm = high.min(height_mm / layers.len() as f64);
                            cansift::assess::assessment::Slab { height_mm, slack_mm, hole_mm, ..slab.clone() }
                        })
                        .collect();
                    space
                })
                .collect();
            row.leaks = (0..heights.len())
                .flat_map(|tray| {
                    [LeakPlace::Seal { tray }, LeakPlace::Joint { tray }, LeakPlace::Slack { tray: Some(tray), layer: 0 }]
                        .map(|place| Leak {
                            at: format!("tray {} somewhere", tray + 1),
                            place,
                            share: 0.05,
                            share_at_service: Some(0.2),
                        })
                })
                .collect();
            for units in [Units::Metric, Units::Us] {
                let picture = draw(Picture::Section, &row, units, Embedding::Alone).unwrap();
                assert_apart("odd", Picture::Section, &picture);
            }
        }
    }
}

#[test]
fn assumed_parts_are_dotted_and_that_is_said() {
    use cansift::profile::{read_filter, starter};
    let numbers = ["l_h(1200)", "count(3)", "(width: mm(235), depth: mm(200), height: mm(410))"];
    let text = starter::filter("three numbers", numbers, cansift::model::filter::Way::Rising).unwrap();
    let path = std::path::Path::new("three.ron");
    let read = |text: &str| read_filter(path, text, cansift::library::Library::shipped()).unwrap().filter;
    let drawn = |text: &str| {
        let row = cansift::assess::judge(&read(text), 0, None);
        draw(Picture::Section, &row, Units::Metric, Embedding::Alone).unwrap()
    };
    // Both walls of three trays, and of the pipe.
    let dotted = |picture: &str| picture.matches("class=\"wall2 c-ink dot\"").count();
    let three = drawn(&text);
    assert_eq!(dotted(&three), 8);
    assert!(three.contains("Dotted: assumed."));
    let told = text
        .replace("count(3)", "[Tray(shape: round(diameter: mm(180)), height: mm(300), seal: none)]")
        .replace("    body: Body(", "    body: Body(down_tube: none, head_space: l(1), floor: none,")
        .replace("Layer(media: \"foam-30\", depth: guessed(mm(25)))", "")
        .replace("                [Layer(media: \"ceramic-ring-porous-15\", fill: rest)],\n", "")
        .replace("                [],\n", "");
    let told = drawn(&told);
    assert!(dotted(&told) == 0 && !told.contains("Dotted"), "{told}");
}
