//! The Tank screen, by its form.

use super::ranking::Ranking;
use crate::app::tank_form::{self, CHOICES};
use crate::app::{Area, May, Place, Screen, State, form, keep_row_in_window, moved, pages};
use crate::assumptions::A;
use crate::biology::load::{fed, stocking};
use crate::model::Feed;
use crate::report::sources;
use crate::uncertainty::Nominal;

/// From this width on, what the builds come to stands beside the form.
const BESIDE: u16 = 100;
/// Most columns that the form takes then.
const FORM: u16 = 90;

pub struct Tank;

impl Screen for Tank {
    fn place(&self, state: &State) -> Place {
        if state.tank_form.choosing { Place::Tanks } else { Place::Tank }
    }
    fn step(&self, state: &mut State, by: isize) {
        if state.tank_form.choosing {
            state.tank_form.chosen = moved(state.tank_form.chosen, by, choices(state));
            self.keep(state);
        } else {
            form::move_by(state, by, rows(state));
        }
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, usize::from(rows(state).h)));
    }
    fn press(&self, state: &mut State, x: u16, y: u16) {
        let area = rows(state);
        if !state.tank_form.choosing {
            return form::press(state, x, y, area);
        }
        let at = (state.tank_form.top + usize::from(y.saturating_sub(area.y))).checked_sub(1);
        let Some(at) = at.filter(|at| area.holds(x, y) && *at < choices(state)) else { return };
        if state.tank_form.chosen == at {
            return tank_form::start(state);
        }
        state.tank_form.chosen = at;
    }
    fn back(&self, state: &mut State) -> bool {
        // Without any tank the list is where the screen begins: there is no step before it.
        if !state.tank_form.choosing || state.tank_form.is_blank() {
            return false;
        }
        state.tank_form.choosing = false;
        self.keep(state);
        true
    }
    fn keep(&self, state: &mut State) {
        let rows = rows(state);
        if state.tank_form.choosing {
            let len = choices(state);
            let form = &mut state.tank_form;
            form.chosen = form.chosen.min(len - 1);
            form.top = keep_row_in_window(form.top, form.chosen + 1, usize::from(rows.h), len + 1);
        } else {
            form::keep(state, rows);
        }
    }
    fn read(&self, state: &mut State) {
        tank_form::read(state);
    }
    fn sync(&self, state: &mut State) {
        tank_form::sync(state);
        // Where the filters' places stand beside the form.
        if beside(state).is_some() && state.unjudged() == 0 {
            Ranking.sync(state);
        }
    }
    fn sought(&self, state: &State) -> Vec<String> {
        if !state.tank_form.choosing {
            return form::sought(state);
        }
        let fixed = CHOICES.iter().map(|(name, says)| format!("{name} {says}"));
        let found = state.tank_form.choices.iter().flatten().map(|choice| match &choice.tank {
            Ok(tank) => format!("{} {}", tank.name, choice.from),
            Err(_) => choice.from.clone(),
        });
        fixed.chain(found).collect()
    }
    fn at(&self, state: &State) -> usize {
        let form = &state.tank_form;
        if form.choosing { form.chosen } else { form.form.as_ref().map_or(0, |form| form.list.cursor) }
    }
    fn go(&self, state: &mut State, line: usize) {
        if state.tank_form.choosing {
            state.tank_form.chosen = line;
        } else if let Some(form) = &mut state.tank_form.form {
            form.list.cursor = line;
        }
        self.keep(state);
    }
}

fn choices(state: &State) -> usize {
    state.tank_form.choices.as_ref().map_or(0, Vec::len) + CHOICES.len()
}

pub fn area(state: &State) -> Area {
    let main = state.parts().main.unwrap_or_default();
    if main.w < BESIDE { main } else { Area { w: (main.w * 3 / 5).min(FORM), ..main } }
}

pub fn beside(state: &State) -> Option<Area> {
    let (main, form) = (state.parts().main?, area(state));
    (form.w < main.w).then(|| Area::new(main.x + form.w, main.y, main.w - form.w, main.h))
}

/// Rows of the form, above what is said of the field under the cursor.
pub fn rows(state: &State) -> Area {
    let inner = area(state).inner();
    let below = match inner.h {
        0..=3 => 0,
        4..=8 => 1,
        9..=15 => 3,
        _ => 5,
    };
    inner.rows(0, inner.h - below)
}

pub fn saves(state: &State) -> May {
    if state.tank_form.is_blank() {
        Err("there is no tank to save")
    } else if state.tank_form.problems() == 0 {
        Ok(())
    } else {
        Err("the form has problems: they stand at their fields, mend them first")
    }
}

/// What stocking comes to: food a day, where nobody weighs it.
pub fn stocking_says(state: &State) -> Option<String> {
    let tank = state.tank.as_deref()?;
    Some(match tank.feed() {
        Feed::Daily(_) => "not used: food a day wins".to_owned(),
        Feed::Unknown => return None,
        Feed::Stock(stock) => {
            let row = stocking(stock).entry();
            // What one eats is as doubtful as another: one factor for all stocking.
            let spread = sources::spread(A::StockFactor.entry().spread);
            let volume = tank.volume.as_ref().map(|v| v.value.get());
            match fed(&tank.feed(), volume, &Nominal) {
                Ok(grams) => {
                    let grams = sources::plain((grams * 100.0).round() / 100.0);
                    format!("= {grams} g a day, {spread}: assumed ({})", row.kind.word())
                }
                Err(_) => {
                    format!(
                        "{} {}, {spread}: assumed; the volume is missing",
                        sources::plain(row.value),
                        row.unit
                    )
                }
            }
        }
    })
}
