//! The pictures as two renderers draw them, a browser and a Rust library (resvg): the same ink in the same places,
//! to within what anti-aliasing and the hinting of letters leave. What is compared would not pass if text, hatches
//! or shapes went missing: that is checked by taking them out. Skipped, with a plain message, where no browser is
//! found.

// The lint's leave for tests covers only what stands inside a test function.
#![allow(clippy::format_push_string)]

use crate::chromium;
use crate::pictures;
use crate::skip::skipped;

use std::fs;
use std::sync::Arc;

use cansift::report::figures::Units;
use cansift::report::svg::{Embedding, Picture, draw};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

/// Side of a tile, pixels: about one label high.
const TILE: u32 = 16;
/// Ink that a tile may have more or less, of what it could hold.
const TILE_APART: f64 = 0.05;
/// All differences of tiles together, of all ink.
const ALL_APART: f64 = 0.08;

/// Builds that between them show rising and falling water, leaks, holes, empty trays and every role.
const BUILDS: [(&str, &str); 4] = [
    ("Tamsin 1100", "as bought"),
    ("Marrick 1800", "restacked"),
    ("Orrin 900", "restacked"),
    ("Bramtoft 1400", "school stack"),
];

fn fonts() -> Arc<fontdb::Database> {
    let mut fonts = fontdb::Database::new();
    fonts.load_system_fonts();
    // What a browser takes for `sans-serif` here: the library does not ask fontconfig.
    let asked = std::process::Command::new("fc-match").args(["-f", "%{family}", "sans-serif"]).output();
    let asked = asked.map(|out| String::from_utf8_lossy(&out.stdout).into_owned()).unwrap_or_default();
    let asked = asked.split(',').next().unwrap_or_default();
    for family in [asked, "DejaVu Sans", "Liberation Sans", "Noto Sans"] {
        let query = fontdb::Query { families: &[fontdb::Family::Name(family)], ..fontdb::Query::default() };
        if fonts.query(&query).is_some() {
            fonts.set_sans_serif_family(family);
            break;
        }
    }
    Arc::new(fonts)
}

fn by_library(svg: &str, fonts: &Arc<fontdb::Database>) -> Pixmap {
    let options = Options { fontdb: Arc::clone(fonts), ..Options::default() };
    let tree = Tree::from_str(svg, &options).unwrap();
    let size = tree.size().to_int_size();
    let mut pixmap = Pixmap::new(size.width(), size.height()).unwrap();
    pixmap.fill(Color::WHITE);
    resvg::render(&tree, Transform::identity(), &mut pixmap.as_mut());
    pixmap
}

/// Every picture in one page, under each other, and a shot of it cut up again.
fn by_browser(name: &str, pictures: &[(String, u32, u32)]) -> Vec<Pixmap> {
    let folder = tempfile::tempdir().unwrap();
    let mut page = "<!DOCTYPE html><body style=\"margin:0;background:#fff\">".to_owned();
    let (mut top, mut wide) = (0, 0);
    for (i, (svg, w, h)) in pictures.iter().enumerate() {
        fs::write(folder.path().join(format!("{i}.svg")), svg).unwrap();
        page.push_str(&format!(
            "<img src=\"{i}.svg\" width=\"{w}\" height=\"{h}\" style=\"position:absolute;left:0;top:{top}px\">"
        ));
        top += h;
        wide = wide.max(*w);
    }
    fs::write(folder.path().join("page.html"), page).unwrap();
    let shot = folder.path().join("shot.png");
    chromium::run(
        name,
        folder.path(),
        &[
            format!("--window-size={wide},{top}"),
            "--force-device-scale-factor=1".to_owned(),
            "--virtual-time-budget=10000".to_owned(),
            format!("--screenshot={}", shot.display()),
            format!("file://{}", folder.path().join("page.html").display()),
        ],
    );
    let shot = Pixmap::load_png(&shot).unwrap();
    let mut top = 0;
    pictures
        .iter()
        .map(|(_, w, h)| {
            let rect = resvg::tiny_skia::IntRect::from_xywh(0, top, *w, *h).unwrap();
            top += i32::try_from(*h).unwrap();
            shot.clone_rect(rect).expect("the shot holds every picture")
        })
        .collect()
}

