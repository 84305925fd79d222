//! What no file holds yet is lost at the second press only: the first asks, and another key in between forgets it.

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loss {
    LeaveTank,
    LeaveFilter,
    /// Leaving with a working copy that was changed.
    LeaveStack,
    /// Working on another build than the one that was changed.
    Afresh,
}

#[derive(Clone, Debug, Default)]
pub struct Asked {
    pub before: Vec<Loss>,
    pub now: Vec<Loss>,
}

impl Asked {
    /// A key is pressed: it alone can confirm what the one before it asked.
    pub fn next_key(&mut self) {
        self.before = std::mem::take(&mut self.now);
    }
}
