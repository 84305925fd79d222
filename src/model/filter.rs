//! One physical filter with the ways it has been packed.

use std::fmt;
use std::sync::Arc;

use super::fields::{Door, Field, Figures, Given, Kind, Row, Wording, choice, choice_field, form, row, rows};
use super::hoses::{Fitting, Outlet};
use super::log::Kept;
use super::{Layer, Medium, Pump, Shape, Tray};
use crate::assumptions::A;
use crate::uncertainty::Uncertain;
use crate::units::{Flow, Length, Mass, Plain, Power, Time, Volume};
use crate::ways;

rows! {
    /// Media that a profile brings along; layers hold them.
    pub OWN_MEDIA "media": Vec<Medium> = row("`media`").most(1000).or_nothing().like("[Medium(…)]")
        .says("media that nobody else has, so that the profile loads anywhere").without("none");
}

/// The text of the file that a thing was read from, comments and all. Two things are the same whatever it says, and a
/// thing that was changed since still has it.
#[derive(Clone, Default)]
pub struct Text(pub Arc<str>);

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Text")
    }
}

impl PartialEq for Text {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

form! {
    Filter "Filter" "a filter" "Filter(format: 1, name: \"…\", …)"
        given {
            /// File name without its ending: the first part of its keys.
            id: String,
            /// As somebody wrote it.
            text: Text,
            /// The unit as it is, where this is the unit put right (`model::put_right`).
            found: Option<Arc<Filter>>,
        }
        also OWN_MEDIA {
        name: String = row("the filter's name").lead(1).wording(Wording::Name).label("name").like("\"Tamsin 1100\"").aside()
            .says("a name to know the filter by");
        notes: String = row("the notes").label("notes").or_nothing().like("\"three D-shaped trays\"").aside()
            .says("free text").without("nothing");
        variant: Option<String> = row("the variant").label("variant").wording(Wording::Name).aside()
            .like("\"grey lid, three clasps\"").says("which of several makes under one name").without("not told");
        measured: Option<Measured> = row("who measured it").label("measured").aside().without("not told")
            .says("who stands behind the measured figures; it changes none of them");
        licence: Option<String> = row("the licence").label("licence").wording(Wording::Name).aside()
            .like("\"CC0-1.0\"").says("of this file, for those who share it").without("not told");
        label: Option<Label> = row("what the box prints").label("label").aside().without("not told");
        pump: Pump = row("the pump").label("pump").or_fields();
        way: Way = row("the way of the water").lead(4).label("way of the water").like("rising").or_word("rising")
            .says("`rising`: upward through the trays; `falling`: it enters under the lid").without("rising");
        hose: Hose = row("the hose").label("hose").or_fields().says("the same on both sides");
        /// In the order the water meets them.
        intake: Vec<Fitting> = row("`intake`").label("intake").was("suction").most(40).or_made(A::LeftFittings)
            .like("[strainer(), tap(bore: mm(12.5))]").or_none("bare hose")
            .says("fittings from the tank to the filter, in the order the water meets them");
        return_side: Vec<Fitting> = row("`return`").label("return").file("return").was("delivery").most(40).or_made(A::LeftFittings)
            .like("[tap(bore: mm(12.5)), outlet(jet(bore: mm(13)))]").or_none("bare hose, open at its end")
            .says("fittings from the filter to the tank, in the order the water meets them; an outlet comes last");
        /// Where the water leaves; it stands at the end of `return`.
        outlet: Outlet = row("outlet");
        body: Body = row("the vessel").label("body").keyless().or_fields();
        /// From the bottom up.
        trays: Vec<Tray> = row("`trays`").label("tray").most(20).or_nothing().like("[Tray(…), Tray(…)]")
            .says("from the bottom up, as they stand; or `count(3)` with an outside size: as many, of assumed sizes")
            .without("there are none");
        uv: Option<Uv> = row("the UV chamber").label("UV").without("there is none");
        handling: Option<Handling> = row("how it is handled").label("handling").aside().without("not told");
        unit: Option<Unit> = row("this very unit").label("unit").without("a new filter without prices");
        builds: Vec<Build> = row("`builds`").label("builds").most(1000)
            .like("[Build(name: \"as bought\", trays: […])]").says("the ways it has been packed");
    }
}

form! {
    Hose "Hose" "a hose" "Hose(bore: mm(16), wall: smooth)" {
        bore: Uncertain<Length> = row("hose bore").lead(5).label("bore").range(3.0, 60.0, "mm").bore().like("mm(16)")
            .says("inside diameter").or_made(A::LeftHose).measure(ways::DRILL);
        wall: Wall = row("the wall of a hose").label("wall").keyless().or_word("smooth").like("smooth")
            .says("its inside").without("smooth");
    }
}

choice! {
    Wall "the wall of a hose" "smooth", {
        Smooth "smooth" "smooth",
        Ribbed "ribbed" "ribbed" (named) {
            pitch: Uncertain<Length> = row("pitch of the ribs").label("pitch").range(0.5, 30.0, "mm").like("mm(4)")
                .says("from rib to rib").measure("ruler over ten ribs");
        },
    }
}

form! {
    /// Who stands behind the measured figures of a file, when and with what they were taken.
    Measured "Measured" "who measured it" "(by: \"the caretaker\", on: \"2026-02-21\", with: \"ruler, bucket\")" {
        by: Option<String> = row("who measured").label("by").wording(Wording::Name).aside()
            .like("\"the library's caretaker\"").says("who").without("not told");
        on: Option<String> = row("the day it was measured").label("on").wording(Wording::Date).aside()
            .like("\"2026-02-21\"").says("when").without("not told");
        with: Option<String> = row("what it was measured with").label("with").aside()
            .like("\"ruler, feeler gauge, bucket, kitchen scales\"").says("with what").without("not told");
    }
}

form! {
    Label "Label" "a label" "Label(flow: l_h(1100), tank: l(300))" {
        flow: Option<Uncertain<Flow>> = row("printed flow").lead(2).label("flow").range(10.0, 20_000.0, "l_h")
            .printed(super::fields::Printed::PumpFlow).like("l_h(1100)").says("the flow on the box")
            .without("not told").measure("read it off the box or the rating plate");
        tank: Option<Uncertain<Volume>> = row("printed tank volume").label("tank").range(5.0, 20_000.0, "l")
            .like("l(300)").says("the tank it is sold for; shown, never used").without("not told")
            .measure("read it off the box");
    }
}

choice! {
    #[derive(Copy, Default, Eq)]
    Way "the way of the water" "rising", {
        #[default]
        Rising "rising" "rising",
        Falling "falling" "falling",
    }
}

form! {
    #[derive(Default)]
    Body "Body" "a body" "Body(outside: (width: mm(235), depth: mm(200), height: mm(410)), …)" {
        outside: Option<Outside> = row("outside of the vessel").lead(3).label("outside").key("body").without("whether it fits is a dash");
        dry_mass: Option<Uncertain<Mass>> = row("dry mass").key("body/dry_mass").range(0.1, 100.0, "kg").like("kg(4.2)")
            .says("empty, without media and hoses").or_made(A::LeftMass).measure("bathroom scales");
        floor: Option<Floor> = row("settling space under the trays").label("floor").or_made(A::LeftFloor)
            .or_none("there is none");
        down_tube: Option<DownTube> = row("the pipe through the trays").label("down pipe").or_made(A::LeftTube)
            .or_none("there is none");
        head_space: Option<Uncertain<Volume>> = row("head space").key("body/head_space").range(0.0, 50.0, "l").like("l(1.2)")
            .says("water above the top tray").or_made(A::LeftHeadSpace).measure("measuring jug");
    }
}

form! {
    /// A box: the vessel's outside, or the inside of a cabinet.
    Outside "Outside" "a box" "(width: mm(235), depth: mm(200), height: mm(410))" {
        width: Uncertain<Length> = row("outside of a box").label("width").range(20.0, 3_000.0, "mm").length().step(10.0)
            .like("mm(400)").says("clear inside").measure("tape");
        depth: Uncertain<Length> = row("outside of a box").label("depth").range(20.0, 3_000.0, "mm").length().step(10.0)
            .like("mm(350)").says("clear inside").measure("tape");
        height: Uncertain<Length> = row("outside of a box").label("height").range(20.0, 3_000.0, "mm").length().step(10.0)
            .like("mm(600)").says("clear inside").measure("tape");
    }
}

form! {
    Floor "Floor" "a floor" "Floor(shape: dee(width: mm(190), depth: mm(165)), height: mm(25))" {
        shape: Shape = row("outline of the floor").label("outline");
        height: Uncertain<Length> = row("height of the floor").label("height").range(1.0, 600.0, "mm").length().like("mm(25)")
            .says("from the bottom to the lowest tray").measure("ruler");
    }
}

form! {
    DownTube "DownTube" "a down pipe" "(bore: mm(22), length: mm(300))" {
        bore: Uncertain<Length> = row("bore of the down pipe").label("bore").range(5.0, 150.0, "mm").bore().like("mm(22)")
            .says("its inside").measure(ways::DRILL);
        length: Uncertain<Length> = row("length of the down pipe").label("length").range(10.0, 2_000.0, "mm").length()
            .like("mm(300)").says("from top to bottom").measure("ruler");
        joint: Option<Uncertain<Length>> = row("gap").label("joint").range(0.0, 20.0, "mm").printed(super::fields::Printed::LipGap).aside().like("mm(0.05)")
            .says("gap at each joint where the trays themselves form the pipe").or_made(A::LeftJoint).or_none("it is one piece")
            .measure(ways::GAUGE);
    }
}

form! {
    Uv "Uv" "a UV chamber" "Uv(lamp: w(7), sleeve: mm(24), shell: mm(44))" {
        lamp: Uncertain<Power> = row("lamp power").label("lamp").range(0.5, 300.0, "w").like("w(7)")
            .says("electrical power of the lamp").measure("printed on the lamp, unplugged");
        hours: Option<Uncertain<Time>> = row("hours of a lamp").label("hours burnt").range(0.0, 200_000.0, "h")
            .like("h(6000)").says("how long it has burnt").without("taken as new").measure("days in use × hours a day");
        sleeve: Uncertain<Length> = row("diameter of the sleeve").label("sleeve").range(5.0, 150.0, "mm").length()
            .like("mm(24)").says("outside of the quartz").measure("calliper, unplugged and cold");
        shell: Uncertain<Length> = row("diameter of the UV chamber").label("shell").range(8.0, 300.0, "mm").length()
            .like("mm(44)").says("inside of the chamber round the sleeve").measure("calliper");
        length: Option<Uncertain<Length>> = row("lit length").range(10.0, 2_000.0, "mm").length().like("mm(150)")
            .says("of the lamp's glow").without("worked out from its power").measure("ruler along the lamp, unplugged");
        price: Option<Uncertain<Plain>> = row("price").label("price of a lamp").range(0.0, 1_000_000.0, "").exact()
            .like("18.0").says("of a new lamp").without("its cost is a dash").measure(ways::PRICE);
    }
}

form! {
    /// How it is handled; compared, not computed.
    #[derive(Copy, Eq)]
    Handling "Handling" "handling" "Handling(priming: electric, release: block, clasps: 4)" {
        priming: Priming = row("a way of priming").label("priming").like("electric").says("how it is filled at the start");
        release: Release = row("a release of the hoses").label("hose release").like("block").says("how the hoses come off");
        clasps: Option<u32> = row("number of clasps").label("clasps").range(0.0, 20.0, "").exact().like("4")
            .says("of the lid").without("not told").measure("count them");
    }
}

choice! {
    #[derive(Copy, Eq)]
    Priming "a way of priming" "electric", {
        Electric "electric" "by a motor",
        Push "push" "by a push button",
        ByHand "by_hand" "by hand",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Release "a release of the hoses" "block", {
        Block "block" "both hoses in one block",
        Unions "unions" "a union on each hose",
        None "none" "none",
    }
}

form! {
    /// This very unit, as offered or owned.
    Unit "Unit" "a unit" "Unit(asking: 45.0, age: year(6), …)" {
        asking: Option<Uncertain<Plain>> = row("price").label("asking price").range(0.0, 1_000_000.0, "").exact()
            .like("45.0").says("what is asked for it").without("it costs nothing").measure(ways::SELLER);
        spares: Option<Spares> = row("how spares are to be had").label("spares").aside().like("scarce")
            .says("how spares are to be had").without("not told");
        age: Option<Uncertain<Time>> = row("age").range(0.0, 80.0, "year").aside().like("year(6)").says("since it was new")
            .without("not told").measure(ways::SELLER);
        impeller: Impeller = row("impeller").aside();
        lamp: Lamp = row("the state of a lamp").label("lamp").or_word("working").like("burnt_out")
            .says("whether the lamp burns").without("working");
        to_fix: Vec<Repair> = row("`to_fix`").label("to fix").most(100).or_nothing().like("[(seals([2, 3]), 9.0), (lamp, 18.0)]")
            .says("parts to put right, each with its price; seals, impeller and lamp are then judged as new").without("nothing");
        includes: Vec<String> = row("`includes`").label("media included").most(100).or_nothing()
            .wording(Wording::Medium).like("[\"foam-20\", \"floss\"]").says("media that come with it").without("none");
    }
}

impl Unit {
    /// One of which nothing is told: as new.
    pub fn untold() -> Self {
        let (impeller, lamp) = (Impeller::New, Lamp::Working);
        let (to_fix, includes) = (Vec::new(), Vec::new());
        Self { asking: None, spares: None, age: None, impeller, lamp, to_fix, includes }
    }
}

form! {
    Repair "Repair" "a part to fix" "(seals([2, 3]), 9.0)" by place {
        part: Part = row("what is put right").label("part").like("seals([2, 3])")
            .says("what is put right; hose, lid seal and other parts change no figure but the cost");
        price: Uncertain<Plain> = row("price").keyless().range(0.0, 1_000_000.0, "").exact().like("9.0")
            .measure(ways::PRICE);
    }
}

choice! {
    #[derive(Eq)]
    Part "a part to put right" "seals([2, 3])", {
        Seals "seals" "tray seals" (place) {
            /// From 1.
            trays: Vec<u32> = row("trays with new seals").label("trays").range(1.0, 20.0, "").exact().most(20)
                .like("[2, 3]").says("which trays get new seals, counted from the bottom");
        },
        Impeller "impeller" "impeller",
        Lamp "lamp" "lamp",
        Hose "hose" "hose",
        LidSeal "lid_seal" "lid seal",
        Other "other" "other part" (place) {
            part: String = row("the part's name").label("part").wording(Wording::Name).aside().like("\"lid clasp\"");
        },
    }
}

impl Part {
    /// `seals of trays 2 and 3`, `lamp`, `lid clasp`.
    pub fn words(&self) -> String {
        match self {
            Self::Seals { trays } => match trays.as_slice() {
                [one] => format!("seal of tray {one}"),
                [all @ .., last] => {
                    let all: Vec<String> = all.iter().map(u32::to_string).collect();
                    format!("seals of trays {} and {last}", all.join(", "))
                }
                [] => "seals".to_owned(),
            },
            Self::Other { part } => part.clone(),
            other => other.variant().0.says.to_owned(),
        }
    }
}

choice! {
    #[derive(Copy, Eq)]
    Spares "how spares are to be had" "scarce", {
        Plenty "plenty" "plenty",
        Scarce "scarce" "scarce",
        None "none" "none",
    }
}

// One a filter: boxing the bucket test would save nothing.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq)]
pub enum Impeller {
    New,
    // Share of new speed.
    Share(Uncertain<Plain>),
    // Not told, but the age is: the share of new speed lost a year.
    Aged { yearly: Uncertain<Plain>, years: f64 },
    Bucket(Bucket),
}

impl Impeller {
    /// Least share of new speed that is assumed.
    pub const WORN_OUT: f64 = 0.6;
    /// Its nominal share of new speed, where that needs no working out.
    pub fn share(&self) -> Option<f64> {
        match self {
            Self::New => Some(1.0),
            Self::Share(share) => Some(share.si()),
            Self::Aged { yearly, years } => Some((1.0 - yearly.si() * years).max(Self::WORN_OUT)),
            Self::Bucket(_) => None,
        }
    }
    /// One of the two is given, or none.
    pub const ROWS: &'static [Row] = &[Self::SHARE, Self::BUCKET];
    rows! {
        pub SHARE "impeller": Option<Uncertain<Plain>> = row("impeller share").label("impeller").range(0.05, 1.0, "").aside()
            .like("0.93").says("share of new speed").or_made(A::LeftWear).measure(ways::BUCKET);
        BUCKET "bucket": Option<Bucket> = row("bucket test").aside().without("the impeller's share says it");
    }
}

impl Field for Impeller {
    const KIND: Kind = Kind::Flat(|| Self::ROWS);
    fn take(door: &mut dyn Door, _: &'static Row) -> Option<Self> {
        let [share, bucket] = Self::ROWS else { return None };
        let (one, other) = (door.given(share), door.given(bucket));
        if let (Some(_), Some(at)) = (one, other) {
            door.fault(
                Some(&at),
                "both `impeller` and `bucket` are given".into(),
                "keep one of them: the bucket test works the impeller's share out",
            );
            return None;
        }
        let share: Option<Uncertain<Plain>> = Field::take(door, share)?;
        let test: Option<Bucket> = Field::take(door, bucket)?;
        Some(share.map(Self::Share).or(test.map(Self::Bucket)).unwrap_or(Self::New))
    }
    fn each(&self, take: &mut Figures<'_>) {
        match self {
            Self::New => {}
            Self::Share(share) => share.each(take),
            Self::Aged { yearly, .. } => yearly.each(take),
            Self::Bucket(test) => test.each(take),
        }
    }
    fn put(&self, _: &'static Row, given: &mut Given) {
        let [share, bucket] = Self::ROWS else { return };
        match self {
            Self::New | Self::Aged { .. } => {}
            Self::Share(of_new) => of_new.put(share, given),
            Self::Bucket(test) => test.put(bucket, given),
        }
    }
}

form! {
    /// A bucket test: flow through empty trays at both hose ends level.
    Bucket "Bucket" "a bucket test" "Bucket(volume: l(10), time: s(62), intake: m(1.0), return: m(1.0))" {
        volume: Uncertain<Volume> = row("volume of a bucket test").label("volume").range(0.2, 500.0, "l").like("l(10)")
            .says("caught in the bucket").measure("measuring jug, or scales");
        time: Uncertain<Time> = row("time of a bucket test").label("time").range(1.0, 7_200.0, "s").like("s(62)")
            .says("that it took").measure("stop watch");
        intake: Uncertain<Length> = row("length of a hose").label("intake hose").was("suction")
            .range(0.1, 20.0, "m").length().like("m(1.0)").says("hose on the intake during the test").measure("tape along the hose");
        return_side: Uncertain<Length> = row("length of a hose").label("return hose").file("return").was("delivery")
            .range(0.1, 20.0, "m").length().like("m(1.0)").says("hose on the return during the test").measure("tape along the hose");
        bends: Uncertain<Plain> = row("number of bends").label("bends in each").range(0.0, 20.0, "").exact().or(0.0)
            .like("2").says("of each hose").without("none").measure("count them");
    }
}

choice! {
    #[derive(Copy, Eq, Default)]
    Lamp "the state of a lamp" "working", {
        #[default]
        Working "working" "working",
        BurntOut "burnt_out" "burnt out",
        Absent "absent" "absent",
    }
}

form! {
    /// One way the filter is packed.
    Build "Build" "a build" "Build(name: \"…\", floor: [], trays: [[Layer(…)], []])" {
        name: String = row("the build's name").label("name").wording(Wording::Name).aside().like("\"as bought\"")
            .says("a name that no other build of the file has");
        /// Bottom to top.
        floor: Vec<Layer> = row("what lies on the floor").label("floor").most(20).or_nothing()
            .like("[Layer(media: \"ceramic-ring-12\", depth: mm(25))]").says("layers under the trays, bottom to top")
            .without("nothing");
        /// From the bottom up, layers bottom to top.
        trays: Vec<Vec<Layer>> = row("a build's `trays`").label("trays").or_nothing()
            .like("[[Layer(media: \"foam-20\", depth: mm(40))], []]")
            .says("a list of layers for each tray, from the bottom up").without("empty trays");
        /// What became of it since, and what its keeper measured.
        kept: Kept = row("how it was kept");
    }
}

impl Build {
    /// A packing of which nothing was kept.
    pub fn packed(name: &str, floor: Vec<Layer>, trays: Vec<Vec<Layer>>) -> Self {
        Self { name: name.to_owned(), floor, trays, kept: Kept::default() }
    }
    /// Nothing in any of so many trays.
    pub fn empty(trays: usize) -> Self {
        Self::packed("", Vec::new(), vec![Vec::new(); trays])
    }
}

choice_field!(Wall, Way, Priming, Release, Spares, Lamp, Part);
