//! A first file, from the few numbers that are at hand: what it leaves out is assumed, so it judges at once.

use std::fmt::Write as _;
use std::path::Path;

use super::plain::{Unclear, Understood, understand};
use super::write::figures::text;
use super::{Broken, read_filter};
use crate::model::fields::Row;
use crate::model::filter::Label;
use crate::model::{Body, Filter, Library, Tank, Way};
use crate::units::Units;

#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// What it is called where it is asked for.
    pub words: &'static str,
    pub row: &'static Row,
    /// Invented, for whoever says nothing of it: a guess, to be typed over.
    pub usual: &'static str,
}

pub const FILTER: [Asked; 3] = [
    Asked { words: "printed flow", row: &Label::flow, usual: "~1000" },
    Asked { words: "trays", row: &Filter::trays, usual: "3" },
    Asked { words: "outside size", row: &Body::outside, usual: "~230 210 400" },
];
pub const TANK: [Asked; 2] = [
    Asked { words: "volume", row: &Tank::volume, usual: "~180" },
    Asked { words: "stocking", row: &Tank::stock, usual: "normal" },
];

impl Asked {
    pub fn read(&self, typed: &str, units: Units) -> Result<Understood, Unclear> {
        understand(self.row, typed, units)
    }
    /// A number that nobody told, as it stands in a file.
    pub fn guess(&self) -> String {
        self.read(self.usual, Units::Metric).map(|read| read.ron).unwrap_or_default()
    }
}

const HEAD: &str = "\
// One filter and the ways it is packed. What is left out is assumed, wide, and shown as such. `cansift next` says what to
// measure first, `cansift sheet` prints a page to measure by, `cansift fields` lists all that may stand here.
// A figure says how it is known: measured(mm(16)), mm(16) as printed, guessed(mm(16)), between(mm(15), mm(17)).
";

/// A profile of that name from its three numbers, each as files have it; why not, where they do not go together.
pub fn filter(name: &str, [flow, trays, outside]: [&str; 3], way: Way) -> Result<String, Broken> {
    let whole = |layers: &[Vec<String>]| {
        let mut out = format!("{HEAD}Filter(\n    format: 1,\n    name: {},\n", text(name));
        let _ = writeln!(out, "    label: Label(flow: {flow}),   // on the box");
        if way == Way::Falling {
            out.push_str("    way: falling,   // the water enters under the lid\n");
        }
        let _ = writeln!(out, "    body: Body(\n        outside: {outside},\n    ),\n    trays: {trays},");
        out.push_str("    builds: [\n        Build(\n            name: \"a usual packing\",   // a guess: put in what lies in it\n");
        out.push_str("            trays: [   // bottom to top, and so within each\n");
        for tray in layers {
            let _ = writeln!(out, "                [{}],", tray.join(", "));
        }
        out.push_str("            ],\n        ),\n    ],\n)\n");
        out
    };
    let path = Path::new("new.ron");
    let bare = read_filter(path, &whole(&[]), Library::shipped())?;
    let heights: Vec<f64> = bare.filter.trays.iter().map(|tray| tray.height.si() * 1e3).collect();
    let out = whole(&packing(&heights, way));
    read_filter(path, &out, Library::shipped()).map(|_| out)
}

/// Why such numbers make no filter.
pub fn unfit(broken: &Broken) -> String {
    let why = broken.problems.first().map_or("", |problem| &problem.message);
    format!("these do not go together: {why}")
}

/// Coarse and fine foam where the water comes first, loose biological media in the rest: as most are packed
/// (common practice, no source). Heights of the trays in mm.
fn packing(heights: &[f64], way: Way) -> Vec<Vec<String>> {
    let pad = |id: &str, depth: f64, room: f64| {
        format!("Layer(media: \"{id}\", depth: guessed(mm({})))", depth.min(room).floor().max(1.0))
    };
    let room = heights.first().copied().unwrap_or_default();
    let mut out: Vec<Vec<String>> = heights
        .iter()
        .map(|_| vec!["Layer(media: \"ceramic-ring-porous-15\", fill: rest)".to_owned()])
        .collect();
    match out.as_mut_slice() {
        [] => {}
        [only] => {
            let of = |id, most, share| pad(id, most, room * share);
            *only = vec![
                of("foam-10", 30.0, 0.25),
                of("foam-30", 25.0, 0.25),
                of("ceramic-ring-porous-15", 200.0, 0.4),
            ];
        }
        [first, _] => *first = vec![pad("foam-10", 40.0, room * 0.4), pad("foam-30", 25.0, room * 0.4)],
        [first, second, ..] => {
            *first = vec![pad("foam-10", 40.0, room * 0.8)];
            *second = vec![pad("foam-30", 25.0, room * 0.8)];
        }
    }
    if way == Way::Falling {
        out.reverse();
        for layers in &mut out {
            layers.reverse();
        }
    }
    out
}

pub fn tank(name: &str, volume: &str, stocking: Option<&str>) -> String {
    let mut out = format!(
        "// What builds are judged for. What is left out is assumed and shown as such; `cansift fields tank` lists all\n\
         // that may stand here: hoses, cabinet, budget, water changes, requirements, priorities, media on hand.\n\
         Tank(\n    format: 1,\n    name: {},\n    volume: {volume},\n",
        text(name)
    );
    if let Some(stocking) = stocking {
        let _ = writeln!(
            out,
            "    stock: {stocking},   // light, normal or heavy; better: feed: Feed(daily: measured(g_day(…)))"
        );
    }
    out.push_str(")\n");
    out
}
