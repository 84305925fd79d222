//! What tank a build suits, by stocking and by limit, clean. Works without a tank too.

use super::biology::{nitrifies, porous_mass};
use super::case::Case;
use super::water_way::WaterWay;
use crate::assumptions::A;
use crate::biology::load;
use crate::measures::Missing;
use crate::model::tank::{Feed, Stock, Tank};
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// How the tank would be stocked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stocking {
    /// By a word for it.
    Word(Stock),
    /// As the tank at hand is fed.
    SoFed,
}

/// Largest tanks of one stocking, litres. None depends on the tank's volume.
#[derive(Clone, Copy, Debug)]
pub struct Suits<L> {
    /// Which.
    pub stocking: Stocking,
    /// Food, g per 100 l a day.
    pub fed: L,
    /// Whose ammonia the filter alone takes; none where nothing is fed.
    pub ammonia: Option<L>,
    /// That it clears as often as the stocking asks.
    pub clearing: L,
    /// By turnover, a rule of thumb.
    pub turnover: L,
    /// By the rule of thumb for porous media.
    pub full_cycle: L,
}

impl<L: Real> Suits<L> {
    /// The lesser of ammonia and clearing, and in which draws it is ammonia.
    pub fn up_to(&self) -> (L, L::Mask) {
        match self.ammonia {
            Some(ammonia) => (ammonia.min(self.clearing), ammonia.lt(self.clearing)),
            None => (self.clearing, L::mask(false)),
        }
    }
}

/// Litres in a m3.
const LITRES: f64 = 1e3;
/// How often an hour a tank is to be cleared, least and most; in between with the food.
const CLEARED: (f64, f64) = (0.5, 2.0);
/// Turnover of a tank without an aim, volumes an hour: the same as where an aim is left out.
const TURNOVER: f64 = 4.0;

/// Food of the tank at hand, g per 100 l a day; none where it cannot be told.
fn so_fed<L: Real, D: Draw<L>>(case: &Case<'_>, draw: &D) -> Option<L> {
    Some(load::per_100_l(case.feed(draw).ok()?, case.volume(draw).ok()?))
}

/// The stocking by which `suits_up_to` is told: as fed, or normally where that cannot be told.
pub fn counted(case: &Case<'_>) -> Stocking {
    let told = case.tank.is_some_and(|tank| match tank.feed() {
        Feed::Daily(_) => tank.volume.is_some(),
        Feed::Stock(_) => true,
        Feed::Unknown => false,
    });
    if told { Stocking::SoFed } else { Stocking::Word(Stock::Normal) }
}

/// One row a stocking: light, normal, heavy, and with a tank whose food can be told "so fed".
pub fn suits<L: Real, D: Draw<L>>(
    case: &Case<'_>,
    way: &WaterWay<L>,
    draw: &D,
) -> Result<Vec<Suits<L>>, Missing> {
    let (flow, efficiency) = (way.flow?, way.efficiency?);
    let removal = nitrifies(case, way, draw).removal;
    let per_gram = draw.constant(A::TanPerProtein) * case.protein(draw);
    let mass = porous_mass(case, way, draw);
    let (normal, tight) = (draw.constant(A::CycleNormal), draw.constant(A::CycleHeavy));
    let aim = case.tank.map_or(TURNOVER, |tank| tank.aims.turnover).max(1e-6);
    let words = [Stock::Light, Stock::Normal, Stock::Heavy].map(Stocking::Word);
    let fed = |stocking| match stocking {
        Stocking::Word(stock) => Some(load::stocked(stock, draw)),
        Stocking::SoFed => so_fed(case, draw).or_else(|| match case.tank.map(Tank::feed) {
            Some(Feed::Stock(stock)) => Some(load::stocked(stock, draw)),
            _ => None,
        }),
    };
    let rows = words.into_iter().chain([Stocking::SoFed]).filter_map(|stocking| {
        let g = fed(stocking)?;
        let heavy = match stocking {
            Stocking::Word(stock) => L::mask(stock == Stock::Heavy),
            Stocking::SoFed => case
                .tank
                .map_or(L::mask(false), |tank| load::is_heavy(&tank.feed(), g, draw.constant(A::HeavyFrom))),
        };
        let often = (g / A::NormalFeed.entry().value).clamp(CLEARED.0, CLEARED.1);
        let any = L::all(g.gt(L::zero()));
        Some(Suits {
            stocking,
            fed: g,
            ammonia: any.then(|| removal / (per_gram * g) * 100.0),
            clearing: flow * efficiency * (3600.0 * LITRES) / often,
            turnover: flow * (3600.0 * LITRES / aim),
            full_cycle: load::rule_of_thumb_tank(mass, heavy, normal, tight),
        })
    });
    Ok(rows.collect())
}
