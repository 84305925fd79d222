//! A filter: vessel, trays, lamp, this very unit. Its builds stand in `check_build`.

use super::check::Check;
use super::check_build::FloorIs;
use super::schema;
use super::spanned::{At, Reader};
use crate::library::Library;
use crate::model::filter::{
    Body, Bucket, DownTube, Filter, Floor, Handling, Impeller, Label, Lamp, Outside, Priming, Release,
    Repair, Spares, Unit, Uv, Way,
};
use crate::model::hoses::Outlet;
use crate::model::ranges as r;
use crate::model::tray::{Seal, SealCondition, Tray};
use crate::place::Space;
use crate::uncertainty::key::{Source, Spot};
use crate::uncertainty::uncertain::Uncertain;
use crate::units::Plain;

/// Most trays of a filter.
const MAX_TRAYS: usize = 20;
/// Most parts to fix, or media that come with a unit.
const MAX_PARTS: usize = 100;

/// Reads and checks a profile; `id` starts its keys. `None` where a problem was noted.
pub fn filter(reader: &mut Reader<'_>, library: &Library, id: &str) -> Option<Filter> {
    let whole = reader.whole::<schema::Filter>();
    let mut check = Check::new(reader, library, Source::Filter(id.into()));
    let (form, owner) = check.form(&whole)?;
    check.format(form.format.as_ref(), &owner);
    let media = check.list(form.media.as_ref(), "`media`", super::check_medium::MAX_ENTRIES);
    for medium in check.media(&media) {
        check.own.insert(medium.id.clone(), std::sync::Arc::new(medium));
    }
    let name =
        check.required(form.name.as_ref(), &owner, "name").and_then(|at| check.name(at, "the filter's name"));
    let notes = check.notes(form.notes.as_ref(), "the notes");
    let label = form.label.as_ref().and_then(|at| check.label(at));
    let pump = check.pump(form.pump.as_ref());
    let way = check.required(form.way.as_ref(), &owner, "way").and_then(|at| check.reader.get(at));
    let hose = check.hose(form.hose.as_ref(), &owner);
    let (suction, _) = check.side(form.suction.as_ref(), "suction", false);
    let (delivery, outlet) = check.side(form.delivery.as_ref(), "delivery", true);
    let body = match &form.body {
        Some(at) => check.body(at),
        None => Some(Body::default()),
    };
    let list = check.list(form.trays.as_ref(), "`trays`", MAX_TRAYS);
    let trays: Vec<Option<Tray>> =
        list.iter().enumerate().map(|(i, at)| check.tray(at, &Space::Tray(i).into())).collect();
    let uv = form.uv.as_ref().and_then(|at| check.uv(at));
    let handling = form.handling.as_ref().and_then(|at| check.handling(at));
    let unit = form.unit.as_ref().and_then(|at| check.unit(at));
    let floor = match &body {
        None => FloorIs::Broken,
        Some(Body { floor: None, .. }) => FloorIs::Missing,
        Some(Body { floor: Some(floor), .. }) => FloorIs::There(floor),
    };
    let builds = check.builds(form.builds.as_ref(), &owner, &trays, floor);
    if !check.reader.is_sound() {
        return None;
    }
    Some(Filter {
        id: id.to_owned(),
        name: name?,
        notes,
        label,
        pump: pump?,
        way: match way? {
            schema::Way::Rising => Way::Rising,
            schema::Way::Falling => Way::Falling,
        },
        hose: hose?,
        suction,
        delivery,
        outlet: outlet.unwrap_or(Outlet::Open),
        body: body?,
        trays: trays.into_iter().collect::<Option<_>>()?,
        uv,
        handling,
        unit,
        builds: builds?,
    })
}

