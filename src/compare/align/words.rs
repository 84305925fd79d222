//! A build's inputs worded as a person writes them: number, unit, and how it is known where that was said.

use crate::model::filter::{
    Body, Filter, Handling, Impeller, Lamp, Outside, Priming, Release, Spares, Unit, Uv, Way,
};
use crate::model::hoses::{Fitting, Outlet, Wall};
use crate::model::pump::{Curve, Pump, Taken};
use crate::model::shape::{Outline, Shape};
use crate::model::tray::{Amount, Dimples, Layer, SealCondition, Tray};
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::{Plain, Quantity};
use std::fmt::Write as _;

type List = Vec<(String, String)>;

/// Every input of a build, layers included, as (where, what). The layers of a tray come in the order of the
/// stack, bottom to top.
pub fn inputs(filter: &Filter, build: usize) -> Vec<(String, String)> {
    let mut out = apart_from_layers(filter, build);
    let Some(build) = filter.builds.get(build) else { return out };
    let spaces = std::iter::once(("floor".to_owned(), &build.floor))
        .chain(build.trays.iter().enumerate().map(|(i, t)| (format!("tray {}", i + 1), t)));
    for (place, layers) in spaces {
        if layers.is_empty() && place != "floor" {
            put(&mut out, &place, "(empty)");
        }
        for (i, l) in layers.iter().enumerate() {
            put(&mut out, &format!("{place}, layer {}", i + 1), layer(l));
        }
    }
    out
}

/// Every input but the layers.
pub(super) fn apart_from_layers(filter: &Filter, build: usize) -> List {
    let mut out = Vec::new();
    put(&mut out, "filter", filter.name.as_str());
    if let Some(b) = filter.builds.get(build) {
        put(&mut out, "build", b.name.as_str());
    }
    put(&mut out, "notes", filter.notes.as_str());
    if let Some(label) = &filter.label {
        figure(&mut out, "label, flow", label.flow.as_ref());
        figure(&mut out, "label, tank", label.tank.as_ref());
    }
    pump(&mut out, &filter.pump);
    put(
        &mut out,
        "way of the water",
        match filter.way {
            Way::Rising => "rising",
            Way::Falling => "falling",
        },
    );
    hoses(&mut out, filter);
    body(&mut out, &filter.body);
    for (i, t) in filter.trays.iter().enumerate() {
        tray(&mut out, &format!("tray {}", i + 1), t);
    }
    if let Some(u) = &filter.uv {
        uv(&mut out, u);
    }
    if let Some(h) = filter.handling {
        handling(&mut out, h);
    }
    if let Some(u) = &filter.unit {
        unit(&mut out, u);
    }
    out
}

fn put(out: &mut List, path: &str, value: impl Into<String>) {
    let value = value.into();
    if !value.is_empty() {
        out.push((path.to_owned(), value));
    }
}

fn figure<Q: Quantity>(out: &mut List, path: &str, f: Option<&Uncertain<Q>>) {
    if let Some(f) = f {
        put(out, path, said(f));
    }
}

fn pump(out: &mut List, pump: &Pump) {
    match &pump.curve {
        None => put(out, "pump curve", "not known"),
        Some(Curve::Ends { flow, head }) => {
            put(out, "pump, flow without head", said(flow));
            put(out, "pump, head without flow", in_unit(head, "m"));
        }
        Some(Curve::Points { points }) => {
            for (i, p) in points.iter().enumerate() {
                let says = format!("{} at {}", in_unit(&p.head, "m"), said(&p.flow));
                put(out, &format!("pump, point {}", i + 1), says);
            }
        }
    }
    if pump.curve.is_some() {
        put(
            out,
            "pump, figures taken",
            match pump.taken {
                Taken::AtPorts => "at the ports",
                Taken::AtImpeller => "at the impeller",
            },
        );
    }
    figure(out, "pump, power", pump.power.as_ref());
    if let Some(hz) = &pump.hz {
        put(out, "pump, mains", plain(hz, " Hz"));
    }
}

fn hoses(out: &mut List, filter: &Filter) {
    put(out, "hose, bore", said(&filter.hose.bore));
    put(
        out,
        "hose, wall",
        match &filter.hose.wall {
            Wall::Smooth => "smooth".to_owned(),
            Wall::Ribbed { pitch } => format!("ribbed every {}", said(pitch)),
        },
    );
    for (side, fittings) in [("intake", &filter.intake), ("return", &filter.return_side)] {
        for (i, f) in fittings.iter().enumerate() {
            put(out, &format!("{side}, fitting {}", i + 1), fitting(f));
        }
    }
    put(
        out,
        "outlet",
        match &filter.outlet {
            Outlet::Open => "open hose end".to_owned(),
            Outlet::Jet { bore } => format!("jet {}", said(bore)),
            Outlet::SprayBar { bore, holes, hole, pitch } => {
                format!("spray bar {}, {holes} holes of {} every {}", said(bore), said(hole), said(pitch))
            }
        },
    );
}

