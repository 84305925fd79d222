//! What edits name, and why one is refused, in words.

use std::fmt;

use crate::place::Space;

/// Where a layer lies: its tray, or none for the floor, and its place in it. Both count from 0 at the bottom.
pub type Place = (Option<usize>, usize);

/// Most layers of a tray or floor.
pub const MOST_LAYERS: usize = 20;
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// From the tank to the filter.
    Intake,
    /// Back to the tank.
    Return,
}

/// Why an edit is refused; nothing was changed.
#[derive(Clone, Debug, PartialEq)]
pub enum EditError {
    NoTray(usize),
    NoFloor,
    NoLayer(Place),
    // No such fitting, or one without a bore.
    NoFitting(Side, usize),
    // More layers than [`MOST_LAYERS`].
    TooMany(Option<usize>),
    // Stands too high by so much, m.
    Overfull(Option<usize>, f64),
    // A layer lies on one that fills the tray.
    OnTopOfRest(Option<usize>),
    // Nothing is left for a layer that fills the tray.
    NothingLeft(Option<usize>),
    // Slack and hole leave nothing of the layer.
    NoArea(Place),
    // Only a pad can have that.
    OnlyPads(&'static str, String),
    // A value out of its range.
    OutOfRange(&'static str),
    // Another number of trays than the filter has.
    TrayCount { given: usize, has: usize },
    NoTank,
    NoUnit,
    NoUv,
}

/// A tray or the floor in words, counted from 1.
fn space_words(tray: Option<usize>) -> String {
    Space::of(tray).in_a_sentence()
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTray(tray) => write!(f, "the filter has no tray {}", tray + 1),
            Self::NoFloor => write!(f, "the filter has no floor to lay media on"),
            Self::NoLayer((tray, layer)) => {
                write!(f, "{} has no layer {}", space_words(*tray), layer + 1)
            }
            Self::NoFitting(side, index) => {
                let side = if *side == Side::Intake { "intake" } else { "return" };
                write!(f, "the {side} hose has no connector or tap at place {}", index + 1)
            }
            Self::TooMany(tray) => write!(f, "{} holds at most {MOST_LAYERS} layers", space_words(*tray)),
            Self::Overfull(tray, over) => {
                write!(f, "{} would be overfull by {:.1} mm", space_words(*tray), over * 1e3)
            }
            Self::OnTopOfRest(tray) => write!(
                f,
                "in {} a layer would lie on one that fills it to the top: give that one a depth first",
                space_words(*tray)
            ),
            Self::NothingLeft(tray) => {
                write!(f, "nothing of {} is left for the layer that fills it", space_words(*tray))
            }
            Self::NoArea((tray, layer)) => write!(
                f,
                "slack and hole would leave nothing of layer {} in {}",
                layer + 1,
                space_words(*tray)
            ),
            Self::OnlyPads(what, id) => write!(f, "`{id}` is loose: only a pad can have {what}"),
            Self::OutOfRange(what) => write!(f, "{what} is out of its range"),
            Self::TrayCount { given, has } => {
                write!(f, "the stack is for {given} trays, the filter has {has}")
            }
            Self::NoTank => write!(f, "no tank is given"),
            Self::NoUnit => write!(f, "the profile has no unit block"),
            Self::NoUv => write!(f, "the filter has no UV chamber"),
        }
    }
}

impl std::error::Error for EditError {}
