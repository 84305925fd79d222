//! Whether what lies in a tray has room there, at nominal figures.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use crate::assumptions::A;
use crate::model::assumed::Assumed;
use crate::model::fields::{Door, Place, Row, Step, Table};
use crate::model::filter::{Floor, Outside};
use crate::model::outline::Plan;
use crate::model::{Amount, Filter, Layer, Shape, Tray};
use crate::profile::Reader;
use crate::uncertainty::{Nominal, Source, Spot, Uncertain};
use crate::units::trimmed;

/// Millimetres that a stack may stand too high by rounding.
const ROUNDING_MM: f64 = 0.1;

/// The room of a tray or floor: its nominal plan, and its height in m.
type Room = (Plan<f64>, f64);

#[derive(Default)]
#[expect(clippy::option_option, reason = "no floor and a broken one are two things")]
pub struct Rooms {
    /// Trays of the filter, broken ones too.
    trays: usize,
    sound: BTreeMap<usize, Room>,
    /// None where the body has no floor; broken where it could not be read.
    floor: Option<Option<Room>>,
    outside: Option<Outside>,
    /// Heights of the layers read last, m; none for one that cannot be told.
    heights: Vec<Option<f64>>,
}

impl Rooms {
    /// A list of so many was found.
    pub fn counted(&mut self, row: &Row, count: usize) {
        if row.words == "`trays`" {
            self.trays = count;
        }
    }
    pub fn opened(&mut self, table: &Table) {
        match table.name {
            "Floor" => self.floor = Some(None),
            "Layer" => {}
            _ => self.heights.clear(),
        }
    }
    /// Trays that are only counted: as many, as they are assumed to be. Whether there is an outside to make them of.
    pub fn count(&mut self, keys_of: &Source, count: u32) -> bool {
        let (Source::Filter(id), Some(outside)) = (keys_of, &self.outside) else { return false };
        let made = Assumed::new(id).trays(count, outside, None).unwrap_or_default();
        self.trays = made.len();
        self.sound = made.iter().map(room).enumerate().collect();
        true
    }
    fn of(&self, path: &[Step]) -> (String, Option<Room>) {
        match path.iter().rev().find_map(|step| match step {
            Step::Field("floor", _) => Some(None),
            Step::Item(i) => Some(Some(*i)),
            _ => None,
        }) {
            Some(Some(i)) => (format!("tray {}", i + 1), self.sound.get(&i).copied()),
            _ => ("the floor".to_owned(), self.floor.flatten()),
        }
    }
}

fn room(tray: &Tray) -> Room {
    let height = tray.height.si();
    (tray.shape.plan(height, &Nominal), height)
}

pub fn tray(reader: &mut Reader<'_>, tray: &Tray) -> bool {
    if let Some(Step::Item(i)) = reader.path.last() {
        reader.rooms.sound.insert(*i, room(tray));
    }
    true
}

pub fn outside(reader: &mut Reader<'_>, outside: &Outside, _: &[Place]) -> bool {
    if reader.path.iter().any(|step| matches!(step, Step::Field("body", _))) {
        reader.rooms.outside = Some(outside.clone());
    }
    true
}

/// How much larger than the outside printed trays may come out: roundings of both.
const OVER: f64 = 1.02;

/// Trays stand within the vessel: none wider or deeper than its outside, all of them no higher.
pub fn within_body(reader: &mut Reader<'_>, filter: &Filter) -> bool {
    let Some(outside) = filter.body.outside.as_ref().filter(|_| reader.left.counted.is_none()) else {
        return true;
    };
    let sides = |a: f64, b: f64| if a > b { (a, b) } else { (b, a) };
    let (long, short) = sides(outside.width.si() * OVER, outside.depth.si() * OVER);
    let rooms: Vec<Room> = filter.trays.iter().map(room).collect();
    let too_wide = |(plan, _): &Room| {
        let (width, depth) = sides(plan.width, plan.depth);
        plan.has_box() && (width > long || depth > short)
    };
    let high: f64 = rooms.iter().map(|(_, height)| height).sum();
    let message = if let Some(t) = rooms.iter().position(too_wide) {
        format!("tray {} is larger than the outside of the vessel that it stands in", t + 1)
    } else if high > outside.height.si() * OVER {
        format!(
            "the trays are {} mm high together, the outside of the vessel {} mm",
            (high * 1e3).round(),
            (outside.height.si() * 1e3).round()
        )
    } else {
        return true;
    };
    reader.fault_at("trays", message, "check the digits and the units of both")
}

