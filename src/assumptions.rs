//! The one table of constants and assumptions: key, value, unit, spread, source, kind.
//!
//! The Sources screen, `cansift sources`, `explain` and the docs all print from it. Laws whose
//! coefficients are part of a published formula (Kell, Churchill, Ergun ...) name it here too, as far as
//! a factor of doubt goes; their own digits stand beside the formula.

use std::sync::LazyLock;

use crate::uncertainty::field;
use crate::uncertainty::key::{Key, Source};

mod row;
mod table;

pub use row::{Assumption, Checked, Kind};
pub use table::{A, TABLE};

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
    use crate::uncertainty::spread::Spread;

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
