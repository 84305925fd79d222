//! Writes a profile as a person would: each figure in the unit and with the digits it was written with, how it
//! is known kept, one layer a line, nothing that would be read the same if it were left out.

// A profile is a few kilobytes: plain pushes read better than writes whose results mean nothing.
#![allow(clippy::format_push_string, clippy::format_collect, clippy::unnecessary_wraps)]

pub(super) mod figures;
mod media;

use std::collections::BTreeMap;
use std::sync::Arc;

use figures::{figure, kept, plain, text};

use crate::hidden::is_hidden;
use crate::library::Library;
use crate::model::filter::{
    Body, Bucket, Build, Filter, Handling, Impeller, Lamp, Outside, Priming, Release, Spares, Unit, Uv, Way,
};
use crate::model::hoses::{Fitting, Hose, Outlet, Wall};
use crate::model::medium::Medium;
use crate::model::pump::{Curve, Pump, Taken};
use crate::model::ranges as r;
use crate::model::shape::{Outline, Shape};
use crate::model::tray::{Amount, Dimples, Layer, SealCondition, Tray};
use crate::uncertainty::field::Field;

/// The filter with these builds, as RON. `note` becomes comments at the top. Media that do not ship, or that
/// differ from those that do, travel with it. Reading it gives equal figures; keys follow the new file's name,
/// and fittings called by a name are written out.
pub fn write(filter: &Filter, builds: &[Build], note: &str) -> String {
    let own = own_media(builds);
    let mut out = comment(note);
    out.push_str("Filter(\n    format: 1,\n");
    let mut line = |text: String| {
        out.push_str("    ");
        out.push_str(&text);
        out.push_str(",\n");
    };
    line(format!("name: {}", text(&filter.name)));
    if !filter.notes.is_empty() {
        line(format!("notes: {}", text(&filter.notes)));
    }
    if let Some(label) = &filter.label {
        let flow = figure("flow", label.flow.as_ref(), &r::LABEL_FLOW);
        line(form("label: Label", [flow, figure("tank", label.tank.as_ref(), &r::LABEL_TANK)]));
    }
    line(pump(&filter.pump));
    line(format!("way: {}", if filter.way == Way::Rising { "rising" } else { "falling" }));
    line(hose(&filter.hose));
    if !filter.suction.is_empty() {
        line(format!("suction: {}", side(&filter.suction, None)));
    }
    if !filter.delivery.is_empty() || filter.outlet != Outlet::Open {
        line(format!("delivery: {}", side(&filter.delivery, Some(&filter.outlet))));
    }
    if filter.body != Body::default() {
        line(body(&filter.body));
    }
    if !filter.trays.is_empty() {
        let trays: String = filter.trays.iter().map(|t| format!("        {},\n", tray(t))).collect();
        line(format!("trays: [   // bottom to top\n{trays}    ]"));
    }
    if let Some(lamp) = &filter.uv {
        line(uv(lamp));
    }
    if let Some(handling) = &filter.handling {
        line(self::handling(*handling));
    }
    if let Some(unit) = &filter.unit {
        line(self::unit(unit, &own));
    }
    if !own.is_empty() {
        let media: String = own.values().map(|m| media::medium(m)).collect();
        line(format!("media: [\n{media}    ]"));
    }
    let builds: String = builds.iter().map(build).collect();
    line(format!("builds: [\n{builds}    ]"));
    out.push_str(")\n");
    out
}

/// Comments, one a line of the note.
fn comment(note: &str) -> String {
    note.lines()
        .map(|line| {
            let safe: String = line.chars().map(|c| if is_hidden(c) { ' ' } else { c }).collect();
            format!("// {safe}").trim_end().to_owned() + "\n"
        })
        .collect()
}

/// Media of the builds that a reader without this person's lists would not know, or know otherwise.
fn own_media(builds: &[Build]) -> BTreeMap<&str, &Arc<Medium>> {
    let layers = builds.iter().flat_map(|b| b.floor.iter().chain(b.trays.iter().flatten()));
    layers
        .map(|layer| &layer.medium)
        .filter(|medium| Library::shipped().medium(&medium.id).is_none_or(|shipped| shipped != *medium))
        .map(|medium| (medium.id.as_str(), medium))
        .collect()
}