/// What an untold floor is assumed to be: as wide as the lowest tray.
fn assumed_floor(reader: &Reader<'_>) -> Option<Room> {
    let left = reader.left.keys.iter().any(|key| *key.at() == Spot::from("floor"));
    let (plan, _) = reader.rooms.sound.get(&0).filter(|_| left)?;
    Some((*plan, A::LeftFloor.entry().value * 1e-3))
}

pub fn floor(reader: &mut Reader<'_>, floor: &Floor) -> bool {
    let height = floor.height.si();
    reader.rooms.floor = Some(Some((floor.shape.plan(height, &Nominal), height)));
    true
}

/// Smallest plan that a layer can lie on, m²: below it nothing is worked out, and a slip of the finger is likely.
const LEAST_AREA: f64 = 1e-5;

/// Whether an outline holds an area worth the name once what stands in it is taken away.
pub fn is_hollow(reader: &mut Reader<'_>, shape: &Shape, height: f64, at: &[Place]) -> bool {
    fn holds(shape: &Shape, height: f64) -> bool {
        shape.plan::<f64>(height, &Nominal).area >= LEAST_AREA
            && shape.less.iter().all(|inner| holds(inner, height))
    }
    if holds(shape, height) {
        return true;
    }
    let outline = reader.place_of("shape").or_else(|| at.first().cloned());
    let less = outline.as_ref().and_then(|outline| reader.inside(outline, "less"));
    match less {
        Some(less) => reader.fault(
            Some(&less),
            "what `less` takes away leaves less than 0.1 cm2 of the outline".into(),
            "check the measures of the outline and of what stands in it",
        ),
        None => reader.fault(
            outline.as_ref(),
            "this outline holds less than 0.1 cm2".into(),
            "check its measures and their units",
        ),
    }
}

/// What only a pad can have, and how high a layer stands.
pub fn layer(reader: &mut Reader<'_>, layer: &Layer, at: &[Place]) -> bool {
    let mut sound = true;
    if !layer.medium.is_pad() {
        let id = &layer.medium.id;
        let slack = layer.slack.as_ref().is_some_and(|slack| slack.si() > 0.0);
        for (name, message, help) in [
            (
                "slack",
                format!("`{id}` is loose: it closes on the wall by itself and leaves no slack"),
                "take `slack` out; only foam, floss and mats are cut to size",
            ),
            ("squeezed", format!("`{id}` is loose and cannot be squeezed"), "only foam, floss and mats can"),
            ("dimples", format!("`{id}` is loose and has no dimpled side"), "only a pad can have one"),
        ] {
            let Some(place) = reader.place_of(name).filter(|_| name != "slack" || slack) else { continue };
            sound = reader.fault(Some(&place), message, help);
        }
    }
    reader.rooms.floor = reader.rooms.floor.or_else(|| assumed_floor(reader).map(Some));
    // The layer itself is the last step, the tray the one before.
    let above = reader.path.len().saturating_sub(1);
    let (place, room) = reader.rooms.of(reader.path.get(..above).unwrap_or_default());
    let height = room.and_then(|(plan, _)| height(reader, layer, plan, &place, at));
    reader.rooms.heights.push(height);
    sound
}

