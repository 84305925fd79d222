//! What a measure is worth to a tank: a straight line from 0 at a poor end to 1 at a good end.

use super::Side;
use super::better::better_value;
use crate::measures::{Better, Measure};
use crate::model::Tank;
use crate::uncertainty::{Generator, Key};

/// The poor and the good end of a measure, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    pub poor: f64,
    pub good: f64,
    less: bool,
}

impl Ends {
    /// A line between two ends. Where the tank's aims turn it round, so that the poor end would be the better
    /// one, it becomes a step: reaching the good end is worth 1, anything else nothing.
    pub fn new(poor: f64, good: f64, way: Better) -> Self {
        let less = way == Better::Less;
        let turned = if less { poor < good } else { poor > good };
        Self { poor: if turned { good } else { poor }, good, less }
    }

    /// The ends that the tank's aims set for a measure; none for measures whose ends are the worst and the best
    /// of those compared. A measure that needs the tank's volume or budget has none where that is not given.
    pub fn of(measure: Measure, tank: &Tank) -> Option<Self> {
        let litres = tank.volume.as_ref().map(|v| v.si() * 1000.0);
        let (poor, good) = match measure {
            // Three quarters of the loose dirt.
            Measure::Clearing | Measure::ClearingDirty => (0.25, 0.75 * tank.aims.turnover),
            Measure::Caught => (0.0, 0.75),
            Measure::SuitsUpTo => (0.5 * litres?, 2.0 * litres?),
            Measure::FilteredFlow => (0.5 * litres?, tank.aims.turnover * litres?),
            Measure::Flow => (litres?, tank.aims.turnover * litres?),
            Measure::Turnover => (1.0, tank.aims.turnover),
            Measure::Bypass | Measure::BypassDirty => (0.5, 0.0),
            Measure::BypassChance => (1.0, 0.0),
            Measure::AmmoniaCapacity | Measure::AmmoniaCapacityTank => (0.5, 2.0),
            Measure::Nitrate => (3.0 * tank.aims.nitrate, tank.aims.nitrate),
            Measure::RuleOfThumbTank => (0.0, litres?),
            Measure::OpeningInterval => (7.0, tank.aims.open_no_more_than_every),
            Measure::UvDose => (0.0, 11.0),
            Measure::RepairCost | Measure::FirstYearCost => (2.0 * tank.budget?, 0.5 * tank.budget?),
            Measure::OrderFaults => (3.0, 0.0),
            Measure::FullWeight => (25.0, 5.0),
            _ => return None,
        };
        Some(Self::new(poor, good, measure.row().better))
    }

    /// The worst and the best of those compared; none when there are not two different values.
    pub fn of_those(values: impl IntoIterator<Item = f64>, way: Better) -> Option<Self> {
        let told = values.into_iter().filter(|x| x.is_finite());
        let (low, high) =
            told.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
        let (poor, good) = if way == Better::Less { (high, low) } else { (low, high) };
        (low < high).then(|| Self::new(poor, good, way))
    }