/// `Name(a: 1, b: 2)` of those fields that are given.
fn form(name: &str, fields: impl IntoIterator<Item = Option<String>>) -> String {
    let fields: Vec<String> = fields.into_iter().flatten().collect();
    format!("{name}({})", fields.join(", "))
}

fn word(name: &str, word: &str) -> Option<String> {
    Some(format!("{name}: {word}"))
}

fn pump(pump: &Pump) -> String {
    let curve = pump.curve.as_ref().map(|curve| match curve {
        Curve::Ends { flow, head } => form(
            "curve: ends",
            [figure("flow", Some(flow), &r::PUMP_FLOW), figure("head", Some(head), &r::PUMP_HEAD)],
        ),
        Curve::Points(points) => {
            let pairs: Vec<String> = points
                .iter()
                .map(|p| format!("({}, {})", plain(&p.flow, &r::POINT_FLOW), plain(&p.head, &r::POINT_HEAD)))
                .collect();
            format!("curve: points([{}])", pairs.join(", "))
        }
    });
    let taken = match pump.taken {
        Taken::AtPorts => None,
        Taken::AtImpeller => word("taken", "at_impeller"),
    };
    let power = figure("power", pump.power.as_ref(), &r::PUMP_POWER);
    form("pump: Pump", [taken, curve, power, figure("hz", pump.hz.as_ref(), &r::HZ)])
}

fn hose(hose: &Hose) -> String {
    let wall = match &hose.wall {
        Wall::Smooth => None,
        Wall::Ribbed { pitch } => Some(form("wall: ribbed", [figure("pitch", Some(pitch), &r::RIB_PITCH)])),
    };
    form("hose: Hose", [figure("bore", Some(&hose.bore), &r::HOSE_BORE), wall])
}

fn side(fittings: &[Fitting], outlet: Option<&Outlet>) -> String {
    let narrow = |name: &str, bore, length| {
        form(name, [figure("bore", Some(bore), &r::FITTING_BORE), kept("length", length, &r::FITTING_LENGTH)])
    };
    let mut parts: Vec<String> = fittings
        .iter()
        .map(|fitting| match fitting {
            Fitting::Strainer { diameter, length, open } => form(
                "strainer",
                [
                    kept("diameter", diameter, &r::STRAINER_DIAMETER),
                    kept("length", length, &r::STRAINER_LENGTH),
                    kept("open", open, &r::OPEN_SHARE),
                ],
            ),
            Fitting::Connector { bore, length } => narrow("connector", bore, length),
            Fitting::Tap { bore, length } => narrow("tap", bore, length),
            Fitting::Elbow { count } => format!("elbow({})", plain(count, &r::ELBOWS)),
        })
        .collect();
    parts.extend(outlet.map(|outlet| match outlet {
        Outlet::Open => "outlet(open)".to_owned(),
        Outlet::Jet { bore } => format!("outlet(jet(bore: {}))", plain(bore, &r::JET_BORE)),
        Outlet::SprayBar { bore, holes, hole, pitch } => {
            let bar = form(
                "spray_bar",
                [
                    figure("bore", Some(bore), &r::BAR_BORE),
                    Some(format!("holes: {holes}")),
                    figure("hole", Some(hole), &r::BAR_HOLE),
                    figure("pitch", Some(pitch), &r::BAR_PITCH),
                ],
            );
            format!("outlet({bar})")
        }
    }));
    format!("[{}]", parts.join(", "))
}

fn body(body: &Body) -> String {
    let floor = body.floor.as_ref().map(|f| {
        let height = plain(&f.height, &r::FLOOR_HEIGHT);
        format!("floor: Floor(shape: {}, height: {height})", shape(&f.shape, &r::TRAY_WIDTH))
    });
    let tube = body.down_tube.as_ref().map(|tube| {
        form(
            "down_tube: ",
            [
                figure("bore", Some(&tube.bore), &r::TUBE_BORE),
                figure("length", Some(&tube.length), &r::TUBE_LENGTH),
                figure("joint", tube.joint.as_ref(), &r::GAP),
            ],
        )
    });
    let parts = [
        body.outside.as_ref().map(|o| form("outside: ", outside(o))),
        figure("dry_mass", body.dry_mass.as_ref(), &r::DRY_MASS),
        floor,
        tube,
        figure("head_space", body.head_space.as_ref(), &r::HEAD_SPACE),
    ];
    format!("body: Body(\n{}    )", lines(parts, 8))
}

