//! What came of a log: each reading against the model, what moved, when to open the filter again.

use crate::message::worded;
use crate::model::Day;
use crate::order::InOrder;
use crate::uncertainty::{Band, Key, Source};

worded! {
    /// What sort of reading it is: those of one sort are held out together.
    #[derive(PartialOrd, Ord)]
    Sort /// Its kind in JSON, one of it, several, and what to look at where it contradicts the model and, where that is
    /// something else, where a whole kind of them does.
    row: [&'static str; 5] {
        Bucket ["bucket", "bucket", "buckets", "litres, seconds, tap?", "hose, tap, outlet, pump in the profile?"];
        BucketOut ["bucket_media_out", "bucket, media out", "buckets with the media out", "litres, seconds, tap, is the vessel empty?", "hose, tap, outlet, pump in the profile?"];
        Fell ["flow_fell", "opened, flow fell", "openings because the flow fell", "the day, and what the flow was compared with?", ""];
        Fine ["flow_fine", "opened, flow fine", "openings with a fine flow", "the day, and what the flow was compared with?", ""];
        Places ["most_muck", "where most muck lay", "places of muck", "trays and layers counted from the bottom?", ""];
        Muck ["muck", "muck", "volumes of muck", "the jug, and how long it stood?", ""];
        Weighed ["weighed", "weight", "weights", "the scales, full to the brim, hoses off?", "dry weight and head space in the profile?"];
        Meter ["meter", "power meter", "power readings", "the meter, and what else hangs on it?", "power in the profile?"];
        Loss ["loss", "loss of the vessel", "losses of the vessel", "air in the tubes?", ""];
        Nitrate ["nitrate", "nitrate test", "nitrate tests", "the card, the light, how old the kit is?", ""];
        Ammonia ["ammonia", "ammonia test", "ammonia tests", "the card, the light, how old the kit is?", ""];
    }
}

/// Of an entry of the log, or of the tank's tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum From {
    Log(usize),
    Test(usize),
}

impl Sort {
    pub fn kind(self) -> &'static str {
        let [kind, ..] = self.row();
        kind
    }
    pub fn words(self) -> (&'static str, &'static str) {
        let [_, one, several, ..] = self.row();
        (one, several)
    }
    /// What to look at where it contradicts the model.
    pub fn check(self) -> &'static str {
        let [_, _, _, check, _] = self.row();
        check
    }
    /// And where a whole kind of them does.
    pub fn check_all(self) -> &'static str {
        let [_, _, _, check, all] = self.row();
        if all.is_empty() { check } else { all }
    }
}

worded! {
    /// Whose figures a log may move.
    #[derive(Default)]
    Mode word: &'static str {
        /// Those of other builds too, as far as they share them.
        #[default]
        All "all";
        /// The logged build's own alone.
        Own "own";
        Off "off";
    }
}

/// Why a log was not used at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unused {
    /// It was kept on a tank of that name, and another is loaded.
    OtherTank(String),
    /// No tank is loaded, or one that is not fed: dirt cannot be followed.
    NoDirt,
    Impossible,
    /// Nothing that may be held out makes model and readings agree.
    Contradicts,
}

/// A reading against the model, in its unit: m3/s, m3, kg, W, m, mg/l, or a share of the flow when last opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    pub from: From,
    pub sort: Sort,
    pub day: f64,
    /// None where no number was read.
    pub seen: Option<f64>,
    /// 5th to 95th percentile of what the model expected, with the reading's own error.
    pub expected: Option<Band>,
    /// The same of what is believed now, without it.
    pub corrected: Option<Band>,
    /// Chance of as surprising a reading.
    pub alone: f64,
    /// That it was a slip.
    pub slip: f64,
    pub held: bool,
    /// Standard deviations by which a reading that is used lies off all the same.
    pub off: f64,
}

/// What a keeper may not have meant, told and used as it stands; on a day since packing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Odd {
    Twice(Sort, f64),
    /// The media were out on a day on which it was not opened.
    MediaOut(f64),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    pub key: Key,
    /// Standard deviations of the doubt it had.
    pub by: f64,
    /// Share of the doubt that is left.
    pub left: f64,
}

