//! What edits name, and why one is refused, in words.

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
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    #[error("the filter has no tray {}", .0 + 1)]
    NoTray(usize),
    #[error("the filter has no floor to lay media on")]
    NoFloor,
    #[error("{} has no layer {}", words(.0.0), .0.1 + 1)]
    NoLayer(Place),
    // No such fitting, or one without a bore.
    #[error("the {} hose has no connector or tap at place {}", if *.0 == Side::Intake { "intake" } else { "return" }, .1 + 1)]
    NoFitting(Side, usize),
    #[error("{} holds at most {MOST_LAYERS} layers", words(*.0))]
    TooMany(Option<usize>),
    // By so much, m.
    #[error("{} would be overfull by {:.1} mm", words(*.0), .1 * 1e3)]
    Overfull(Option<usize>, f64),
    #[error("in {} a layer would lie on one that fills it to the top: give that one a depth first", words(*.0))]
    OnTopOfRest(Option<usize>),
    #[error("nothing of {} is left for the layer that fills it", words(*.0))]
    NothingLeft(Option<usize>),
    #[error("slack and hole would leave nothing of layer {} in {}", .0.1 + 1, words(.0.0))]
    NoArea(Place),
    #[error("`{1}` is loose: only a pad can have {0}")]
    OnlyPads(&'static str, String),
    #[error("{0} is out of its range")]
    OutOfRange(&'static str),
    #[error("the stack is for {given} trays, the filter has {has}")]
    TrayCount { given: usize, has: usize },
    #[error("no tank is given")]
    NoTank,
    #[error("the profile has no unit block")]
    NoUnit,
    #[error("the filter has no UV chamber")]
    NoUv,
}

/// A tray or the floor in words, counted from 1.
fn words(tray: Option<usize>) -> String {
    Space::of(tray).in_a_sentence()
}
