//! The one table of constants and assumptions: key, value, unit, spread, source, kind.
//!
//! The Sources screen, `cansift sources`, `explain` and the docs all print from it. Laws whose
//! coefficients are part of a published formula (Kell, Churchill, Ergun ...) name it here too, as far as
//! a factor of doubt goes; their own digits stand beside the formula.

use std::sync::LazyLock;

use crate::uncertainty::{Key, Source, field};

pub mod row;
pub mod table;

pub use row::{Assumption, Checked, Kind};
pub use table::{A, TABLE};

impl A {
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
