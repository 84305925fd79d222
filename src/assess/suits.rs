//! What tank a build suits, by stocking and by limit, clean. Works without a tank too.

use super::biology::porous_mass;
use super::figures::{Figures, WaterWay, figures};
use super::{Case, Effort};
use crate::assumptions::A;
use crate::biology::load;
use crate::measures::{Measure, Missing};
use crate::message::worded;
use crate::model::tank::Stock;
use crate::model::{Feed, Tank};
use crate::simd::Real;
use crate::uncertainty::{Band, Draw, Nominal};
use crate::units::LITRES;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stocking {
    Word(Stock),
    SoFed,
}

impl Stocking {
    pub const ALL: [Self; 4] =
        [Self::Word(Stock::Light), Self::Word(Stock::Normal), Self::Word(Stock::Heavy), Self::SoFed];

    pub fn word(self) -> &'static str {
        match self {
            Self::Word(Stock::Light) => "light",
            Self::Word(Stock::Normal) => "normal",
            Self::Word(Stock::Heavy) => "heavy",
            Self::SoFed => "so fed",
        }
    }
}

worded! {
    /// What sets a largest tank.
    Limit /// In JSON, and in a sentence.
    word: &'static str {
        Ammonia "ammonia";
        Clearing "clearing";
        Turnover "turnover";
        FullCycle "full_cycle";
        /// To be opened every four weeks; told on request.
        Dirt "dirt";
    }
}

impl Limit {
    /// Those told of every build; the first two count for `suits_up_to`.
    pub const TOLD: [Self; 4] = [Self::Ammonia, Self::Clearing, Self::Turnover, Self::FullCycle];
}

/// A largest tank, as an assessment holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Largest {
    pub stocking: Stocking,
    pub limit: Limit,
    pub litres: f64,
    /// Of the simulated cases; `None` without.
    pub band: Option<Band>,
    /// Of the stocking by which `suits_up_to` is told.
    pub counted: bool,
}

/// Largest tanks of one stocking, litres. None depends on the tank's volume.
#[derive(Clone, Copy, Debug)]
pub struct Suits<L> {
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

    /// By one limit; `None` where it does not hold, as ammonia where nothing is fed.
    pub fn by(&self, limit: Limit) -> Option<L> {
        match limit {
            Limit::Ammonia => self.ammonia,
            Limit::Clearing => Some(self.clearing),
            Limit::Turnover => Some(self.turnover),
            Limit::FullCycle => Some(self.full_cycle),
            Limit::Dirt => None,
        }
    }
}

/// How often an hour a tank is to be cleared, least and most; in between with the food.
const CLEARED: (f64, f64) = (0.5, 2.0);
/// Turnover of a tank without an aim, volumes an hour: the same as where an aim is left out.
const TURNOVER: f64 = 4.0;

/// Food of the tank at hand, g per 100 l a day; none where it cannot be told.
fn so_fed<L: Real>(case: &Case<'_>, draw: &dyn Draw<L>) -> Option<L> {
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
pub fn suits<L: Real>(
    case: &Case<'_>,
    way: &WaterWay<L>,
    removal: L,
    draw: &dyn Draw<L>,
) -> Result<Vec<Suits<L>>, Missing> {
    let (flow, efficiency) = (way.flow?, way.efficiency?);
    let per_gram = draw.constant(A::TanPerProtein) * case.protein(draw);
    let mass = porous_mass(case, &way.vessel, draw);
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

/// The rows as an assessment holds them, at nominal values.
pub fn largest(rows: &[Suits<f64>], counted: Stocking) -> Vec<Largest> {
    let of = |row: &Suits<f64>| {
        let (stocking, row) = (row.stocking, *row);
        let told =
            move |limit| row.by(limit).filter(|litres| litres.is_finite()).map(|litres| (limit, litres));
        let one = move |(limit, litres)| Largest {
            stocking,
            limit,
            litres,
            band: None,
            counted: stocking == counted,
        };
        Limit::TOLD.into_iter().filter_map(told).map(one)
    };
    rows.iter().flat_map(of).collect()
}

/// Days between openings that keepers reckon with. Common practice, no source.
const MONTHLY: f64 = 28.0;
/// Tanks tried, m3.
const TRIED: (f64, f64) = (1e-3, 1e3);

/// The largest tank, litres, in which a build so stocked is opened every four weeks or less often, at nominal values;
/// by halving the range on a ratio scale, since the interval falls as the tank grows. `None` where it cannot be told or
/// no tank tried is small or large enough to bound it.
pub fn by_dirt(case: &Case<'_>, stocking: Stocking) -> Option<f64> {
    let grams = match stocking {
        Stocking::Word(stock) => load::stocked(stock, &Nominal),
        Stocking::SoFed => so_fed(case, &Nominal)?,
    };
    let interval = |volume: f64| {
        let in_place = Some((volume, load::feed_from_stock(grams, volume)));
        let told: Figures<f64> = figures(&Case { in_place, ..case.clone() }, &Nominal, Effort::FULL);
        told.get(Measure::OpeningInterval).ok().filter(|_| told.solved)
    };
    let (mut low, mut high) = TRIED;
    if interval(low)? < MONTHLY || interval(high)? >= MONTHLY {
        return None;
    }
    while high / low > 1.002 {
        let middle = (low * high).sqrt();
        if interval(middle)? >= MONTHLY {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((low * high).sqrt() * LITRES)
}
