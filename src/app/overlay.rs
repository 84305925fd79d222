//! What may lie over a screen.

use crate::measures::Measure;

/// Which build a figure is explained of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A listed one, by its place in [`super::state::State::entries`].
    Listed(usize),
    /// The working copy on Restack, as it last fitted.
    Worked,
}

/// A reply to paste; [`super::state::State::reply`] says which and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// The question asked last; answers to older ones are dropped.
    pub number: u64,
    pub text: Option<String>,
}

/// Something lying over the screen; Esc takes it off.
#[derive(Clone, Debug, PartialEq)]
pub enum Overlay {
    // What was typed to narrow it, and which of its actions is chosen.
    Help { wanted: String, cursor: usize },
    // The explanation, once it is there.
    Explain { of: Of, measure: Measure, lines: Option<Vec<String>> },
    Reply(Reply),
    // A list to pick from for the field under the cursor, or for a new item of its list.
    Pick { adds: bool, wanted: String, cursor: usize },
    // The three numbers of a new filter, as far as they were typed.
    New { typed: Vec<String>, at: usize },
    // The list of measures to show as columns.
    Columns { cursor: usize },
}
