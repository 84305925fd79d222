//! A text lying over a screen, to scroll: how a figure came about, or a reply.

use crate::app::{May, Place, Screen, State, beyond, moved};

pub struct Over(pub Place);

impl Screen for Over {
    fn place(&self, _: &State) -> Place {
        self.0
    }
    fn step(&self, state: &mut State, by: isize) {
        scroll(state, by);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, by.saturating_mul(10));
    }
    fn wheel(&self, state: &mut State, _: u16, _: u16, by: isize) {
        self.step(state, by * 3);
    }
}

pub fn scroll(state: &mut State, by: isize) {
    state.overlay_scroll = moved(state.overlay_scroll, by, state.drawn.overlay + 1);
}

pub fn scrolls(state: &State) -> May {
    beyond(state.drawn.overlay)
}
