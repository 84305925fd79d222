//! A field that a figure is written in: what it may plausibly be, how doubtful it is when nobody says, and how it
//! is measured at home. The rows stand in `model::ranges`.

use super::uncertain::Spread;

/// The doubt of a figure written without `measured`, `guessed` or `between`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Printed {
    /// ±5 %, two standard deviations.
    Usual,
    /// ±10 %: the flow of a pump.
    PumpFlow,
    /// ±8 %: the head of a pump.
    PumpHead,
    /// A factor of 1.7 either way when plain: a capture coefficient.
    Capture,
    /// None unless a word says so: money and counts.
    Exact,
}

impl Printed {
    /// The spread of a printed figure; `said` when `stated(…)` was written.
    pub fn spread(self, said: bool) -> Spread {
        match self {
            Self::PumpFlow => Spread::Normal { sd: 0.05 },
            Self::PumpHead => Spread::Normal { sd: 0.04 },
            Self::Capture if !said => Spread::Factor { factor: 1.7 },
            Self::Exact if !said => Spread::Exact,
            Self::Usual | Self::Capture | Self::Exact => Spread::Normal { sd: 0.025 },
        }
    }
}

/// One field of the files.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// For messages.
    pub name: &'static str,
    /// The unit of its bounds; empty for a bare number.
    pub unit: &'static str,
    /// Least plausible value.
    pub low: f64,
    /// Greatest plausible value.
    pub high: f64,
    /// Doubt when plain.
    pub printed: Printed,
    /// How it is measured at home; `None` where no tool there can.
    pub measured_by: Option<&'static str>,
}

/// No field of a file.
pub const NONE: Field =
    Field { name: "", unit: "", low: 0.0, high: 0.0, printed: Printed::Exact, measured_by: None };

/// Food that nobody wrote down.
pub const WEIGHED_FEED: Field = Field { measured_by: Some(FOOD), ..NONE };

/// What is said of a figure that no tool at home can tell.
pub const NOT_AT_HOME: &str = "cannot be measured at home: an assumption of the model";

// Tools and ways are common practice, no source.
pub const GAP: &str = "feeler gauge at four places, lid off, unplugged";
pub const BORE: &str = "drill shank that just fits";
pub const BUCKET: &str = "bucket and watch, no media in the vessel, both hose ends level";
pub const RAISE: &str = "raise the delivery hose until the flow stops, measure up from the water";
pub const RULER: &str = "ruler";
pub const HOSE: &str = "tape measure along the hose";
pub const SCALES: &str = "kitchen scales";
pub const DRY: &str = "kitchen scales: a dry litre of it";
pub const SOAK: &str = "kitchen scales: dry, then soaked and shaken off";
pub const PORES: &str = "count the pores along an inch, at three places";
pub const GRAINS: &str = "lay twenty in a row along a ruler";
pub const POUR: &str = "fill a litre jug with it, measure the water that still goes in";
pub const FILL: &str = "fill it with water from a measuring jug";
pub const FOOD: &str = "kitchen scales: weigh a week's food";
pub const METER: &str = "plug-in power meter";
pub const SLOTS: &str = "count the openings and measure one";
pub const COUNT: &str = "count them";
pub const SELLER: &str = "ask the seller";
pub const PRICE: &str = "look up what it costs today";
pub const PLATE: &str = "read the rating plate, unplugged";
