//! Weights of rows: how many rows they are worth, how heavy their tail is, how they are tempered and drawn from.

use crate::uncertainty::Generator;
use libm::{exp, log as ln};

/// Shares that add to 1, from logarithms; and the logarithm of the sum before. A weight that is no number is none.
pub fn shares(logs: &[f64]) -> (Vec<f64>, f64) {
    let top = logs.iter().copied().filter(|x| x.is_finite()).fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        return (vec![0.0; logs.len()], f64::NEG_INFINITY);
    }
    let raw: Vec<f64> = logs.iter().map(|x| if x.is_finite() { exp(x - top) } else { 0.0 }).collect();
    let sum: f64 = raw.iter().sum();
    (raw.into_iter().map(|x| x / sum).collect(), top + ln(sum))
}

/// How many equal rows they are worth (Kish 1965), of shares that add to 1; 0 without any.
pub fn worth(shares: &[f64]) -> f64 {
    let squares: f64 = shares.iter().map(|w| w * w).sum();
    if squares > 0.0 { 1.0 / squares } else { 0.0 }
}

/// How heavy the tail of the weights is: the shape of a generalised Pareto law fitted to the largest of them, drawn
/// towards a half as ten more of that shape would.
///
/// Zhang and Stephens 2009, Technometrics 51, for the fit; Vehtari, Simpson, Gelman, Yao and Gabry 2024, "Pareto
/// smoothed importance sampling", JMLR 25, for how many and for the half. 0 with fewer than five.
pub fn tail(weights: &[f64]) -> f64 {
    let mut sorted: Vec<f64> = weights.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let all = sorted.len() as f64;
    let most = (0.2 * all).min(3.0 * all.sqrt()) as usize;
    let above = sorted.split_off(sorted.len() - most);
    let cut = sorted.last().copied().unwrap_or(0.0);
    let over: Vec<f64> = above.iter().map(|w| w - cut).collect();
    let n = over.len() as f64;
    let (Some(top), Some(quarter)) = (over.last(), over.get(((n / 4.0 + 0.5) as usize).saturating_sub(1)))
    else {
        return 0.0;
    };
    // Weights that are all alike have no tail.
    if over.len() < 5 || *quarter <= 0.0 {
        return 0.0;
    }
    let tries = 30 + n.sqrt() as usize;
    let places: Vec<f64> = (1..=tries)
        .map(|j| 1.0 / top + (1.0 - (tries as f64 / (j as f64 - 0.5)).sqrt()) / (3.0 * quarter))
        .collect();
    let shape = |place: f64| over.iter().map(|x| ln(1.0 - place * x)).sum::<f64>() / n;
    let fits: Vec<f64> = places
        .iter()
        .map(|place| {
            let k = shape(*place);
            n * (ln(-place / k) - k - 1.0)
        })
        .collect();
    let (chances, _) = shares(&fits);
    let place: f64 = places.iter().zip(&chances).map(|(b, w)| b * w).sum();
    (n * shape(place) + 5.0) / (n + 10.0)
}

/// The greatest power up to 1 of the likelihoods at which rows, with what they weigh besides, are worth so many; and
/// their shares there.
pub fn tempered(likely: &[f64], besides: &[f64], worth_of: f64) -> (f64, Vec<f64>) {
    let at = |power: f64| {
        // A row that cannot be has no weight at any power.
        let logs: Vec<f64> =
            likely.iter().zip(besides).map(|(l, b)| if l.is_finite() { power * l + b } else { *l }).collect();
        shares(&logs).0
    };
    let whole = at(1.0);
    if worth(&whole) >= worth_of {
        return (1.0, whole);
    }
    // Halved in the logarithm: against readings of no error at all the power is next to nothing.
    let (mut low, mut high) = (1e-30, 1.0);
    for _ in 0..50 {
        let middle = f64::sqrt(low * high);
        if worth(&at(middle)) >= worth_of { low = middle } else { high = middle }
    }
    (low, at(low))
}

/// So many rows by their shares: each as often as its share of them, but for one more or less (systematic resampling,
/// Kitagawa 1996, J. Comp. Graph. Stat. 5), in an order that the generator shuffles.
pub fn drawn(shares: &[f64], count: usize, generator: &mut Generator) -> Vec<usize> {
    let start = generator.unit();
    let (mut rows, mut sum) = (Vec::with_capacity(count), 0.0);
    for (row, share) in shares.iter().enumerate() {
        sum += share;
        while rows.len() < count && (rows.len() as f64 + start) / (count as f64) < sum {
            rows.push(row);
        }
    }
    // What rounding leaves of the sum.
    let last = shares.iter().rposition(|share| *share > 0.0).unwrap_or(0);
    rows.resize(count, last);
    generator.shuffle(&mut rows);
    rows
}
