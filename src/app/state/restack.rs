//! What the Restack screen knows.

use std::sync::Arc;

use crate::app::{List, Work};
use crate::library::Library;
use crate::message::worded;
use crate::model::Medium;
use crate::model::edit::Place;
use crate::propose::Proposal;

worded! {
    /// In the order in which `p` turns them.
    #[derive(Default)]
    Pane word: &'static str {
        #[default]
        List "stack";
        /// Every measure, beside the build as it was.
        Measures "was → now";
        Inside "inside";
    }
}

#[derive(Clone, Debug, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
pub struct Restack {
    /// Media there are, beside those that profiles bring along.
    pub media: Vec<Arc<Medium>>,
    /// Media of the lists among the files read.
    pub listed: Vec<Arc<Medium>>,
    /// What is listed is the built-in demo, which lies in no folder.
    pub demo: bool,
    pub work: Option<Box<Work>>,
    pub pane: Pane,
    pub list: List,
    pub scroll: usize,
    pub measure: usize,
    pub on_hand: bool,
    /// Stacks without biological media are searched for as well.
    pub foam_only: bool,
    pub picker: Option<Picker>,
    pub proposals: Option<Proposals>,
    /// The screen was entered with the key in hand.
    pub entered: bool,
    /// The round of judging at which the source was looked at.
    pub looked: Option<u64>,
    /// Number of the newest question of figures.
    pub judged: u64,
    pub searched: u64,
    /// Number of the newest file.
    pub written: u64,
}

impl Restack {
    /// With the media that ship, and nothing in work yet.
    pub fn new() -> Self {
        Self { media: Library::shipped().media().map(Arc::clone).collect(), ..Self::default() }
    }
    /// Figures or a search are on their way.
    pub fn waits(&self) -> bool {
        self.proposals.as_ref().is_some_and(|p| p.searching.is_some())
            || self.work.as_ref().is_some_and(|w| w.now.judged.is_none())
    }
    /// What is on the screen in the list's place.
    pub fn over(&self) -> Over {
        match (&self.picker, &self.proposals) {
            (Some(_), _) => Over::Picker,
            (None, Some(_)) => Over::Proposals,
            _ => Over::Nothing,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    Nothing,
    Picker,
    Proposals,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    Add(Place),
    /// The layer there, to be of another medium.
    Swap(Place),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Picker {
    pub what: For,
    pub wanted: String,
    pub list: List,
}

/// The search and what it found, while they are open.
#[derive(Clone, Debug)]
pub struct Proposals {
    /// How far the search is, 0 to 1; none when it has ended.
    pub searching: Option<f64>,
    pub stopped: bool,
    /// The best first.
    pub found: Vec<Arc<Proposal>>,
    /// The chosen row, and how far the pane is scrolled by hand.
    pub list: List,
}
