//! How a figure is known, and how far it may lie off.

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Provenance {
    /// Read off a bucket, a ruler, a meter.
    Measured,
    /// Printed on the box or a data sheet; also what is written without a word.
    Stated,
    /// Eyeballed, remembered, from a photo.
    Guessed,
    /// Anywhere between two bounds.
    Between,
    /// Nobody said it: a value of the program's own.
    Assumed,
}

impl Provenance {
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Stated => "stated",
            Self::Guessed => "guessed",
            Self::Between => "between",
            Self::Assumed => "assumed",
        }
    }
}

/// How a value spreads over the draws. All in the value's own unit (SI) or relative to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    // No doubt.
    Exact,
    // Normal, with this relative standard deviation.
    Normal {
        /// Standard deviation over value.
        sd: f64,
    },
    // Lognormal: two standard deviations are a factor up or down. The median is the value.
    Factor {
        /// The factor at two standard deviations, above 1.
        factor: f64,
    },
    // Evenly anywhere from `low` to `high`.
    Uniform {
        low: f64,
        high: f64,
    },
    // A normal about the value, cut off at 0: a gap, which may be shut but not narrower than that.
    CutNormal {
        /// Standard deviation before the cut, in the value's own unit.
        sd: f64,
    },
    // Triangular from `low` to `high` with its mode at the value: where `low` is 0.
    Triangular {
        low: f64,
        high: f64,
    },
    // Triangular in the logarithm from `low` to `high` with its mode at the value.
    TriangularLog {
        /// Lower bound, above 0.
        low: f64,
        high: f64,
    },
}
