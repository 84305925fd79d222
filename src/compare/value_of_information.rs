//! Which doubtful figure to measure before choosing: the one whose knowledge would gain most.
//!
//! Expected value of partial perfect information by one-level binning of the draws (Strong and Oakley 2013,
//! Medical Decision Making 33, give the idea): with a figure known to lie in one sixteenth of its range one would
//! take the build best there, instead of the build best on the whole. Bins hold chance differences too, so a gain
//! would show for a figure that does not matter; the mean gain of draws shuffled between the bins is taken off.
//! Figures are drawn independently, so a build that does not hang on a figure keeps its whole mean in every bin: a
//! figure of a build that never comes first cannot be named for a chance difference between two others.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::assess::Simulated;
use crate::measures::Measure;
use crate::order::InOrder;
use crate::uncertainty::field::NOT_AT_HOME;
use crate::uncertainty::{Draws, Generator, Key};

/// Bins of equal count.
const BINS: usize = 16;
/// Fewest draws a bin may hold; with fewer draws there are fewer bins.
const FEWEST: usize = 4;
/// Shuffles that tell what chance alone gains on the mean.
const SHUFFLES: usize = 20;
/// A figure must gain more than every shuffle to be called clear. With two shuffles for each figure fewer than one
/// figure that does not matter passes; more than this many are not made.
const MOST_SHUFFLES: usize = 4000;
/// Scores nearer than this are the same.
const SAME: f64 = 1e-12;

#[derive(Clone, Debug, PartialEq)]
pub struct Gain {
    pub key: Key,
    /// Expected gain, in points of score (0 to 1), less what chance alone gains; may fall below 0 by chance.
    pub gain: f64,
    /// Chance that knowing it changes the choice.
    pub changes: f64,
    /// Gains more than chance alone would, with so many figures to choose from.
    pub clear: bool,
}

impl Gain {
    /// Returns how to measure it at home, or that it cannot be.
    pub fn how(&self) -> &'static str {
        self.key.measured_by().unwrap_or(NOT_AT_HOME)
    }
}

/// The gains of all keys, greatest first; equal ones by name.
///
/// `scores[build][draw]` are those of [`super::rank::Ranked::scores`]; a key's column is
/// [`crate::uncertainty::sampling::Draws::uniforms`] of it, of the same draws; `hangs` says for each build whether it
/// hangs on a key. Empty with fewer than two builds or with too few draws for two bins.
pub fn gains(
    scores: &[&[f64]],
    columns: &[(Key, Arc<[f64]>)],
    hangs: impl Fn(&Key) -> Vec<bool>,
    seed: u64,
) -> Vec<Gain> {
    let samples = scores.iter().map(|s| s.len()).min().unwrap_or(0);
    let bins = BINS.min(samples / FEWEST);
    if scores.len() < 2 || bins < 2 {
        return Vec::new();
    }
    let binned = Binned::new(scores, samples, bins);

    let mut generator = Generator::new(seed, Key::named("measure-first/shuffles").hash());
    let mut order: Vec<usize> = (0..samples).collect();
    let all = vec![true; scores.len()];
    let shuffles = (2 * columns.len()).clamp(SHUFFLES, MOST_SHUFFLES);
    let shuffled: Vec<f64> = (0..shuffles)
        .map(|_| {
            generator.shuffle(&mut order);
            binned.gain(&order, &all).0
        })
        .collect();
    // With every build free to differ by chance: no lower than for keys that only some hang on.
    let bar = shuffled.iter().copied().fold(0.0, f64::max) + SAME;
    let mut by_chance: BTreeMap<Vec<bool>, f64> = BTreeMap::new();
    let mut chance_alone = |hangs: &[bool]| {
        *by_chance.entry(hangs.to_vec()).or_insert_with(|| {
            let gains = (0..SHUFFLES).map(|_| {
                generator.shuffle(&mut order);
                binned.gain(&order, hangs).0
            });
            gains.sum::<f64>() / SHUFFLES as f64
        })
    };

    let mut gains: Vec<Gain> = columns
        .iter()
        .filter(|(_, column)| column.len() >= samples)
        .map(|(key, column)| {
            let mut drawn: Vec<(usize, f64)> = column.iter().copied().take(samples).enumerate().collect();
            drawn.sort_by(|(_, a), (_, b)| a.total_cmp(b));
            let order: Vec<usize> = drawn.into_iter().map(|(i, _)| i).collect();
            let hangs = hangs(key);
            let (gain, changes) = binned.gain(&order, &hangs);
            Gain { key: key.clone(), gain: gain - chance_alone(&hangs), changes, clear: gain > bar }
        })
        .collect();
    gains.order_by(|a, b| b.gain.total_cmp(&a.gain).then_with(|| a.key.cmp(&b.key)));
    gains
}

/// What to measure first, and what would matter as much but cannot be measured at home.
#[derive(Default, Clone, Debug, PartialEq)]
pub struct MeasureFirst {
    /// The figures to measure, greatest gain first.
    pub top: Vec<Gain>,
    /// Assumptions of the model that gain more than the last of those (all that are clear when there is none).
    pub not_at_home: Vec<Gain>,
}

/// The first `n` of [`gains`] that are clear and can be measured at home.
pub fn measure_first(gains: Vec<Gain>, n: usize) -> MeasureFirst {
    let (home, not_at_home): (Vec<Gain>, Vec<Gain>) =
        gains.into_iter().filter(|g| g.clear).partition(|g| g.key.measured_by().is_some());
    let top: Vec<Gain> = home.into_iter().take(n).collect();
    let least = top.last().map_or(f64::NEG_INFINITY, |g| g.gain);
    let not_at_home = not_at_home.into_iter().filter(|g| g.gain > least).take(n).collect();
    MeasureFirst { top, not_at_home }
}

