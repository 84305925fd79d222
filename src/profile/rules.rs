//! Rules across fields: what no single row can say.

mod log;
pub mod room;

use super::Reader;
use super::diagnostics::{DIGITS, KEEP_ONE};
use crate::measures::{Measure, Unit};
use crate::model::fields::{Door, Place, Step};
use crate::model::filter::{Floor, Outside, Part, Uv};
use crate::model::hoses::NamedFitting;
use crate::model::log::{Entry, TestEntry};
use crate::model::medium::Bed;
use crate::model::pump::CurvePoint;
use crate::model::tank::{OnHand, Requirement};
use crate::model::{Build, Filter, Layer, Medium, Outline, Shape, Tank, Tray};
use std::any::Any;

/// Narrowest outline of a tray, m; what stands in it may be narrower.
const LEAST_WIDTH: f64 = 0.020;

/// Whether what was built may stand; what may not is told.
pub fn check(reader: &mut Reader<'_>, what: &dyn Any, at: &[Place]) -> bool {
    macro_rules! rules {
        ($($type:ty => $rule:expr;)+) => { $(
            if let Some(thing) = what.downcast_ref::<$type>() {
                let rule: fn(&mut Reader<'_>, &$type, &[Place]) -> bool = $rule;
                return rule(reader, thing, at);
            }
        )+ };
    }
    rules! {
        Vec<OnHand> => |r, items, at| once(r, items.iter().map(|i| i.medium.as_str()), at, "", |id| {
            (format!("`{id}` is listed twice"), "add the two volumes up in one entry".to_owned())
        });
        Vec<(String, f64)> => |r, pairs, at| once(r, pairs.iter().map(|(key, _)| key.as_str()), at, "", |key| {
            (format!("`{key}` is weighted twice"), KEEP_ONE.to_owned())
        });
        Vec<Medium> => |r, all, at| once(r, all.iter().map(|m| m.id.as_str()), at, "id", |id| second("medium", id));
        Vec<NamedFitting> => |r, all, at| {
            once(r, all.iter().map(|f| f.id.as_str()), at, "id", |id| second("fitting", id))
        };
        Filter => |r, filter, at| log::filter(r, filter) & has_flow(r, filter, at) & seals(r, filter) & room::within_body(r, filter);
        Build => log::build;
        Tank => log::tank;
        TestEntry => log::test;
        Entry => log::reading;
        Outside => room::outside;
        Vec<Build> => builds;
        Vec<CurvePoint> => points;
        Requirement => limit;
        Uv => |r, uv, _| uv.shell.si() > uv.sleeve.si() || r.fault_at(
            "shell",
            "the UV chamber is not wider than the sleeve in it",
            "`sleeve` is the outside of the quartz, `shell` the inside of the chamber round it",
        );
        Bed => |r, bed, _| !matches!(bed, Bed::Rings { outer, inner, .. } if inner.si() >= outer.si())
            || r.fault_at("inner", "the bore of this ring is not smaller than its outside", "swap `outer` and `inner`?");
        Medium => surface;
        Shape => shape;
        Tray => |r, tray, at| room::is_hollow(r, &tray.shape, tray.height.si(), at) && room::tray(r, tray);
        Floor => |r, floor, at| room::is_hollow(r, &floor.shape, floor.height.si(), at) && room::floor(r, floor);
        Layer => room::layer;
        Vec<Layer> => room::stack;
        Vec<Vec<Layer>> => room::trays;
    }
    true
}

fn second(noun: &str, id: &str) -> (String, String) {
    (format!("a second {noun} is called `{id}`"), format!("give each {noun} an id of its own"))
}

/// Each name stands once in a list; a second is told at its item, or at the field of it that names it.
fn once<'a>(
    reader: &mut Reader<'_>,
    names: impl Iterator<Item = &'a str>,
    at: &[Place],
    field: &str,
    said: impl Fn(&str) -> (String, String),
) -> bool {
    let mut seen: Vec<&str> = Vec::new();
    let mut sound = true;
    for (name, place) in names.zip(at) {
        if seen.contains(&name) {
            let (message, help) = said(name);
            let place = reader.inside(place, field).unwrap_or_else(|| place.clone());
            sound = reader.fault(Some(&place), message, &help);
        }
        seen.push(name);
    }
    sound
}

#[expect(clippy::ptr_arg, reason = "a rule takes the field's own type")]
fn builds(reader: &mut Reader<'_>, builds: &Vec<Build>, at: &[Place]) -> bool {
    if let (true, Some(place)) = (at.is_empty(), reader.place_of("builds"))
        && builds.is_empty()
        && reader.at(&place).trim_matches(['[', ']', ' ', '\n']).is_empty()
    {
        return reader.fault(
            Some(&place),
            "a profile needs one build or more, found none".into(),
            "add `Build(name: \"as bought\", trays: […])`",
        );
    }
    once(reader, builds.iter().map(|build| build.name.as_str()), at, "name", |name| {
        let help = "give each build of a file a name of its own".to_owned();
        (format!("a second build is called `{name}`"), help)
    })
}

