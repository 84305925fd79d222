//! What a row of the table of assumptions says.

use crate::uncertainty::Spread;
use crate::units::trimmed;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A published formula or figure.
    Published,
    /// Common practice, no source.
    Practice,
    /// The program's own choice.
    Ours,
}

impl Kind {
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Practice => "common practice",
            Self::Ours => "ours",
        }
    }
}

/// How far the source was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// Against a reference library or a readable source.
    Read,
    /// Written from memory of the named source.
    Memory,
    /// Nothing to check: our own.
    Own,
}

impl Checked {
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "checked",
            Self::Memory => "from memory",
            Self::Own => "our own",
        }
    }
}

#[derive(Clone, Debug)]
pub struct Assumption {
    /// Name of its doubt, and its place in lists.
    pub key: &'static str,
    /// Nominal value in `unit`.
    pub value: f64,
    /// Unit, empty for a plain ratio.
    pub unit: &'static str,
    pub spread: Spread,
    pub kind: Kind,
    pub checked: Checked,
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

impl Assumption {
    /// What it is, with its figures: `open share of a grid, 0.25/0.45/0.65 (ours)`.
    pub fn words(&self) -> String {
        let figures = match self.spread {
            Spread::TriangularLog { low, high } | Spread::Triangular { low, high } => {
                [low, self.value, high].map(|x| trimmed(&format!("{x:.3}")).to_owned()).join("/")
            }
            _ => self.value.to_string(),
        };
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        format!("{}, {figures}{unit} ({})", self.what, self.kind.word())
    }
}
