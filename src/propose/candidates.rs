//! The stacks that may be proposed: rooms in the water's order, media that may lie in them, how one stack
//! becomes a build, and every stack that is one edit away.

use std::sync::Arc;

use super::allowed::Options;
use crate::model::shape::Plan;
use crate::model::{Amount, Build, Filter, Layer, Medium, Role, Tank, Way, ranges};
use crate::order::InOrder;
use crate::place::Space;
use crate::uncertainty::{Key, Nominal, Provenance, Source, Spot, Spread, Uncertain};
use crate::units::{Length, Quantity};

/// From more rooms than this a search starts in some of them only.
pub const MANY: usize = 7;
pub const MOST_LAYERS: usize = 5;
/// Clear width that a well cut pad leaves, mm.
pub const SLACK_MM: f64 = 0.5;
/// Loose media are not laid thinner than this, mm.
const THINNEST_MM: f64 = 10.0;
/// Two standard deviations of a printed figure are 5 %: what the reader gives a plain one.
const PRINTED: Spread = Spread::Normal { sd: 0.025 };

/// One layer of a stack: its room in the water's order, its medium, and its depth in mm; 0 is the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    pub room: u8,
    pub medium: u16,
    pub mm: u16,
}

pub type Stack = Vec<Slot>;

/// A tray, or the floor of a rising filter.
#[derive(Clone, Debug)]
struct Room {
    /// None is the floor.
    tray: Option<usize>,
    plan: Plan<f64>,
    height: f64,
}

#[derive(Clone, Debug)]
struct May {
    medium: Arc<Medium>,
    /// Free bed to be had, m3; none: as much as is wanted.
    amount: Option<f64>,
    /// Depths it may have, mm; 0 is the rest.
    depths: Vec<u16>,
    /// Its place in the order of the water: role, and how keenly a mechanical one catches.
    order: (Role, u64),
}

#[derive(Clone, Debug)]
pub struct SearchSpace<'a> {
    filter: &'a Filter,
    rooms: Vec<Room>,
    media: Vec<May>,
    /// In a falling filter the floor keeps what it holds.
    floor: Vec<Layer>,
    /// The least fine that the finest mechanical layer may be.
    finest: Option<Role>,
}

impl<'a> SearchSpace<'a> {
    /// Rooms of the filter, and of the allowed media those that the tank lets in.
    pub fn new(filter: &'a Filter, present: &Build, tank: &Tank, options: &Options) -> Self {
        let room = |tray, shape: &crate::model::shape::Shape, height: f64| Room {
            tray,
            plan: shape.plan(height, &Nominal),
            height,
        };
        let trays = filter.trays.iter().enumerate().map(|(i, t)| room(Some(i), &t.shape, t.height.si()));
        let rooms = match filter.way {
            Way::Rising => {
                let floor = filter.body.floor.iter().map(|f| room(None, &f.shape, f.height.si()));
                floor.chain(trays).collect()
            }
            Way::Falling => trays.rev().collect(),
        };
        let floor = if filter.way == Way::Falling { present.floor.clone() } else { Vec::new() };
        let mut media: Vec<May> = Vec::new();
        for allowed in &options.media {
            let medium = &allowed.medium;
            if (tank.water.salt && medium.freshwater_only) || media.iter().any(|m| m.medium.id == medium.id) {
                continue;
            }
            let depths = match (medium.is_pad(), medium.role) {
                (true, _) => options.thicknesses.clone(),
                (false, Role::Chemical) => options.thicknesses.iter().copied().chain([0]).collect(),
                (false, _) => vec![0],
            };
            let keen =
                if medium.role.fineness().is_some() { medium.capture.si().max(0.0).to_bits() } else { 0 };
            let order = (medium.role, keen);
            media.push(May { medium: Arc::clone(medium), amount: allowed.amount, depths, order });
        }
        media.order_by(|a, b| a.order.cmp(&b.order).then_with(|| a.medium.id.cmp(&b.medium.id)));
        Self { filter, rooms, media, floor, finest: options.finest }
    }

