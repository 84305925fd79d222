//! The catalogue of measures: key, unit, which way is better, one sentence. One row a measure; table,
//! JSON, CSV, `--sort`, musts, weights and help all read it.

use crate::message::worded;
use crate::ways;

worded! {
    Better word: &'static str {
        More "more";
        Less "less";
        /// More, up to the tank's aim.
        ToAim "to the aim";
        Yes "yes";
    }
}

worded! {
    /// How a measure's value is written for people.
    Unit /// The unit as written in JSON and CSV.
    sign: &'static str {
        LitresAnHour "l/h";
        /// Tank volumes an hour.
        PerHour "1/h";
        Litres "l";
        /// A share, shown as per cent.
        Share "share";
        Faults "faults";
        /// A probability, shown as per cent.
        Probability "probability";
        Ratio "ratio";
        MilligramsALitre "mg/l";
        Nitrate "mg/l as NO3";
        Days "days";
        /// Millijoules a square centimetre.
        Dose "mJ/cm2";
        /// The tank file's money.
        Money "money";
        Watts "W";
        Kilograms "kg";
        YesNo "yes/no";
    }
}

#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub key: &'static str,
    pub head: &'static str,
    pub unit: Unit,
    pub better: Better,
    /// Two figures no further apart than this are the same to a keeper.
    pub within: Within,
    pub says: &'static str,
    /// It follows from the flow, so that an unsolved network leaves it open.
    pub flows: bool,
}

/// What counts as the same: a share of the greater of two figures, or so much in the measure's unit, whichever is more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within {
    pub share: f64,
    pub plain: f64,
}

impl Within {
    pub fn of(self, a: f64, b: f64) -> f64 {
        (self.share * a.abs().max(b.abs())).max(self.plain)
    }
}

impl Row {
    /// The two lines of its head; the second is empty where one says it all.
    pub fn head_lines(&self) -> (&'static str, &'static str) {
        let below = |word: &'static str| Some((self.head.strip_suffix(word)?.trim_end(), word));
        ["dirty", "every", "out", "cabinet"].into_iter().find_map(below).unwrap_or((self.head, ""))
    }
}

macro_rules! catalogue {
    ($($variant:ident $key:literal $head:literal $unit:ident $better:ident $share:literal $plain:literal $flows:literal $says:literal;)+) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(usize)]
        pub enum Measure { $(#[doc = $says] $variant),+ }

        impl Measure {
            /// Every measure, in the catalogue's order.
            pub const ALL: [Self; [$($key),+].len()] = [$(Self::$variant),+];

            pub fn row(self) -> Row {
                match self { $(Self::$variant => Row {
                    key: $key, head: $head, unit: Unit::$unit, better: Better::$better,
                    within: Within { share: $share, plain: $plain }, says: $says,
                    flows: $flows,
                }),+ }
            }
        }
    };
}

catalogue! {
    Clearing "clearing" "clearing" PerHour More 0.1 0.0 true "clearing: how many times an hour a tankful is freed of floating dirt";
    ClearingDirty "clearing_dirty" "clearing dirty" PerHour More 0.1 0.0 true "clearing when dirty, the day before it should be opened";
    FilteredFlow "filtered_flow" "filtered" LitresAnHour More 0.05 0.0 true "filtered flow: water through the finest foam or floss";
    FilteredFlowDirty "filtered_flow_dirty" "filtered dirty" LitresAnHour More 0.05 0.0 true "filtered flow when dirty, the day before it should be opened";
    Flow "flow" "flow" LitresAnHour More 0.05 0.0 true "flow to the tank, clean, with these hoses";
    FlowDirty "flow_dirty" "flow dirty" LitresAnHour More 0.05 0.0 true "flow when dirty: media and hoses together";
    Turnover "turnover" "turnover" PerHour ToAim 0.05 0.0 true "turnover: flow over tank volume, dirt or no";
    Caught "caught" "caught" Share More 0.0 0.05 true "caught: share of the loose dirt that ends in the filter, not on the tank's bed";
    Bypass "bypass" "bypass" Share Less 0.0 0.03 true "bypass: share of the water that slips round the finest layer";
    BypassDirty "bypass_dirty" "bypass dirty" Share Less 0.0 0.03 true "bypass when dirty, the worst moment before it should be opened";
    BypassChance "bypass_chance" "bypass >25 %" Probability Less 0.0 0.1 true "chance of bypass over 25 % before it is opened";
    OpeningInterval "opening_interval" "open every" Days More 0.2 2.0 true "time between openings, until it should be cleaned";
    AmmoniaCapacity "ammonia_capacity" "ammonia" Ratio More 0.1 0.0 true "ammonia capacity: times the ammonia of this feeding that its bacteria can turn into nitrate";
    AmmoniaCapacityTank "ammonia_capacity_tank" "with tank" Ratio More 0.1 0.0 true "ammonia capacity with the bacteria on the tank's own surfaces";
    SuitsUpTo "suits_up_to" "suits up to" Litres More 0.1 0.0 true "suits up to: largest tank, so stocked, for ammonia and for clearing";
    RuleOfThumbTank "rule_of_thumb_tank" "thumb rule" Litres More 0.1 0.0 false "tank size by keepers' rule of thumb, for nitrate too (common practice, no source)";
    Nitrate "nitrate" "nitrate" Nitrate Less 0.1 0.0 true "peak just before a water change, once steady";
    NitrateOff "nitrate_off" "takes off" Nitrate More 0.0 5.0 true "what porous media may take off the tank's nitrate: very doubtful, no weight by default";
    OxygenOut "oxygen_out" "oxygen out" MilligramsALitre More 0.0 0.3 true "oxygen in the returned water";
    UvDose "uv_dose" "UV dose" Dose More 0.1 0.0 true "UV dose: lamp light the water gets in one pass";
    TraySpace "tray_space" "tray space" Litres More 0.0 0.3 false "tray space: what trays and floor can hold";
    Media "media" "media" Litres More 0.0 0.3 false "all media";
    BioMedia "bio_media" "bio media" Litres More 0.0 0.3 false "biological media";
    MediaShare "media_share" "media share" Share More 0.0 0.03 false "media share of outside volume";
    OrderFaults "order_faults" "order faults" Faults Less 0.0 0.0 false "order faults: rules of media order broken";
    AskingPrice "asking_price" "asking" Money Less 0.02 0.0 false "asking price";
    RepairCost "repair_cost" "repair" Money Less 0.05 0.0 false "cost to repair: parts, missing media";
    FirstYearCost "first_year_cost" "1st year" Money Less 0.05 0.0 false "first-year cost: asking price, repair, power, wear";
    Power "power" "power" Watts Less 0.0 1.0 false "pump and lamp";
    FullWeight "full_weight" "full weight" Kilograms Less 0.0 0.5 false "full weight: what you lift";
    FitsCabinet "fits_cabinet" "fits cabinet" YesNo Yes 0.0 0.0 false "fits the cabinet, hose bends too";
}