/// Each of the given fields on a line of its own, indented.
fn lines(fields: impl IntoIterator<Item = Option<String>>, indent: usize) -> String {
    let margin = " ".repeat(indent);
    fields.into_iter().flatten().map(|field| format!("{margin}{field},\n")).collect()
}

fn outside(outside: &Outside) -> [Option<String>; 3] {
    [("width", &outside.width), ("depth", &outside.depth), ("height", &outside.height)]
        .map(|(name, side)| figure(name, Some(side), &r::OUTSIDE))
}

fn shape(of: &Shape, width: &Field) -> String {
    let (name, mut fields) = match &of.outline {
        Outline::Rect { width: w, depth, corner } => (
            "rect",
            vec![
                figure("width", Some(w), width),
                figure("depth", Some(depth), width),
                figure("corner", corner.as_ref(), &r::CORNER),
            ],
        ),
        Outline::Round { diameter } => ("round", vec![figure("diameter", Some(diameter), width)]),
        Outline::Oval { width: w, depth } => {
            ("oval", vec![figure("width", Some(w), width), figure("depth", Some(depth), width)])
        }
        Outline::Dee { width: w, depth } => {
            ("dee", vec![figure("width", Some(w), width), figure("depth", Some(depth), width)])
        }
        Outline::Sector { radius, angle } => {
            ("sector", vec![figure("radius", Some(radius), width), figure("angle", Some(angle), &r::ANGLE)])
        }
        Outline::Points { points } => {
            let points: Vec<String> = points.iter().map(|(x, y)| format!("({x}, {y})")).collect();
            ("outline", vec![Some(format!("points: [{}]", points.join(", ")))])
        }
        // What is assumed is never written: the shape is the nearest that can be.
        Outline::Unseen { width: w, depth, .. } => {
            ("rect", vec![figure("width", Some(w), width), figure("depth", Some(depth), width)])
        }
        Outline::MeasuredFill { volume, perimeter } => (
            "measured_fill",
            vec![
                figure("volume", Some(volume), &r::FILL_VOLUME),
                figure("perimeter", Some(perimeter), &r::PERIMETER),
            ],
        ),
    };
    if !of.less.is_empty() {
        let less: Vec<String> = of.less.iter().map(|inner| shape(inner, &r::POST_WIDTH)).collect();
        fields.push(Some(format!("less: [{}]", less.join(", "))));
    }
    form(name, fields)
}

fn tray(tray: &Tray) -> String {
    let seal = tray.seal.as_ref().map(|seal| {
        let condition = match seal.condition {
            SealCondition::Lip => "lip",
            SealCondition::Worn => "worn",
            SealCondition::Missing => "missing",
        };
        format!("seal: {condition}(gap: {})", plain(&seal.gap, &r::GAP))
    });
    form(
        "Tray",
        [
            Some(format!("shape: {}", shape(&tray.shape, &r::TRAY_WIDTH))),
            figure("height", Some(&tray.height), &r::TRAY_HEIGHT),
            figure("grid", tray.grid.as_ref(), &r::GRID),
            seal,
        ],
    )
}

fn uv(uv: &Uv) -> String {
    form(
        "uv: Uv",
        [
            figure("lamp", Some(&uv.lamp), &r::LAMP_POWER),
            figure("hours", uv.hours.as_ref(), &r::LAMP_HOURS),
            figure("sleeve", Some(&uv.sleeve), &r::SLEEVE),
            figure("shell", Some(&uv.shell), &r::SHELL),
            figure("length", uv.length.as_ref(), &r::UV_LENGTH),
            figure("price", uv.price.as_ref(), &r::PRICE),
        ],
    )
}

fn handling(handling: Handling) -> String {
    let priming = match handling.priming {
        Priming::Electric => "electric",
        Priming::Push => "push",
        Priming::ByHand => "by_hand",
    };
    let release = match handling.release {
        Release::Block => "block",
        Release::Unions => "unions",
        Release::None => "none",
    };
    let clasps = handling.clasps.map(|clasps| format!("clasps: {clasps}"));
    form("handling: Handling", [word("priming", priming), word("release", release), clasps])
}

