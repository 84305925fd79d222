//! What the Tank screen knows, what it asks of the world outside, and what comes back.

use std::sync::Arc;

use crate::assess::Assessment;
use crate::model::tank::Tank;
use crate::profile::FieldProblem;

/// Lines before the tanks in the list, with what each does.
pub const CHOICES: [(&str, &str); 2] =
    [("no tank", "judge for no tank"), ("an empty form", "a new tank, field by field")];

/// Something the form asks of the world outside.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    List,
    /// Save a tank in a new file.
    Save {
        /// The file as it was typed.
        file: String,
        text: String,
    },
    /// From now on look whether this file changes; none: no longer look.
    Follow(Option<String>),
}

#[derive(Clone, Debug)]
pub enum Answer {
    Listed(Vec<Choice>),
    /// A tank was saved in that file, or why not.
    Saved(Result<String, String>),
}

/// A tank to start from.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Where it lies, as people know it.
    pub from: String,
    /// The file to find it by next time.
    pub file: String,
    /// The tank, or why it cannot be used.
    pub tank: Result<Arc<Tank>, String>,
}

#[derive(Clone, Debug, Default)]
pub struct TankForm {
    /// The text of each field, in the order of the table of its fields. All empty: no tank.
    pub texts: Vec<String>,
    pub problems: Vec<FieldProblem>,
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
    /// Tanks to start from, once they were looked for.
    pub choices: Option<Vec<Choice>>,
    /// The list of tanks is in view.
    pub choosing: bool,
    pub chosen: usize,
    pub folder: String,
    /// The builds as they were judged before the last change.
    pub before: Vec<Option<Arc<Assessment>>>,
    /// The texts as last loaded or saved.
    pub kept: Vec<String>,
    pub past: Vec<Held>,
    pub future: Vec<Held>,
    /// The tank that the texts were read to, or came from.
    pub of: Option<Arc<Tank>>,
    pub asked: bool,
    /// What is being saved, as it was typed, and its file.
    pub saving: Option<(String, Vec<String>)>,
}

/// The form at one time: what a step back goes back to.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    pub texts: Vec<String>,
    pub kept: Vec<String>,
    pub file: Option<String>,
}

impl TankForm {
    /// Something differs from what was loaded or saved last.
    pub fn changed(&self) -> bool {
        self.texts != self.kept
    }
    /// There is something to take back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }
    /// There is something to make again.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
    /// Every field is left out.
    pub fn is_blank(&self) -> bool {
        self.texts.iter().all(|text| text.trim().is_empty())
    }
    pub fn problem(&self, field: usize) -> Option<&FieldProblem> {
        self.problems.iter().find(|p| p.field == field)
    }
}
