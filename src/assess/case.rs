//! What is judged: a build of a filter, at a tank or without one.

use crate::biology::load::{self, Untold};
use crate::hydraulics::plan::Plan;
use crate::measures::Missing;
use crate::model::filter::{Build, Filter};
use crate::model::tank::Tank;
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// A build at a tank, with the plan of its vessel.
#[derive(Clone, Debug)]
pub struct Case<'a> {
    pub filter: &'a Filter,
    /// One of its builds, or one made from it.
    pub build: &'a Build,
    pub tank: Option<&'a Tank>,
    /// Its vessel.
    pub plan: Plan,
    /// Clean flows at nominal values, where they are known, m3/s: draws are solved from there.
    pub start: Option<Vec<f64>>,
    /// A volume, m3, and food, g a day, that stand in place of the tank's.
    pub in_place: Option<(f64, f64)>,
}

impl<'a> Case<'a> {
    pub fn new(filter: &'a Filter, build: &'a Build, tank: Option<&'a Tank>) -> Self {
        Self { filter, build, tank, plan: Plan::new(filter, build), start: None, in_place: None }
    }

    /// Water of the tank, m3.
    pub fn volume<L: Real, D: Draw<L>>(&self, draw: &D) -> Result<L, Missing> {
        if let Some((volume, _)) = self.in_place {
            return Ok(L::splat(volume));
        }
        let tank = self.tank.ok_or(Missing::NoTank)?;
        Ok(draw.of(tank.volume.as_ref().ok_or(Missing::NoTankVolume)?))
    }

    /// Water, °C.
    pub fn celsius<L: Real, D: Draw<L>>(&self, draw: &D) -> L {
        self.tank.map_or_else(
            || draw.constant(crate::assumptions::A::NoTankTemperature),
            |tank| draw.of(&tank.water.temperature),
        )
    }

    /// pH of the water.
    pub fn ph<L: Real, D: Draw<L>>(&self, draw: &D) -> L {
        let told = self.tank.and_then(|tank| tank.water.ph.as_ref());
        told.map_or_else(|| draw.constant(crate::assumptions::A::NoTankPh), |ph| draw.of(ph))
    }

    /// Dry food, g a day.
    pub fn feed<L: Real, D: Draw<L>>(&self, draw: &D) -> Result<L, Missing> {
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

    /// Protein share of the food.
    pub fn protein<L: Real, D: Draw<L>>(&self, draw: &D) -> L {
        self.tank.map_or_else(
            || draw.constant(crate::assumptions::A::FeedProtein),
            |tank| draw.of(&tank.food.protein).clamp(0.0, 1.0),
        )
    }
}
