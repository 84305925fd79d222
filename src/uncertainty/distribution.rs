//! How a draw becomes a value: the inverse distribution of each spread.

use super::normal::{below, quantile};
use super::uncertain::Spread;
use libm::{exp, log as ln};

/// Standard deviations at which a normal spread is cut off, so that a figure above 0 known to ±40 % or better
/// stays above 0 in every draw. 63 draws of a million meet it.
pub const CUT: f64 = 4.0;
/// And no such figure falls below this share of itself.
const LEAST_SHARE: f64 = 0.05;

/// How a spread turns a column into values, with what is common to all draws worked out once.
#[derive(Clone, Copy, Debug)]
pub enum Distribution {
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
    pub fn new(value: f64, spread: Spread) -> Self {
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

    /// Is it worked out from the uniform number?
    pub fn is_of_uniform(self) -> bool {
        matches!(self, Self::Uniform { .. } | Self::Triangular { .. } | Self::CutNormal { .. })
    }

    /// The value in the draw of that uniform and that normal number.
    pub fn at(self, (u, z): (f64, f64)) -> f64 {
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