fn fitting(fitting: &Fitting) -> String {
    match fitting {
        Fitting::Strainer { diameter, length, open } => {
            format!("strainer {} × {}, {} open", said(diameter), said(length), share(open))
        }
        Fitting::Connector { bore, length } => format!("connector {}, {} long", said(bore), said(length)),
        Fitting::Tap { bore, length } => format!("tap {}, {} long", said(bore), said(length)),
        Fitting::Elbow { count } => format!("elbow × {}", plain(count, "")),
    }
}

fn body(out: &mut List, body: &Body) {
    if let Some(Outside { width, depth, height }) = &body.outside {
        put(out, "outside, width", said(width));
        put(out, "outside, depth", said(depth));
        put(out, "outside, height", said(height));
    }
    figure(out, "dry mass", body.dry_mass.as_ref());
    if let Some(floor) = &body.floor {
        put(out, "floor, outline", shape(&floor.shape));
        put(out, "floor, height", said(&floor.height));
    }
    if let Some(tube) = &body.down_tube {
        put(out, "down pipe, bore", said(&tube.bore));
        put(out, "down pipe, length", said(&tube.length));
        figure(out, "down pipe, joint", tube.joint.as_ref());
    }
    figure(out, "head space", body.head_space.as_ref());
}

fn tray(out: &mut List, place: &str, tray: &Tray) {
    put(out, &format!("{place}, outline"), shape(&tray.shape));
    put(out, &format!("{place}, height"), said(&tray.height));
    if let Some(grid) = &tray.grid {
        put(out, &format!("{place}, grid"), format!("{} open", share(grid)));
    }
    if let Some(seal) = &tray.seal {
        let condition = match seal.condition {
            SealCondition::Lip => "lip",
            SealCondition::Worn => "worn",
            SealCondition::Missing => "missing",
        };
        put(out, &format!("{place}, seal"), format!("{condition}, gap {}", said(&seal.gap)));
    }
}

fn shape(shape: &Shape) -> String {
    let mut out = match &shape.outline {
        Outline::Rect { width, depth, corner } => {
            let corner = corner.as_ref().map_or(String::new(), |c| format!(", corners {}", said(c)));
            format!("rectangle {} × {}{corner}", said(width), said(depth))
        }
        Outline::Round { diameter } => format!("round {}", said(diameter)),
        Outline::Oval { width, depth } => format!("oval {} × {}", said(width), said(depth)),
        Outline::Dee { width, depth } => format!("dee {} × {}", said(width), said(depth)),
        Outline::Sector { radius, angle } => format!("sector {}, {}", said(radius), plain(angle, "°")),
        Outline::Points { points } => {
            let corners: Vec<String> =
                points.iter().map(|(x, y)| format!("{},{}", number(*x), number(*y))).collect();
            format!("outline through {} mm", corners.join(" "))
        }
        Outline::Unseen { width, depth, fill } => {
            format!("about {} × {}, {} of it filled", said(width), said(depth), self::share(fill))
        }
        Outline::MeasuredFill { volume, perimeter } => {
            format!("holds {}, {} round", said(volume), said(perimeter))
        }
    };
    for less in &shape.less {
        out.push_str(" less ");
        out.push_str(&self::shape(less));
    }
    out
}

fn uv(out: &mut List, uv: &Uv) {
    put(out, "UV, lamp", said(&uv.lamp));
    if let Some(hours) = &uv.hours {
        put(out, "UV, hours burnt", in_unit(hours, "h"));
    }
    put(out, "UV, sleeve", said(&uv.sleeve));
    put(out, "UV, shell", said(&uv.shell));
    figure(out, "UV, lit length", uv.length.as_ref());
    if let Some(price) = &uv.price {
        put(out, "UV, price of a lamp", plain(price, ""));
    }
}

fn handling(out: &mut List, handling: Handling) {
    let priming = match handling.priming {
        Priming::Electric => "by a motor",
        Priming::Push => "by a push button",
        Priming::ByHand => "by hand",
    };
    let release = match handling.release {
        Release::Block => "both hoses in one block",
        Release::Unions => "a union on each hose",
        Release::None => "none",
    };
    put(out, "priming", priming);
    put(out, "hose release", release);
    if let Some(clasps) = handling.clasps {
        put(out, "clasps", clasps.to_string());
    }
}

