//! Nitrate taken in the airless core of porous grains. Carbon decides: it makes the core airless and
//! feeds it, so the respiration inside grains follows from the food and not from the pores.

use super::drawn;
use crate::simd::Real;

/// Diffusion is told at this temperature, °C.
const DIFFUSION_TEMPERATURE: f64 = 25.0;
/// g O2 that a g of nitrate nitrogen stands for: 5/4 × 32/14.007, electron balance.
pub const OXYGEN_OF_NITRATE: f64 = 2.86;
/// Nitrate nitrogen at which denitrification runs at half its speed, mg/l. Ours: nitrate stops mattering
/// above some 8 mg/l as NO3, and the balance cannot fall below zero.
const NITRATE_HALF: f64 = 1.0;
/// Normal quantiles at `(i + 1/2)/9`.
const QUANTILES: [f64; 9] = [
    -1.593_218_818_023_050_4,
    -0.967_421_566_101_701,
    -0.589_455_797_849_778_3,
    -0.282_216_147_062_508_1,
    0.0,
    0.282_216_147_062_508_1,
    0.589_455_797_849_778_3,
    0.967_421_566_101_701,
    1.593_218_818_023_050_4,
];
/// `[0, 1]` halved so often is below the last digit of an `f64`.
const HALVINGS: u32 = 52;
/// Stands in for a divisor of zero; the quotient is then without meaning and masked or clamped.
const TINY: f64 = 1e-30;

/// The form of a grain as oxygen meets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form<L> {
    // A lump: half its size, m.
    Sphere {
        /// Radius, above 0.
        radius: L,
    },
    // The wall of a ring, entered from both sides: a quarter of outer less inner diameter, m.
    Wall {
        /// Half its thickness, above 0.
        half: L,
    },
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grains<L> {
    /// Their own volume, voids of the bed taken off, m3.
    pub volume: L,
    pub form: Form<L>,
}

/// Relative radius `x` of the airless core of a sphere: `1 - 3x² + 2x³ = (Rc/R)²`, 0 where `(Rc/R)² >= 1`.
///
/// `critical` is `(Rc/R)²`, 0 up; at 0 nothing but the core is left.
///
/// Source: zero-order use in a sphere, textbook of catalysts and biofilms (Levenspiel; Harremoes 1978; from
/// memory, derived again).
pub fn core<L: Real>(critical: L) -> L {
    let (mut low, mut high) = (L::zero(), L::one());
    for _ in 0..HALVINGS {
        let x = (low + high) * 0.5;
        // The left side in factors, exact near its double root at 1; it falls from 1 to 0 as x rises.
        let over = (L::one() - x).squared() * (x * 2.0 + 1.0);
        let inside = over.gt(critical);
        low = L::select(inside, x, low);
        high = L::select(inside, high, x);
    }
    L::select(critical.lt(L::one()), (low + high) * 0.5, L::zero())
}

/// Airless share of a sphere's volume, `x³` of [`core()`] with `(Rc/R)² = 6 De S/(k R²)`.
///
/// `k` g O2 per m3 of grain a day (0 up; at 0 no core), `diffusion` m2 a day, `oxygen` at its face mg/l (0 up;
/// at 0 all core), `radius` m above 0. Source: as [`core()`].
pub fn sphere_share<L: Real>(k: L, diffusion: L, oxygen: L, radius: L) -> L {
    core(diffusion * oxygen * 6.0 / (k * radius.squared()).max(L::splat(TINY))).powi(3)
}

/// Airless share of a wall entered from both sides: `max(0, 1 - sqrt(2 De S/k)/h)`. Units as
/// [`sphere_share`]; `half` m above 0. Source: zero-order use in a slab, as [`core()`].
pub fn wall_share<L: Real>(k: L, diffusion: L, oxygen: L, half: L) -> L {
    let depth = (diffusion * oxygen * 2.0 / k.max(L::splat(TINY))).sqrt();
    (L::one() - depth / half.max(L::splat(TINY))).max(L::zero())
}

/// `<m share(k m)>` over nine patches `m = exp(sigma z)` at the mid quantiles, scaled to mean 1.
///
/// `sigma` 0 up (0: all patches alike), `k` as `share` takes it; the answer is a share, 0 to 1, where `share`'s
/// is. Ours: respiration is not even, and how uneven is a guess.
pub fn over_patches<L: Real>(sigma: L, k: L, share: impl Fn(L) -> L) -> L {
    let patches = QUANTILES.map(|z| (sigma * z).exp());
    let total = patches.into_iter().fold(L::zero(), |sum, m| sum + m);
    let to_mean = L::splat(QUANTILES.len() as f64) / total;
    let sum = patches.into_iter().fold(L::zero(), |sum, m| {
        let m = m * to_mean;
        sum + m * share(k * m)
    });
    sum / QUANTILES.len() as f64
}