/// Ink of each tile, 0 to 1 of what it could hold.
fn ink(picture: &Pixmap) -> Vec<f64> {
    let across = picture.width().div_ceil(TILE);
    let down = picture.height().div_ceil(TILE);
    let mut tiles = vec![0.0; (across * down) as usize];
    for y in 0..picture.height() {
        for x in 0..picture.width() {
            let pixel = picture.pixel(x, y).unwrap();
            let light = 0.299 * f64::from(pixel.red())
                + 0.587 * f64::from(pixel.green())
                + 0.114 * f64::from(pixel.blue());
            tiles[(y / TILE * across + x / TILE) as usize] +=
                (255.0 - light) / 255.0 / f64::from(TILE * TILE);
        }
    }
    tiles
}

/// The worst tile, and all differences together as a part of all ink.
fn apart(a: &Pixmap, b: &Pixmap) -> (f64, f64) {
    assert_eq!((a.width(), a.height()), (b.width(), b.height()));
    let (a, b) = (ink(a), ink(b));
    let each: Vec<f64> = a.iter().zip(&b).map(|(a, b)| (a - b).abs()).collect();
    let all: f64 = a.iter().zip(&b).map(|(a, b)| a.max(*b)).sum();
    (each.iter().copied().fold(0.0, f64::max), each.iter().sum::<f64>() / all)
}

/// The picture without the elements that `gone` names; none if it has no such.
fn without(svg: &str, gone: impl Fn(&roxmltree::Node<'_, '_>) -> bool) -> Option<String> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let mut out = svg.to_owned();
    let mut ranges: Vec<_> =
        document.descendants().filter(|n| n.is_element() && gone(n)).map(|n| n.range()).collect();
    ranges.sort_by_key(|range| std::cmp::Reverse(range.start));
    let found = !ranges.is_empty();
    for range in ranges {
        out.replace_range(range, "");
    }
    found.then_some(out)
}

#[test]
fn a_browser_and_a_library_draw_the_same() {
    let Some(name) = chromium::browser() else { return };
    let fonts = fonts();
    if fonts.is_empty() {
        skipped("fonts", "no fonts on this machine");
        return;
    }
    let sheet = pictures::sheet();
    let mut drawn = Vec::new();
    for (filter, build) in BUILDS {
        let row = sheet.rows.iter().find(|r| r.filter == filter && r.build == build).unwrap();
        for what in Picture::ALL {
            let svg = draw(what, row, Units::Metric, Embedding::Alone).unwrap();
            let pixmap = by_library(&svg, &fonts);
            drawn.push((format!("{} {}", row.title(), what.word()), svg, pixmap));
        }
    }
    let mut missed = 0;
    for some in drawn.chunks(4) {
        let sized: Vec<_> = some.iter().map(|(_, svg, p)| (svg.clone(), p.width(), p.height())).collect();
        for ((title, svg, library), browser) in some.iter().zip(by_browser(name, &sized)) {
            let (worst, all) = apart(library, &browser);
            assert!(worst < TILE_APART && all < ALL_APART, "{title}: worst {worst:.3}, all {all:.3}");
            // The same comparison sees what is gone.
            let class = |n: &roxmltree::Node<'_, '_>| n.attribute("class").unwrap_or("").to_owned();
            let lesser = [
                ("text", without(svg, |n| n.tag_name().name() == "text")),
                ("one label", {
                    let longest = roxmltree::Document::parse(svg)
                        .unwrap()
                        .descendants()
                        .filter(|n| n.tag_name().name() == "text")
                        .filter_map(|n| Some((n.text()?.len(), n.range().start)))
                        .max();
                    longest.and_then(|(_, at)| {
                        without(svg, |n| n.tag_name().name() == "text" && n.range().start == at)
                    })
                }),
                ("hatches", without(svg, |n| n.tag_name().name() == "pattern")),
                ("curves", without(svg, |n| class(n).contains("curve"))),
                ("walls", without(svg, |n| class(n).contains("wall"))),
            ];
            for (what, svg) in lesser {
                let Some(svg) = svg else { continue };
                let (worst, all) = apart(&by_library(&svg, &fonts), &browser);
                assert!(
                    worst >= TILE_APART || all >= ALL_APART,
                    "{title} without its {what} would pass: worst {worst:.3}, all {all:.3}"
                );
                missed += 1;
            }
        }
    }
    assert!(missed > 40, "{missed}");
}