/// The builds' scores, ready to be summed by bins.
struct Binned<'a> {
    scores: &'a [&'a [f64]],
    samples: usize,
    bins: usize,
    /// Build with the greatest mean score, the first of equals, and that mean.
    best: (usize, f64),
    /// Mean score of each build over all draws.
    means: Vec<f64>,
}

impl<'a> Binned<'a> {
    fn new(scores: &'a [&'a [f64]], samples: usize, bins: usize) -> Self {
        let all: Vec<usize> = (0..samples).collect();
        let means: Vec<f64> = scores.iter().map(|build| mean(build, &all)).collect();
        let best = best(means.iter().copied(), None);
        Self { scores, samples, bins, best, means }
    }

    /// Gain of choosing by bin, for draws in this order, and the share of draws in bins where the choice changes.
    /// A build that does not hang on what they are ordered by keeps its whole mean.
    fn gain(&self, order: &[usize], hangs: &[bool]) -> (f64, f64) {
        let (mut sum, mut changed) = (0.0, 0_usize);
        for bin in 0..self.bins {
            let (from, to) = (bin * self.samples / self.bins, (bin + 1) * self.samples / self.bins);
            let draws = order.get(from..to).unwrap_or_default();
            let here = self.scores.iter().zip(&self.means).enumerate().map(|(b, (build, whole))| {
                if hangs.get(b).copied().unwrap_or(true) { mean(build, draws) } else { *whole }
            });
            let (build, mean) = best(here, Some(self.best.0));
            sum += mean * draws.len() as f64;
            if build != self.best.0 {
                changed += draws.len();
            }
        }
        let n = self.samples as f64;
        (sum / n - self.best.1, changed as f64 / n)
    }
}

/// Mean score over some draws. A score that is no number counts 0.
fn mean(build: &[f64], draws: &[usize]) -> f64 {
    let told = draws.iter().filter_map(|i| build.get(*i)).filter(|x| x.is_finite());
    told.sum::<f64>() / draws.len().max(1) as f64
}

/// The build with the greatest mean, and that mean. Among equals `favourite`, else the first.
fn best(means: impl Iterator<Item = f64>, favourite: Option<usize>) -> (usize, f64) {
    let better = |a: (usize, f64), b: (usize, f64)| {
        let ahead = b.1 > a.1 + SAME || (favourite == Some(b.0) && b.1 >= a.1 - SAME);
        if ahead { b } else { a }
    };
    means.enumerate().reduce(better).unwrap_or((0, 0.0))
}

/// How much of the scatter of a build's leading figures one input explains.
#[derive(Clone, Debug, PartialEq)]
pub struct Explains {
    pub key: Key,
    /// Share of the variance of each figure, in the order asked for; 0 where the figure does not scatter.
    pub shares: Vec<f64>,
}

impl Explains {
    pub fn mean(&self) -> f64 {
        self.shares.iter().sum::<f64>() / self.shares.len().max(1) as f64
    }
}

/// The inputs of one build by how much of these figures' scatter they explain, most first: what to measure next where
/// there is nothing to choose between.
///
/// The correlation ratio, Var(E(figure | input)) / Var(figure), over bins of equal count of the cases; what bins explain
/// of pure chance, (bins − 1)/(cases − 1), is taken off.
pub fn explains(cases: &Simulated, draws: &Draws, figures: &[Measure]) -> Vec<Explains> {
    let bins = BINS.min(cases.count / FEWEST);
    let columns: Vec<&[f64]> =
        figures.iter().map(|m| cases.sample(*m).map_or(&[][..], |sample| sample.values.as_slice())).collect();
    if bins < 2 {
        return Vec::new();
    }
    let mut all: Vec<Explains> = cases
        .keys
        .iter()
        .map(|key| {
            let uniforms = draws.uniforms(key);
            let mut order: Vec<usize> = (0..cases.count.min(uniforms.len())).collect();
            let place = |i: &usize| uniforms.get(*i).copied().unwrap_or(0.5);
            order.sort_by(|a, b| place(a).total_cmp(&place(b)));
            Explains { key: key.clone(), shares: columns.iter().map(|c| ratio(c, &order, bins)).collect() }
        })
        .collect();
    all.order_by(|a, b| b.mean().total_cmp(&a.mean()).then_with(|| a.key.cmp(&b.key)));
    all
}

/// The correlation ratio of values in bins of that order, less what chance explains; never below 0.
fn ratio(values: &[f64], order: &[usize], bins: usize) -> f64 {
    let of = |draws: &[usize]| -> (f64, f64) {
        let told = || draws.iter().filter_map(|i| values.get(*i)).filter(|x| x.is_finite());
        let n = told().count() as f64;
        (told().sum::<f64>() / n.max(1.0), n)
    };
    let (mean, n) = of(order);
    let told = order.iter().filter_map(|i| values.get(*i)).filter(|x| x.is_finite());
    let all = told.map(|x| (x - mean).powi(2)).sum::<f64>();
    if n < 2.0 || all <= SAME {
        return 0.0;
    }
    let between = (0..bins).map(|bin| {
        let (from, to) = (bin * order.len() / bins, (bin + 1) * order.len() / bins);
        let (here, count) = of(order.get(from..to).unwrap_or_default());
        count * (here - mean).powi(2)
    });
    let by_chance = (bins as f64 - 1.0) / (n - 1.0);
    ((between.sum::<f64>() / all - by_chance) / (1.0 - by_chance)).max(0.0)
}
