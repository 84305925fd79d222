//! Filter: what the profile of the build under the cursor on Builds says, field by field.

use crate::app::effect::Effect;
use crate::app::layout::Area;
use crate::app::list::pages;
use crate::app::screen::{May, Screen};
use crate::app::state::State;
use crate::app::tabs::Place;
use crate::compare::align::{self, Field};

pub struct Filter;

impl Screen for Filter {
    fn place(&self, _: &State) -> Place {
        Place::Filter
    }
    fn step(&self, state: &mut State, by: isize) {
        let len = fields(state).len();
        state.filter.step(by, len);
        self.keep(state);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, usize::from(rows(state).h)));
    }
    fn press(&self, state: &mut State, x: u16, y: u16) -> Vec<Effect> {
        let area = rows(state);
        let at = state.filter.top + usize::from(y.saturating_sub(area.y));
        if area.holds(x, y) && at < fields(state).len() {
            state.filter.cursor = at;
        }
        Vec::new()
    }
    fn on_line(&self, state: &State) -> May {
        allowed(state)
    }
    fn keep(&self, state: &mut State) {
        let (h, len) = (usize::from(rows(state).h), fields(state).len());
        state.filter.keep(h, len);
    }
    fn sought(&self, state: &State) -> Vec<String> {
        fields(state).into_iter().map(|f| format!("{} {}", f.path, f.values.concat_told())).collect()
    }
    fn at(&self, state: &State) -> usize {
        state.filter.cursor
    }
    fn go(&self, state: &mut State, line: usize) {
        state.filter.cursor = line;
        self.keep(state);
    }
}

/// What of a field's values is told, in one text.
trait Told {
    fn concat_told(&self) -> String;
}

impl Told for Vec<Option<String>> {
    fn concat_told(&self) -> String {
        self.iter().flatten().cloned().collect()
    }
}

/// The list, below its head and above the row that shows the chosen value whole.
pub fn rows(state: &State) -> Area {
    let inner = state.parts().main.unwrap_or_default().inner();
    let below = if inner.h > 6 { 2 } else { 0 };
    inner.rows(1, inner.h.saturating_sub(1 + below))
}

/// There is a profile to show.
pub fn allowed(state: &State) -> May {
    if state.here().is_some() { Ok(()) } else { Err("no build is chosen: choose one on Builds ({builds})") }
}

/// Its fields.
pub fn fields(state: &State) -> Vec<Field> {
    state.here().map_or_else(Vec::new, |e| align::fields(&[(&e.filter, e.build)]))
}