    /// What the trays and the floor hold, litres.
    pub fn capacity(&self) -> Option<f64> {
        let litres: f64 = self.rooms.iter().map(|room| room.plan.area * room.height * 1e3).sum();
        (litres > 0.0).then_some(litres)
    }

    pub fn rooms(&self) -> usize {
        self.rooms.len()
    }
    /// Does a stack of the allowed media hold biological ones at all?
    pub fn has_biological(&self) -> bool {
        self.of(Role::Biological).next().is_some()
    }

    fn may(&self, slot: Slot) -> Option<&May> {
        self.media.get(usize::from(slot.medium))
    }
    fn room(&self, slot: Slot) -> Option<&Room> {
        self.rooms.get(usize::from(slot.room))
    }
    fn order(&self, slot: Slot) -> Option<(u8, (Role, u64))> {
        Some((slot.room, self.may(slot)?.order))
    }

    /// Media by tray, without thicknesses: stacks of the same kind differ in no more than those.
    pub fn kind(stack: &Stack) -> Vec<(u8, u16)> {
        stack.iter().map(|slot| (slot.room, slot.medium)).collect()
    }

    /// Does nothing go back along the water, and is no room overfull? Holds of every beginning of a legal stack.
    fn in_order(&self, stack: &[Slot]) -> bool {
        let pairs = stack.iter().zip(stack.iter().skip(1));
        let rising = pairs.clone().all(|(a, b)| a.room <= b.room)
            && stack.iter().filter_map(|s| self.may(*s)).map(|m| m.order).is_sorted();
        rising
            && stack.chunk_by(|a, b| a.room == b.room).all(|layers| {
                let Some(room) = layers.first().and_then(|slot| self.room(*slot)) else { return false };
                let settles = |s: &Slot| self.may(*s).is_some_and(|m| m.order.0 == Role::Settlement);
                let right = layers.iter().all(|s| settles(s) == room.tray.is_none());
                let rests = layers.iter().filter(|s| s.mm == 0).count();
                let mm: f64 =
                    layers.iter().map(|s| if s.mm == 0 { THINNEST_MM } else { f64::from(s.mm) }).sum();
                right && layers.len() <= MOST_LAYERS && rests <= 1 && mm <= room.height * 1e3 + 1e-6
            })
    }

