//! Readings and their chances. A reading is compared with what the model gives in a row of draws; errors that readings
//! share are draws too, so what stands here is what each has of its own.

use super::weights::shares;
use crate::uncertainty::normal::below;
use libm::{exp, log as ln};

/// How often a reading is a slip: a misread scale, a wrong place, a day off.
pub const SLIPS: f64 = 0.02;
/// How much wider than its own error a slip lies.
const WIDER: f64 = 6.0;
/// How sharply a keeper tells that the flow has fallen, as a share of the flow when last opened.
const KEEPER: f64 = 0.05;
/// Days round an opening out of half a year: what a slip makes of it.
const FELL_BY_SLIP: f64 = 6.0 / 182.0;

#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// A number, often a logarithm, with the standard deviation of its own error. Compared with that number.
    Number { seen: f64, sd: f64 },
    /// The colour of a card: the logarithms at which one gives way to the next, and which was seen. Compared with the
    /// logarithm of what the drops see.
    Colour { ends: Vec<f64>, seen: usize, sd: f64 },
    /// Opened because the flow had fallen. Compared with the flow three days before and three days after, as shares of
    /// that when last opened, and the share at which the keeper opens.
    Fell,
    /// Opened for another reason, and the flow was fine. Compared with the flow's share and the keeper's.
    Fine,
    /// Where the most muck lay, the worst place first, of so many. Compared with the dirt in each.
    Places { worst: Vec<usize>, of: usize },
}

/// Own error of a bucket test that took so many seconds, as a logarithm: the mark of the jug, the watch, the hose.
pub fn bucket_sd(seconds: f64) -> f64 {
    (0.01_f64.powi(2) + (0.7 / seconds).powi(2) + 0.01_f64.powi(2)).sqrt()
}

/// Logarithm of a normal density: far off, the density itself is no number any more.
fn ln_normal(x: f64, sd: f64) -> f64 {
    -0.5 * (x / sd) * (x / sd) - ln(sd * (2.0 * std::f64::consts::PI).sqrt())
}

/// Where the colours of a card give way to each other, as logarithms: half way in the logarithm, and for a card that
/// begins at nothing at half its first colour.
pub fn card_ends(card: &[f64]) -> Vec<f64> {
    let end = |pair: &[f64]| match pair {
        [low, high] if *low > 0.0 => Some(ln(low * high) / 2.0),
        [_, high] => Some(ln(high / 2.0)),
        _ => None,
    };
    card.windows(2).filter_map(end).collect()
}

impl Reading {
    /// Standard deviation of its own error, where it has one.
    pub fn own_error(&self) -> f64 {
        match self {
            Self::Number { sd, .. } | Self::Colour { sd, .. } => *sd,
            Self::Fell | Self::Fine | Self::Places { .. } => 0.0,
        }
    }

    /// How many figures of the model it is compared with.
    pub fn width(&self) -> usize {
        match self {
            Self::Number { .. } | Self::Colour { .. } => 1,
            Self::Fell => 3,
            Self::Fine => 2,
            Self::Places { of, .. } => *of,
        }
    }

    /// Its chance (a density for a number) where the model gives these figures; a share `slips` of readings are slips.
    /// No number where the model gives none.
    pub fn chance(&self, model: &[f64], slips: f64) -> f64 {
        let mixed = |chance: f64, slip: f64| (1.0 - slips) * chance + slips * slip;
        match (self, model) {
            (Self::Number { .. }, [_]) => exp(self.ln_chance(model, slips)),
            (Self::Colour { ends, seen, .. }, [x]) => {
                mixed(self.colour(*x, *seen), 1.0 / (ends.len() + 1) as f64)
            }
            (Self::Fell, [before, after, limit]) => {
                let fell = below((before - limit) / KEEPER) - below((after - limit) / KEEPER);
                mixed(fell.max(0.0), FELL_BY_SLIP)
            }
            (Self::Fine, [flow, limit]) => mixed(below((flow - limit) / KEEPER), 0.5),
            (Self::Places { worst, .. }, dirt) => {
                let (mut rest, mut chance): (f64, f64) = (dirt.iter().map(|x| x * x).sum(), 1.0);
                for (place, at) in worst.iter().enumerate() {
                    let of_it = dirt.get(*at).map_or(0.0, |x| x * x);
                    let left = dirt.len().saturating_sub(place).max(1);
                    // Without dirt any place is as good as another.
                    let share = if rest > 0.0 { of_it / rest } else { 1.0 / left as f64 };
                    chance *= mixed(share.clamp(0.0, 1.0), 1.0 / left as f64);
                    rest -= of_it;
                }
                chance
            }
            _ => f64::NAN,
        }
    }

