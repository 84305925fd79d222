//! Quantiles of the normal distribution.

#![allow(clippy::excessive_precision, reason = "digits as published")]

use libm::{exp, log as ln};

/// Coefficients of the middle, powers 0 to 7 of 0.180625 − q².
const MIDDLE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_608,
        1.331_416_678_917_843_774_5e2,
        1.971_590_950_306_551_442_7e3,
        1.373_169_376_550_946_112_5e4,
        4.592_195_393_154_987_145_7e4,
        6.726_577_092_700_870_085_3e4,
        3.343_057_558_358_812_810_5e4,
        2.509_080_928_730_122_672_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091_125_2e1,
        6.871_870_074_920_579_083e2,
        5.394_196_021_424_751_107_7e3,
        2.121_379_430_158_659_586_7e4,
        3.930_789_580_009_271_061e4,
        2.872_908_573_572_194_267_4e4,
        5.226_495_278_852_854_561e3,
    ],
];

/// Coefficients of the shoulders, powers 0 to 7 of r − 1.6.
const SHOULDER: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_577_34,
        4.630_337_846_156_545_295_9,
        5.769_497_221_460_691_405_5,
        3.647_848_324_763_204_605_04,
        1.270_458_252_452_368_382_58,
        2.417_807_251_774_506_117_7e-1,
        2.272_384_498_926_918_458_33e-2,
        7.745_450_142_783_414_076_4e-4,
    ],
    [
        1.0,
        2.053_191_626_637_758_821_87,
        1.676_384_830_183_803_849_4,
        6.897_673_349_851_000_045_5e-1,
        1.481_039_764_274_800_745_9e-1,
        1.519_866_656_361_645_719_66e-2,
        5.475_938_084_995_344_946e-4,
        1.050_750_071_644_416_843_24e-9,
    ],
];

/// Coefficients of the far tails, powers 0 to 7 of r − 5.
const TAIL: [[f64; 8]; 2] = [
    [
        6.657_904_643_501_103_777_2,
        5.463_784_911_164_114_369_9,
        1.784_826_539_917_291_335_8,
        2.965_605_718_285_048_912_3e-1,
        2.653_218_952_657_612_309_3e-2,
        1.242_660_947_388_078_438_6e-3,
        2.711_555_568_743_487_578_15e-5,
        2.010_334_399_292_288_132_65e-7,
    ],
    [
        1.0,
        5.998_322_065_558_879_376_9e-1,
        1.369_298_809_227_358_053_1e-1,
        1.487_536_129_085_061_485_25e-2,
        7.868_691_311_456_132_591e-4,
        1.846_318_317_510_054_681_8e-5,
        1.421_511_758_316_445_888_7e-7,
        2.044_263_103_389_939_785_64e-15,
    ],
];

/// One polynomial over another at `x`.
fn ratio(coefficients: &[[f64; 8]; 2], x: f64) -> f64 {
    let [over, under] = coefficients.each_ref().map(|c| c.iter().rev().fold(0.0, |sum, a| sum * x + a));
    over / under
}

/// The number that a standard normal stays below with probability `p`; infinite at 0 and 1, NaN outside.
///
/// Wichura 1988, "Algorithm AS 241: the percentage points of the normal distribution", Applied Statistics 37,
/// relative error about 1e-16.
pub fn quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return q * ratio(&MIDDLE, 0.180_625 - q * q);
    }
    let side = if q < 0.0 { -1.0 } else { 1.0 };
    let tail = p.min(1.0 - p);
    if tail <= 0.0 {
        return side * f64::INFINITY;
    }
    let r = (-ln(tail)).sqrt();
    side * if r <= 5.0 { ratio(&SHOULDER, r - 1.6) } else { ratio(&TAIL, r - 5.0) }
}

/// The probability that a standard normal stays below `x`, right to about 1e-15 for |x| below 6, 0 or 1 beyond 8.
///
/// Taylor's series about 0 where it converges fast, the continued fraction of the upper tail (Laplace) beyond.
pub fn below(x: f64) -> f64 {
    let density = exp(-x * x / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
    if x.abs() > 4.0 {
        let fraction = (1..60).rev().fold(x.abs(), |rest, k| x.abs() + f64::from(k) / rest);
        let tail = density / fraction;
        return if x < 0.0 { tail } else { 1.0 - tail };
    }
    let (mut term, mut sum) = (x, x);
    for k in 1..80 {
        term *= x * x / f64::from(2 * k + 1);
        sum += term;
        // What follows is smaller still, and lost in rounding.
        if term.abs() < sum.abs() * 1e-18 && f64::from(2 * k) > x * x {
            break;
        }
    }
    0.5 + sum * density
}
