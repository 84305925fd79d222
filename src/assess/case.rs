//! What is judged: a build of a filter, at a tank or without one.

use crate::biology::load::{self, Untold};
use crate::hydraulics::plan::Plan;
use crate::measures::Missing;
use crate::model::{Build, Filter, Tank};
use crate::simd::Real;
use crate::uncertainty::{Draw, Key, Source, Spot, Spread, field};

/// A build at a tank, with the plan of its vessel.
#[derive(Clone, Debug)]
pub struct Case<'a> {
    pub filter: &'a Filter,
    /// One of its builds, or one made from it.
    pub build: &'a Build,
    pub tank: Option<&'a Tank>,
    pub plan: Plan,
    /// Clean flows at nominal values, where they are known, m3/s: draws are solved from there.
    pub start: Option<Vec<f64>>,
    /// Faults of the model's flow that readings of this unit tell of.
    pub faults: Option<Faults>,
    /// A volume, m3, and food, g a day, that stand in place of the tank's.
    pub in_place: Option<(f64, f64)>,
}

/// What the filter gives over what the model says of it, as logarithms: from the first day, and more in each six weeks.
#[derive(Clone, Debug, PartialEq)]
pub struct Faults {
    pub flow: Key,
    pub drift: Key,
}

impl Faults {
    /// Standard deviations (ours), and the days that the drift is told for.
    pub const FLOW: f64 = 0.03;
    pub const DRIFT: f64 = 0.05;
    pub const DRIFT_DAYS: f64 = 42.0;

    pub fn of(unit: &str) -> Self {
        let key = |part: &'static str| {
            Key::new(Source::Filter(unit.into()), Spot::from("log").part(part), &field::NONE)
        };
        Self { flow: key("model_flow"), drift: key("model_drift") }
    }
    /// Both in a draw: of the flow, and of a day.
    pub fn drawn<L: Real>(&self, draw: &dyn Draw<L>) -> (L, L) {
        let of = |key, sd: f64| draw.spread(1.0, Spread::Factor { factor: libm::exp(2.0 * sd) }, key).ln();
        (of(&self.flow, Self::FLOW), of(&self.drift, Self::DRIFT) / Self::DRIFT_DAYS)
    }
}

impl<'a> Case<'a> {
    pub fn new(filter: &'a Filter, build: &'a Build, tank: Option<&'a Tank>) -> Self {
        Self {
            filter,
            build,
            tank,
            plan: Plan::new(filter, build),
            start: None,
            faults: None,
            in_place: None,
        }
    }

    /// Water of the tank, m3.
    pub fn volume<L: Real>(&self, draw: &dyn Draw<L>) -> Result<L, Missing> {
        if let Some((volume, _)) = self.in_place {
            return Ok(L::splat(volume));
        }
        let tank = self.tank.ok_or(Missing::NoTank)?;
        Ok(draw.of(tank.volume.as_ref().ok_or(Missing::NoTankVolume)?))
    }

    /// Water, °C.
    pub fn celsius<L: Real>(&self, draw: &dyn Draw<L>) -> L {
        self.tank.map_or_else(
            || draw.constant(crate::assumptions::A::NoTankTemperature),
            |tank| draw.of(&tank.water.temperature),
        )
    }

    pub fn ph<L: Real>(&self, draw: &dyn Draw<L>) -> L {
        let told = self.tank.and_then(|tank| tank.water.ph.as_ref());
        told.map_or_else(|| draw.constant(crate::assumptions::A::NoTankPh), |ph| draw.of(ph))
    }

    /// Dry food, g a day.
    pub fn feed<L: Real>(&self, draw: &dyn Draw<L>) -> Result<L, Missing> {
        if let Some((_, grams)) = self.in_place {
            return Ok(L::splat(grams));
        }
        let tank = self.tank.ok_or(Missing::NoTank)?;
        let volume = tank.volume.as_ref().map(|v| draw.of(v));
        load::fed(&tank.feed(), volume, draw).map_err(|untold| match untold {
            Untold::Feed => Missing::NoFeed,
            Untold::Volume => Missing::NoTankVolume,
        })
    }

    pub fn protein<L: Real>(&self, draw: &dyn Draw<L>) -> L {
        self.tank.map_or_else(
            || draw.constant(crate::assumptions::A::FeedProtein),
            |tank| draw.of(&tank.food.protein).clamp(0.0, 1.0),
        )
    }
}
