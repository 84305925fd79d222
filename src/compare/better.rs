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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_draws_cannot_be_told_apart() {
        let a = [1.0, 2.0, 3.0];
        for way in [Better::More, Better::Less, Better::ToAim, Better::Yes] {
            assert_eq!(
                verdict(&a, &a, way, Some(2.0)),
                Some(Verdict { chance: 0.5, better: None, untold: 0 })
            );
        }
        let rounded = a.map(|x| x * (1.0 + 1e-13));
        assert_eq!(verdict(&rounded, &a, Better::More, None).unwrap().chance, 0.5);
        assert_eq!(verdict(&[], &[], Better::More, None), None);
    }

    #[test]
    fn eight_of_ten_is_the_bound() {
        let mut a = [1.0; 10];
        let b = [2.0, 2.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        let v = verdict(&a, &b, Better::More, None).unwrap();
        assert_eq!((v.chance, v.better), (0.8, Some(Side::First)));
        let v = verdict(&a, &b, Better::Less, None).unwrap();
        assert_eq!((v.chance, v.better), (0.2, Some(Side::Second)));
        assert_eq!(v.chance_of(Side::Second), 0.8);
        a[9] = 0.0;
        let v = verdict(&a, &b, Better::More, None).unwrap();
        assert_eq!((v.chance, v.better), (0.75, None));
    }

    #[test]
    fn beyond_the_aim_nothing_is_gained() {
        let v = verdict(&[5.0; 4], &[9.0; 4], Better::ToAim, Some(4.0)).unwrap();
        assert_eq!((v.chance, v.better), (0.5, None));
        let v = verdict(&[3.0; 4], &[9.0; 4], Better::ToAim, Some(4.0)).unwrap();
        assert_eq!((v.chance, v.better), (0.0, Some(Side::Second)));
        let v = verdict(&[3.0; 4], &[9.0; 4], Better::ToAim, None).unwrap();
        assert_eq!(v.better, Some(Side::Second));
    }

    #[test]
    fn what_cannot_be_told_counts_half_and_is_counted() {
        let v = verdict(&[f64::NAN, 1.0, 2.0, 3.0], &[0.0, f64::NAN, 0.0, 0.0], Better::More, None).unwrap();
        assert_eq!((v.chance, v.better, v.untold), (0.75, None, 2));
    }
}
