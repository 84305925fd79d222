//! One physical filter with the ways it has been packed.

use super::fields::{form, row};
use super::hoses::{Fitting, Hose, Outlet};
use super::pump::Pump;
use super::shape::Shape;
use super::tray::{Layer, Tray};
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Flow, Length, Mass, Plain, Power, Time, Volume};

/// One physical unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Filter {
    /// File name without its ending: the first part of its keys.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Free text.
    pub notes: String,
    /// What the box prints.
    pub label: Option<Label>,
    /// The pump; its curve may be unknown.
    pub pump: Pump,
    /// Which way the water crosses the trays.
    pub way: Way,
    /// The hose, the same on both sides.
    pub hose: Hose,
    /// Fittings of the suction side, in the order the water meets them.
    pub suction: Vec<Fitting>,
    /// Fittings of the delivery side, in the order the water meets them.
    pub delivery: Vec<Fitting>,
    /// Where the water leaves.
    pub outlet: Outlet,
    /// The vessel.
    pub body: Body,
    /// Trays from the bottom up.
    pub trays: Vec<Tray>,
    /// UV chamber, if there is one.
    pub uv: Option<Uv>,
    /// How it is handled; compared, not computed.
    pub handling: Option<Handling>,
    /// This very unit, for a second-hand choice.
    pub unit: Option<Unit>,
    /// The ways it has been packed; each has at most as many trays as the filter.
    pub builds: Vec<Build>,
}

/// What the box prints.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Printed flow.
    pub flow: Option<Uncertain<Flow>>,
    /// Printed tank volume.
    pub tank: Option<Uncertain<Volume>>,
}

/// Which way the water crosses the trays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From the floor up.
    Rising,
    /// From the lid down.
    Falling,
}

/// The vessel.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Body {
    /// Outside box.
    pub outside: Option<Outside>,
    /// Empty and dry.
    pub dry_mass: Option<Uncertain<Mass>>,
    /// Space under the lowest tray.
    pub floor: Option<Floor>,
    /// Passage that takes the water past the trays.
    pub down_tube: Option<DownTube>,
    /// Water above the top tray.
    pub head_space: Option<Uncertain<Volume>>,
}

form! {
    /// A box: the vessel's outside, or the inside of a cabinet.
    Outside "Outside" "a box" "(width: mm(235), depth: mm(200), height: mm(410))" {
        width: Uncertain<Length> = row("outside of a box").label("width").range(20.0, 3_000.0, "mm").step(10.0)
            .like("mm(400)").says("clear inside").measure("tape");
        depth: Uncertain<Length> = row("outside of a box").label("depth").range(20.0, 3_000.0, "mm").step(10.0)
            .like("mm(350)").says("clear inside").measure("tape");
        height: Uncertain<Length> = row("outside of a box").label("height").range(20.0, 3_000.0, "mm").step(10.0)
            .like("mm(600)").says("clear inside").measure("tape");
    }
}

/// Settlement space under the lowest tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Outline.
    pub shape: Shape,
    /// Clear height, above 0.
    pub height: Uncertain<Length>,
}

/// The down-tube.
#[derive(Clone, Debug, PartialEq)]
pub struct DownTube {
    /// Bore, above 0.
    pub bore: Uncertain<Length>,
    /// Length, above 0.
    pub length: Uncertain<Length>,
    /// Gap between trays where they form the tube themselves.
    pub joint: Option<Uncertain<Length>>,
}

/// UV chamber.
#[derive(Clone, Debug, PartialEq)]
pub struct Uv {
    /// Electrical power of the lamp.
    pub lamp: Uncertain<Power>,
    /// Hours it has burnt.
    pub hours: Option<Uncertain<Time>>,
    /// Outside diameter of the sleeve.
    pub sleeve: Uncertain<Length>,
    /// Inside diameter of the chamber, above the sleeve's.
    pub shell: Uncertain<Length>,
    /// Lit length.
    pub length: Option<Uncertain<Length>>,
    /// Price of a new lamp.
    pub price: Option<Uncertain<Plain>>,
}

/// How the filter is primed and opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handling {
    /// How it is primed.
    pub priming: Priming,
    /// How its hoses come off.
    pub release: Release,
    /// How many clasps hold the lid.
    pub clasps: Option<u32>,
}

/// How a filter is primed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Priming {
    /// By a motor.
    Electric,
    /// By a push button or plunger.
    Push,
    /// By filling or sucking.
    ByHand,
}

/// How the hoses come off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Release {
    /// One block with both hoses.
    Block,
    /// A union on each hose.
    Unions,
    /// Not without a bucket.
    None,
}

/// This very unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// What is asked for it.
    pub asking: Option<Uncertain<Plain>>,
    /// Whether spare parts still exist.
    pub spares: Option<Spares>,
    /// How old it is.
    pub age: Option<Uncertain<Time>>,
    /// What is known of its impeller.
    pub impeller: Impeller,
    /// State of the UV lamp.
    pub lamp: Lamp,
    /// Parts to replace, with prices where known.
    pub to_fix: Vec<Repair>,
    /// Media ids that come with it.
    pub includes: Vec<String>,
}

/// One part to replace.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// What.
    pub part: String,
    /// For how much.
    pub price: Uncertain<Plain>,
}

/// Whether spares exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spares {
    /// Easily had.
    Plenty,
    /// With luck.
    Scarce,
    /// No more.
    None,
}

/// What is known of the impeller.
// One a filter: boxing the bucket test would save nothing.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq)]
pub enum Impeller {
    /// As new.
    New,
    /// Share of a new one's flow, above 0 to 1.
    Share(Uncertain<Plain>),
    /// A bucket test to work it out from.
    Bucket(Bucket),
}

/// Litres and seconds, with no media in the vessel and both ends level.
#[derive(Clone, Debug, PartialEq)]
pub struct Bucket {
    /// Volume that ran.
    pub volume: Uncertain<Volume>,
    /// In this time.
    pub time: Uncertain<Time>,
    /// Suction hose used.
    pub suction: Uncertain<Length>,
    /// Delivery hose used.
    pub delivery: Uncertain<Length>,
    /// Bends in each of them.
    pub bends: Uncertain<Plain>,
}

/// State of the UV lamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Lamp {
    /// Lights.
    #[default]
    Working,
    /// Does not.
    BurntOut,
    /// Is not there.
    Absent,
}

/// One way of packing the filter.
#[derive(Clone, Debug, PartialEq)]
pub struct Build {
    /// Name for people, unique in its file.
    pub name: String,
    /// Layers on the floor, bottom to top.
    pub floor: Vec<Layer>,
    /// Layers of each tray, trays and layers from the bottom up. As many as the filter has trays.
    pub trays: Vec<Vec<Layer>>,
}