    /// The build a stack makes, if it is a legal one: not empty, in order, no fault of staging, no room overfull,
    /// no more of a medium than there is, and whatever floats held down by a layer on top of it in its tray.
    pub fn lay(&self, stack: &Stack, name: &str) -> Option<Build> {
        if stack.is_empty() || !self.in_order(stack) || !self.staged(stack) || !self.fine_enough(stack) {
            return None;
        }
        let mut left: Vec<Option<f64>> = self.media.iter().map(|m| m.amount).collect();
        let trays = vec![Vec::new(); self.filter.trays.len()];
        let mut build = Build::packed(name, self.floor.clone(), trays);
        for slots in stack.chunk_by(|a, b| a.room == b.room) {
            let room = slots.first().and_then(|slot| self.room(*slot))?;
            let set: f64 = slots.iter().map(|s| f64::from(s.mm)).sum();
            // From the bottom up.
            let upward: Vec<&Slot> = match self.filter.way {
                Way::Rising => slots.iter().collect(),
                Way::Falling => slots.iter().rev().collect(),
            };
            let mut layers = Vec::with_capacity(upward.len());
            for (i, slot) in upward.iter().enumerate() {
                let may = self.may(**slot)?;
                let top = i + 1 == upward.len();
                let above = upward.get(i + 1).and_then(|s| self.may(**s));
                if may.medium.floats && above.is_none_or(|m| m.medium.floats) {
                    return None;
                }
                let pad = may.medium.is_pad();
                let rim = if pad { room.plan.perimeter * SLACK_MM * 1e-3 } else { 0.0 };
                let area = room.plan.area - rim;
                if area <= 0.0 {
                    return None;
                }
                let there = left.get_mut(usize::from(slot.medium))?;
                let free = room.height * 1e3 - set;
                let most = there.map_or(f64::INFINITY, |volume| volume / area * 1e3);
                let (mm, rest) = match slot.mm {
                    0 if top && most >= free => (free, true),
                    0 => ((free.min(most) + 1e-6).floor(), false),
                    mm if f64::from(mm) <= most + 1e-6 => (f64::from(mm), false),
                    _ => return None,
                };
                if mm < THINNEST_MM {
                    return None;
                }
                if let Some(volume) = there {
                    *volume -= area * mm * 1e-3;
                }
                let space = Space::of(room.tray);
                let key = |part, field| {
                    let at = Spot::build(name).space(space).item(i).part(part);
                    Key::new(Source::Filter((&*self.filter.id).into()), at, field)
                };
                layers.push(Layer {
                    medium: Arc::clone(&may.medium),
                    amount: if rest {
                        Amount::Rest
                    } else {
                        Amount::Depth(printed(mm, key("depth", &ranges::LAYER_DEPTH)))
                    },
                    slack: pad.then(|| printed(SLACK_MM, key("slack", &ranges::SLACK))),
                    hole: None,
                    squeezed: None,
                    dimples: None,
                });
            }
            match room.tray {
                None => build.floor = layers,
                Some(tray) => *build.trays.get_mut(tray)? = layers,
            }
        }
        Some(build)
    }

    fn fine_enough(&self, stack: &[Slot]) -> bool {
        let mut roles = stack.iter().filter_map(|s| self.may(*s)).map(|m| m.order.0);
        self.finest.is_none_or(|least| roles.any(|role| role.fineness() >= least.fineness()))
    }

    /// Neither an empty tray between layers, nor a fine layer before any coarser, nor bare biological media.
    fn staged(&self, stack: &[Slot]) -> bool {
        let rooms = stack.iter().zip(stack.iter().skip(1));
        if rooms.clone().any(|(a, b)| b.room > a.room + 1) {
            return false;
        }
        let roles = || stack.iter().filter_map(|s| self.may(*s)).map(|m| m.order.0);
        match roles().find(|role| role.fineness().is_some()) {
            Some(first) => {
                first.fineness() <= Role::Medium.fineness()
                    && roles().find(|r| *r == Role::Biological || r.fineness().is_some()) == Some(first)
            }
            None => roles().all(|role| role != Role::Biological),
        }
    }

