//! What every screen can do with keys and mouse. Each is one row of `app::screens::of`; how it looks is
//! told above, where there is something to draw on.

use super::{Place, State};
use crate::measures::Measure;

/// Whether something can be done now, and why not; a name in braces stands for the key of that action.
pub type May = Result<(), &'static str>;

pub fn only_if(may: bool, why: &'static str) -> May {
    if may { Ok(()) } else { Err(why) }
}

pub fn beyond(lines: usize) -> May {
    if lines == 0 { Err("all of it is in view") } else { Ok(()) }
}

pub const NOTHING_LISTED: &str = "nothing is listed";

pub trait Screen: Sync {
    /// Which actions its keys mean now.
    fn place(&self, state: &State) -> Place;
    fn step(&self, state: &mut State, by: isize);
    fn page(&self, state: &mut State, by: isize);
    fn column(&self, _: &mut State, _by: isize) {}
    fn press(&self, _: &mut State, _x: u16, _y: u16) {}
    fn wheel(&self, state: &mut State, _x: u16, _y: u16, by: isize) {
        self.step(state, by);
    }
    /// The figure under the cursor: which of the entries, and which measure.
    fn figure(&self, _: &State) -> Result<(usize, Measure), &'static str> {
        Err("figures are explained on Builds, Compare and Restack")
    }
    fn on_line(&self, _: &State) -> May {
        Ok(())
    }
    /// One step back on this screen; none where there is no step to go.
    fn back(&self, _: &mut State) -> bool {
        false
    }
    /// Keeps cursors and windows within what there is.
    fn keep(&self, _: &mut State) {}
    /// After anything happened while the screen is in view: what it asks of the background.
    fn sync(&self, _: &mut State) {}
    /// Reads the text of its form, where it has one.
    fn read(&self, _: &mut State) {}
    /// The lines one can go to by a word in them; empty where lists are narrowed instead.
    fn sought(&self, _: &State) -> Vec<String> {
        Vec::new()
    }
    fn at(&self, _: &State) -> usize {
        0
    }
    fn go(&self, _: &mut State, _line: usize) {}
}
