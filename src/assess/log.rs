//! What came of a log: each reading against the model, what moved, when to open the filter again.

use crate::model::day::Day;
use crate::uncertainty::key::{Key, Source};
use crate::uncertainty::summary::Band;

/// What sort of reading it is: those of one sort are held out together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    Bucket,
    BucketOut,
    Fell,
    Fine,
    Places,
    Muck,
    Weighed,
    Meter,
    Loss,
    Nitrate,
    Ammonia,
}

/// Of an entry of the log, or of the tank's tests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum From {
    Log(usize),
    Test(usize),
}

impl Sort {
    /// Several of a sort in words.
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Bucket => ("bucket", "buckets"),
            Self::BucketOut => ("bucket, media out", "buckets with the media out"),
            Self::Fell => ("opened, flow fell", "openings because the flow fell"),
            Self::Fine => ("opened, flow fine", "openings with a fine flow"),
            Self::Places => ("where most muck lay", "places of muck"),
            Self::Muck => ("muck", "volumes of muck"),
            Self::Weighed => ("weight", "weights"),
            Self::Meter => ("power meter", "power readings"),
            Self::Loss => ("loss of the vessel", "losses of the vessel"),
            Self::Nitrate => ("nitrate test", "nitrate tests"),
            Self::Ammonia => ("ammonia test", "ammonia tests"),
        }
    }
    /// What to look at where it contradicts the model.
    pub fn check(self) -> &'static str {
        match self {
            Self::Bucket => "litres, seconds, tap?",
            Self::BucketOut => "litres, seconds, tap, is the vessel empty?",
            Self::Fell | Self::Fine => "the day, and what the flow was compared with?",
            Self::Places => "trays and layers counted from the bottom?",
            Self::Muck => "the jug, and how long it stood?",
            Self::Weighed => "the scales, full to the brim, hoses off?",
            Self::Meter => "the meter, and what else hangs on it?",
            Self::Loss => "air in the tubes?",
            Self::Nitrate | Self::Ammonia => "the card, the light, how old the kit is?",
        }
    }
    /// And where a whole kind of them does.
    pub fn check_all(self) -> &'static str {
        match self {
            Self::Bucket | Self::BucketOut => "hose, tap, outlet, pump in the profile?",
            Self::Weighed => "dry weight and head space in the profile?",
            Self::Meter => "power in the profile?",
            _ => self.check(),
        }
    }
}

/// Whose figures a log may move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mode {
    /// Those of other builds too, as far as they share them.
    #[default]
    All,
    /// The logged build's own alone.
    Own,
    /// None.
    Off,
}

impl Mode {
    pub fn word(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Own => "own",
            Self::Off => "off",
        }
    }
}

/// Why a log was not used at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unused {
    /// It was kept on a tank of that name, and another is loaded.
    OtherTank(String),
    /// No tank is loaded, or one that is not fed: dirt cannot be followed.
    NoDirt,
    /// No case gives such readings.
    Impossible,
    /// Nothing that may be held out makes model and readings agree.
    Contradicts,
}

/// A reading against the model, in its unit: m3/s, m3, kg, W, m, mg/l, or a share of the flow when last opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    pub from: From,
    pub sort: Sort,
    /// Since packing.
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
    /// Two readings of a sort on one day.
    Twice(Sort, f64),
    /// The media were out on a day on which it was not opened.
    MediaOut(f64),
}

/// A figure that the log moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    pub key: Key,
    /// Standard deviations of the doubt it had.
    pub by: f64,
    /// Share of the doubt that is left.
    pub left: f64,
}

/// What may be behind what was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    Pump,
    Slime,
    Dirt,
    Leaks,
    Model,
}

impl Cause {
    pub fn words(self) -> &'static str {
        match self {
            Self::Pump => "the pump",
            Self::Slime => "slime in the hoses",
            Self::Dirt => "dirt",
            Self::Leaks => "leaks",
            Self::Model => "the model's own fault",
        }
    }
    pub fn of(key: &Key) -> Option<Self> {
        let name = key.name();
        let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
        if has(&["log/model"]) {
            Some(Self::Model)
        } else if has(&["slime"]) {
            Some(Self::Slime)
        } else if has(&["/pump", "/label/flow", "/unit/", "pump-exponent", "impeller", "wear"]) {
            Some(Self::Pump)
        } else if has(&["seal", "slack", "joint", "carry-over", "gap"]) {
            Some(Self::Leaks)
        } else if has(&[
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
        ]) {
            Some(Self::Dirt)
        } else {
            None
        }
    }
}

/// What came of one log.
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
    /// What moved most first.
    pub moved: Vec<Moved>,
    /// The day it was packed.
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
    /// Its readings contradict its figures.
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
        all.sort_by(|(a, x), (b, y)| y.abs().total_cmp(&x.abs()).then(a.cmp(b)));
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
