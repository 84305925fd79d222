//! What a keeper measured: readings of a filter as it stands packed, and tests of the tank's water.

use std::fmt;

use super::fields::{
    Choice, Door, Field, Given, Kind, Place, Row, Table, Value, Wording, choice, choice_field, row, rows,
};
use crate::uncertainty::Uncertain;
use crate::units::Volume;

/// Most readings of a build, and most tests of a tank.
pub const MOST: usize = 60;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    Date(Day),
    /// Whole days since the filter was packed.
    Since(u32),
}

impl When {
    /// The day, where it is known when the filter was packed.
    pub fn day(self, packed: Option<Day>) -> Option<Day> {
        match self {
            Self::Date(day) => Some(day),
            Self::Since(days) => packed.map(|Day(from)| Day(from + i64::from(days))),
        }
    }
}

impl Field for Day {
    const KIND: Kind = Kind::Text;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        // The row's wording has seen to it that there is such a day.
        Self::read(&door.text(at, row)?)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Text(self.to_string()))
    }
}

impl Field for When {
    const KIND: Kind = Kind::When;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        if door.begins(at, '"') {
            return <Day as Field>::read(door, at, row).map(Self::Date);
        }
        <u32 as Field>::read(door, at, row).map(Self::Since)
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        match self {
            Self::Date(day) => Field::value(day, row),
            Self::Since(days) => Field::value(days, row),
        }
    }
}

/// Where muck lay: a layer of a tray, both from 0, or the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lay {
    Floor,
    Layer { tray: usize, layer: usize },
}

const LAY: &Table = &Table {
    name: "",
    what: "a place of muck",
    like: "(1, 3)",
    rows: &[
        row("the number of a tray").range(1.0, 20.0, "").exact().like("1").of::<u32>("tray"),
        row("the number of a layer").range(1.0, 20.0, "").exact().like("3").of::<u32>("layer"),
    ],
    by_place: true,
};

choice! {
    #[derive(Copy, Eq)]
    OnFloor "a place of muck" "floor", {
        Floor "floor" "the floor",
    }
}

impl Field for Lay {
    const KIND: Kind = Kind::Form(|| LAY);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        if !door.begins(at, '(') {
            door.choose(Some(at), OnFloor::CHOICE, "")?;
            door.close();
            return Some(Self::Floor);
        }
        if !door.open(Some(at), LAY) {
            return None;
        }
        let [tray, layer] = LAY.rows else { return None };
        let (tray, layer): (Option<u32>, Option<u32>) = (Field::take(door, tray), Field::take(door, layer));
        door.close();
        let from_one = |n: u32| (n as usize).checked_sub(1);
        Some(Self::Layer { tray: from_one(tray?)?, layer: from_one(layer?)? })
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let Self::Layer { tray, layer } = self else {
            let (variant, given) = OnFloor::Floor.variant();
            return Some(Value::Word(variant, given));
        };
        let numbers = [tray, layer].map(|n| Value::Number((n + 1) as f64));
        Some(Value::Form(LAY, LAY.rows.iter().zip(numbers).collect()))
    }
}

