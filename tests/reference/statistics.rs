//! The draws against published tables and closed forms.

#![allow(clippy::doc_markdown, reason = "McKay is a name")]

use cansift::simd::{F64x8, Real};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::normal::quantile;
use cansift::uncertainty::sampling::{Batch, Draws};
use cansift::uncertainty::summary::Sample;
use cansift::uncertainty::uncertain::{Draw, Spread};

/// Abramowitz and Stegun 1964, tables 26.1 and 26.2 (percentage points of the normal distribution); digits from
/// memory.
#[test]
fn normal_quantiles_stand_in_the_table() {
    for (p, x) in [
        (0.75, 0.674_490),
        (0.90, 1.281_552),
        (0.95, 1.644_854),
        (0.975, 1.959_964),
        (0.99, 2.326_348),
        (0.995, 2.575_829),
        (0.999, 3.090_232),
        (0.9995, 3.290_527),
        (0.9999, 3.719_016),
    ] {
        assert!((quantile(p) - x).abs() < 6e-7, "{p}: {}", quantile(p));
        assert!((quantile(1.0 - p) + x).abs() < 6e-7, "{p}");
    }
    // The same book, 26.2.14: Q(x) = φ(x)/(x + 1/(x + 2/(x + 3/(x + …)))), for the tails.
    for x in [2.5_f64, 4.0, 6.0, 8.0, 15.0, 25.0, 37.0] {
        let fraction = (1..400).rev().fold(x, |below, k| x + f64::from(k) / below);
        let tail = (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt() / fraction;
        assert!((quantile(tail) / -x - 1.0).abs() < 1e-12, "{x}: {}", quantile(tail));
    }
}

/// McKay, Beckman and Conover 1979: one draw in each stratum of equal chance.
#[test]
fn every_stratum_holds_one_draw() {
    for samples in [1, 2, 7, 64, 512, 1000, 4096] {
        for name in ["media/foam-20/ppi", "model/foam", "x"] {
            let draws = Draws::new(samples, 1);
            let mut strata: Vec<usize> = draws
                .uniforms(&Key::named(name))
                .iter()
                .map(|u| {
                    assert!(*u > 0.0 && *u < 1.0);
                    (u * samples as f64) as usize
                })
                .collect();
            strata.sort_unstable();
            assert_eq!(strata, (0..samples).collect::<Vec<_>>());
        }
    }
}

#[test]
fn keys_are_unrelated_and_the_order_is_random() {
    let draws = Draws::new(4096, 1);
    let columns: Vec<_> = (0..12).map(|i| draws.normals(&Key::named(&format!("k/{i}")))).collect();
    // The correlation of unrelated columns has sd 1/64; five of them. Also with itself one draw later.
    let correlation =
        |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>() / a.len() as f64;
    for (i, a) in columns.iter().enumerate() {
        assert!(correlation(&a[1..], &a[..4095]).abs() < 5.0 / 64.0);
        for b in &columns[..i] {
            assert!(correlation(a, b).abs() < 5.0 / 64.0);
        }
    }
}

fn values(draws: &Draws, value: f64, spread: Spread, name: &str) -> Sample {
    let key = Key::named(name);
    let mut sample = Sample::default();
    for first in draws.firsts() {
        let batch: F64x8 = Batch::new(draws, first).spread(value, spread, &key);
        sample.push(batch, F64x8::mask(true), draws.samples());
    }
    sample
}

/// Closed forms of any handbook: mean and variance of the normal, lognormal and uniform distributions.
#[test]
fn means_and_deviations_are_those_of_the_distributions() {
    let draws = Draws::new(4096, 11);
    let normal = values(&draws, 600.0, Spread::Normal { sd: 0.05 }, "n");
    assert!((normal.mean().unwrap() / 600.0 - 1.0).abs() < 1e-5);
    assert!((normal.sd().unwrap() / 30.0 - 1.0).abs() < 2e-3);
    let band = normal.band().unwrap();
    assert!(((band.high - band.low) / 2.0 / (1.644_854 * 30.0) - 1.0).abs() < 2e-3);
    let factor = values(&draws, 3.0, Spread::Factor { factor: 2.0 }, "f");
    let s = 2.0_f64.ln() / 2.0;
    assert!((factor.mean().unwrap() / (3.0 * (s * s / 2.0).exp()) - 1.0).abs() < 1e-4);
    let sd = 3.0 * (s * s / 2.0).exp() * ((s * s).exp() - 1.0).sqrt();
    assert!((factor.sd().unwrap() / sd - 1.0).abs() < 5e-3);
    let uniform = values(&draws, 0.0, Spread::Uniform { low: -1.0, high: 5.0 }, "u");
    assert!((uniform.mean().unwrap() - 2.0).abs() < 1e-4);
    assert!((uniform.sd().unwrap() - 3.0_f64.sqrt()).abs() < 1e-3);
    assert!((uniform.band().unwrap().low + 0.7).abs() < 2e-3);
}

/// The mean of exp X with X triangular on a, b with mode m, by integrating the two straight pieces by hand, and the
/// same integral by Simpson's rule.
#[test]
fn triangular_in_log_has_the_mean_of_its_integral() {
    let draws = Draws::new(4096, 2);
    for (low, mode, high) in [(0.3, 0.8, 1.6), (0.005, 0.015, 0.04), (85.0, 90.0, 95.0), (1.0, 1.0, 3.0)] {
        let (a, m, b) = (f64::ln(low), f64::ln(mode), f64::ln(high));
        let density = |x: f64| {
            if x < m || m >= b {
                2.0 * (x - a) / ((b - a) * (m - a))
            } else {
                2.0 * (b - x) / ((b - a) * (b - m))
            }
        };
        let simpson = |from: f64, to: f64| {
            if to <= from {
                return 0.0;
            }
            let h = (to - from) / 2000.0;
            let inside = (0..=2000).map(|i| {
                let x = from + h * f64::from(i);
                let weight = if i == 0 || i == 2000 {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                // The mode belongs to both pieces; step off it by nothing that matters.
                let x = if i == 2000 { x - h * 1e-9 } else { x };
                weight * density(x) * x.exp()
            });
            inside.sum::<f64>() * h / 3.0
        };
        let mean = simpson(a, m) + simpson(m, b);
        if mode > low {
            let closed =
                2.0 * ((b - m) * low - (b - a) * mode + (m - a) * high) / ((b - a) * (m - a) * (b - m));
            assert!((mean / closed - 1.0).abs() < 1e-6, "{mean} {closed}");
        }
        let drawn = values(&draws, mode, Spread::TriangularLog { low, high }, "t");
        assert!((drawn.mean().unwrap() / mean - 1.0).abs() < 1e-4, "{low} {mode} {high}");
        assert!(drawn.values.iter().all(|x| *x >= low * 0.999_999 && *x <= high * 1.000_001));
    }
}

/// A sum and a product of independent figures against their closed forms, and the reason for the strata: the
/// mean of a near-linear function wanders far less than with plain draws (McKay et al. 1979; Stein 1987).
#[test]
fn sums_and_products_come_out_with_less_wandering_than_plain_draws() {
    let (x, y, n) = (Key::named("x"), Key::named("y"), 256_usize);
    let spread = Spread::Normal { sd: 0.1 };
    let pair = |draws: &Draws, i: usize| {
        let one = crate::one::One::new(draws, i);
        (one.spread(3.0, spread, &x), one.spread(5.0, spread, &y))
    };
    // The closed forms: variance of 2x + y, and of xy = (μx² + σx²)(μy² + σy²) − μx²μy².
    let large = Draws::new(16_384, 9);
    let sum = Sample::new((0..16_384).map(|i| pair(&large, i)).map(|(a, b)| 2.0 * a + b).collect());
    assert!((sum.mean().unwrap() - 11.0).abs() < 1e-3);
    assert!((sum.sd().unwrap() / (0.36_f64 + 0.25).sqrt() - 1.0).abs() < 0.02);
    let product = Sample::new((0..16_384).map(|i| pair(&large, i)).map(|(a, b)| a * b).collect());
    assert!((product.mean().unwrap() - 15.0).abs() < 0.01);
    let variance: f64 = 9.09 * 25.25 - 225.0;
    assert!((product.sd().unwrap() / variance.sqrt() - 1.0).abs() < 0.02);

    // Over 200 seeds the mean of n plain draws has variance σ²/n; the stratified one far less.
    let wander = |f: fn((f64, f64)) -> f64| {
        let means = (0..200).map(|seed| {
            let draws = Draws::new(n, seed);
            (0..n).map(|i| f(pair(&draws, i))).sum::<f64>() / n as f64
        });
        Sample::new(means.collect()).sd().unwrap().powi(2)
    };
    assert!(wander(|(a, b)| 2.0 * a + b) < 0.61 / n as f64 / 100.0);
    assert!(wander(|(a, b)| a * b) < variance / n as f64 / 20.0);
}

/// Same seed, same bytes: whatever else was asked before, in whatever order, on however many threads.
#[test]
fn the_same_seed_gives_the_same_bytes() {
    let names: Vec<String> = (0..40).map(|i| format!("filter/{i}/gap")).collect();
    let bytes = |draws: &Draws, name: &String| -> Vec<u64> {
        let all = values(draws, 2.0, Spread::TriangularLog { low: 1.0, high: 9.0 }, name);
        all.values.iter().map(|x| x.to_bits()).collect()
    };
    let one = Draws::new(100, 5);
    let forward: Vec<_> = names.iter().map(|name| bytes(&one, name)).collect();
    let two = Draws::new(100, 5);
    let mut backward: Vec<_> = names.iter().rev().map(|name| bytes(&two, name)).collect();
    backward.reverse();
    assert_eq!(forward, backward);
    let three = Draws::new(100, 5);
    let threads: Vec<Vec<Vec<u64>>> = std::thread::scope(|scope| {
        let run = || names.iter().map(|name| bytes(&three, name)).collect::<Vec<_>>();
        let handles: Vec<_> = (0..4).map(|_| scope.spawn(run)).collect();
        handles.into_iter().map(|h| h.join().unwrap()).collect()
    });
    assert!(threads.iter().all(|t| *t == forward));
    assert_ne!(forward[0], bytes(&Draws::new(100, 6), &names[0]));
}

/// The draws themselves are pinned to the bit, so that another machine, compiler or release that gives other ones
/// does not go unnoticed. The number is this program's own.
#[test]
fn the_bits_are_pinned() {
    let draws = Draws::new(64, 1);
    let spreads = [
        Spread::Normal { sd: 0.1 },
        Spread::Factor { factor: 2.0 },
        Spread::Uniform { low: 1.0, high: 4.0 },
        Spread::TriangularLog { low: 0.5, high: 9.0 },
    ];
    let all = spreads.into_iter().flat_map(|spread| values(&draws, 2.0, spread, "media/foam-20/ppi").values);
    let digest = all.fold(0_u64, |h, x| (h ^ x.to_bits()).wrapping_mul(0x0100_0000_01b3).rotate_left(7));
    assert_eq!(digest, 15_370_398_925_972_617_736);
}
