//! In what order the builds stand for a tank, under the doubt and under any taste.
//!
//! Stochastic multicriteria acceptability analysis (Lahdelma and Salminen 2001, "SMAA-2", Operations Research
//! 49): the share of draws in which a build takes each rank, once with the tank's weights and once with weights
//! drawn evenly from the simplex, so that taste and doubt are told apart.

use super::utility::Worth;
use crate::doubt::generator::Generator;
use crate::doubt::key::Key;

/// Two scores nearer than this share a rank.
const TIE: f64 = 1e-12;

/// How one build stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// Nominal score, 0 to 1.
    pub score: f64,
    /// Score of each draw.
    pub scores: Vec<f64>,
    /// Mean of those; the nominal score without draws.
    pub mean: f64,
    /// Chance of each rank, the first rank first, with the tank's weights. They add to 1.
    pub ranks: Vec<f64>,
    /// The same with any weights at all.
    pub any_weights: Vec<f64>,
}

impl Ranked {
    /// Chance of the first place.
    pub fn first(&self) -> f64 {
        self.ranks.first().copied().unwrap_or(0.0)
    }
    /// Chance of the first place with any weights.
    pub fn first_any_weights(&self) -> f64 {
        self.any_weights.first().copied().unwrap_or(0.0)
    }
    /// The ranks, counted from 1, between which it stands in nine draws of ten: 5th and 95th percentiles.
    pub fn range(&self) -> (usize, usize) {
        let reach = |share: f64| {
            let mut sum = 0.0;
            self.ranks.iter().position(|r| {
                sum += r;
                sum >= share - 1e-9
            })
        };
        let last = self.ranks.len().max(1) - 1;
        (reach(0.05).unwrap_or(0) + 1, reach(0.95).unwrap_or(last) + 1)
    }
}

/// How all builds stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// One for each build, in the order given.
    pub builds: Vec<Ranked>,
    /// The builds in the order to show: by chance of the first place, then by mean score.
    pub order: Vec<usize>,
}

/// Ranks builds. `weights` has one weight for each criterion; what is not above 0 does not count. Without draws
/// the nominal scores stand as the only draw, and only taste is left to vary over `TASTES` draws.
pub fn rank(worth: &Worth, weights: &[f64], seed: u64) -> Ranking {
    let weights: Vec<f64> = weights.iter().map(|w| if w.is_finite() { w.max(0.0) } else { 0.0 }).collect();
    let nominal: Vec<f64> =
        worth.nominal.iter().map(|build| score(build.iter().copied(), &weights)).collect();
    let builds = nominal.len();
    let at = |build: usize, i: usize| worth_at(worth, build, i);

    let samples = if worth.samples == 0 { 1 } else { worth.samples };
    let drawn = (0..samples).map(|i| (0..builds).map(|b| score(at(b, i), &weights)).collect());
    let drawn: Vec<Vec<f64>> = drawn.collect();
    let ranks = rank_shares(builds, drawn.iter());

    // Any weights: one draw from the simplex of the criteria that count, for each draw of the doubt.
    let mut generator = Generator::new(seed, Key::new("rank/weights").hash());
    let counting = weights.iter().filter(|w| **w > 0.0).count();
    let tastes = if worth.samples == 0 { TASTES } else { worth.samples };
    let tasted: Vec<Vec<f64>> = (0..tastes)
        .map(|i| {
            let mut simplex = generator.simplex(counting).into_iter();
            let taste: Vec<f64> =
                weights.iter().map(|w| if *w > 0.0 { simplex.next().unwrap_or(0.0) } else { 0.0 }).collect();
            (0..builds).map(|b| score(at(b, i), &taste)).collect()
        })
        .collect();
    let any = rank_shares(builds, tasted.iter());

    let builds: Vec<Ranked> = nominal
        .into_iter()
        .zip(ranks.into_iter().zip(any))
        .enumerate()
        .map(|(b, (score, (ranks, any_weights)))| {
            let scores: Vec<f64> = drawn.iter().filter_map(|draw| draw.get(b).copied()).collect();
            let mean = scores.iter().sum::<f64>() / samples as f64;
            Ranked { score, scores, mean, ranks, any_weights }
        })
        .collect();
    let mut order: Vec<(usize, &Ranked)> = builds.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| b.first().total_cmp(&a.first()).then(b.mean.total_cmp(&a.mean)));
    let order = order.into_iter().map(|(b, _)| b).collect();
    Ranking { builds, order }
}

/// Draws of taste when there are none of doubt.
const TASTES: usize = 512;

/// Worth of one build's criteria in one draw; the nominal ones without draws.
fn worth_at(worth: &Worth, build: usize, i: usize) -> impl Iterator<Item = f64> + '_ {
    let nominal = if worth.samples == 0 { worth.nominal.get(build) } else { None };
    let drawn = if worth.samples == 0 { None } else { worth.draws.get(build) };
    let drawn = drawn.into_iter().flatten().map(move |column| column.get(i).copied().unwrap_or(0.0));
    nominal.into_iter().flatten().copied().chain(drawn)
}

/// Weighted mean, 0 when nothing counts.
fn score(worth: impl Iterator<Item = f64>, weights: &[f64]) -> f64 {
    let (mut sum, mut all) = (0.0, 0.0);
    for (x, w) in worth.zip(weights) {
        sum += w * x;
        all += w;
    }
    if all > 0.0 { sum / all } else { 0.0 }
}

/// Share of the draws in which each build takes each rank: `[build][rank]`. Builds that tie share their ranks
/// evenly.
fn rank_shares<'a>(builds: usize, draws: impl ExactSizeIterator<Item = &'a Vec<f64>>) -> Vec<Vec<f64>> {
    let mut shares = vec![vec![0.0; builds]; builds];
    let n = draws.len() as f64;
    for scores in draws {
        let mut order: Vec<(usize, f64)> = scores.iter().copied().enumerate().collect();
        order.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        let mut best = 0;
        for tied in order.chunk_by(|(_, a), (_, b)| a - b <= TIE) {
            for (build, _) in tied {
                let ranks = shares.get_mut(*build).and_then(|ranks| ranks.get_mut(best..best + tied.len()));
                for rank in ranks.into_iter().flatten() {
                    *rank += 1.0 / tied.len() as f64;
                }
            }
            best += tied.len();
        }
    }
    for rank in shares.iter_mut().flatten() {
        *rank /= n;
    }
    shares
}