choice! {
    #[derive(Copy, Eq)]
    Hoses "the hoses when it was packed" "cleaned", {
        Cleaned "cleaned" "cleaned",
        /// Slime of unknown age.
        Left "left" "left as they were",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Why "why it was opened" "flow_fell", {
        FlowFell "flow_fell" "the flow had fallen",
        Calendar "calendar" "it was time",
        Other "other" "something else",
    }
}

choice! {
    #[derive(Copy, Eq)]
    FlowWas "how the flow was" "fine", {
        Fine "fine" "fine",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Cleaned "what was cleaned" "media", {
        Media "media" "the media",
        Hoses "hoses" "the hoses",
        Both "both" "media and hoses",
        Nothing "nothing" "nothing",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Scales "scales" "bathroom", {
        Kitchen "kitchen" "kitchen scales",
        Bathroom "bathroom" "bathroom scales",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Within "what was in the vessel" "out", {
        Out "out" "media out",
    }
}

choice! {
    #[derive(Copy, Eq)]
    Measures "what the test measures" "nh4", {
        Nitrogen "n" "as nitrogen",
        Ammonium "nh4" "as ammonium",
    }
}
choice_field!(Hoses, Why, FlowWas, Cleaned, Scales, Within, Measures);

rows! {
    ON "on": When = row("the day of a reading").label("on").wording(Wording::Date).range(0.0, 3_650.0, "").exact()
        .like("\"2026-04-12\"")
        .says("the day, as a date or as whole days since `packed`; entries stand in order of time");
    TRUST "trust": Option<bool> = row("`trust`").label("trusted").always().like("false").says("`false`: shown, not used")
        .without("it is used");
    READS = row("what the test reads").label("reads").range(0.0, 1_000.0, "").exact().like("50");
    CARD = row("a colour card").label("card").most(30).or_nothing().range(0.0, 1_000.0, "").exact()
        .like("[0, 5, 10, 25, 50, 100, 250]").says("the figures of its colours, rising")
        .without("a third less or half more would have read alike");
}

choice! {
    Reading "a reading" "Bucket(on: \"2026-03-01\", volume: l(10), time: s(55))" with [ON, TRUST], {
        /// Flow at the tank's hose end, media in, as it stands.
        Bucket "Bucket" "bucket" (named) {
            volume: Uncertain<Volume> = row("volume of a bucket test").label("volume").range(0.2, 500.0, "l").like("l(10)")
                .says("caught in the bucket").measure("measuring jug, or scales");
            /// s
            time: f64 = row("time of a bucket test").label("time").range(1.0, 7_200.0, "s").exact().like("s(55)")
                .says("that it took").measure("stop watch");
            /// cm
            end: Option<f64> = row("height of the hose end").label("hose end").range(-300.0, 300.0, "cm").exact()
                .like("cm(15)").says("hose end above the tank's surface; below it negative")
                .without("as it stands").measure("ruler");
            media: Option<Within> = row("the media during the test").label("media").like("out")
                .says("`out`: vessel without layers").without("they are in");
        },
        Opened "Opened" "opened" (named) {
            why: Why = row("why it was opened").label("why").like("flow_fell").says("why");
            flow: Option<FlowWas> = row("how the flow was").label("flow").like("fine")
                .says("`fine` if it was; with `calendar` and `other`").without("not told");
            most_muck: Vec<Lay> = row("where most muck lay").label("most muck").most(20).or_nothing()
                .like("[(1, 3), floor]").says("worst first: tray and layer from the bottom, or `floor`")
                .without("not told");
            /// l
            muck: Option<f64> = row("volume of muck").label("muck").range(0.01, 50.0, "l").exact().like("l(0.9)")
                .says("an hour after squeezing out").without("not told").measure("measuring jug");
            cleaned: Option<Cleaned> = row("what was cleaned").label("cleaned").like("media")
                .says("what is cleaned starts anew").without("the media");
        },
        Weighed "Weighed" "weighed" (named) {
            /// kg
            mass: f64 = row("weight when full").label("mass").range(0.1, 300.0, "kg").exact().like("kg(13.4)")
                .says("full of water, without hoses").measure("scales, with help");
            with: Scales = row("scales").label("scales").like("bathroom").says("what it was weighed with");
        },
        Meter "Meter" "meter" (named) {
            /// W
            power: f64 = row("power on a meter").label("power").range(0.1, 1_000.0, "w").exact().like("w(17)")
                .says("pump and lamp").measure("plug-in meter");
        },
        /// Between the vessel's ports.
        Loss "Loss" "loss" (named) {
            /// cm
            head: f64 = row("loss of the vessel").label("head").range(0.1, 500.0, "cm").exact().like("cm(14)")
                .says("head lost between the ports").measure("two clear tubes beside each other, ruler");
        },
    }
}

choice! {
    WaterTest "a test of the water" "Nitrate(on: \"2026-04-10\", reads: 50, since_change: day(6))" with [ON, TRUST], {
        Nitrate "Nitrate" "nitrate" (named) {
            /// mg/l as NO3
            reads: f64 = READS.says("mg/l as NO3");
            card: Vec<f64> = CARD;
            /// Days.
            since_change: Option<f64> = row("time since the water change").label("since change").range(0.0, 365.0, "day")
                .exact().like("day(6)").says("days since water was last changed").without("just before the next one");
        },
        Ammonia "Ammonia" "ammonia" (named) {
            /// mg/l
            reads: f64 = READS.says("mg/l, ammonia and ammonium together");
            measures: Measures = row("what the test measures").label("as").file("as").like("nh4")
                .says("`n`: as nitrogen; `nh4`: as ammonium");
            card: Vec<f64> = CARD;
        },
    }
}

/// An entry of a list by date: what was read, and whether it is believed.
#[derive(Clone, Debug, PartialEq)]
pub struct Dated<T> {
    pub on: When,
    pub trusted: bool,
    pub what: T,
}

pub type Entry = Dated<Reading>;
pub type TestEntry = Dated<WaterTest>;

impl Reading {
    const fn choice() -> &'static Choice {
        Self::CHOICE
    }
}
impl WaterTest {
    const fn choice() -> &'static Choice {
        Self::CHOICE
    }
}

// No figure of an entry is one of the filter: none counts as known or is drawn by its own key.
macro_rules! dated {
    ($($type:ty),+) => { $(
        impl Field for Dated<$type> {
            const KIND: Kind = Kind::Choice(<$type>::choice);
            fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
                let choice = <$type>::CHOICE;
                let variant = door.choose(Some(at), choice, "")?;
                let what = <$type>::of_variant(door, variant);
                let [on, trust] = choice.common else { return None };
                let (on, trust): (Option<When>, Option<Option<bool>>) = (Field::take(door, on), Field::take(door, trust));
                let read = what.zip(on).zip(trust);
                let entry = read.map(|((what, on), trust)| Self { on, trusted: trust != Some(false), what });
                let entry = entry.filter(|entry| door.built(entry, std::slice::from_ref(at)));
                door.close();
                entry
            }
            fn value(&self, _: &'static Row) -> Option<Value> {
                let (variant, own) = self.what.variant();
                let mut given: Given = Vec::new();
                if let [on, trust] = <$type>::CHOICE.common {
                    self.on.put(on, &mut given);
                    given.extend(own);
                    (!self.trusted).then_some(false).put(trust, &mut given);
                }
                Some(Value::Word(variant, given))
            }
        }
    )+ };
}
dated!(Reading, WaterTest);

/// How a build has been kept since it was packed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// Day 0: media clean.
    pub packed: Option<Day>,
    pub hoses: Option<Hoses>,
    pub on: Option<String>,
    /// In order of time.
    pub log: Vec<Entry>,
}

