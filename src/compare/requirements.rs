//! What rules a build out: the chance of passing each must, and all of them at once.

use std::borrow::Cow;

use crate::assess::{Assessment, Simulated};
use crate::measures::{Measure, Outcome};
use crate::model::Tank;
use crate::model::tank::Requirement;

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    Yes,
    /// At least so much, in the measure's unit.
    AtLeast(f64),
    /// At most so much.
    AtMost(f64),
    /// Asking price and repair together at most so much, told under the asking price.
    ToSpend(f64),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    pub measure: Measure,
    pub bound: Bound,
}

impl Limit {
    /// The limit a must sets; none when its key is not a measure's.
    pub fn of(requirement: &Requirement) -> Option<Self> {
        Some(match requirement {
            Requirement::FitsCabinet {} => Self { measure: Measure::FitsCabinet, bound: Bound::Yes },
            Requirement::AtLeast { measure, limit } => {
                Self { measure: Measure::from_key(measure)?, bound: Bound::AtLeast(*limit) }
            }
            Requirement::AtMost { measure, limit } => {
                Self { measure: Measure::from_key(measure)?, bound: Bound::AtMost(*limit) }
            }
        })
    }
    /// All limits of a tank. A cabinet and a budget that are given are two of them, repeated or not.
    pub fn all(tank: &Tank) -> Vec<Self> {
        let mut all: Vec<Self> = tank.requirements.iter().filter_map(Self::of).collect();
        let fits = Self { measure: Measure::FitsCabinet, bound: Bound::Yes };
        if tank.cabinet.is_some() && !all.contains(&fits) {
            all.push(fits);
        }
        let budget = |most| Self { measure: Measure::AskingPrice, bound: Bound::ToSpend(most) };
        all.into_iter().chain(tank.budget.map(budget)).collect()
    }
    /// What it is called where its measure's head stands elsewhere.
    pub fn head(&self) -> &'static str {
        if let Bound::ToSpend(_) = self.bound { "price and repair" } else { self.measure.row().head }
    }
    pub fn figure(&self, build: &Assessment) -> Outcome {
        let own = build.outcome(self.measure);
        match (self.bound, own, build.outcome(Measure::RepairCost)) {
            (Bound::ToSpend(_), Outcome::Value(asking), Outcome::Value(repair)) => {
                Outcome::Value(asking + repair)
            }
            (Bound::ToSpend(_), Outcome::Value(_), missing) => missing,
            _ => own,
        }
    }
    /// The same case by case; `None` where there are none, or it cannot be told.
    pub fn column<'a>(&self, cases: &'a Simulated) -> Option<Cow<'a, [f64]>> {
        let of = |measure| cases.sample(measure).map(|sample| sample.values.as_slice());
        let own = of(self.measure)?;
        match self.bound {
            Bound::ToSpend(_) => Some(
                own.iter().zip(of(Measure::RepairCost)?).map(|(asking, repair)| asking + repair).collect(),
            ),
            _ => Some(Cow::Borrowed(own)),
        }
    }
    /// Does a value pass? None when it cannot be told (NaN).
    pub fn passes(&self, x: f64) -> Option<bool> {
        (!x.is_nan()).then_some(match self.bound {
            Bound::Yes => x >= 0.5,
            Bound::AtLeast(bound) => x >= bound,
            Bound::AtMost(bound) | Bound::ToSpend(bound) => x <= bound,
        })
    }
}

/// Chances of passing; what is left of 1 fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passing {
    /// Share of all draws that pass.
    pub passes: f64,
    /// Share of all draws in which it cannot be told.
    pub untold: f64,
}

impl Passing {
    /// Share of all draws that fail.
    pub fn fails(&self) -> f64 {
        1.0 - self.passes - self.untold
    }
    fn count(draws: impl Iterator<Item = Option<bool>>) -> Option<Self> {
        let (mut n, mut passes, mut untold) = (0_usize, 0_usize, 0_usize);
        for draw in draws {
            n += 1;
            match draw {
                Some(true) => passes += 1,
                Some(false) => {}
                None => untold += 1,
            }
        }
        let share = |count: usize| count as f64 / n as f64;
        (n > 0).then(|| Self { passes: share(passes), untold: share(untold) })
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Passed {
    /// Each must on its own, in their order.
    pub each: Vec<Passing>,
    /// All at once: a draw fails when one must fails, and cannot be told when none fails and one cannot be told.
    pub all: Passing,
}

/// Chances for one build. `columns` holds, for each limit, the draws of its measure, NaN where they cannot be
/// told; a column of one value holds in every draw. None without a single draw; without musts everything passes.
pub fn passed(limits: &[Limit], columns: &[&[f64]]) -> Option<Passed> {
    if limits.is_empty() {
        return Some(Passed { each: Vec::new(), all: Passing { passes: 1.0, untold: 0.0 } });
    }
    let samples = columns.iter().map(|column| column.len()).max().unwrap_or(0);
    let told = |limit: &Limit, column: &[f64], i: usize| match column {
        [all] => limit.passes(*all),
        _ => column.get(i).and_then(|x| limit.passes(*x)),
    };
    let pairs = || limits.iter().zip(columns);
    let each = pairs()
        .map(|(limit, column)| Passing::count((0..samples).map(|i| told(limit, column, i))))
        .collect::<Option<Vec<_>>>()?;
    let all = Passing::count((0..samples).map(|i| {
        let mut draw = pairs().map(|(limit, column)| told(limit, column, i));
        let failed = draw.clone().any(|one| one == Some(false));
        if failed { Some(false) } else { draw.all(|one| one.is_some()).then_some(true) }
    }))?;
    Some(Passed { each, all })
}
