//! The same layers, put in order.

use std::sync::Arc;

use super::{At, layer_at, stages};
use crate::model::{Amount, Build, Filter, Layer, Medium, Role, Way};
use crate::order::InOrder;
use crate::uncertainty::{Key, Spread, Uncertain};
use crate::units::{Length, Quantity, Volume};

/// Heights closer than this are the same, m.
const SAME: f64 = 1e-9;
/// Loose media are not split for less than this, m.
const WORTH_SPLITTING: f64 = 1e-3;

#[derive(Clone, Debug, PartialEq)]
pub struct Ordered {
    pub build: Build,
    /// What fits nowhere, in the order of the water.
    pub left_over: Vec<LeftOver>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct LeftOver {
    pub medium: Arc<Medium>,
    /// How much of its free bed, m3.
    pub volume: f64,
}

/// A floor or tray being filled.
struct Room {
    /// None is the floor.
    tray: Option<usize>,
    height: f64,
    /// Height taken, m.
    taken: f64,
    layers: Vec<Layer>,
}

impl Room {
    fn left(&self) -> f64 {
        self.height - self.taken
    }
    fn put(&mut self, layer: Layer, height: f64) {
        self.layers.push(layer);
        self.taken += height;
    }
}

/// Settlement media to the floor (rising), the rest sorted coarse, medium, fine, biological, chemical,
/// polishing along the water, equals in their old order, each with its own slack; trays are filled in the
/// water's order to their height. A pad that does not fit goes whole to the next tray; loose media are split.
///
/// Nominal figures: `volume` is the present free volume of the layer at a place, m3 (for `fill: rest` what it
/// now holds); `area` the plan area a layer's media would have on the floor (none) or in a tray, m2, its slack
/// and hole taken off. Pads keep their thickness and are cut to the new outline, loose media keep their volume.
/// In a falling filter the floor keeps what it holds, and settlement media in trays come first.
pub fn in_order(
    filter: &Filter,
    build: &Build,
    volume: impl Fn(At) -> f64,
    area: impl Fn(&Layer, Option<usize>) -> f64,
) -> Ordered {
    let rising = filter.way == Way::Rising;
    let mut rooms = rooms(filter);
    let floor_first = usize::from(rooms.first().is_some_and(|room| room.tray.is_none()));
    let mut places = stages(filter, build);
    places.retain(|at| rising || at.0.is_some());
    let mut sorted: Vec<(At, &Layer)> =
        places.into_iter().filter_map(|at| layer_at(build, at).map(|layer| (at, layer))).collect();
    sorted.order_by_key(|(_, layer)| layer.medium.role);

    let mut left_over = Vec::new();
    let mut from = 0;
    for (at, layer) in sorted {
        if layer.medium.role != Role::Settlement {
            from = from.max(floor_first);
        }
        let free = volume(at);
        let present = area(layer, at.0);
        if !(free > 0.0 && present > 0.0) {
            continue;
        }
        let lost = if layer.medium.is_pad() {
            pad(&mut rooms, &mut from, layer, free, free / present)
        } else {
            loose(&mut rooms, &mut from, layer, free, &area)
        };
        if lost > 0.0 {
            left_over.push(LeftOver { medium: Arc::clone(&layer.medium), volume: lost });
        }
    }
    Ordered { build: packed(filter, build, rooms), left_over }
}

/// Floor (rising) and trays in the order of the water, empty.
fn rooms(filter: &Filter) -> Vec<Room> {
    let room =
        |tray, height: &Uncertain<Length>| Room { tray, height: height.si(), taken: 0.0, layers: Vec::new() };
    let trays = filter.trays.iter().enumerate().map(|(i, tray)| room(Some(i), &tray.height));
    match filter.way {
        Way::Rising => filter.body.floor.iter().map(|floor| room(None, &floor.height)).chain(trays).collect(),
        Way::Falling => trays.rev().collect(),
    }
}

/// Lays a pad in the first room from `from` on that is high enough; gives the volume that fits nowhere.
fn pad(rooms: &mut [Room], from: &mut usize, layer: &Layer, free: f64, thickness: f64) -> f64 {
    let stands = thickness * (1.0 - layer.squeezed.as_ref().map_or(0.0, Uncertain::si));
    let Some((at, room)) =
        rooms.iter_mut().enumerate().skip(*from).find(|(_, room)| room.left() + SAME >= stands)
    else {
        return free;
    };
    let depth = match &layer.amount {
        Amount::Depth(depth) => Some(depth.clone()),
        Amount::Volume(volume) => scaled(volume, thickness / volume.si()),
        Amount::Mass(mass) => scaled(mass, thickness / mass.si()),
        Amount::Rest => None,
    };
    let amount =
        Amount::Depth(depth.unwrap_or_else(|| Uncertain::exact(Length::of(thickness), worked_out())));
    room.put(Layer { amount, ..layer.clone() }, stands);
    *from = at;
    0.0
}

/// Fills rooms from `from` on with loose media; gives the volume that fits nowhere.
fn loose(
    rooms: &mut [Room],
    from: &mut usize,
    layer: &Layer,
    free: f64,
    area: &impl Fn(&Layer, Option<usize>) -> f64,
) -> f64 {
    let mut rest = free;
    for (at, room) in rooms.iter_mut().enumerate().skip(*from) {
        let area = area(layer, room.tray);
        if area <= 0.0 {
            continue;
        }
        let height = rest / area;
        let all = room.left() + SAME >= height;
        if !all && room.left() < WORTH_SPLITTING {
            continue;
        }
        let here = if all { rest } else { room.left() * area };
        let share = here / free;
        let amount = match &layer.amount {
            Amount::Depth(depth) => scaled(depth, here / depth.si()).map(Amount::Volume),
            Amount::Volume(volume) => scaled(volume, share).map(Amount::Volume),
            Amount::Mass(mass) => scaled(mass, share).map(Amount::Mass),
            Amount::Rest => None,
        };
        let amount =
            amount.unwrap_or_else(|| Amount::Volume(Uncertain::exact(Volume::of(here), worked_out())));
        room.put(Layer { amount, ..layer.clone() }, here / area);
        *from = at;
        if all {
            return 0.0;
        }
        rest -= here;
    }
    rest
}

/// The build that the filled rooms make; layers lie from the bottom up again.
fn packed(filter: &Filter, build: &Build, rooms: Vec<Room>) -> Build {
    let mut floor = Vec::new();
    let mut trays = vec![Vec::new(); filter.trays.len()];
    for mut room in rooms {
        if filter.way == Way::Falling {
            room.layers.reverse();
        }
        match room.tray {
            None => floor = room.layers,
            Some(tray) => {
                if let Some(slot) = trays.get_mut(tray) {
                    *slot = room.layers;
                }
            }
        }
    }
    if filter.way == Way::Falling {
        floor.clone_from(&build.floor);
    }
    Build::packed(&format!("{}, put in order", build.name), floor, trays)
}

/// A figure times a factor, with the same doubt and the same key; none where that is no number.
fn scaled<Q: Quantity, R: Quantity>(figure: &Uncertain<Q>, factor: f64) -> Option<Uncertain<R>> {
    let spread = match figure.spread {
        Spread::Uniform { low, high } => Spread::Uniform { low: low * factor, high: high * factor },
        Spread::TriangularLog { low, high } => {
            Spread::TriangularLog { low: low * factor, high: high * factor }
        }
        relative => relative,
    };
    let value = R::new(figure.si() * factor)?;
    Some(Uncertain { value, known: figure.known, spread, key: figure.key.clone() })
}

/// The key of figures that follow from where a layer lay; they have no doubt of their own.
fn worked_out() -> Key {
    Key::named("put-in-order")
}