impl Kept {
    rows! {
        PACKED "packed": Option<Day> = row("the day it was packed").label("packed").wording(Wording::Date).aside()
            .like("\"2026-03-01\"").says("day 0 of the log, media clean").without("not told: a log needs it");
        HOSES "hoses": Option<Hoses> = row("the hoses when it was packed").label("hoses then").aside().like("cleaned")
            .says("`left`: slime of unknown age, up to half a year").without("cleaned");
        KEPT_ON "kept_on": Option<String> = row("the tank it stood at").label("kept on").wording(Wording::Name).aside()
            .like("\"reading-room tank\"").says("the tank's name").without("the tank it is judged for");
        LOG "log": Vec<Entry> = row("`log`").label("log").most(MOST).aside().or_nothing()
            .like("[Bucket(on: \"2026-03-01\", volume: l(10), time: s(55))]")
            .says("what its keeper measured since, in order of time").without("nothing was measured");
    }
    pub const ROWS: &'static [Row] = &[Self::PACKED, Self::HOSES, Self::KEPT_ON, Self::LOG];
    /// Days from packing to an entry; none where it is not known when that was.
    pub fn days(&self, entry: &Entry) -> Option<i64> {
        let Day(packed) = self.packed?;
        entry.on.day(self.packed).map(|Day(on)| on - packed)
    }
}

impl Field for Kept {
    const KIND: Kind = Kind::Flat(|| Self::ROWS);
    fn take(door: &mut dyn Door, _: &'static Row) -> Option<Self> {
        let [packed, hoses, on, log] = Self::ROWS else { return None };
        let (packed, hoses) = (Field::take(door, packed), Field::take(door, hoses));
        let (on, log) = (Field::take(door, on), Field::take(door, log));
        Some(Self { packed: packed?, hoses: hoses?, on: on?, log: log? })
    }
    fn put(&self, _: &'static Row, given: &mut Given) {
        let [packed, hoses, on, log] = Self::ROWS else { return };
        self.packed.put(packed, given);
        self.hoses.put(hoses, given);
        self.on.put(on, given);
        if !self.log.is_empty() {
            self.log.put(log, given);
        }
    }
}

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(pub i64);

/// Years that a log may speak of.
const YEARS: std::ops::RangeInclusive<i64> = 1990..=2200;

impl Day {
    /// Of a date as files have it; none where there is no such day.
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, '-');
        let mut number = |digits: usize| {
            let part = parts.next().filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()))?;
            part.parse::<i64>().ok()
        };
        let (year, month, day) = (number(4)?, number(2)?, number(2)?);
        let there = YEARS.contains(&year) && (1..=12).contains(&month) && (1..=31).contains(&day);
        let made = Self::of(year, month, day);
        // The 31st of a shorter month is another day.
        (there && made.date() == (year, month, day)).then_some(made)
    }

    /// Years begin in March, so that the day put in stands last; 400 of them are 146,097 days.
    fn of(year: i64, month: i64, day: i64) -> Self {
        let year = if month > 2 { year } else { year - 1 };
        let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
        Self(
            365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year - 719_468,
        )
    }

    /// As people say it: `22 March`, in the year that is spoken of.
    pub fn said(self) -> String {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let (_, month, day) = self.date();
        let month = usize::try_from(month - 1).ok().and_then(|at| MONTHS.get(at));
        format!("{day} {}", month.unwrap_or(&""))
    }

    pub fn date(self) -> (i64, i64, i64) {
        let days = self.0 + 719_468;
        let (age, rest) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let years = (rest - rest / 1_460 + rest / 36_524 - rest / 146_096) / 365;
        let of_year = rest - (365 * years + years / 4 - years / 100);
        let from_march = (5 * of_year + 2) / 153;
        let month = (from_march + 2) % 12 + 1;
        (400 * age + years + i64::from(month <= 2), month, of_year - (153 * from_march + 2) / 5 + 1)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.date();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}