    fn choices(&self) -> impl Iterator<Item = (u16, u16)> + '_ {
        let media = self.media.iter().enumerate();
        media.flat_map(|(i, may)| may.depths.iter().map(move |mm| (i as u16, *mm)))
    }

    /// Puts a slot where the order of the water wants it: behind all that come before it or are its equals.
    fn with(&self, stack: &Stack, slot: Slot) -> Stack {
        let own = self.order(slot);
        let at = stack.iter().take_while(|s| self.order(**s) <= own).count();
        let mut more = stack.clone();
        more.insert(at, slot);
        more
    }

    /// Every stack one edit away, legal or not: a layer taken out, put in, exchanged, made thicker or thinner,
    /// moved to another tray, and a medium exchanged for another all through.
    pub fn edits(&self, stack: &Stack) -> Vec<Stack> {
        let mut out = Vec::new();
        let rooms = 0..self.rooms.len() as u8;
        for (i, slot) in stack.iter().enumerate() {
            let mut without = stack.clone();
            without.remove(i);
            for (medium, mm) in self.choices() {
                if (medium, mm) != (slot.medium, slot.mm) {
                    out.push(self.with(&without, Slot { room: slot.room, medium, mm }));
                }
            }
            for room in rooms.clone().filter(|room| *room != slot.room) {
                out.push(self.with(&without, Slot { room, ..*slot }));
            }
            out.push(without);
        }
        for (medium, mm) in self.choices() {
            out.extend(rooms.clone().map(|room| self.with(stack, Slot { room, medium, mm })));
        }
        out.extend(self.shifted(stack));
        let used: std::collections::BTreeSet<u16> = stack.iter().map(|s| s.medium).collect();
        for from in used {
            for (to, may) in self.media.iter().enumerate().filter(|(to, _)| *to != usize::from(from)) {
                let swapped = stack.iter().map(|slot| {
                    let here = slot.medium == from;
                    let mm = if may.depths.contains(&slot.mm) {
                        slot.mm
                    } else {
                        *may.depths.first().unwrap_or(&0)
                    };
                    if here { Slot { medium: to as u16, mm, ..*slot } } else { *slot }
                });
                let mut swapped: Stack = swapped.collect();
                swapped.order_by_key(|slot| self.order(*slot));
                out.push(swapped);
            }
        }
        // All layers of a medium, or of every one that may, as thick as each other.
        let deep: std::collections::BTreeSet<u16> = self.choices().map(|(_, mm)| mm).collect();
        let one = stack.iter().map(|s| Some(s.medium)).chain([None]);
        for (which, mm) in one.flat_map(|which| deep.iter().map(move |mm| (which, *mm))) {
            let alike = |slot: &Slot| {
                let meant = which.is_none_or(|medium| medium == slot.medium);
                let may = self.may(*slot).is_some_and(|may| may.depths.contains(&mm));
                if meant && may { Slot { mm, ..*slot } } else { *slot }
            };
            out.push(stack.iter().map(alike).collect());
        }
        out.retain(|stack| self.in_order(stack) && self.staged(stack));
        out
    }

    /// All layers, those of one tray, or those up to or from one tray on, moved up or down by some trays.
    fn shifted(&self, stack: &Stack) -> Vec<Stack> {
        let rooms = self.rooms.len() as u8;
        let mut out = Vec::new();
        for at in 0..rooms {
            for by in 1..rooms {
                for which in 0..3 {
                    let moved = |slot: &Slot| match which {
                        0 => slot.room == at,
                        1 => slot.room >= at,
                        _ => slot.room <= at,
                    };
                    for up in [true, false] {
                        let to = |room: u8| if up { room.checked_add(by) } else { room.checked_sub(by) };
                        let shift = |slot: &Slot| {
                            let room = if moved(slot) { to(slot.room)? } else { slot.room };
                            (room < rooms).then_some(Slot { room, ..*slot })
                        };
                        out.extend(stack.iter().map(shift).collect::<Option<Stack>>());
                    }
                }
            }
        }
        out
    }

    /// Plain stacks to start from: one layer of each role or none, in the first tray that has room, biological
    /// media in the next tray that has room or in all that are left; and the same with the first trays empty.
    pub fn plain(&self) -> Vec<Stack> {
        // Of very many rooms a few, evenly apart: the search goes on from them.
        let rooms = self.rooms.len();
        let step = rooms.div_ceil(MANY).max(1);
        let looked_at: Vec<u8> =
            (0..rooms).step_by(step).chain(rooms.checked_sub(1)).map(|r| r as u8).collect();
        let mut stacks = vec![Stack::new()];
        for role in [Role::Settlement, Role::Coarse, Role::Medium, Role::Fine] {
            let of_role: Vec<usize> = self.of(role).collect();
            let more: Vec<Stack> = stacks
                .iter()
                .flat_map(|stack| of_role.iter().filter_map(|medium| self.next(stack, *medium)))
                .collect();
            stacks.extend(more);
        }
        let mut out = stacks.clone();
        for medium in self.of(Role::Biological) {
            for stack in &stacks {
                let mut filled = stack.clone();
                for room in 0..self.rooms.len() {
                    let slot = Slot { room: room as u8, medium: medium as u16, mm: 0 };
                    let fuller = self.with(&filled, slot);
                    if self.in_order(&fuller) && self.staged(&fuller) {
                        filled = fuller;
                        if looked_at.contains(&(room as u8)) {
                            out.push(filled.clone());
                        }
                    }
                }
            }
        }
        for medium in self.of(Role::Polishing) {
            let last: Vec<Stack> = out.iter().filter_map(|stack| self.next(stack, medium)).collect();
            out.extend(last);
        }
        let later = |stack: &Stack, by: u8| -> Stack {
            stack.iter().map(|slot| Slot { room: slot.room.saturating_add(by), ..*slot }).collect()
        };
        let shifts = looked_at.iter().copied().filter(|by| *by > 0);
        let shifted = shifts.flat_map(|by| out.iter().map(move |s| later(s, by)));
        let shifted: Vec<Stack> =
            shifted.filter(|s| s.last().is_none_or(|slot| self.room(*slot).is_some())).collect();
        out.extend(shifted);
        // Thin and thick pads as well as middling ones.
        for end in [<[u16]>::first, <[u16]>::last] {
            let other = |slot: &Slot| {
                let mm = self.may(*slot).and_then(|may| end(&may.depths)).copied();
                Slot { mm: mm.unwrap_or(slot.mm), ..*slot }
            };
            let others: Vec<Stack> = out.iter().map(|stack| stack.iter().map(other).collect()).collect();
            out.extend(others);
        }
        // One medium alone, in one tray or in several that follow each other.
        for (medium, mm) in self.choices() {
            for from in looked_at.iter().copied() {
                let lasts = looked_at.iter().copied().filter(|last| *last >= from);
                out.extend(lasts.map(|last| (from..=last).map(|room| Slot { room, medium, mm }).collect()));
            }
        }
        out.retain(|stack| self.in_order(stack) && self.staged(stack));
        out.sort();
        out.dedup();
        out
    }

    fn of(&self, role: Role) -> impl Iterator<Item = usize> + '_ {
        self.media.iter().enumerate().filter(move |(_, m)| m.order.0 == role).map(|(i, _)| i)
    }

    /// The stack with one more layer behind it, of middling thickness, in the first room that takes it.
    fn next(&self, stack: &Stack, medium: usize) -> Option<Stack> {
        let depths = &self.media.get(medium)?.depths;
        let mm = *depths.get(depths.len() / 2)?;
        let from = stack.last().map_or(0, |slot| slot.room);
        (from..self.rooms.len() as u8)
            .map(|room| {
                let mut more = stack.clone();
                more.push(Slot { room, medium: medium as u16, mm });
                more
            })
            .find(|stack| self.in_order(stack))
    }

    /// Every legal stack, depth first, if there are at most `most` beginnings to look at; else none.
    pub fn all(&self, most: usize) -> Option<Vec<Stack>> {
        let (mut open, mut all) = (vec![Stack::new()], Vec::new());
        while let Some(stack) = open.pop() {
            if all.len() + open.len() > most {
                return None;
            }
            let from = stack.last().map_or(0, |slot| slot.room);
            for room in from..self.rooms.len() as u8 {
                for (medium, mm) in self.choices() {
                    let mut more = stack.clone();
                    more.push(Slot { room, medium, mm });
                    if self.in_order(&more) {
                        open.push(more);
                    }
                }
            }
            all.push(stack);
        }
        all.retain(|stack| self.staged(stack));
        Some(all)
    }
}

/// A figure as the reader takes a plain one.
fn printed(mm: f64, key: Key) -> Uncertain<Length> {
    let unit = Length::UNITS.first().map_or(1e-3, |unit| unit.factor);
    Uncertain { value: Length::of(mm * unit), known: Provenance::Stated, spread: PRINTED, key }
}
