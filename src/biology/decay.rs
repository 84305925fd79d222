//! The two shapes every first-order loss over a stretch is made of, without cancellation near zero. All numbers
//! here are bare (a rate times a time or a length); the forms are integrals of `e^-x` (derived).

use crate::simd::Real;

/// Below this the series is exact to 2e-14; above it the closed forms lose no more than that.
const SERIES_BELOW: f64 = 0.05;
/// `exp(-700)` is the last power that is still an ordinary number.
const EXP_MOST: f64 = 700.0;

/// `e^-x` for `x` from 0 to any size; below 0 it stays at 1, beyond 700 at `e^-700`.
pub fn left_over<L: Real>(x: L) -> L {
    (-x.clamp(0.0, EXP_MOST)).exp()
}

/// `(1 - e^-x)/x`, the mean over a stretch of what decays along it; 1 at `x = 0`. For `x` from 0 up; a little
/// below it the series still holds.
pub fn mean_left<L: Real>(x: L) -> L {
    let near = series(x, 1.0);
    let far = (L::one() - left_over(x)) / x.max(L::splat(SERIES_BELOW));
    L::select(x.lt(L::splat(SERIES_BELOW)), near, far)
}

/// `(x - 1 + e^-x)/x²`, the mean of what has been added evenly along the stretch and decays; 1/2 at `x = 0`.
/// For `x` as in [`mean_left`].
pub fn mean_added<L: Real>(x: L) -> L {
    let near = series(x, 2.0);
    let far = (L::one() - mean_left(x)) / x.max(L::splat(SERIES_BELOW));
    L::select(x.lt(L::splat(SERIES_BELOW)), near, far)
}

/// `1/from (1 - x/(from+1) (1 - x/(from+2) (1 - ...)))`, eight terms.
fn series<L: Real>(x: L, from: f64) -> L {
    let mut sum = L::zero();
    for term in (0..8).rev() {
        sum = (L::one() - x * sum) / (from + f64::from(term));
    }
    sum
}
