//! What a column of the table is of.

use crate::measures::Measure;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    Measure(Measure),
    /// How a build's inputs are known.
    Known,
}

impl From<Measure> for Column {
    fn from(measure: Measure) -> Self {
        Self::Measure(measure)
    }
}

impl PartialEq<Measure> for Column {
    fn eq(&self, other: &Measure) -> bool {
        *self == Self::Measure(*other)
    }
}

impl Column {
    pub fn all() -> impl Iterator<Item = Self> {
        Measure::ALL.into_iter().map(Self::Measure).chain([Self::Known])
    }
    pub fn from_key(key: &str) -> Option<Self> {
        if key == Self::Known.key() { Some(Self::Known) } else { Measure::from_key(key).map(Self::Measure) }
    }
    pub fn measure(self) -> Option<Measure> {
        match self {
            Self::Measure(measure) => Some(measure),
            Self::Known => None,
        }
    }
    pub fn key(self) -> &'static str {
        self.measure().map_or("known", |m| m.key())
    }
    pub fn head(self) -> &'static str {
        self.measure().map_or("known", |m| m.row().head)
    }
    pub fn says(self) -> &'static str {
        let known =
            "how many of its inputs were measured, printed, guessed (m p g), and how many are assumed (a)";
        self.measure().map_or(known, |m| m.row().says)
    }
}
