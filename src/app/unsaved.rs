//! What no file holds yet is lost at the second press only: the first asks, and another key in between forgets it.

use super::state::State;

/// Something that would lose changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loss {
    /// Leaving with a tank that was changed.
    LeaveTank,
    /// Leaving with a working copy that was changed.
    LeaveStack,
    /// Working on another build than the one that was changed.
    Afresh,
}

/// What was asked about.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// With the key before.
    before: Vec<Loss>,
    /// With this one.
    now: Vec<Loss>,
}

impl Asked {
    /// A key is pressed: it alone can confirm what the one before it asked.
    pub fn next_key(&mut self) {
        self.before = std::mem::take(&mut self.now);
    }
}

/// Whether it may be done: at once where nothing is lost, else at the second press.
pub fn may_lose(state: &mut State, loss: Loss) -> bool {
    let Some(question) = question(state, loss) else { return true };
    // What was confirmed stays so while the next thing is asked about.
    state.asked.now.push(loss);
    if state.asked.before.contains(&loss) {
        return true;
    }
    state.told = Some(question);
    false
}

/// What is asked, if anything would be lost.
fn question(state: &State, loss: Loss) -> Option<String> {
    let stack = |does: &str| {
        let work = state.restack.work.as_ref().filter(|w| w.unsaved())?;
        Some(format!("{} restacked is unsaved: press {} without it", work.title(), state.keys.fill(does)))
    };
    match loss {
        Loss::LeaveTank => state.tank_form.changed().then(|| {
            state
                .keys
                .fill("the tank has unsaved changes: {leave} again leaves, {save} on the Tank screen saves")
        }),
        Loss::LeaveStack => stack("{leave} again to leave"),
        Loss::Afresh => stack("{afresh} again to begin afresh"),
    }
}