fn unit(unit: &Unit, own: &BTreeMap<&str, &Arc<Medium>>) -> String {
    let spares = unit.spares.and_then(|spares| match spares {
        Spares::Plenty => word("spares", "plenty"),
        Spares::Scarce => word("spares", "scarce"),
        Spares::None => word("spares", "none"),
    });
    let impeller = match &unit.impeller {
        Impeller::New => None,
        Impeller::Share(share) => figure("impeller", Some(share), &r::IMPELLER),
        Impeller::Bucket(test) => Some(bucket(test)),
    };
    let lamp = match unit.lamp {
        Lamp::Working => None,
        Lamp::BurntOut => word("lamp", "burnt_out"),
        Lamp::Absent => word("lamp", "absent"),
    };
    let fix: Vec<String> = unit
        .to_fix
        .iter()
        .map(|repair| format!("({}, {})", text(&repair.part), plain(&repair.price, &r::PRICE)))
        .collect();
    // An id that nothing describes would be refused: it stays as a remark.
    let known = |id: &&String| own.contains_key(id.as_str()) || Library::shipped().medium(id).is_some();
    let includes: Vec<String> = unit.includes.iter().filter(known).map(|id| text(id)).collect();
    let lost: Vec<&str> = unit.includes.iter().filter(|id| !known(id)).map(String::as_str).collect();
    let mut out = String::from("unit: Unit(\n");
    if !lost.is_empty() {
        let remark = comment(&format!("also came with media that no build holds: {}", lost.join(", ")));
        out.push_str(&format!("        {remark}"));
    }
    out.push_str(&lines(
        [
            figure("asking", unit.asking.as_ref(), &r::PRICE),
            spares,
            figure("age", unit.age.as_ref(), &r::AGE),
            impeller,
            lamp,
            (!fix.is_empty()).then(|| format!("to_fix: [{}]", fix.join(", "))),
            (!includes.is_empty()).then(|| format!("includes: [{}]", includes.join(", "))),
        ],
        8,
    ));
    out.push_str("    )");
    out
}

fn bucket(bucket: &Bucket) -> String {
    form(
        "bucket: Bucket",
        [
            figure("volume", Some(&bucket.volume), &r::BUCKET_VOLUME),
            figure("time", Some(&bucket.time), &r::BUCKET_TIME),
            figure("suction", Some(&bucket.suction), &r::RUN),
            figure("delivery", Some(&bucket.delivery), &r::RUN),
            kept("bends", &bucket.bends, &r::BENDS),
        ],
    )
}

fn build(build: &Build) -> String {
    let trays: String = build.trays.iter().map(|layers| format!("{},\n", stack(layers, 16))).collect();
    let floor = if build.floor.is_empty() {
        String::new()
    } else {
        format!("            floor: {},\n", stack(&build.floor, 12).trim_start())
    };
    let name = text(&build.name);
    format!(
        "        Build(\n            name: {name},\n{floor}            trays: [   // bottom to top, and so within each\n{trays}            ],\n        ),\n"
    )
}

/// What lies in a tray or on the floor, a layer a line.
fn stack(layers: &[Layer], indent: usize) -> String {
    let margin = " ".repeat(indent);
    match layers {
        [] => format!("{margin}[]"),
        [one] => format!("{margin}[{}]", layer(one)),
        more => {
            let lines: String = more.iter().map(|l| format!("{margin}    {},\n", layer(l))).collect();
            format!("{margin}[\n{lines}{margin}]")
        }
    }
}

fn layer(layer: &Layer) -> String {
    let amount = match &layer.amount {
        Amount::Depth(depth) => figure("depth", Some(depth), &r::LAYER_DEPTH),
        Amount::Volume(volume) => figure("volume", Some(volume), &r::LAYER_VOLUME),
        Amount::Mass(mass) => figure("mass", Some(mass), &r::LAYER_MASS),
        Amount::Rest => word("fill", "rest"),
    };
    let dimples = layer.dimples.and_then(|side| match side {
        Dimples::Up => word("dimples", "up"),
        Dimples::Down => word("dimples", "down"),
        Dimples::Both => word("dimples", "both"),
    });
    form(
        "Layer",
        [
            Some(format!("media: {}", text(&layer.medium.id))),
            amount,
            figure("slack", layer.slack.as_ref(), &r::SLACK),
            figure("hole", layer.hole.as_ref(), &r::HOLE),
            figure("squeezed", layer.squeezed.as_ref(), &r::SQUEEZED),
            dimples,
        ],
    )
}
