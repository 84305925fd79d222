//! What it costs to put a unit right, and what the first year costs.

use std::sync::Arc;

use crate::assumptions::A;
use crate::model::{Filter, Lamp, Medium, Tank, Unit};
use crate::simd::Real;
use crate::uncertainty::{Draw, Uncertain};
use crate::units::{LITRES, Plain, YEAR, YEAR_DAYS};

pub const YEAR_HOURS: f64 = YEAR_DAYS * 24.0;
/// Kilowatt hours a year of one watt.
pub const KWH_A_WATT: f64 = YEAR_HOURS / 1e3;
/// A lack below a cubic millimetre is rounding, not a purchase.
pub const NOTHING: f64 = 1e-9;

/// Why an amount of money cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untold {
    NoUnit,
    NoAskingPrice,
    NoTank,
    NoPowerPrice,
    NoPower,
    NoPrice,
}

/// Volume of each medium of a build: the medium and its free bed, m3. A medium may stand more than once.
pub type Volumes<L> = [(Arc<Medium>, L)];

/// The UV lamp of the filter, if it has one that works: without a unit block it counts as working.
pub fn working_lamp(filter: &Filter) -> Option<&crate::model::filter::Uv> {
    let works = filter.unit.as_ref().is_none_or(|unit| unit.lamp == Lamp::Working);
    filter.uv.as_ref().filter(|_| works)
}

/// Pump and working lamp, W: `pump · mains³ + lamp`. `mains` is the tank's mains frequency over the pump's, above 0
/// (1 where either is not told): the affinity laws take the pump's share to its cube, an upper end. An error where
/// the pump's power is not given.
pub fn watts<L: Real>(filter: &Filter, mains: L, draw: &dyn Draw<L>) -> Result<L, Untold> {
    let pump = draw.of(filter.pump.power.as_ref().ok_or(Untold::NoPower)?);
    let lamp = working_lamp(filter).map_or(L::zero(), |uv| draw.of(&uv.lamp));
    Ok(pump * mains.powi(3) + lamp)
}

/// What is asked for the unit, in the tank's currency; an error names what is not told.
pub fn asking_price<L: Real>(filter: &Filter, draw: &dyn Draw<L>) -> Result<L, Untold> {
    let unit = filter.unit.as_ref().ok_or(Untold::NoUnit)?;
    Ok(draw.of(unit.asking.as_ref().ok_or(Untold::NoAskingPrice)?))
}

/// Repairs, and the media of the build that neither come with the unit nor are on hand, in the tank's currency. A
/// sum of prices as the profile gives them; an error names what is not told.
///
/// What comes with it comes without limit, what is on hand counts up to its amount. In a wide lane the answer
/// is refused if any draw needs a medium without a price.
pub fn repair_cost<L: Real>(
    filter: &Filter,
    tank: Option<&Tank>,
    media: &Volumes<L>,
    draw: &dyn Draw<L>,
) -> Result<L, Untold> {
    let unit = filter.unit.as_ref().ok_or(Untold::NoUnit)?;
    let repairs = unit.to_fix.iter().fold(L::zero(), |sum, repair| sum + draw.of(&repair.price));
    Ok(repairs + missing_media(unit, tank, media, draw)?)
}

/// Asking price, putting it right, power, and the media and lamp worn out in one year:
/// `asking + repair_cost + W · 8.766 · price + sum of volume × price × year/life + lamp price × 8766/9000`.
///
/// In the tank's currency; W from [`watts`], `mains` as there. Wear is counted in fractions of a life; 9000 h is the
/// lamp's (`A::UvLife`, from memory). A medium without `life` does not wear. An error names what is not told.
pub fn first_year_cost<L: Real>(
    filter: &Filter,
    tank: Option<&Tank>,
    media: &Volumes<L>,
    mains: L,
    draw: &dyn Draw<L>,
) -> Result<L, Untold> {
    let unit = filter.unit.as_ref().ok_or(Untold::NoUnit)?;
    let asking = draw.of(unit.asking.as_ref().ok_or(Untold::NoAskingPrice)?);
    let tariff = draw.of(tank.ok_or(Untold::NoTank)?.power_price.as_ref().ok_or(Untold::NoPowerPrice)?);
    let power = watts(filter, mains, draw)? * KWH_A_WATT * tariff;
    let wear = media_wear(media, draw)? + lamp_wear(filter, draw)?;
    Ok(asking + repair_cost(filter, tank, media, draw)? + power + wear)
}

fn price<L: Real>(figure: Option<&Uncertain<Plain>>, draw: &dyn Draw<L>) -> Result<L, Untold> {
    figure.map(|figure| draw.of(figure)).ok_or(Untold::NoPrice)
}

fn missing_media<L: Real>(
    unit: &Unit,
    tank: Option<&Tank>,
    media: &Volumes<L>,
    draw: &dyn Draw<L>,
) -> Result<L, Untold> {
    let mut cost = L::zero();
    for (at, (medium, _)) in media.iter().enumerate() {
        let seen = media.iter().take(at).any(|(before, _)| before.id == medium.id);
        if seen || unit.includes.contains(&medium.id) {
            continue;
        }
        let needed = media
            .iter()
            .filter(|(other, _)| other.id == medium.id)
            .fold(L::zero(), |sum, (_, volume)| sum + *volume);
        let on_hand = tank
            .iter()
            .flat_map(|tank| &tank.on_hand)
            .filter(|held| held.medium == medium.id)
            .fold(L::zero(), |sum, held| sum + draw.of(&held.volume));
        let lack = needed - on_hand;
        let lacks = lack.gt(L::splat(NOTHING));
        if L::any(lacks) {
            let bought = lack * LITRES * price(medium.price.as_ref(), draw)?;
            cost += L::select(lacks, bought, L::zero());
        }
    }
    Ok(cost)
}

fn media_wear<L: Real>(media: &Volumes<L>, draw: &dyn Draw<L>) -> Result<L, Untold> {
    let mut cost = L::zero();
    for (medium, volume) in media {
        if let Some(life) = &medium.life {
            let years = draw.of(life) / YEAR;
            cost += *volume * LITRES * price(medium.price.as_ref(), draw)? / years;
        }
    }
    Ok(cost)
}

fn lamp_wear<L: Real>(filter: &Filter, draw: &dyn Draw<L>) -> Result<L, Untold> {
    working_lamp(filter).map_or(Ok(L::zero()), |uv| {
        Ok(price(uv.price.as_ref(), draw)? * YEAR_HOURS / draw.constant(A::UvLife))
    })
}