impl Measure {
    /// What it is called among the priorities: the rule of thumb counts porous media.
    pub fn as_priority(self) -> &'static str {
        if self == Self::RuleOfThumbTank { "porous media" } else { self.row().head }
    }
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.key() == key)
    }
    /// The measure that had this key before schema 2. Files may say it for one version.
    pub fn from_old_key(key: &str) -> Option<Self> {
        OLD_KEYS.into_iter().find(|(old, _)| *old == key).map(|(_, measure)| measure)
    }
    pub fn needs_flow(self) -> bool {
        self.row().flows
    }
    pub fn key(self) -> &'static str {
        self.row().key
    }
}

pub const OLD_KEYS: [(&str, Measure); 14] = [
    ("worked_flow", Measure::FilteredFlow),
    ("worked_at_service", Measure::FilteredFlowDirty),
    ("bypass_at_service", Measure::BypassDirty),
    ("bypass_risk", Measure::BypassChance),
    ("service", Measure::OpeningInterval),
    ("ammonia_margin", Measure::AmmoniaCapacity),
    ("cycle_litres", Measure::RuleOfThumbTank),
    ("capacity", Measure::TraySpace),
    ("used_space", Measure::MediaShare),
    ("staging", Measure::OrderFaults),
    ("put_right", Measure::RepairCost),
    ("first_year", Measure::FirstYearCost),
    ("wet_mass", Measure::FullWeight),
    ("fits", Measure::FitsCabinet),
];

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// A figure in the measure's unit.
    Value(f64),
    Flag(bool),
    Missing(Missing),
}

/// Nothing was worked out.
impl Default for Outcome {
    fn default() -> Self {
        Self::Missing(Missing::NotSolved)
    }
}

impl Outcome {
    /// The figure; a flag counts 1 or 0; none where it cannot be told.
    pub fn number(self) -> Option<f64> {
        match self {
            Self::Value(x) => Some(x),
            Self::Flag(yes) => Some(f64::from(u8::from(yes))),
            Self::Missing(_) => None,
        }
    }

    /// How to come by it where a file is silent about it: see [`Missing::asked_of`].
    pub fn asked_of(self) -> Option<&'static str> {
        if let Self::Missing(why) = self { why.asked_of() } else { None }
    }
}

worded! {
    /// Why a measure cannot be told.
    Missing words: &'static str {
        NoPumpCurve "the profile gives no pump curve";
        NoMechanicalMedia "nothing in it catches dirt by design";
        NoTank "no tank is given";
        NoTankVolume "the tank gives no volume";
        NoFeed "the tank gives neither feed nor stock";
        NothingToClean "there is nothing in it to clean";
        NothingToNitrify "nothing to nitrify: the feed is zero";
        NoWaterChange "the tank gives no water changes";
        NoUv "it has no UV chamber";
        LampBurntOut "the lamp is burnt out";
        LampAbsent "the lamp is missing";
        NoUnit "the profile has no unit block (condition and price of this very unit)";
        NoAskingPrice "the unit block gives no asking price";
        NoPrice "a price that is needed is not known";
        NoPowerPrice "the tank gives no price of power";
        NoPower "the profile does not give the pump's power";
        NoOutside "the profile does not give the outside box";
        NoDryMass "the profile does not give the dry mass";
        NoCabinet "the tank gives no cabinet";
        NoSamples "uncertainty was not worked out (0 simulated cases)";
        NotSolved "the flow could not be solved";
        NoVessel "the profile gives neither trays nor floor";
    }
}

impl Missing {
    /// Returns how to come by what a file is silent about; `None` where a figure is missing by the nature of the build.
    pub fn asked_of(self) -> Option<&'static str> {
        match self {
            Self::NoUnit | Self::NoAskingPrice => Some(ways::SELLER),
            Self::NoPrice => Some(ways::PRICE),
            Self::NoPowerPrice => Some(ways::BILL),
            Self::NoPower => Some(ways::PLATE),
            _ => None,
        }
    }
}
