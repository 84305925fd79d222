//! Exponential and logarithm that give the same bits on every machine.
//!
//! The standard library hands these to the platform, whose last digit differs from one to the next. Here
//! they are plain sums, products and quotients, which IEEE 754 fixes to the bit and Rust never fuses, so the
//! same seed gives the same bytes everywhere. Range reduction and series are those of any calculus text.

/// ln 2, upper part: its last 21 bits are zero, so that its product with an exponent is exact.
const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
/// ln 2 less its upper part.
const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
/// Bits of a float's fraction.
const FRACTION: u64 = (1 << 52) - 1;

/// 1/n! for n from 14 down to 0.
#[allow(clippy::indexing_slicing, reason = "worked out when compiled, where a wrong index is an error")]
const TAYLOR: [f64; 15] = {
    let mut out = [1.0; 15];
    let (mut n, mut factorial) = (1_u32, 1.0);
    while n <= 14 {
        factorial *= n as f64;
        out[14 - n as usize] = 1.0 / factorial;
        n += 1;
    }
    out
};
/// 1/(2n + 1) for n from 12 down to 1.
#[allow(clippy::indexing_slicing, reason = "worked out when compiled, where a wrong index is an error")]
const ODD: [f64; 12] = {
    let mut out = [0.0; 12];
    let mut n = 1_u32;
    while n <= 12 {
        out[12 - n as usize] = 1.0 / (2 * n + 1) as f64;
        n += 1;
    }
    out
};

/// Two to the power `k`, for whole `k` from −1022 to 1023.
fn two_to(k: f64) -> f64 {
    f64::from_bits(((k + 1023.0) as u64) << 52)
}

/// Natural exponential, to about one unit in the last place.
///
/// x = k ln 2 + r with |r| at most half of ln 2; Taylor's series of `exp(r)` to the 14th power leaves less
/// than 1e-18. Above 709.7 infinite, below -708 zero, NaN for NaN.
pub fn exp(x: f64) -> f64 {
    if x.is_nan() {
        return x;
    }
    if x > 709.7 {
        return f64::INFINITY;
    }
    if x < -708.0 {
        // Below the normal range: nothing in the program is that small.
        return 0.0;
    }
    let k = (x * std::f64::consts::LOG2_E).round();
    let r = (x - k * LN2_HIGH) - k * LN2_LOW;
    let series = TAYLOR.iter().fold(0.0, |sum, c| sum * r + c);
    // 2^1024 has no float of its own: two steps.
    let half = (k / 2.0).floor();
    series * two_to(half) * two_to(k - half)
}

/// Natural logarithm, to about one unit in the last place; −∞ at zero, NaN below.
///
/// x = 2^k m with m between √½ and √2; ln m = 2 artanh s, s = (m − 1)/(m + 1), |s| below 0.172, so the series
/// to s^25 leaves less than 1e-20.
pub fn ln(x: f64) -> f64 {
    if x.is_nan() || x < 0.0 {
        return f64::NAN;
    }
    if x == 0.0 {
        return f64::NEG_INFINITY;
    }
    if x.is_infinite() {
        return x;
    }
    let (x, lifted) = if x < f64::MIN_POSITIVE { (x * two_to(54.0), 54.0) } else { (x, 0.0) };
    let bits = x.to_bits();
    let mut k = (bits >> 52) as f64 - 1023.0 - lifted;
    let mut m = f64::from_bits((bits & FRACTION) | (1023 << 52));
    if m > std::f64::consts::SQRT_2 {
        m /= 2.0;
        k += 1.0;
    }
    let f = m - 1.0;
    let s = f / (m + 1.0);
    let z = s * s;
    // ln m = 2s + 2s (z/3 + z²/5 + …), and 2s = f − f s keeps the digits of a small f.
    let tail = ODD.iter().fold(0.0, |sum, c| z * (c + sum));
    k * LN2_HIGH + (f - (s * (f - 2.0 * tail) - k * LN2_LOW))
}
