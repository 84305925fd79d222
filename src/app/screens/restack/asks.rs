//! What the screen asks of the background, and what comes back.

use std::path::PathBuf;
use std::sync::Arc;

use crate::assess::{Assessment, Simulated};
use crate::model::{Build, Filter, Medium, Tank, Workpiece};
use crate::propose::{Proposal, Shopping};

/// A question. Those that have a number are told apart by it.
#[derive(Clone, Debug)]
pub enum Ask {
    /// Figures of the working copy, and of the build as it was where they are not known.
    Judge(Box<Judge>),
    /// Stacks that would suit the tank.
    Propose(Box<Propose>),
    Stop,
    Save(Box<Save>),
}

impl PartialEq for Ask {
    fn eq(&self, other: &Self) -> bool {
        self.number() == other.number()
    }
}

impl Ask {
    fn number(&self) -> Option<(u8, u64)> {
        match self {
            Self::Judge(ask) => Some((0, ask.number)),
            Self::Propose(ask) => Some((1, ask.number)),
            Self::Stop => None,
            Self::Save(ask) => Some((2, ask.number)),
        }
    }
}

/// What is to be judged. Each filter holds one build.
#[derive(Clone, Debug)]
pub struct Judge {
    pub number: u64,
    pub before: Arc<Filter>,
    /// Its figures are wanted, and its doubt.
    pub before_wanted: (bool, bool),
    pub now: Arc<Filter>,
    pub tank: Option<Arc<Tank>>,
}

#[derive(Clone, Debug)]
pub struct Propose {
    pub number: u64,
    /// The filter, its seals as they are now.
    pub filter: Arc<Filter>,
    /// The build as it was.
    pub build: Build,
    pub tank: Arc<Tank>,
    pub media: Vec<Arc<Medium>>,
    /// Only what lies in the build or is on hand.
    pub on_hand: bool,
    /// Stacks without biological media stand by their score.
    pub foam_only: bool,
}

#[derive(Clone, Debug)]
pub struct Save {
    pub number: u64,
    pub path: PathBuf,
    pub text: String,
    /// What a file that may be written over comes to.
    pub over: Option<u64>,
    /// The working copy as it is written.
    pub piece: Workpiece,
}

#[derive(Clone, Debug)]
pub enum Answer {
    // Of the working copy, and of the build as it was where that was asked for; what it asks to be bought, where there
    // is a tank.
    Judged {
        number: u64,
        before: Option<Arc<Assessment>>,
        now: Arc<Assessment>,
        shopping: Option<Arc<Shopping>>,
    },
    Doubted {
        number: u64,
        before: Option<Arc<Simulated>>,
        now: Arc<Simulated>,
    },
    // How far the search is, 0 to 1.
    Searched {
        number: u64,
        share: f64,
    },
    // The best first; until the search has ended these are the best so far.
    Proposed {
        number: u64,
        found: Vec<Proposal>,
        ended: bool,
    },
    // What was written, or why nothing was.
    Saved {
        path: PathBuf,
        // What the text comes to.
        content: u64,
        done: Result<Box<Workpiece>, String>,
    },
    // The program's own fault: what was asked cannot be told.
    Failed {
        why: String,
    },
}
