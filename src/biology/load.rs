//! What feeding puts into the water each day.

use crate::assumptions::A;
use crate::model::Feed;
use crate::model::tank::Stock;
use crate::simd::Real;
use crate::uncertainty::Draw;

/// Stocking is told per 100 l: so many of them in a m3.
const HUNDREDS: f64 = 10.0;

/// Nitrogen from food, g N a day: `feed * protein * per_protein`.
///
/// `feed` g a day (0 up), `protein` share (0 to 1), `per_protein` g N per g protein:
/// `A::TanPerProtein` for fresh ammonia, `A::NitratePerProtein` for all that ends as nitrate once what
/// settled has mineralised. The two differ by a quarter and must not be mixed.
///
/// 0.092 = 0.16 nitrogen in protein × 0.80 taken up × 0.80 of that excreted × 0.90 of that as ammonia.
/// Source: Timmons & Ebeling, Recirculating Aquaculture, mass balance (factors from memory).
pub fn nitrogen<L: Real>(feed: L, protein: L, per_protein: L) -> L {
    feed * protein * per_protein
}

/// Fresh ammonia nitrogen, g N a day, in one draw. Units, range and source as [`nitrogen`].
pub fn tan<L: Real>(feed: L, protein: L, draw: &dyn Draw<L>) -> L {
    nitrogen(feed, protein, draw.constant(A::TanPerProtein))
}

/// Nitrogen that ends as nitrate, g N a day, in one draw. Units, range and source as [`nitrogen`].
pub fn nitrate<L: Real>(feed: L, protein: L, draw: &dyn Draw<L>) -> L {
    nitrogen(feed, protein, draw.constant(A::NitratePerProtein))
}

/// The assumption that turns a word for stocking into food, g per 100 l a day.
pub fn stocking(stock: Stock) -> A {
    match stock {
        Stock::Light => A::LightFeed,
        Stock::Normal => A::NormalFeed,
        Stock::Heavy => A::HeavyFeed,
    }
}

/// Food of a word for stocking in one draw, g per 100 l a day: one factor for them all.
pub fn stocked<L: Real>(stock: Stock, draw: &dyn Draw<L>) -> L {
    draw.constant(stocking(stock)) * draw.constant(A::StockFactor)
}

/// Dry food, g a day, of a tank stocked at `per_100_l` g per 100 l a day; `volume` in m3, both from 0 up.
/// Common practice, no source.
pub fn feed_from_stock<L: Real>(per_100_l: L, volume: L) -> L {
    per_100_l * (volume * HUNDREDS)
}

/// Dry food per 100 l of tank, g a day: `feed/(10 volume)`; `feed` g a day, `volume` m3 above 0 (without any it is
/// infinite).
pub fn per_100_l<L: Real>(feed: L, volume: L) -> L {
    feed / (volume * HUNDREDS)
}

/// Why the food of a tank cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untold {
    /// Neither feed nor stock.
    Feed,
    /// Stock without the tank's volume.
    Volume,
}

/// Dry food of a tank, g a day, in one draw, as it is given or by [`feed_from_stock`]; `volume` in m3. What was
/// not told is an error that names it.
pub fn fed<L: Real>(feed: &Feed, volume: Option<L>, draw: &dyn Draw<L>) -> Result<L, Untold> {
    match feed {
        Feed::Daily(figure) => Ok(draw.of(figure)),
        Feed::Stock(stock) => {
            let volume = volume.ok_or(Untold::Volume)?;
            Ok(feed_from_stock(stocked(*stock, draw), volume))
        }
        Feed::Unknown => Err(Untold::Feed),
    }
}

/// Is the tank heavily stocked? By its word where it has one, else from `heavy_from` g of dry food per
/// 100 l a day (`A::HeavyFrom`, halfway between normal and heavy on a ratio scale; common practice, no source).
pub fn is_heavy<L: Real>(feed: &Feed, per_100_l: L, heavy_from: L) -> L::Mask {
    match feed {
        Feed::Stock(stock) => L::mask(*stock == Stock::Heavy),
        Feed::Daily(_) => per_100_l.ge(heavy_from),
        Feed::Unknown => L::mask(false),
    }
}

/// Tank, litres, that so much porous biological media carries through the whole nitrogen cycle by the
/// rule of thumb: `mass` kg dry (0 up) times `normal` or `heavy` litres a kilogram (`A::CycleNormal`,
/// `A::CycleHeavy`).
/// Common practice, no source; the model's own balance does not confirm it for nitrate.
pub fn rule_of_thumb_tank<L: Real>(mass: L, is_heavy: L::Mask, normal: L, heavy: L) -> L {
    mass * L::select(is_heavy, heavy, normal)
}
