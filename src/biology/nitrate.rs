//! Nitrate between water changes, once the weeks repeat.

use super::decay::{left_over, mean_added, mean_left};
use crate::simd::Real;

/// Nitrate (NO3) over its nitrogen, by mass: 62.0049/14.0067.
pub const NO3_PER_N: f64 = 4.4268;
/// The search's span shrinks by `2^48`.
const HALVINGS: u32 = 48;

/// Water changes, all told of the tank's real water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changes<L> {
    /// Share changed each time, above 0 to 1.
    pub share: L,
    /// Days from one to the next, above 0.
    pub every: L,
    /// Nitrate of the new water, mg/l NO3.
    pub tap: L,
}

/// One period of the steady weeks, mg/l NO3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle<L> {
    /// Just before a change.
    pub peak: L,
    /// Over time.
    pub mean: L,
    pub trough: L,
}

impl<L: Real> Changes<L> {
    /// The period that repeats, with `made` mg/l NO3 a day and a first-order `sink` per day (0 up).
    ///
    /// Without a sink `peak = c + pT/w`, `trough = peak - pT`, `mean = c + pT (1/w - 1/2)`. With one,
    /// `E = e^-kT`, `s = p/k`: `peak = (s(1-E) + w c E)/(1 - (1-w)E)`, `trough = (1-w) peak + w c`,
    /// `mean = s + (trough - s)(1-E)/(kT)`; written so that both are one formula.
    /// Exact solution of `dc/dt = p - k c` with `c -> (1-w) c + w tap` every T days (derived).
    pub fn cycle(&self, made: L, sink: L) -> Cycle<L> {
        let x = sink * self.every;
        let (stays, left) = (L::one() - self.share, left_over(x));
        let (gain, new) = (made * self.every, self.share * self.tap);
        let peak = (gain * mean_left(x) + new * left) / (L::one() - stays * left);
        let trough = stays * peak + new;
        Cycle { peak, mean: trough * mean_left(x) + gain * mean_added(x), trough }
    }
}

/// Nitrate nitrogen, g N a day in `volume` m3 of tank, as mg/l NO3 a day: `nitrogen · 4.4268/volume`.
///
/// `nitrogen` of either sign, `volume` above 0 (without any it is infinite). By the masses of atoms.
pub fn made_daily<L: Real>(nitrogen: L, volume: L) -> L {
    nitrogen * NO3_PER_N / volume
}

/// Nitrate of a tank whose porous grains take some of it, steady.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance<L> {
    /// Peak, mean and trough, mg/l NO3, none below 0.
    pub cycle: Cycle<L>,
    /// What the grains take, g N a day.
    pub denitrified: L,
    /// Net production, mg/l NO3 a day; below 0 where plants and grains take more than the food brings.
    pub made: L,
}

/// The mean at which the grains take just what such a mean lets them take.
///
/// `load` g N a day (`load::nitrate`), `volume` m3, `plants` mg/l NO3 a day, `denitrified` g N a day at a
/// mean in mg/l as N, 0 at 0 and rising. Net production may fall below zero; peak and mean may not.
///
/// The more nitrate, the more is taken, so mean less its own consequence only rises: halving finds the one
/// steady mean. A damped iteration arrives at the same, but swings for ever where grains and rare changes
/// are strong.
pub fn balance<L: Real>(
    changes: &Changes<L>,
    load: L,
    volume: L,
    plants: L,
    denitrified: impl Fn(L) -> L,
) -> Balance<L> {
    let at = |mean: L| {
        let taken = denitrified(mean / NO3_PER_N);
        (taken, made_daily(load - taken, volume) - plants)
    };
    // Without a sink the mean goes straight with what is made.
    let still = changes.cycle(L::zero(), L::zero()).mean;
    let per_made = changes.cycle(L::one(), L::zero()).mean - still;
    let mean_at = |mean: L| still + at(mean).1 * per_made;
    let (mut low, mut high) = (L::zero(), mean_at(L::zero()).max(L::zero()));
    for _ in 0..HALVINGS {
        let mean = (low + high) * 0.5;
        let rises = mean_at(mean).gt(mean);
        low = L::select(rises, mean, low);
        high = L::select(rises, high, mean);
    }
    let (taken, made) = at((low + high) * 0.5);
    let cycle = changes.cycle(made, L::zero());
    let floor = |c: L| c.max(L::zero());
    let cycle = Cycle { peak: floor(cycle.peak), mean: floor(cycle.mean), trough: floor(cycle.trough) };
    Balance { cycle, denitrified: taken, made }
}
