//! The Restack screen: the trays of one build as a list to work in.

use super::effect::Effect;
use super::line::{Done, Line as Typed};
use super::state::State;

/// What a key does on the Restack screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {}

/// What the screen knows.
#[derive(Clone, Debug, Default)]
pub struct Restack {}

/// Moves the cursor by lines.
pub fn step(_state: &mut State, _by: isize) {}

/// Moves by windows.
pub fn page(_state: &mut State, _by: isize) {}

/// Puts the cursor on what stands at a cell.
pub fn press(_state: &mut State, _x: u16, _y: u16) {}

/// Keeps cursor and window within what there is.
pub fn keep(_state: &mut State) {}

/// After anything happened while the screen is in view.
pub fn follow(_state: &mut State) -> Vec<Effect> {
    Vec::new()
}

/// Does what a key asks.
pub fn act(_state: &mut State, what: Do) -> Vec<Effect> {
    match what {}
}

/// A line was typed for the screen.
pub fn taken(_state: &mut State, _line: &Typed, _done: Done) -> Vec<Effect> {
    Vec::new()
}

/// One step back on this screen; whether there was one.
pub fn back(_state: &mut State) -> bool {
    false
}
