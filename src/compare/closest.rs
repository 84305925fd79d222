//! Which of those that miss what is asked comes closest.

use super::Stands;
use super::requirements::Bound;
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::model::Tank;

/// What missing anything weighs beside how far it is off, which counts by its logarithm: 0.7 is twice or half of what was
/// asked. Our own weights, no source.
const MISSED: f64 = 0.5;
/// A cabinet cannot be stretched: as if twice off.
const CABINET: f64 = 0.7;
/// What cannot be told.
const UNTOLD: f64 = 0.25;
/// Farther off than this is far off, times.
const FAR: f64 = 20.0;
/// Nearer together than this is one, so that trifles do not turn the order.
const STEP: f64 = 0.25;

/// How far a build is off what is asked: each requirement it misses, a tank larger than it suits, and a bypass over 25 %,
/// by how surely and how far. In steps, 0 for what misses nothing.
pub fn off(stands: &Stands, judged: &Assessment, tank: &Tank) -> u32 {
    let times = |ratio: f64| ratio.clamp(1.0, FAR).ln();
    let mut sum = 0.0;
    for (i, met) in stands.musts.iter().enumerate() {
        let chance = stands.chances.as_ref().and_then(|chances| chances.each.get(i));
        let nominal = f64::from(u8::from(met.passes == Some(false)));
        let (fails, untold) =
            chance.map_or((nominal, f64::from(u8::from(met.passes.is_none()))), |c| (c.fails(), c.untold));
        let ratio = match (met.limit.bound, met.figure) {
            (Bound::Yes, _) => CABINET,
            (Bound::AtLeast(least), Outcome::Value(x)) => times(least / x.max(1e-9)),
            (Bound::AtMost(most) | Bound::ToSpend(most), Outcome::Value(x)) => times(x / most.max(1e-9)),
            _ => 0.0,
        };
        sum += fails * (MISSED + ratio) + untold * UNTOLD;
    }
    // Water that slips past is no use to anybody, asked for or not.
    sum += judged.outcome(Measure::BypassChance).number().unwrap_or(0.0) * MISSED;
    let volume = tank.volume.as_ref().map(|volume| volume.si() * 1e3);
    if let (Some(volume), Outcome::Value(suits)) = (volume, judged.outcome(Measure::SuitsUpTo))
        && suits < volume
    {
        sum += MISSED + times(volume / suits.max(1e-9));
    }
    (sum / STEP).round() as u32
}
