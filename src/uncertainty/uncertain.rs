//! A figure as the user knows it: its nominal value, how it is known, and the spread that follows.

use std::f64::consts::FRAC_1_SQRT_2;

use super::key::Key;
use crate::assumptions::A;
use crate::simd::Real;
use crate::units::Quantity;

/// How a figure is known.
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

/// Of a measured figure: two standard deviations are 3 %.
pub const MEASURED: Spread = Spread::Normal { sd: 0.015 };
/// Of a guessed one: two standard deviations are 40 %.
pub const GUESSED: Spread = Spread::Normal { sd: 0.2 };

impl Provenance {
    /// Returns the spread that this word gives to a figure above 0; `None` where the figure's field or its bounds
    /// tell.
    pub fn spread(self) -> Option<Spread> {
        match self {
            Self::Measured => Some(MEASURED),
            Self::Guessed => Some(GUESSED),
            Self::Stated | Self::Between | Self::Assumed => None,
        }
    }
    /// One word for it.
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
    /// No doubt.
    Exact,
    /// Normal, with this relative standard deviation.
    Normal {
        /// Standard deviation over value.
        sd: f64,
    },
    /// Lognormal: two standard deviations are a factor up or down. The median is the value.
    Factor {
        /// The factor at two standard deviations, above 1.
        factor: f64,
    },
    /// Evenly anywhere from `low` to `high`.
    Uniform {
        /// Lower bound.
        low: f64,
        /// Upper bound.
        high: f64,
    },
    /// A normal about the value, cut off at 0: a gap, which may be shut but not narrower than that.
    CutNormal {
        /// Standard deviation before the cut, in the value's own unit.
        sd: f64,
    },
    /// Triangular from `low` to `high` with its mode at the value: where `low` is 0.
    Triangular {
        /// Lower bound.
        low: f64,
        /// Upper bound.
        high: f64,
    },
    /// Triangular in the logarithm from `low` to `high` with its mode at the value.
    TriangularLog {
        /// Lower bound, above 0.
        low: f64,
        /// Upper bound.
        high: f64,
    },
}

/// A doubtful quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertain<Q> {
    /// The nominal value.
    pub value: Q,
    /// How it is known.
    pub known: Provenance,
    /// How it spreads.
    pub spread: Spread,
    /// Which draw it follows.
    pub key: Key,
}

impl<Q: Quantity> Uncertain<Q> {
    /// A figure without doubt.
    pub fn exact(value: Q, key: Key) -> Self {
        Self { value, known: Provenance::Assumed, spread: Spread::Exact, key }
    }
    /// The nominal SI value.
    pub fn si(&self) -> f64 {
        self.value.si()
    }
}

/// One draw of the doubt, or eight at once: gives every figure and constant its value.
pub trait Draw<L: Real> {
    /// The figure's value in this draw, SI.
    fn of<Q: Quantity>(&self, figure: &Uncertain<Q>) -> L {
        self.spread(figure.si(), figure.spread, &figure.key)
    }
    /// A value with a spread and a key of its own.
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> L;
    /// A constant of the model in this draw.
    fn constant(&self, which: A) -> L;
    /// A constant of which half the doubt (of its logarithm's variance) is common to all filters and half that of
    /// one, `own`: neither are two filters wrong by the same factor, nor are they strangers.
    fn paired(&self, which: A, own: &Key) -> L {
        let row = which.entry();
        let common = self.constant(which);
        let own = self.spread(row.value, row.spread, own);
        (common * own / (row.value * row.value)).powf(L::splat(FRAC_1_SQRT_2)) * row.value
    }
}

/// The draw in which everything is at its nominal value.
#[derive(Clone, Copy, Debug, Default)]
pub struct Nominal;

impl<L: Real> Draw<L> for Nominal {
    fn spread(&self, value: f64, _: Spread, _: &Key) -> L {
        L::splat(value)
    }
    fn constant(&self, which: A) -> L {
        L::splat(which.entry().value)
    }
    fn paired(&self, which: A, _: &Key) -> L {
        L::splat(which.entry().value)
    }
}
