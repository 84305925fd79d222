//! What a row of the table of assumptions says.

use crate::message::worded;
use crate::uncertainty::Spread;
use crate::units::trimmed;

worded! {
    Kind word: &'static str {
        /// A published formula or figure.
        Published "published";
        /// Common practice, no source.
        Practice "common practice";
        /// The program's own choice.
        Ours "ours";
    }
}

worded! {
    /// How far the source was checked.
    Checked words: &'static str {
        /// Against a reference library or a readable source.
        Read "checked";
        /// Written from memory of the named source.
        Memory "from memory";
        /// Nothing to check: our own.
        Own "our own";
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