drawn! {
    /// What happens inside porous grains, in one draw.
    Inside {
        hindered: GrainDiffusion,
        in_water: WaterDiffusion,
        theta: DiffusionTheta,
        film: FilmOxygen,
        weight: GrainShare,
        most: GrainShareMost,
        airless: AnoxicRate,
        patchiness: Patchiness,
        per_feed: OxygenPerFeed,
        per_nitrogen: OxygenPerNitrogen,
    }
}

impl<L: Real> Inside<L> {
    /// Diffusion of oxygen in a grain, m2 a day, at `t` °C: `0.25 · 1.9e-4 · 1.026^(t - 25)`. From memory; meant
    /// for the temperatures of tanks, and not held to them.
    pub fn diffusion(&self, t: L) -> L {
        self.hindered * self.in_water * self.theta.powf(t - DIFFUSION_TEMPERATURE)
    }

    /// Share of respiration that happens inside grains:
    /// `min(most, weight A_p/(A_p + A_o)) min(1, margin)`, 0 without any surface.
    ///
    /// `porous` m2 of open-pored grains with their shell, `other` m2 of all other media, no fouling on
    /// either (0 up); `margin` the ammonia margin, which counts from 0 to 1. Ours.
    pub fn share_inside(&self, porous: L, other: L, margin: L) -> L {
        let share = self.weight * porous / (porous + other).max(L::splat(TINY));
        share.min(self.most) * margin.clamp(0.0, 1.0)
    }

    /// Respiration in the grains, g O2 per m3 of grain a day: `f_in (B F + 4.57 N)/V`; 0 where `grains` is 0.
    ///
    /// `inside` from [`Self::share_inside`], `feed` g a day, `nitrogen` the nitrate load in g N a day, `grains` m3
    /// of grain, all from 0 up. Source: the demand of the whole box ([`super::oxygen::Demand::daily`]), shared out.
    pub fn respiration(&self, inside: L, feed: L, nitrogen: L, grains: L) -> L {
        let daily = inside * (self.per_feed * feed + self.per_nitrogen * nitrogen);
        L::select(grains.gt(L::zero()), daily / grains.max(L::splat(TINY)), L::zero())
    }

    /// `<m x³>`, the airless share of respiration: each patch weighted by its own respiration, each layer
    /// by its grain volume; 0 without grains.
    ///
    /// `k` from [`Self::respiration`], common to all grains; `t` °C; `oxygen` of the entering water, mg/l (0 up).
    /// Source: as [`core()`]; the patches are ours.
    pub fn airless_share(&self, grains: &[Grains<L>], k: L, t: L, oxygen: L) -> L {
        let (diffusion, at_face) = (self.diffusion(t), oxygen * self.film);
        let (sum, volume) = grains.iter().fold((L::zero(), L::zero()), |(sum, volume), layer| {
            let share = over_patches(self.patchiness, k, |k| match layer.form {
                Form::Sphere { radius } => sphere_share(k, diffusion, at_face, radius),
                Form::Wall { half } => wall_share(k, diffusion, at_face, half),
            });
            (sum + share * layer.volume, volume + layer.volume)
        });
        L::select(volume.gt(L::zero()), sum / volume.max(L::splat(TINY)), L::zero())
    }

    /// Nitrogen the grains could take if nitrate were plentiful, g N a day: `<m x³> f_in B F · 0.7/2.86`.
    /// Multiply by [`nitrate_limit`]. `airless_share` and `inside` 0 to 1, `feed` g a day, 0 up. Very doubtful: a
    /// form of ours on constants from memory.
    pub fn potential(&self, airless_share: L, inside: L, feed: L) -> L {
        airless_share * inside * self.per_feed * feed * self.airless / OXYGEN_OF_NITRATE
    }

    /// All of the above in a row: the potential of a build's porous grains, g N a day; 0 without grains.
    pub fn of_build(&self, grains: &[Grains<L>], at: &Conditions<L>) -> L {
        let volume = grains.iter().fold(L::zero(), |sum, layer| sum + layer.volume);
        let inside = self.share_inside(at.porous, at.other, at.margin);
        let k = self.respiration(inside, at.feed, at.nitrogen, volume);
        self.potential(self.airless_share(grains, k, at.t, at.oxygen), inside, at.feed)
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions<L> {
    /// Surface of open-pored grains with the shell factor, without fouling, m2.
    pub porous: L,
    /// Surface of all other media, without fouling, m2.
    pub other: L,
    pub margin: L,
    /// Dry food, g a day.
    pub feed: L,
    /// Nitrate load, g N a day.
    pub nitrogen: L,
    /// Water, °C.
    pub t: L,
    /// Oxygen of the entering water, mg/l.
    pub oxygen: L,
}

/// What scarce nitrate leaves of the potential: `S/(1 + S)`, `nitrogen` mg/l as N (0 up; below 0 it counts as 0).
/// Ours: the balance can so never fall below zero.
pub fn nitrate_limit<L: Real>(nitrogen: L) -> L {
    let s = nitrogen.max(L::zero());
    s / (s + NITRATE_HALF)
}
