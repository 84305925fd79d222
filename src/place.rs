//! The spaces that layers lie in, with their words.

use std::fmt;

/// A space that layers lie in. Ordered from the bottom up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Space {
    /// The settlement space under the lowest tray.
    Floor,
    /// Counted from 0 at the bottom; people count from 1.
    Tray(usize),
}

impl Space {
    /// Returns the space of the tray of that index; the floor for `None`.
    pub fn of(tray: Option<usize>) -> Self {
        tray.map_or(Self::Floor, Self::Tray)
    }

    /// Returns `the floor` or `tray 3`, for running text.
    pub fn in_a_sentence(self) -> String {
        match self {
            Self::Floor => format!("the {self}"),
            Self::Tray(_) => self.to_string(),
        }
    }
}

/// `floor` or `tray 3`, for heads and lists.
impl fmt::Display for Space {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Floor => f.write_str("floor"),
            Self::Tray(tray) => write!(f, "tray {}", tray + 1),
        }
    }
}
