//! What is found of a build beside its figures, as values. `report::wording` has their words.

pub use crate::media_order::Rule;
use crate::model::edit::{Place as LayerPlace, Side};
use crate::model::tank::Stock;

#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    pub rule: Rule,
    /// Where: `tray 1, layer 2`, counted from the bottom.
    pub at: String,
    pub says: String,
    pub costs: Costs,
}

/// What a fault costs by the model: the figures now and, second, with the same layers put in order or the pad turned.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Costs {
    // Not worked out, or there is no flow to tell it by.
    #[default]
    Untold,
    // Order alone does not mend it: a coarser pad has to stand first.
    Coarser,
    // What suffers; nothing where all is none.
    Figures {
        /// Days.
        service: Option<(f64, f64)>,
        /// Filtered flow, l/h.
        filtered: Option<(f64, f64)>,
        /// What the media can nitrify over what the feeding makes.
        ammonia: Option<(f64, f64)>,
        /// Days, where order shortens them.
        shorter: Option<(f64, f64)>,
        /// Shares of the dirt on bacteria, where biological media shield the pads: why order shortens service.
        shield: Option<(f64, f64)>,
        left: Vec<LeftOver>,
    },
}

/// Media that fit nowhere once in order: name and litres.
pub type LeftOver = (String, f64);

/// Share of the water that slips past at places to be mended, where it is worth a word.
pub type Slips = Option<f64>;

/// A repair or change. Lengths are mm, trays and layers count from 0.
#[derive(Clone, Debug, PartialEq)]
pub enum Mend {
    Seals { trays: Vec<usize>, missing: bool, slips: Slips },
    // Pads cut to fit.
    Slack { at: Vec<LayerPlace>, slack: f64, slips: Slips },
    // A pad without its hole.
    Hole { at: LayerPlace, hole: f64, slips: Slips },
    // Fittings as wide as the hose.
    Fittings { name: &'static str, bore: f64, at: Vec<Side>, to: f64, takes: Takes },
    // A wider hose, with the fittings as they are.
    Hose { from: f64, to: f64 },
    // The same layers put in order.
    Order { left: Vec<LeftOver> },
    // A new lamp: dose in mJ/cm2, and what an aged one gives.
    Lamp { burnt_out: bool, was: Option<f64>, dose: f64 },
    // A new impeller, and what the old one gives of its flow where that is known without a bucket test.
    Impeller { share: Option<f64> },
    // The outlet under the surface.
    Outlet { height: f64 },
}

/// What fittings take of the head at the present flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Takes {
    Untold,
    MoreThanTheHose,
    /// m of water.
    Head(f64),
}

/// Shares below this are not marked where the vessel is drawn.
pub const WORTH_MARKING: f64 = 0.001;

/// Water that slips past the finest mechanical stage at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Leak {
    /// `tray 3 seal`.
    pub at: String,
    pub place: LeakPlace,
    /// Share of the pumped water, clean.
    pub share: f64,
    /// The same on the day before it should be opened.
    pub share_at_service: Option<f64>,
}

/// A place in the vessel; trays and layers count from 0 at the bottom, no tray is the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakPlace {
    Seal { tray: usize },
    // Round the edge of a layer.
    Slack { tray: Option<usize>, layer: usize },
    // Through a hole in a layer.
    Hole { tray: Option<usize>, layer: usize },
    // From the down pipe between this tray and the one above it.
    Joint { tray: usize },
}

#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    // No tank: hoses, bends and temperature are the program's own.
    NoTank,
    // Sea water is computed as fresh water.
    SaltAsFresh,
    // A medium that harms or fails in sea water.
    FreshwaterOnly { medium: String },
    // Mains here are not those of the pump's figures, Hz.
    MainsDiffer { printed: f64, here: f64 },
    // Food, g a day, is taken from how the tank is stocked.
    FeedFromStock { stock: Stock, grams: f64 },
    // The pump is known only by its ends.
    EndsOnly,
    // The box prints much more than arrives, l/h.
    LabelAbove { printed: f64, delivered: f64 },
    // Turnover below the tank's aim, volumes an hour.
    LittleTurnover { turnover: f64, aim: f64 },
    // Most water passes the finest stage from the first day.
    MostPasses { bypass: f64 },
    // Nothing says open it up to the model's horizon.
    ByTheCalendar,
    // A medium lasts fewer days than the filter runs until it needs opening.
    SpentBeforeService { medium: String, lasts: f64, service: f64 },
    // A medium that may float.
    Floats { medium: String, at: String },
    // In a falling build the floor stands last; whether it holds media.
    FloorLast { holds: bool },
    // The media take less ammonia than feeding makes.
    ThinMargin { margin: f64 },
    // Biological media, litres, must never be cleaned all at once.
    NeverAllAtOnce { litres: f64 },
    // Hours until oxygen in the shut vessel falls to 2 mg/l once the pump stops.
    PumpStops { hours: f64 },
    // A lamp that is dead still holds mercury.
    DeadLamp,
    // kg.
    Heavy { mass: f64 },
}

#[derive(Clone, Debug, PartialEq)]
pub enum Opens {
    /// Something does, on that day.
    On { day: f64, why: OpenedBy },
    /// Nothing up to the model's horizon: open it by the calendar.
    Calendar,
}

/// What really happened by then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpenedBy {
    SlipsPast,
    LessFlow,
    Slime,
    Dirt,
    Voids(LayerPlace),
}

impl Opens {
    pub fn day(&self) -> Option<f64> {
        match self {
            Self::On { day, .. } => Some(*day),
            Self::Calendar => None,
        }
    }
}

/// A repair or change a person can make, with what it gains by re-running the model.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    pub what: Mend,
    /// Filtered flow after it, l/h.
    pub worked: Option<f64>,
    /// Flow after it, l/h.
    pub flow: Option<f64>,
    /// Service after it, days.
    pub service: Option<f64>,
    /// Bypass after it, share.
    pub bypass: Option<f64>,
    pub cost: Option<f64>,
}