fn unit(out: &mut List, unit: &Unit) {
    if let Some(asking) = &unit.asking {
        put(out, "unit, asking price", plain(asking, ""));
    }
    if let Some(spares) = unit.spares {
        put(
            out,
            "unit, spares",
            match spares {
                Spares::Plenty => "plenty",
                Spares::Scarce => "scarce",
                Spares::None => "none",
            },
        );
    }
    if let Some(age) = &unit.age {
        put(out, "unit, age", in_unit(age, "year"));
    }
    let impeller = match &unit.impeller {
        Impeller::New => "as new".to_owned(),
        Impeller::Share(share) => format!("{} of new speed", self::share(share)),
        Impeller::Bucket(b) => format!(
            "bucket test: {} in {} over {} and {} of hose, {} bends each",
            said(&b.volume),
            in_unit(&b.time, "s"),
            in_unit(&b.intake, "m"),
            in_unit(&b.return_side, "m"),
            plain(&b.bends, "")
        ),
    };
    put(out, "unit, impeller", impeller);
    put(
        out,
        "unit, lamp",
        match unit.lamp {
            Lamp::Working => "working",
            Lamp::BurntOut => "burnt out",
            Lamp::Absent => "absent",
        },
    );
    for r in &unit.to_fix {
        put(out, &format!("to fix, {}", r.part), plain(&r.price, ""));
    }
    put(out, "unit, media included", unit.includes.join(", "));
}

/// A layer in words: name, amount, and what is wrong with its fit.
pub fn layer(layer: &Layer) -> String {
    let mut out = format!("{} {}", layer.medium.name, amount(&layer.amount));
    if let Some(slack) = layer.slack.as_ref().filter(|s| s.si() > 0.0) {
        let _ = write!(out, ", slack {}", said(slack));
    }
    if let Some(hole) = layer.hole.as_ref().filter(|h| h.si() > 0.0) {
        let _ = write!(out, ", hole {}", said(hole));
    }
    if let Some(squeezed) = layer.squeezed.as_ref().filter(|s| s.si() > 0.0) {
        let _ = write!(out, ", squeezed {}", share(squeezed));
    }
    match layer.dimples {
        None => {}
        Some(Dimples::Up) => out.push_str(", dimples up"),
        Some(Dimples::Down) => out.push_str(", dimples down"),
        Some(Dimples::Both) => out.push_str(", dimples on both sides"),
    }
    out
}

/// How much of a medium, in words: `40 mm`, `2 l`, `1 kg`, `to the top`.
pub fn amount(amount: &Amount) -> String {
    match amount {
        Amount::Depth(x) => said(x),
        Amount::Volume(x) => said(x),
        Amount::Mass(x) => said(x),
        Amount::Rest => "to the top".to_owned(),
    }
}

/// A figure in its kind's usual unit.
pub fn said<Q: Quantity>(f: &Uncertain<Q>) -> String {
    in_unit(f, Q::UNITS.first().map_or("", |u| u.name))
}

pub fn in_unit<Q: Quantity>(f: &Uncertain<Q>, name: &str) -> String {
    match Q::UNITS.iter().find(|u| u.name == name) {
        Some(u) => worded(f, |si| number(u.from_si(si)), &format!(" {}", u.sign)),
        None => worded(f, number, ""),
    }
}

fn plain(f: &Uncertain<Plain>, after: &str) -> String {
    worded(f, number, after)
}

pub fn share(f: &Uncertain<Plain>) -> String {
    worded(f, |x| number(x * 100.0), " %")
}

fn worded<Q: Quantity>(f: &Uncertain<Q>, write: impl Fn(f64) -> String, after: &str) -> String {
    match (f.known, f.spread) {
        (Provenance::Between, Spread::Uniform { low, high }) => {
            format!("{} to {}{after}", write(low), write(high))
        }
        (Provenance::Measured | Provenance::Guessed, _) => {
            format!("{}{after} ({})", write(f.si()), f.known.word())
        }
        _ => format!("{}{after}", write(f.si())),
    }
}

/// A number with at most four places that matter and no needless zeros.
pub fn number(x: f64) -> String {
    if !x.is_finite() {
        return "–".to_owned();
    }
    let size = x.abs();
    let decimals = if size >= 1000.0 {
        0
    } else if size >= 100.0 {
        1
    } else if size >= 10.0 {
        2
    } else if size >= 0.1 {
        3
    } else {
        5
    };
    let shown = format!("{x:.decimals$}");
    let shown = if shown.contains('.') { shown.trim_end_matches('0').trim_end_matches('.') } else { &shown };
    if shown == "-0" { "0".to_owned() } else { shown.to_owned() }
}
