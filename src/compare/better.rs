//! Is one build really better than another, given how uncertain both are?

use crate::assess::Assessment;
use crate::measures::{Better, Measure};
use crate::message::worded;
use crate::uncertainty::Sample;
use crate::uncertainty::summary::percentile;

/// Chance from which one is called better.
pub const SURE: f64 = 0.8;

/// Two values nearer than this share of the greater are the same: the solver is no finer.
pub const SAME: f64 = 1e-9;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    First,
    Second,
}

worded! {
    /// What the second of two is called, held against the first.
    Call word: &'static str {
        Same "same";
        Better "better";
        Worse "worse";
        Unsure "unsure";
    }
}

/// Share of the cases that makes a verdict.
pub const NINE_IN_TEN: f64 = 0.9;

/// The second against the first in one measure, case by case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    pub call: Call,
    /// Second less first: the 5th, 50th and 95th percentile.
    pub low: f64,
    pub middle: f64,
    pub high: f64,
    /// Of 100 cases those in which the likelier one is ahead; where the two are alike neither is. 0 to 100.
    pub of_100: f64,
    /// Nine of ten lie on one side, but the middle one is no more than what counts as the same.
    pub little: bool,
    /// Cases in which both could be told.
    pub cases: usize,
    /// Cases in which one or both could not; they count for neither.
    pub untold: usize,
}

/// Returns how the second stands to the first over the same cases, NaN where one could not be told; `None` where none
/// could.
///
/// The same: nine of ten differences lie within what counts as the same for this measure. Better or worse: nine of ten
/// lie on that side, and the middle one beyond what counts as the same. `aim` is that of the tank, beyond which a
/// measure like turnover gains nothing.
pub fn verdict(first: &[f64], second: &[f64], measure: Measure, aim: Option<f64>) -> Option<Verdict> {
    let row = measure.row();
    let mut apart = Sample::default();
    let mut gains = Vec::with_capacity(first.len());
    let (mut same, mut better, mut worse) = (0_usize, 0_usize, 0_usize);
    for (a, b) in first.iter().zip(second) {
        apart.add(b - a);
        if !(b - a).is_finite() {
            continue;
        }
        let side = better_value(*a, *b, row.better, aim);
        let (a, b) = match (row.better, aim) {
            (Better::ToAim, Some(aim)) => (a.min(aim), b.min(aim)),
            _ => (*a, *b),
        };
        let size = (b - a).abs();
        same += usize::from(size <= row.within.of(a, b));
        (better, worse) = (
            better + usize::from(side == Some(Side::Second)),
            worse + usize::from(side == Some(Side::First)),
        );
        // In parts of what counts as the same, above 0 for the better; never beyond what can be averaged.
        let parts = (size / row.within.of(a, b).max(f64::MIN_POSITIVE)).min(f64::MAX / 4.0);
        let parts = if side.is_none() { 0.0 } else { parts };
        gains.push(if side == Some(Side::First) { -parts } else { parts });
    }
    let told = gains.len();
    let band = apart.band()?;
    gains.sort_unstable_by(f64::total_cmp);
    let gain = percentile(&gains, 0.5)?;
    let of = |count: usize| count as f64 / told as f64;
    let call = if of(same) >= NINE_IN_TEN {
        Call::Same
    } else if of(better) >= NINE_IN_TEN && gain > 1.0 {
        Call::Better
    } else if of(worse) >= NINE_IN_TEN && gain < -1.0 {
        Call::Worse
    } else {
        Call::Unsure
    };
    let ahead = of(better.max(worse));
    Some(Verdict {
        call,
        low: band.low,
        middle: band.median,
        high: band.high,
        of_100: 100.0 * ahead,
        little: call == Call::Unsure && ahead >= NINE_IN_TEN,
        cases: told,
        untold: apart.failed,
    })
}

/// The second build against the first: case by case, or by one figure each where there are no cases, as of a chance.
pub fn of_builds(
    first: &Assessment,
    second: &Assessment,
    measure: Measure,
    aim: Option<f64>,
) -> Option<Verdict> {
    let drawn = |row: &Assessment| row.simulated.clone().filter(|cases| cases.sample(measure).is_some());
    if let (Some(a), Some(b)) = (drawn(first), drawn(second)) {
        return verdict(&a.sample(measure)?.values, &b.sample(measure)?.values, measure, aim);
    }
    let number = |row: &Assessment| row.outcome(measure).number();
    verdict(&[number(first)?], &[number(second)?], measure, aim)
}

/// How sure it is that one of two scores is the greater.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// Chance that the first is better; ties, and draws that cannot be compared, count half.
    pub chance: f64,
    /// Which is called better; none is "can't tell".
    pub better: Option<Side>,
    /// Draws in which one or both could not be told.
    pub untold: usize,
}

/// Which of two values is the better one; none when they are the same.
///
/// `aim` is the tank's aim of a measure that gains nothing beyond it ([`Better::ToAim`]); without one more is
/// better.
pub fn better_value(first: f64, second: f64, way: Better, aim: Option<f64>) -> Option<Side> {
    let level = |x: f64| match (way, aim) {
        (Better::ToAim, Some(aim)) => x.min(aim),
        (Better::Less, _) => -x,
        _ => x,
    };
    let (a, b) = (level(first), level(second));
    if (a - b).abs() <= SAME * a.abs().max(b.abs()) {
        None
    } else if a > b {
        Some(Side::First)
    } else if b > a {
        Some(Side::Second)
    } else {
        None
    }
}

/// Compares two columns of the same cases, NaN where a case could not be told. `None` without cases.
pub fn odds(first: &[f64], second: &[f64], way: Better, aim: Option<f64>) -> Option<Odds> {
    // Halves are counted in whole numbers, so that no rounding moves a chance across the bound.
    let (mut halves, mut untold, mut draws) = (0_usize, 0_usize, 0_usize);
    for (a, b) in first.iter().zip(second) {
        draws += 1;
        if a.is_nan() || b.is_nan() {
            untold += 1;
            halves += 1;
            continue;
        }
        halves += match better_value(*a, *b, way, aim) {
            Some(Side::First) => 2,
            None => 1,
            Some(Side::Second) => 0,
        };
    }
    if draws == 0 {
        return None;
    }
    let chance = halves as f64 / (2 * draws) as f64;
    let other = (2 * draws - halves) as f64 / (2 * draws) as f64;
    let better = if chance >= SURE {
        Some(Side::First)
    } else if other >= SURE {
        Some(Side::Second)
    } else {
        None
    };
    Some(Odds { chance, better, untold })
}
