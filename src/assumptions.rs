//! The one table of constants and assumptions: key, value, unit, spread, source, kind.
//!
//! The Sources screen, `cansift sources`, `explain` and the docs all print from it. Laws whose
//! coefficients are part of a published formula (Kell, Churchill, Ergun ...) name it here too, as far as
//! a factor of doubt goes; their own digits stand beside the formula.

use std::sync::LazyLock;

use crate::uncertainty::field;
use crate::uncertainty::key::{Key, Source};
use crate::uncertainty::uncertain::Spread;

mod table;

pub use table::{A, TABLE};

/// Who stands behind a figure.
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
    /// One or two words for it.
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
    /// A few words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "checked",
            Self::Memory => "from memory",
            Self::Own => "our own",
        }
    }
}

/// One constant or assumption.
#[derive(Clone, Debug)]
pub struct Assumption {
    /// Name of its doubt, and its place in lists.
    pub key: &'static str,
    /// Nominal value in `unit`.
    pub value: f64,
    /// Unit, empty for a plain ratio.
    pub unit: &'static str,
    /// How it spreads over the draws.
    pub spread: Spread,
    /// Who stands behind it.
    pub kind: Kind,
    /// How far that was checked.
    pub checked: Checked,
    /// What it is.
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

impl A {
    /// Its row of the table.
    pub fn entry(self) -> &'static Assumption {
        // One row a variant, in the variants' order: a test holds the two together.
        TABLE.get(self as usize).unwrap_or(&TABLE[0])
    }

    /// The key of its doubt. Two coefficients of one law share one.
    pub fn key(self) -> &'static Key {
        static NONE: LazyLock<Key> = LazyLock::new(|| Key::named("model"));
        let with = match self {
            Self::FoamB => Self::FoamA,
            Self::SlimeRibbed => Self::Slime,
            _ => self,
        };
        KEYS.get(with as usize).unwrap_or(&NONE)
    }

    /// The key of a filter's own half of it: `tamsin-1100/model/foam`.
    pub fn own_key(self, filter: &str) -> Key {
        let common = match self.key().source() {
            Source::Assumption(a) => a.entry().key,
            _ => self.entry().key,
        };
        Key::new(Source::Filter(filter.into()), common, &field::NONE)
    }
}

static KEYS: LazyLock<Vec<Key>> = LazyLock::new(|| A::ALL.into_iter().map(Key::assumption).collect());

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_and_variants_stand_in_the_same_order() {
        for (i, a) in A::ALL.into_iter().enumerate() {
            assert_eq!(a as usize, i);
            let shared = matches!(a, A::FoamB | A::SlimeRibbed);
            assert_eq!(a.key().name() == a.entry().key, !shared);
        }
        let mut keys: Vec<_> = TABLE.iter().map(|row| row.key).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), TABLE.len(), "a key stands twice");
    }

    #[test]
    fn every_spread_holds_its_value() {
        for row in &TABLE {
            match row.spread {
                Spread::Uniform { low, high }
                | Spread::TriangularLog { low, high }
                | Spread::Triangular { low, high } => {
                    assert!(low <= row.value && row.value <= high && low < high, "{}", row.key);
                }
                Spread::Factor { factor } => assert!(factor > 1.0, "{}", row.key),
                Spread::Normal { sd } => assert!(sd > 0.0 && sd < 0.3, "{}", row.key),
                Spread::CutNormal { sd } => assert!(sd > 0.0, "{}", row.key),
                Spread::Exact => {}
            }
            assert!(!row.source.is_empty() && !row.what.is_empty());
        }
    }
}
