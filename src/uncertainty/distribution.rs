//! How a draw becomes a value: the inverse distribution of each spread.

use super::elementary::{exp, ln};
use super::uncertain::Spread;

/// Standard deviations at which a normal spread is cut off, so that a figure above 0 known to ±40 % or better
/// stays above 0 in every draw. 63 draws of a million meet it.
pub const CUT: f64 = 4.0;

/// How a spread turns a column into values, with what is common to all draws worked out once.
#[derive(Clone, Copy, Debug)]
pub(super) enum Distribution {
    Fixed(f64),
    // Value and standard deviation, both in the value's unit.
    Normal { value: f64, sd: f64 },
    Factor { value: f64, half: f64 },
    Uniform { low: f64, width: f64 },
    Triangular { low: f64, high: f64, below: f64, all: f64, above: f64 },
}

impl Distribution {
    /// The law of that value and spread.
    pub(super) fn new(value: f64, spread: Spread) -> Self {
        match spread {
            Spread::Exact => Self::Fixed(value),
            Spread::Normal { sd } => Self::Normal { value, sd: value * sd },
            Spread::Factor { factor } => Self::Factor { value, half: ln(factor) / 2.0 },
            Spread::Uniform { low, high } => Self::Uniform { low, width: high - low },
            Spread::TriangularLog { low, high } => {
                let (a, b) = (ln(low), ln(high));
                let all = b - a;
                if !all.is_finite() || all <= 0.0 {
                    return Self::Fixed(value);
                }
                let mode = ln(value).clamp(a, b);
                Self::Triangular { low: a, high: b, below: mode - a, all, above: b - mode }
            }
        }
    }

    /// The value in the draw of that uniform and that normal number.
    pub(super) fn at(self, (u, z): (f64, f64)) -> f64 {
        match self {
            Self::Fixed(value) => value,
            Self::Normal { value, sd } => value + sd * z.clamp(-CUT, CUT),
            Self::Factor { value, half } => value * exp(half * z),
            Self::Uniform { low, width } => low + width * u,
            // The distribution is (x − a)²/((b − a)(m − a)) up to the mode and mirrored above it.
            Self::Triangular { low, high, below, all, above } => exp(if u * all < below {
                low + (u * all * below).sqrt()
            } else {
                high - ((1.0 - u) * all * above).sqrt()
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_above_zero_stays_above_zero() {
        let guessed = Distribution::new(1.0, Spread::Normal { sd: 0.2 });
        assert!((guessed.at((1e-12, -7.03)) - 0.2).abs() < 1e-12);
    }

    #[test]
    fn ends_and_middles_by_hand() {
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-14 * b.abs(), "{a} {b}");
        let factor = Distribution::new(3.0, Spread::Factor { factor: 2.0 });
        near(factor.at((0.5, 0.0)), 3.0);
        near(factor.at((0.0, 2.0)), 6.0);
        near(factor.at((0.0, -2.0)), 1.5);
        let uniform = Distribution::new(2.0, Spread::Uniform { low: 1.0, high: 5.0 });
        near(uniform.at((0.25, 0.0)), 2.0);
        // Mode at 2 of 1 to 16 in powers of two: a quarter of the chance lies below it.
        let triangular = Distribution::new(2.0, Spread::TriangularLog { low: 1.0, high: 16.0 });
        near(triangular.at((0.0, 0.0)), 1.0);
        near(triangular.at((0.25, 0.0)), 2.0);
        near(triangular.at((1.0, 0.0)), 16.0);
        // Mode at an end, and a range of no width.
        near(Distribution::new(1.0, Spread::TriangularLog { low: 1.0, high: 16.0 }).at((0.75, 0.0)), 4.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: 2.0, high: 2.0 }).at((0.3, 0.0)), 2.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: 0.0, high: 3.0 }).at((0.3, 0.0)), 2.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: -1.0, high: 3.0 }).at((0.3, 0.0)), 2.0);
    }
}
