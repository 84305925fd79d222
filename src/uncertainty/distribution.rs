//! How a draw becomes a value: the inverse distribution of each spread.

use super::elementary::{exp, ln};
use super::normal::{below, quantile};
use super::uncertain::Spread;

/// Standard deviations at which a normal spread is cut off, so that a figure above 0 known to ±40 % or better
/// stays above 0 in every draw. 63 draws of a million meet it.
pub const CUT: f64 = 4.0;
/// And no such figure falls below this share of itself.
const LEAST_SHARE: f64 = 0.05;

/// How a spread turns a column into values, with what is common to all draws worked out once.
#[derive(Clone, Copy, Debug)]
pub(super) enum Distribution {
    Fixed(f64),
    // Value and standard deviation, both in the value's unit.
    Normal { value: f64, sd: f64 },
    Factor { value: f64, half: f64 },
    Uniform { low: f64, width: f64 },
    Triangular { low: f64, high: f64, below: f64, all: f64, above: f64, of_log: bool },
    // `shut`: the chance that the plain normal lies below 0.
    CutNormal { value: f64, sd: f64, shut: f64 },
}

impl Distribution {
    /// The law of that value and spread.
    pub(super) fn new(value: f64, spread: Spread) -> Self {
        match spread {
            Spread::Normal { sd } => Self::Normal { value, sd: value * sd },
            Spread::Factor { factor } => Self::Factor { value, half: ln(factor) / 2.0 },
            Spread::Uniform { low, high } => Self::Uniform { low, width: high - low },
            Spread::TriangularLog { low, high } => {
                Self::triangular(value, ln(low), ln(value), ln(high), true)
            }
            Spread::Triangular { low, high } => Self::triangular(value, low, value, high, false),
            Spread::CutNormal { sd } if sd > 0.0 => Self::CutNormal { value, sd, shut: below(-value / sd) },
            Spread::Exact | Spread::CutNormal { .. } => Self::Fixed(value),
        }
    }

    fn triangular(value: f64, low: f64, mode: f64, high: f64, of_log: bool) -> Self {
        let all = high - low;
        if !all.is_finite() || all <= 0.0 {
            return Self::Fixed(value);
        }
        let mode = mode.clamp(low, high);
        Self::Triangular { low, high, below: mode - low, all, above: high - mode, of_log }
    }

    /// The value in the draw of that uniform and that normal number.
    pub(super) fn at(self, (u, z): (f64, f64)) -> f64 {
        match self {
            Self::Fixed(value) => value,
            Self::Normal { value, sd } => {
                let drawn = value + sd * z.clamp(-CUT, CUT);
                if value > 0.0 { drawn.max(value * LEAST_SHARE) } else { drawn }
            }
            Self::Factor { value, half } => value * exp(half * z),
            Self::Uniform { low, width } => low + width * u,
            // The distribution is (x − a)²/((b − a)(m − a)) up to the mode and mirrored above it.
            Self::Triangular { low, high, below, all, above, of_log } => {
                let x = if u * all < below {
                    low + (u * all * below).sqrt()
                } else {
                    high - ((1.0 - u) * all * above).sqrt()
                };
                if of_log { exp(x) } else { x }
            }
            Self::CutNormal { value, sd, shut } => {
                (value + sd * quantile(shut + u * (1.0 - shut)).clamp(-CUT, CUT)).max(0.0)
            }
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
    fn a_gap_is_cut_off_at_nothing() {
        // Worked outside this program: quantiles of a normal of mean h0 and deviation 0.3 mm, cut off at 0.
        let rows = [(0.5, [0.10754, 0.51798, 1.00054]), (0.0, [0.01881, 0.20235, 0.58799])];
        for (value, drawn) in rows {
            let gap = Distribution::new(value, Spread::CutNormal { sd: 0.3 });
            for (u, wanted) in [0.05, 0.5, 0.95].into_iter().zip(drawn) {
                let found = gap.at((u, quantile(u)));
                assert!((found - wanted).abs() < 1e-5, "{value} {u}: {found}");
            }
        }
        // A guess so wide that its normal would pass 0 stays above a twentieth.
        let guess = Distribution::new(1.0, Spread::Normal { sd: 0.5 });
        assert_eq!(guess.at((1e-4, -3.7)), 0.05);
    }

    #[test]
    fn a_triangle_from_nothing() {
        // Mode at 0.7 of 0 to 3: 0.7/3 of the chance lies below it.
        let slack = Distribution::new(0.7, Spread::Triangular { low: 0.0, high: 3.0 });
        assert!((slack.at((0.7 / 3.0, 0.0)) - 0.7).abs() < 1e-12);
        assert!(slack.at((0.0, 0.0)).abs() < 1e-12 && (slack.at((1.0, 0.0)) - 3.0).abs() < 1e-12);
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