    /// The value that is worth `share` of what this one is: what is only half as good at other things must not earn
    /// the whole. Where the line is a step nothing lies between, and the value stays.
    pub fn less(&self, x: f64, share: f64) -> f64 {
        let whole = self.good - self.poor;
        if whole == 0.0 { x } else { self.poor + whole * self.worth(x) * share.clamp(0.0, 1.0) }
    }
    /// Worth of a value, 0 to 1; what cannot be told (NaN) is worth 0.
    pub fn worth(&self, x: f64) -> f64 {
        if x.is_nan() {
            0.0
        } else if (self.good - self.poor).abs() < f64::MIN_POSITIVE {
            let reached = if self.less { x <= self.good } else { x >= self.good };
            f64::from(u8::from(reached))
        } else {
            ((x - self.poor) / (self.good - self.poor)).clamp(0.0, 1.0)
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Criterion {
    pub measure: Measure,
    /// Its weight, above 0.
    pub weight: f64,
    /// Its ends; none: the worst and the best of those compared.
    pub ends: Option<Ends>,
    /// The aim beyond which nothing is gained.
    pub aim: Option<f64>,
}

/// The tank's weighted measures, in the tank's order. A weight that is not above 0 is left out.
pub fn criteria(tank: &Tank) -> Vec<Criterion> {
    let weighted = tank.priorities.iter().filter(|(_, weight)| weight.is_finite() && *weight > 0.0);
    weighted
        .filter_map(|(key, weight)| {
            let measure = Measure::from_key(key)?;
            let aim = (measure.row().better == Better::ToAim).then_some(tank.aims.turnover);
            Some(Criterion { measure, weight: *weight, ends: Ends::of(measure, tank), aim })
        })
        .collect()
}

/// What every build's every draw is worth under every criterion. Weights come later, so that they can be moved
/// without working this out again.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// Nominal: `[build][criterion]`.
    pub nominal: Vec<Vec<f64>>,
    /// Of the draws: `[build][criterion][draw]`.
    pub draws: Vec<Vec<Vec<f64>>>,
    pub samples: usize,
    /// Draws `[build]` that could not be worked out; empty where all could.
    pub failed: Vec<Vec<bool>>,
}

/// What is worth anything from nothing to all, because the files are silent.
pub const UNKNOWN: f64 = f64::INFINITY;

impl Worth {
    /// A value of [`UNKNOWN`] is worth half, and in the draws anything, evenly.
    ///
    /// `nominal[build][criterion]` and `draws[build][criterion][draw]` are values in the measures' units, NaN
    /// where they cannot be told. A column of one value holds in every draw. The worst and the best of those
    /// compared are those of the nominal values.
    pub fn new(criteria: &[Criterion], nominal: &[Vec<f64>], draws: &[Vec<&[f64]>]) -> Self {
        let samples = draws.iter().flatten().map(|column| column.len()).max().unwrap_or(0);
        let ends: Vec<Option<Ends>> = criteria
            .iter()
            .enumerate()
            .map(|(c, criterion)| {
                let those = nominal.iter().filter_map(|build| build.get(c).copied());
                criterion.ends.or_else(|| Ends::of_those(those, criterion.measure.row().better))
            })
            .collect();
        // Without ends all compared are alike: whatever can be told is worth 1.
        let worth = |ends: &Option<Ends>, x: f64| match ends {
            _ if x == UNKNOWN => 0.5,
            Some(ends) => ends.worth(x),
            None => f64::from(u8::from(!x.is_nan())),
        };
        let of_draw = |column: &[f64], i: usize| match column {
            [all] => *all,
            _ => column.get(i).copied().unwrap_or(f64::NAN),
        };
        Self {
            nominal: nominal
                .iter()
                .map(|build| ends.iter().zip(build).map(|(ends, x)| worth(ends, *x)).collect())
                .collect(),
            draws: draws
                .iter()
                .map(|build| {
                    let columns = ends.iter().zip(build);
                    columns
                        .zip(criteria)
                        .map(|((ends, column), criterion)| {
                            if column.first() == Some(&UNKNOWN) {
                                let key = Key::named(criterion.measure.key());
                                let mut any = Generator::new(0, key.hash());
                                return (0..samples).map(|_| any.unit()).collect();
                            }
                            (0..samples).map(|i| worth(ends, of_draw(column, i))).collect()
                        })
                        .collect()
                })
                .collect(),
            samples,
            failed: Vec::new(),
        }
    }
}

/// For each build, the first other build that is no worse on any weighted measure and better on one, by nominal
/// values `[build][criterion]` in the measures' units. What cannot be told is worse than whatever can.
pub fn dominated(criteria: &[Criterion], nominal: &[Vec<f64>]) -> Vec<Option<usize>> {
    let beats = |winner: &[f64], loser: &[f64]| {
        let sides = criteria.iter().zip(winner.iter().zip(loser)).map(|(c, (a, b))| {
            match (!a.is_finite(), !b.is_finite()) {
                (true, true) => None,
                (true, false) => Some(Side::Second),
                (false, true) => Some(Side::First),
                (false, false) => better_value(*a, *b, c.measure.row().better, c.aim),
            }
        });
        let mut better = false;
        for side in sides {
            match side {
                Some(Side::Second) => return false,
                Some(Side::First) => better = true,
                None => {}
            }
        }
        better
    };
    let builds = nominal.iter().enumerate();
    builds
        .map(|(i, loser)| {
            nominal.iter().enumerate().find(|(j, winner)| *j != i && beats(winner, loser)).map(|(j, _)| j)
        })
        .collect()
}