worded! {
    /// What may be behind what was read.
    #[derive(PartialOrd, Ord)]
    Cause words: &'static str {
        Pump "the pump";
        Slime "slime in the hoses";
        Dirt "dirt";
        Leaks "leaks";
        Model "the model's own fault";
    }
}

/// Parts of the names of figures by which a cause is known, the first that holds one of them.
const MARKS: [(Cause, &[&str]); 5] = [
    (Cause::Model, &["log/model"]),
    (Cause::Slime, &["slime"]),
    (Cause::Pump, &["/pump", "/label/flow", "/unit/", "pump-exponent", "impeller", "wear"]),
    (Cause::Leaks, &["seal", "slack", "joint", "carry-over", "gap"]),
    (
        Cause::Dirt,
        &[
            "feed",
            "solids",
            "model/growth",
            "settl",
            "decay",
            "strand",
            "grain-growth",
            "capture",
            "sludge",
            "deposit",
            "blind",
        ],
    ),
];

impl Cause {
    pub fn of(key: &Key) -> Option<Self> {
        let name = key.name();
        MARKS.iter().find(|(_, marks)| marks.iter().any(|mark| name.contains(mark))).map(|(cause, _)| *cause)
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Which of the builds asked about.
    pub build: usize,
    pub mode: Mode,
    pub unused: Option<Unused>,
    /// Equal rows that the weights are worth.
    pub ess: f64,
    pub khat: f64,
    /// Linear steps taken.
    pub rounds: usize,
    /// The power that readings were blunted to.
    pub phi: Option<f64>,
    /// Chance of readings as far off all together.
    pub p: f64,
    pub unusual: bool,
    pub odd: Vec<Odd>,
    pub readings: Vec<Read>,
    pub moved: Vec<Moved>,
    pub packed: Option<Day>,
    /// Share of the flow that was lost from the first used bucket of the last spell to its last one, after so many days,
    /// and what the model expected.
    pub fell: Option<(f64, Band, f64)>,
    /// Days from packing to the last cleaning of the media, and from there to the opening: with the log, without.
    pub opened: f64,
    pub opens: Option<(Band, Band)>,
    /// Share of the doubt of that day that a next reading would settle, most first.
    pub next: Vec<(Sort, f64)>,
}

/// Least that counts as moved, and how near two causes are not told apart, standard deviations.
pub const MOVED: f64 = 0.5;
const APART: f64 = 0.3;

impl Told {
    pub fn contradicts(&self) -> bool {
        self.unused == Some(Unused::Contradicts)
            || self.unused == Some(Unused::Impossible)
            || self.readings.iter().any(|read| read.held)
    }
    /// What moved most: one cause, two that are not told apart, or none.
    pub fn causes(&self) -> Vec<(Cause, f64)> {
        let mut all: Vec<(Cause, f64)> = Vec::new();
        for moved in &self.moved {
            let Some(cause) = Cause::of(&moved.key) else { continue };
            match all.iter_mut().find(|(known, _)| *known == cause) {
                Some((_, by)) if by.abs() >= moved.by.abs() => {}
                Some((_, by)) => *by = moved.by,
                None => all.push((cause, moved.by)),
            }
        }
        all.order_by(|(a, x), (b, y)| y.abs().total_cmp(&x.abs()).then(a.cmp(b)));
        let most = all.first().map_or(0.0, |(_, by)| by.abs());
        all.retain(|(_, by)| by.abs() >= MOVED && most - by.abs() <= APART);
        all.truncate(2);
        all
    }
    /// Of a sort held out whole, two or more: the common ratio of what was read to what was expected.
    pub fn ratio(&self, sort: Sort) -> Option<f64> {
        let of: Vec<&Read> = self.readings.iter().filter(|read| read.sort == sort).collect();
        if of.len() < 2 || !of.iter().all(|read| read.held) {
            return None;
        }
        let logs = of.iter().map(|read| Some(libm::log(read.seen? / read.expected?.median)));
        let sum = logs.sum::<Option<f64>>()?;
        Some(libm::exp(sum / of.len() as f64))
    }
}

/// Is that a figure of the unit itself, and not one that others share?
pub fn is_own(key: &Key, unit: &str) -> bool {
    matches!(key.source(), Source::Filter(id) if &**id == unit)
}