/// All figures begin with a flow: the pump's, or the one on the box.
fn has_flow(reader: &mut Reader<'_>, filter: &Filter, _: &[Place]) -> bool {
    let told = filter.pump.curve.is_some() || filter.label.as_ref().is_some_and(|label| label.flow.is_some());
    if !told && reader.is_sound() {
        reader.fault(
            None,
            "neither a pump curve nor a printed flow is told".into(),
            "add the flow on the box, `label: Label(flow: l_h(1000))`; with it, all else may be left out",
        );
    }
    told
}

/// New seals are for trays that there are.
fn seals(reader: &mut Reader<'_>, filter: &Filter) -> bool {
    let count = reader.left.counted.unwrap_or(filter.trays.len() as u32);
    let repairs = filter.unit.iter().flat_map(|unit| &unit.to_fix);
    let trays = repairs.filter_map(|repair| match &repair.part {
        Part::Seals { trays } => Some(trays),
        _ => None,
    });
    let Some(none) = trays.flatten().find(|tray| **tray > count) else { return true };
    let place = reader.place_of("unit").and_then(|unit| reader.inside(&unit, "to_fix"));
    let message = format!("`to_fix` names tray {none}, but the filter has {count}");
    reader.fault(place.as_ref(), message, "trays are counted from the bottom, from 1")
}

/// A pump's head falls as its flow rises.
#[expect(clippy::ptr_arg, reason = "a rule takes the field's own type")]
fn points(reader: &mut Reader<'_>, points: &Vec<CurvePoint>, at: &[Place]) -> bool {
    let mut sound = true;
    for (pair, place) in points.windows(2).zip(at.iter().skip(1)) {
        let [before, point] = pair else { continue };
        let mut items = super::lexer::items(reader.source, place).into_iter();
        if point.flow.si() <= before.flow.si() {
            sound = reader.fault(
                items.next().as_ref(),
                "the flow of this point is not above that of the point before".into(),
                "list the points from no flow to the most, each flow once",
            );
        } else if point.head.si() >= before.head.si() {
            sound = reader.fault(
                items.nth(1).as_ref(),
                "the head of this point is not below that of the point before".into(),
                "a pump's head falls as its flow rises: check the two figures",
            );
        }
    }
    if points.len() < 2 && reader.is_sound() {
        sound = reader.fault_at(
            "points",
            format!("a pump curve needs two points or more, found {}", points.len()),
            "add the point without flow and the point without head, or write `ends(flow: …, head: …)`",
        );
    }
    sound
}

/// The limit of a share is a share.
fn limit(reader: &mut Reader<'_>, requirement: &Requirement, _: &[Place]) -> bool {
    let (Requirement::AtLeast { measure, limit } | Requirement::AtMost { measure, limit }) = requirement
    else {
        return true;
    };
    let is_share = Measure::from_key(measure)
        .is_some_and(|measure| matches!(measure.row().unit, Unit::Share | Unit::Probability));
    if !is_share || *limit <= 1.0 {
        return true;
    }
    let [found, written] = [*limit, *limit / 100.0].map(super::diagnostics::digits);
    let help = format!("a share is written from 0 to 1: `{written}` for {found} %");
    reader.fault_at("limit", format!("limit of `{measure}` of {found}: expected 0 to 1"), &help)
}

fn surface(reader: &mut Reader<'_>, medium: &Medium, _: &[Place]) -> bool {
    let (Some(range), surface) = (medium.surface_range, medium.surface.as_ref()) else { return true };
    let help = "`surface` is the typical figure: it lies between the low and the high end";
    surface.is_some_and(|s| range.low * 1e3 <= s.si() && s.si() <= range.high * 1e3)
        || reader.fault_at("surface_range", "the surface does not lie in its range", help)
}

fn shape(reader: &mut Reader<'_>, shape: &Shape, _: &[Place]) -> bool {
    let mut sound = true;
    if let Outline::Rect { width, depth, corner: Some(radius) } = &shape.outline
        && radius.si() > width.si().min(depth.si()) / 2.0
    {
        sound = reader.fault_at(
            "corner",
            "the radius of the corners is more than half the shorter side",
            "`corner` is a radius: a round tray is `round(diameter: …)`",
        );
    }
    if reader.path.iter().any(|step| matches!(step, Step::Field("less", _))) {
        return sound;
    }
    let sides: Vec<(&str, f64)> = match &shape.outline {
        Outline::Rect { width, depth, .. }
        | Outline::Oval { width, depth }
        | Outline::Dee { width, depth } => {
            vec![("width", width.si()), ("depth", depth.si())]
        }
        Outline::Round { diameter } => vec![("diameter", diameter.si())],
        Outline::Sector { radius, .. } => vec![("radius", radius.si())],
        Outline::Points { .. } | Outline::MeasuredFill { .. } | Outline::Unseen { .. } => Vec::new(),
    };
    for (name, side) in sides.into_iter().filter(|(_, side)| *side < LEAST_WIDTH - 1e-12) {
        let found = super::diagnostics::digits(side * 1e3);
        let message = format!("width of an outline of {found} mm: expected 20 to 1000 mm");
        sound = reader.fault_at(name, message, DIGITS);
    }
    sound
}
