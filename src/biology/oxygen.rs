//! Oxygen on its way through the box, and what is left of it when the pump stops.

use super::drawn;
use crate::simd::Real;
use crate::units::{DAY, FREEZING};

/// Hours in a day.
const HOURS: f64 = 24.0;
/// Below this fish and nitrifiers suffer, mg/l; the shut vessel is timed down to it. Common practice, no source.
pub const SCARCE: f64 = 2.0;

/// Dissolved oxygen of fresh water under 1 atm of moist air, mg/l.
///
/// `ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.2438e10/T³ - 8.621949e11/T⁴`, `t` °C (0 to 40, T in K);
/// not held to that range, which the door keeps.
/// Source: Benson & Krause 1984, Limnol. Oceanogr. 29:620, as in APHA Standard Methods 4500-O.
pub fn saturation<L: Real>(t: L) -> L {
    let over = L::one() / (t + FREEZING);
    let ln = (((over * -8.621_949e11 + 1.243_8e10) * over - 6.642_308e7) * over + 1.575_701e5) * over;
    (ln - 139.344_11).exp()
}

/// Oxygen of the water that enters the filter, mg/l: a share (`A::OxygenIn`, ours) of [`saturation`]; `t` °C as
/// there.
pub fn entering<L: Real>(t: L, share: L) -> L {
    saturation(t) * share
}

drawn! {
    /// What takes oxygen in the box.
    Demand {
        per_nitrogen: OxygenPerNitrogen,
        per_feed: OxygenPerFeed,
    }
}

impl<L: Real> Demand<L> {
    /// Oxygen taken, g a day: `per_nitrogen N + per_feed F`; `nitrogen` the nitrate load in g N a day,
    /// `feed` g a day, both from 0 up.
    /// Source: electron balance for 4.57; Timmons & Ebeling from memory for the organics.
    pub fn daily(&self, nitrogen: L, feed: L) -> L {
        self.per_nitrogen * nitrogen + self.per_feed * feed
    }
}

/// Fall of dissolved oxygen over one pass, mg/l: `daily/(86400 flow)`, `daily` g O2 a day (0 up), `flow` m3/s above
/// 0 (at 0 it is huge, yet finite). A balance of mass (derived).
pub fn drop<L: Real>(daily: L, flow: L) -> L {
    daily / (flow.max(L::splat(1e-30)) * DAY)
}

/// Oxygen of the returning water, mg/l: `entering - drop`, both mg/l, and not below 0: the box cannot take more
/// than arrives.
pub fn leaving<L: Real>(entering: L, drop: L) -> L {
    (entering - drop).max(L::zero())
}

/// Hours until the shut vessel falls from `entering` to 2 mg/l after the pump stops: `V (DO - 2)/use`.
///
/// `water` m3 in the vessel, `entering` mg/l (at 2 and below the answer is 0), `daily` g O2 a day that organics take
/// there: the shut vessel holds next to no ammonia to nitrify. Use slows as oxygen falls, so true times are longer. Infinite where nothing uses oxygen. A balance of mass (derived).
pub fn hours_to_scarce<L: Real>(water: L, entering: L, daily: L) -> L {
    let spare = water * (entering - SCARCE).max(L::zero());
    L::select(daily.gt(L::zero()), spare * HOURS / daily.max(L::splat(1e-30)), L::splat(f64::INFINITY))
}