    /// Logarithm of its chance.
    pub fn ln_chance(&self, model: &[f64], slips: f64) -> f64 {
        if let (Self::Number { seen, sd }, [x]) = (self, model) {
            let off = seen - x;
            let of = |share: f64, sd: f64| {
                if share > 0.0 { ln(share) + ln_normal(off, sd) } else { f64::NEG_INFINITY }
            };
            return shares(&[of(1.0 - slips, *sd), of(slips, WIDER * sd)]).1;
        }
        let chance = self.chance(model, slips);
        if chance > 0.0 { ln(chance) } else { f64::NEG_INFINITY }
    }

    /// The chance that it was a slip, where the model gives these figures.
    pub fn slip(&self, model: &[f64]) -> f64 {
        let sound = ln(1.0 - SLIPS) + self.ln_chance(model, 0.0);
        (1.0 - exp(sound - self.ln_chance(model, SLIPS))).clamp(0.0, 1.0)
    }

    fn colour(&self, x: f64, which: usize) -> f64 {
        let Self::Colour { ends, sd, .. } = self else { return f64::NAN };
        let under = |at: Option<&f64>, none: f64| at.map_or(none, |end| below((end - x) / sd));
        let low = which.checked_sub(1).map_or(0.0, |before| under(ends.get(before), 1.0));
        (under(ends.get(which), 1.0) - low).max(0.0)
    }

    /// The chances of all that might have been seen, and which of them was; none for a number. Of places the first two
    /// count.
    pub fn outcomes(&self, model: &[f64]) -> Option<(Vec<f64>, usize)> {
        match (self, model) {
            (Self::Colour { ends, seen, .. }, [x]) => {
                Some(((0..=ends.len()).map(|which| self.colour(*x, which)).collect(), *seen))
            }
            (Self::Places { worst, of }, dirt) => {
                let chance = |worst: Vec<usize>| Self::Places { worst, of: *of }.chance(dirt, 0.0);
                match worst.as_slice() {
                    [] => None,
                    [first] => Some(((0..*of).map(|at| chance(vec![at])).collect(), *first)),
                    [first, second, ..] => {
                        let pairs = (0..*of).flat_map(|a| (0..*of).map(move |b| (a, b)));
                        let each = |(a, b)| if a == b { 0.0 } else { chance(vec![a, b]) };
                        Some((pairs.map(each).collect(), first * of + second))
                    }
                }
            }
            (Self::Fine, [..]) => {
                let fine = self.chance(model, 0.0);
                Some((vec![fine, 1.0 - fine], 0))
            }
            // At that day, before and after.
            (Self::Fell, [before, after, limit]) => {
                let (early, late) = (below((limit - before) / KEEPER), below((after - limit) / KEEPER));
                Some((vec![(1.0 - early - late).max(0.0), early, late], 0))
            }
            _ => None,
        }
    }

    /// How surprising what was seen is, where all that might have been seen has those chances: the sum of those no
    /// greater; of days both sides count.
    pub fn surprise(&self, chances: &[f64], seen: usize) -> f64 {
        if let (Self::Fell, [at, early, late]) = (self, chances) {
            return (2.0 * early.min(*late) + at).min(1.0);
        }
        let of_it = chances.get(seen).copied().unwrap_or(0.0);
        chances.iter().filter(|chance| **chance <= of_it * (1.0 + 1e-9)).sum()
    }
}