/// How high a layer stands, m, pressed as it is; 0 where it fills what is left.
fn height(reader: &mut Reader<'_>, layer: &Layer, plan: Plan<f64>, place: &str, at: &[Place]) -> Option<f64> {
    let hole = layer.hole.as_ref().map_or(0.0, |hole| PI * hole.si() * hole.si() / 4.0);
    let untold = layer.medium.is_pad() && reader.place_of("slack").is_none();
    let slack = if untold { A::LeftSlack.entry().value * 1e-3 } else { 0.0 };
    let rim = plan.perimeter * layer.slack.as_ref().map_or(slack, Uncertain::si);
    let area = plan.area - rim - hole;
    if area <= 0.0 {
        let (spot, message) = if hole >= plan.area {
            (reader.place_of("hole"), format!("this hole is larger than {place}"))
        } else {
            (
                reader.place_of("slack").or_else(|| reader.place_of("hole")),
                format!("slack and hole leave nothing of this layer: {place} is too small for them"),
            )
        };
        let help = format!("{place} holds {} cm2 in plan", tenths(plan.area * 1e4));
        reader.fault(spot.as_ref().or(at.first()), message, &help);
        return None;
    }
    let pressed = 1.0 - layer.squeezed.as_ref().map_or(0.0, Uncertain::si);
    Some(match &layer.amount {
        Amount::Depth(depth) => depth.si() * pressed,
        Amount::Volume(volume) => volume.si() / area * pressed,
        Amount::Mass(mass) => mass.si() / layer.medium.dry.si() / area * pressed,
        Amount::Rest => 0.0,
    })
}

/// Do the layers of a tray or of the floor fit?
#[expect(clippy::ptr_arg, reason = "a rule takes the field's own type")]
pub fn stack(reader: &mut Reader<'_>, layers: &Vec<Layer>, at: &[Place]) -> bool {
    let heights = std::mem::take(&mut reader.rooms.heights);
    reader.rooms.floor = reader.rooms.floor.or_else(|| assumed_floor(reader).map(Some));
    let (place, room) = reader.rooms.of(&reader.path);
    if place == "the floor" && reader.rooms.floor.is_none() && !layers.is_empty() {
        return reader.fault_at(
            "floor",
            "layers lie on a floor, but the filter's body has none",
            "add `floor: Floor(shape: …, height: …)` to the body, or take the layers out",
        );
    }
    let rest = |layer: &Layer| matches!(layer.amount, Amount::Rest);
    let mut sound = true;
    for (layer, at) in layers.iter().zip(at).rev().skip(1) {
        if rest(layer) {
            sound = reader.fault(
                Some(at),
                "a layer stands on top of one that fills the tray".into(),
                "`fill: rest` belongs to the top layer only: give this one a depth, volume or mass",
            );
        }
    }
    let heights: Option<Vec<f64>> = heights.into_iter().collect();
    let (Some((_, clear)), Some(heights), true) = (room, heights, sound) else { return sound };
    if heights.len() != layers.len() {
        return sound;
    }
    let total: f64 = heights.iter().sum();
    let over = (total - clear) * 1e3;
    if over > ROUNDING_MM {
        let mut stands = 0.0;
        let first = heights.iter().position(|height| {
            stands += height;
            (stands - clear) * 1e3 > ROUNDING_MM
        });
        let (total, over, clear) = (tenths(total * 1e3), tenths(over), tenths(clear * 1e3));
        return reader.fault(
            first.and_then(|i| at.get(i)),
            format!(
                "{place} is overfull: its layers stand {total} mm high, {over} mm too high for its {clear} mm"
            ),
            "use less, press a pad with `squeezed`, or let loose media end with `fill: rest`",
        );
    }
    if layers.last().is_some_and(rest) && over > -ROUNDING_MM {
        return reader.fault(
            at.last(),
            format!("nothing is left of {place} for this layer to fill"),
            "take it out, or make the layers under it thinner",
        );
    }
    sound
}

/// A build packs no more trays than the filter has.
#[expect(clippy::ptr_arg, reason = "a rule takes the field's own type")]
pub fn trays(reader: &mut Reader<'_>, trays: &Vec<Vec<Layer>>, at: &[Place]) -> bool {
    let has = reader.rooms.trays;
    trays.len() <= has
        || reader.fault(
            at.get(has),
            format!("this build packs {} trays, but the filter has {has}", trays.len()),
            "take the list out, or add the tray to the filter's `trays`",
        )
}

/// A length in mm, or an area in cm2, to a tenth.
fn tenths(number: f64) -> String {
    trimmed(&format!("{number:.1}")).to_owned()
}
