//! Is one build really better than another, given the doubt?

use crate::measures::Better;

/// Chance from which one is called better.
pub const SURE: f64 = 0.8;

/// Two values nearer than this share of the greater are the same: the solver is no finer.
pub const SAME: f64 = 1e-9;

/// One of the two compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The first.
    First,
    /// The second.
    Second,
}

/// How sure it is that one of two is better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// Chance that the first is better; ties, and draws that cannot be compared, count half.
    pub chance: f64,
    /// Which is called better; none is "can't tell".
    pub better: Option<Side>,
    /// Draws in which one or both could not be told.
    pub untold: usize,
}

impl Verdict {
    /// Chance that this one is better.
    pub fn chance_of(&self, side: Side) -> f64 {
        match side {
            Side::First => self.chance,
            Side::Second => 1.0 - self.chance,
        }
    }
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

/// Compares two columns of the same draws, NaN where a draw could not be told. None without draws.
pub fn verdict(first: &[f64], second: &[f64], way: Better, aim: Option<f64>) -> Option<Verdict> {
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
    Some(Verdict { chance, better, untold })
}