impl Check<'_, '_, '_> {
    fn label(&mut self, at: &At<schema::Label>) -> Option<Label> {
        let (form, _) = self.form(at)?;
        let flow = self.figure(form.flow.as_ref(), &r::LABEL_FLOW, "label/flow");
        let tank = self.figure(form.tank.as_ref(), &r::LABEL_TANK, "label/tank");
        Some(Label { flow, tank })
    }

    fn body(&mut self, at: &At<schema::Body>) -> Option<Body> {
        let (form, _) = self.form(at)?;
        let outside = form.outside.as_ref().map(|at| self.outside(at, &"body".into()));
        let dry_mass = self.figure(form.dry_mass.as_ref(), &r::DRY_MASS, "body/dry_mass");
        let floor = form.floor.as_ref().map(|at| self.floor(at));
        let down_tube = form.down_tube.as_ref().map(|at| self.down_tube(at));
        let head_space = self.figure(form.head_space.as_ref(), &r::HEAD_SPACE, "body/head_space");
        Some(Body {
            outside: or_broken(outside)?,
            dry_mass,
            floor: or_broken(floor)?,
            down_tube: or_broken(down_tube)?,
            head_space,
        })
    }

    /// A box: the vessel's outside, or the inside of a cabinet.
    pub fn outside(&mut self, at: &At<schema::Outside>, key: &Spot) -> Option<Outside> {
        let (form, owner) = self.form(at)?;
        let key = |field| key.part(field);
        let width = self.needed(form.width.as_ref(), &owner, "width", &r::OUTSIDE, &key("width"));
        let depth = self.needed(form.depth.as_ref(), &owner, "depth", &r::OUTSIDE, &key("depth"));
        let height = self.needed(form.height.as_ref(), &owner, "height", &r::OUTSIDE, &key("height"));
        Some(Outside { width: width?, depth: depth?, height: height? })
    }

    fn floor(&mut self, at: &At<schema::Floor>) -> Option<Floor> {
        let (form, owner) = self.form(at)?;
        let height = self.needed(form.height.as_ref(), &owner, "height", &r::FLOOR_HEIGHT, "floor/height");
        let clear = height.as_ref().map(Uncertain::si);
        let shape = self
            .required(form.shape.as_ref(), &owner, "shape")
            .and_then(|at| self.shape(at, &"floor/shape".into(), clear));
        Some(Floor { shape: shape?, height: height? })
    }

    fn down_tube(&mut self, at: &At<schema::DownTube>) -> Option<DownTube> {
        let (form, owner) = self.form(at)?;
        let bore = self.needed(form.bore.as_ref(), &owner, "bore", &r::TUBE_BORE, "down_tube/bore");
        let length = self.needed(form.length.as_ref(), &owner, "length", &r::TUBE_LENGTH, "down_tube/length");
        let joint = self.figure(form.joint.as_ref(), &r::GAP, "down_tube/joint");
        Some(DownTube { bore: bore?, length: length?, joint })
    }

    fn tray(&mut self, at: &At<schema::Tray>, key: &Spot) -> Option<Tray> {
        let (form, owner) = self.form(at)?;
        let key = |field| key.part(field);
        let height = self.needed(form.height.as_ref(), &owner, "height", &r::TRAY_HEIGHT, &key("height"));
        let clear = height.as_ref().map(Uncertain::si);
        let shape = self
            .required(form.shape.as_ref(), &owner, "shape")
            .and_then(|at| self.shape(at, &key("shape"), clear));
        let grid = self.figure(form.grid.as_ref(), &r::GRID, &key("grid"));
        let seal = form.seal.as_ref().map(|at| self.seal(at, &key("seal")));
        Some(Tray { shape: shape?, height: height?, grid, seal: or_broken(seal)? })
    }

    fn seal(&mut self, at: &At<schema::Seal>, key: &Spot) -> Option<Seal> {
        let (form, owner) = self.form(at)?;
        let (condition, gap, field) = match &form {
            schema::Seal::Lip { gap } => (SealCondition::Lip, gap, &r::GAP),
            schema::Seal::Worn { gap } => (SealCondition::Worn, gap, &r::GAP),
            schema::Seal::Missing { gap } => (SealCondition::Missing, gap, &r::BARE_GAP),
        };
        let gap = self.needed(gap.as_ref(), &owner, "gap", field, key)?;
        Some(Seal { condition, gap })
    }

    fn uv(&mut self, at: &At<schema::Uv>) -> Option<Uv> {
        let (form, owner) = self.form(at)?;
        let lamp = self.needed(form.lamp.as_ref(), &owner, "lamp", &r::LAMP_POWER, "uv/lamp");
        let hours = self.figure(form.hours.as_ref(), &r::LAMP_HOURS, "uv/hours");
        let sleeve = self.needed(form.sleeve.as_ref(), &owner, "sleeve", &r::SLEEVE, "uv/sleeve");
        let shell = self.needed(form.shell.as_ref(), &owner, "shell", &r::SHELL, "uv/shell");
        let length = self.figure(form.length.as_ref(), &r::UV_LENGTH, "uv/length");
        let price = self.figure(form.price.as_ref(), &r::PRICE, "uv/price");
        let (sleeve, shell) = (sleeve?, shell?);
        if shell.si() <= sleeve.si() {
            self.fault(
                form.shell.as_ref()?,
                "the UV chamber is not wider than the sleeve in it",
                "`sleeve` is the outside of the quartz, `shell` the inside of the chamber round it",
            );
        }
        Some(Uv { lamp: lamp?, hours, sleeve, shell, length, price })
    }

    fn handling(&mut self, at: &At<schema::Handling>) -> Option<Handling> {
        let (form, owner) = self.form(at)?;
        let priming =
            self.required(form.priming.as_ref(), &owner, "priming").and_then(|at| self.reader.get(at));
        let release =
            self.required(form.release.as_ref(), &owner, "release").and_then(|at| self.reader.get(at));
        let clasps = self.count(form.clasps.as_ref(), &r::CLASPS);
        Some(Handling {
            priming: match priming? {
                schema::Priming::Electric => Priming::Electric,
                schema::Priming::Push => Priming::Push,
                schema::Priming::ByHand => Priming::ByHand,
            },
            release: match release? {
                schema::Release::Block => Release::Block,
                schema::Release::Unions => Release::Unions,
                schema::Release::None => Release::None,
            },
            clasps,
        })
    }

    fn unit(&mut self, at: &At<schema::Unit>) -> Option<Unit> {
        let (form, _) = self.form(at)?;
        let asking = self.figure(form.asking.as_ref(), &r::ASKING, "unit/asking");
        let spares = self.optional(form.spares.as_ref()).map(|spares| match spares {
            schema::Spares::Plenty => Spares::Plenty,
            schema::Spares::Scarce => Spares::Scarce,
            schema::Spares::None => Spares::None,
        });
        let age = self.figure(form.age.as_ref(), &r::AGE, "unit/age");
        let impeller = match (&form.impeller, &form.bucket) {
            (Some(_), Some(bucket)) => {
                self.fault(
                    bucket,
                    "both `impeller` and `bucket` are given",
                    "keep one of them: the bucket test works the impeller's share out",
                );
                None
            }
            (Some(share), None) => {
                self.figure(Some(share), &r::IMPELLER, "unit/impeller").map(Impeller::Share)
            }
            (None, Some(bucket)) => self.bucket(bucket).map(Impeller::Bucket),
            (None, None) => Some(Impeller::New),
        };
        let lamp = match self.optional(form.lamp.as_ref()) {
            Some(schema::Lamp::BurntOut) => Lamp::BurntOut,
            Some(schema::Lamp::Absent) => Lamp::Absent,
            Some(schema::Lamp::Working) | None => Lamp::Working,
        };
        let list = self.list(form.to_fix.as_ref(), "`to_fix`", MAX_PARTS);
        let mut to_fix = Vec::new();
        for (i, item) in list.iter().enumerate() {
            let Some((part, price)) = self.reader.pair(item, "a part to fix", "(\"tray seal set\", 9.0)")
            else {
                continue;
            };
            let part = self.name(&part, "the part's name");
            let price = self.figure(Some(&price), &r::PRICE, &Spot::from("unit/to_fix").item(i));
            to_fix.extend(part.zip(price).map(|(part, price)| Repair { part, price }));
        }
        let list = self.list(form.includes.as_ref(), "`includes`", MAX_PARTS);
        let includes = list.iter().filter_map(|at| self.medium(at)).map(|medium| medium.id.clone()).collect();
        Some(Unit { asking, spares, age, impeller: impeller?, lamp, to_fix, includes })
    }

    fn bucket(&mut self, at: &At<schema::Bucket>) -> Option<Bucket> {
        let (form, owner) = self.form(at)?;
        let volume =
            self.needed(form.volume.as_ref(), &owner, "volume", &r::BUCKET_VOLUME, "unit/bucket/volume");
        let time = self.needed(form.time.as_ref(), &owner, "time", &r::BUCKET_TIME, "unit/bucket/time");
        let suction = self.needed(form.suction.as_ref(), &owner, "suction", &r::RUN, "unit/bucket/suction");
        let delivery =
            self.needed(form.delivery.as_ref(), &owner, "delivery", &r::RUN, "unit/bucket/delivery");
        let bends = self.or_assumed(form.bends.as_ref(), &r::BENDS, "unit/bucket/bends", Plain::of(0.0));
        Some(Bucket { volume: volume?, time: time?, suction: suction?, delivery: delivery?, bends: bends? })
    }
}

/// A part that was left out, is there, or is there but broken (then `None` outside).
#[allow(clippy::option_option)] // three answers are needed: left out, sound, broken
pub fn or_broken<T>(part: Option<Option<T>>) -> Option<Option<T>> {
    match part {
        None => Some(None),
        Some(None) => None,
        Some(Some(part)) => Some(Some(part)),
    }
}
