//! The tank that builds are judged for.

use super::filter::Outside;
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{DailyMass, Length, Plain, Temperature, Time, Volume};

/// The tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Name for people.
    pub name: String,
    /// Water in it, above 0; measures that need it are dashes without.
    pub volume: Option<Uncertain<Volume>>,
    /// Its water.
    pub water: Water,
    /// What is fed.
    pub feed: Feed,
    /// Protein share of the food.
    pub protein: Uncertain<Plain>,
    /// Nitrate that plants take, mg/l NO3 a day.
    pub plants: Uncertain<Plain>,
    /// Hoses.
    pub hoses: Run,
    /// Water changes, if any.
    pub water_change: Option<WaterChange>,
    /// What it is to reach.
    pub aims: Aims,
    /// Money to spend.
    pub budget: Option<f64>,
    /// Name of the money.
    pub currency: String,
    /// Price of a kilowatt hour.
    pub power_price: Option<Uncertain<Plain>>,
    /// Mains frequency here, Hz.
    pub hz: Option<Uncertain<Plain>>,
    /// Room for the filter.
    pub cabinet: Option<Outside>,
    /// Media already owned.
    pub on_hand: Vec<OnHand>,
    /// What rules a build out.
    pub musts: Vec<Must>,
    /// Weight of each measure, by key.
    pub weights: Vec<(String, f64)>,
}

/// The tank's water.
#[derive(Clone, Debug, PartialEq)]
pub struct Water {
    /// Temperature.
    pub temperature: Uncertain<Temperature>,
    /// pH.
    pub ph: Option<Uncertain<Plain>>,
    /// Nitrate of the tap water, mg/l NO3.
    pub tap_nitrate: Uncertain<Plain>,
    /// Sea water.
    pub salt: bool,
}

/// What is fed.
#[derive(Clone, Debug, PartialEq)]
pub enum Feed {
    /// Dry food a day.
    Daily(Uncertain<DailyMass>),
    /// Known only by how it is stocked.
    Stock(Stock),
    /// Not told.
    Unknown,
}

/// How a tank is stocked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    /// Few small fish.
    Light,
    /// Normally.
    Normal,
    /// Heavily.
    Heavy,
}

/// Hoses from the tank and back.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Suction hose.
    pub suction: Uncertain<Length>,
    /// Delivery hose.
    pub delivery: Uncertain<Length>,
    /// Bends in each of them.
    pub bends: Uncertain<Plain>,
    /// Height of the outlet above the water, 0 and up.
    pub outlet_above_water: Uncertain<Length>,
}

/// Regular water changes.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterChange {
    /// Share changed, above 0 to 1.
    pub share: Uncertain<Plain>,
    /// How often.
    pub every: Uncertain<Time>,
}

/// What the tank is to reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Aims {
    /// Tank volumes an hour.
    pub turnover: f64,
    /// Nitrate, mg/l NO3.
    pub nitrate: f64,
    /// Days between openings.
    pub open_no_more_than_every: f64,
}

impl Default for Aims {
    fn default() -> Self {
        Self { turnover: 4.0, nitrate: 25.0, open_no_more_than_every: 42.0 }
    }
}

/// Some medium already owned.
#[derive(Clone, Debug, PartialEq)]
pub struct OnHand {
    /// Its id.
    pub medium: String,
    /// How much of it.
    pub volume: Uncertain<Volume>,
}

/// What rules a build out. The measure is a key of the catalogue.
#[derive(Clone, Debug, PartialEq)]
pub enum Must {
    /// The vessel fits the cabinet.
    Fits,
    /// At least so much.
    AtLeast(String, f64),
    /// At most so much.
    AtMost(String, f64),
}
