//! In what order the builds stand for a tank, under the doubt and under any taste.
//!
//! Stochastic multicriteria acceptability analysis (Lahdelma and Salminen 2001, "SMAA-2", Operations Research
//! 49): the share of draws in which a build takes each rank, once with the tank's weights and once with weights
//! drawn evenly from the simplex, so that taste and doubt are told apart.

use super::utility::Worth;
use crate::uncertainty::{Generator, Key};

/// Two scores nearer than this share a rank.
const TIE: f64 = 1e-12;

#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// Nominal score, 0 to 1.
    pub score: f64,
    pub scores: Vec<f64>,
    /// Mean of those; the nominal score without draws.
    pub mean: f64,
    /// Chance of each rank, the first rank first, with the tank's weights. They add to 1.
    pub ranks: Chances,
    /// The ranks, counted from 1, between which it stands in nine draws of ten: 5th and 95th percentiles.
    pub range: (usize, usize),
    /// Chance of the first place with any weights at all.
    pub first_any_weights: f64,
}

/// Chances of the ranks, the first rank first, by what it took in each draw: among thousands of builds far less than the
/// square of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chances {
    /// First rank of those it shares in a draw, counted from 0, and how many share them.
    taken: Vec<(u32, u32)>,
    of: usize,
}

impl Chances {
    /// Chance of the first rank.
    fn first(&self) -> f64 {
        let shares = self.taken.iter().filter(|(from, _)| *from == 0).map(|(_, many)| 1.0 / f64::from(*many));
        shares.sum::<f64>() / self.taken.len().max(1) as f64
    }
    /// All of them, one for each build that is ranked.
    pub fn all(&self) -> Vec<f64> {
        let mut all = vec![0.0; self.of];
        for (from, many) in &self.taken {
            for share in all.iter_mut().skip(*from as usize).take(*many as usize) {
                *share += 1.0 / f64::from(*many);
            }
        }
        all.into_iter().map(|share| share / self.taken.len() as f64).collect()
    }
    /// The ranks, counted from 1, by which a twentieth and all but a twentieth are reached.
    fn range(&self) -> (usize, usize) {
        let chances = self.all();
        let reach = |share: f64| {
            let mut sum = 0.0;
            chances.iter().position(|chance| {
                sum += chance;
                sum >= share - 1e-9
            })
        };
        (reach(0.05).unwrap_or(0) + 1, reach(0.95).unwrap_or(chances.len().max(1) - 1) + 1)
    }
}

impl Ranked {
    pub fn first(&self) -> f64 {
        self.ranks.first()
    }
}

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
    let mut drawn: Vec<Vec<f64>> = drawn.collect();
    solved_alone(&mut drawn, &worth.failed);
    let ranks = rank_shares(builds, drawn.iter());

    // Any weights: one draw from the simplex of the criteria that count, for each draw of the doubt.
    let mut generator = Generator::new(seed, Key::named("rank/weights").hash());
    let counting = weights.iter().filter(|w| **w > 0.0).count();
    // Where all that is weighed is one figure over all draws, a risk say, taste alone is left to vary.
    let tastes = if worth.samples <= 1 { TASTES } else { worth.samples };
    let mut any = vec![0.0; builds];
    for i in 0..tastes {
        let mut simplex = generator.simplex(counting).into_iter();
        let taste: Vec<f64> =
            weights.iter().map(|w| if *w > 0.0 { simplex.next().unwrap_or(0.0) } else { 0.0 }).collect();
        let scores: Vec<f64> = (0..builds).map(|b| score(at(b, i.min(samples - 1)), &taste)).collect();
        let best = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let first: Vec<usize> =
            (0..builds).filter(|b| scores.get(*b).is_some_and(|s| best - s <= TIE)).collect();
        for build in &first {
            if let Some(share) = any.get_mut(*build) {
                *share += 1.0 / first.len() as f64;
            }
        }
    }

    let builds: Vec<Ranked> = nominal
        .into_iter()
        .zip(ranks.into_iter().zip(any))
        .enumerate()
        .map(|(b, (score, (ranks, any)))| {
            let scores: Vec<f64> = drawn.iter().filter_map(|draw| draw.get(b).copied()).collect();
            let mean = scores.iter().sum::<f64>() / samples as f64;
            let range = ranks.range();
            Ranked { score, scores, mean, ranks, range, first_any_weights: any / tastes as f64 }
        })
        .collect();
    let mut order: Vec<(usize, &Ranked)> = builds.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| b.first().total_cmp(&a.first()).then(b.mean.total_cmp(&a.mean)));
    let order = order.into_iter().map(|(b, _)| b).collect();
    Ranking { builds, order }
}

/// A draw that could not be worked out stands at the mean of those that could: it is neither lost nor a zero.
fn solved_alone(drawn: &mut [Vec<f64>], failed: &[Vec<bool>]) {
    for (build, failed) in failed.iter().enumerate() {
        let fails = |i: usize| failed.get(i).copied().unwrap_or(false);
        let of = |draw: &Vec<f64>| draw.get(build).copied().unwrap_or(0.0);
        let solved = || drawn.iter().enumerate().filter(|(i, _)| !fails(*i));
        let count = solved().count();
        if count == 0 || count == drawn.len() {
            continue;
        }
        let mean = solved().map(|(_, draw)| of(draw)).sum::<f64>() / count as f64;
        for (i, draw) in drawn.iter_mut().enumerate() {
            if let Some(score) = draw.get_mut(build).filter(|_| fails(i)) {
                *score = mean;
            }
        }
    }
}

/// Draws of taste when doubt has none, or one.
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

/// Share of the draws in which each build takes each rank, one a build. Builds that tie share their ranks evenly.
pub fn rank_shares<'a>(builds: usize, draws: impl ExactSizeIterator<Item = &'a Vec<f64>>) -> Vec<Chances> {
    let mut shares = vec![Chances { of: builds, ..Chances::default() }; builds];
    for scores in draws {
        let mut order: Vec<(usize, f64)> = scores.iter().copied().enumerate().collect();
        order.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        let mut best = 0;
        for tied in order.chunk_by(|(_, a), (_, b)| a - b <= TIE) {
            for (build, _) in tied {
                if let Some(chances) = shares.get_mut(*build) {
                    chances.taken.push((best, tied.len() as u32));
                }
            }
            best += tied.len() as u32;
        }
    }
    shares
}
