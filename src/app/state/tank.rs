//! What the Tank screen knows, what it asks of the world outside, and what comes back.

use std::sync::Arc;

use crate::app::Form;
use crate::assess::Assessment;
use crate::model::Tank;

/// Lines before the tanks in the list, with what each does.
pub const CHOICES: [(&str, &str); 2] =
    [("no tank", "judge for no tank"), ("an empty form", "a new tank, field by field")];

#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    List,
    // Save a tank in a new file, named as it was typed, or over one whose content comes to that.
    Save { file: String, text: String, over: Option<u64> },
    // From now on look whether this file changes; none: no longer look.
    Follow(Option<String>),
}

#[derive(Clone, Debug)]
pub enum Answer {
    Listed(Vec<Choice>),
    /// A tank was saved in that file, or why not.
    Saved(Result<String, String>),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    pub from: String,
    /// The file to find it by next time.
    pub file: String,
    /// The tank, or why it cannot be used.
    pub tank: Result<Arc<Tank>, String>,
}

#[derive(Clone, Debug, Default)]
pub struct TankForm {
    /// An empty text: no tank.
    pub form: Option<Form>,
    /// Tanks to start from, once they were looked for.
    pub choices: Option<Vec<Choice>>,
    pub choosing: bool,
    pub chosen: usize,
    pub top: usize,
    pub folder: String,
    /// The builds as they were judged before the last change.
    pub before: Vec<Option<Arc<Assessment>>>,
    /// Where filters stood before it: their entries, the best first.
    pub stood: Vec<usize>,
    /// The tank that the text was read to, or came from.
    pub of: Option<Arc<Tank>>,
    pub asked: bool,
    /// What is being saved, and its file as it was typed.
    pub saving: Option<(String, String)>,
}

impl TankForm {
    pub fn changed(&self) -> bool {
        self.form.as_ref().is_some_and(Form::changed)
    }
    pub fn is_blank(&self) -> bool {
        self.form.as_ref().is_none_or(|form| form.text.trim().is_empty())
    }
    pub fn problems(&self) -> usize {
        self.form.as_ref().map_or(0, |form| form.problems.len())
    }
}
