//! The screens Tank and Sources on the built-in demo, with what they ask answered by the program itself.

use std::sync::Arc;

use cansift::app::effect::{Effect, Message};
use cansift::app::jobs::Hooks;
use cansift::app::state::State;
use cansift::app::tank_form::{Answer, Ask};
use cansift::app::update::update;
use cansift::cli::args::Run;
use cansift::library::{self, Library};
use cansift::profile::form::{At, Line};
use cansift::ui::view;
use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::things::press;

pub const SIZES: [(u16, u16); 3] = [(60, 15), (80, 24), (120, 40)];

/// The program's own answers, without doubt.
pub fn hooks() -> Hooks {
    let run = Run { tank: None, as_found: false, samples: Some(0), seed: None, log: None, threads: None };
    cansift::cli::screens::hooks(Vec::new(), Library::shipped(), &run)
}

/// Does what was asked, as the background would; sources are asked apart.
pub fn answer(state: &mut State, effects: Vec<Effect>) {
    let hooks = hooks();
    for effect in effects {
        match effect {
            Effect::Judge => {
                let tank = state.tank.clone();
                let judged = state.entries.iter().map(|e| (hooks.judge)(&e.filter, e.build, tank.as_deref()));
                let done = judged.map(Arc::new).enumerate().collect();
                let round = state.round;
                update(state, Message::Judged { round, done });
            }
            Effect::Form(Ask::List) => {
                let Some(said) = (hooks.form)(Ask::List) else { continue };
                // What lies in the user's own folder is no matter of a test.
                let Answer::Listed(mut choices) = said else { continue };
                choices.retain(|c| !c.from.contains(['/', '\\']));
                update(state, Message::Form(Answer::Listed(choices)));
            }
            _ => {}
        }
    }
}

pub fn go(state: &mut State, keys: &str) -> Vec<Effect> {
    let effects = press(state, keys);
    answer(state, effects.clone());
    effects
}

/// The demo for its own tank, with the Tank screen in view.
pub fn form(size: (u16, u16)) -> State {
    let mut state = State::new("built-in demo", library::demo_tanks().into_iter().next().map(|t| t.tank));
    state.look.mono = true;
    update(&mut state, Message::Size(size.0, size.1));
    let effects = update(&mut state, Message::Loaded(library::demo()));
    answer(&mut state, effects);
    go(&mut state, "6");
    state
}

/// The tank's form.
pub fn lines(state: &State) -> Vec<Line> {
    state.tank_form.form.as_ref().unwrap().lines()
}

fn is(line: &Line, path: &str) -> bool {
    let wanted: Vec<&str> = path.split('/').collect();
    line.trail.len() == wanted.len()
        && line.trail.iter().zip(&wanted).all(|(at, want)| match at {
            At::Field(row) => row.name == *want,
            At::Item(i) => i.to_string() == *want,
            At::Key(key) => key == want,
        })
}

/// Which line of the form a field is, by its names in files.
pub fn at(state: &State, path: &str) -> usize {
    lines(state).iter().position(|line| is(line, path)).unwrap_or_else(|| panic!("no line {path}"))
}

/// What stands there in the file; empty where it is left out.
pub fn text(state: &State, path: &str) -> String {
    let form = state.tank_form.form.as_ref().unwrap();
    let lines = lines(state);
    let line = lines.iter().find(|line| is(line, path));
    line.and_then(|line| line.given(&form.text)).unwrap_or_default().to_owned()
}

pub fn cursor(state: &State) -> usize {
    state.tank_form.form.as_ref().unwrap().list.cursor
}

/// Puts the cursor on a field.
pub fn on(state: &mut State, path: &str) {
    press(state, "<home>");
    for _ in 0..at(state, path) {
        press(state, "j");
    }
    assert_eq!(cursor(state), at(state, path));
}

/// Types a field anew.
pub fn fill(state: &mut State, path: &str, text: &str) -> Vec<Effect> {
    on(state, path);
    let mut effects = go(state, "<enter><ctrl-u>");
    update(state, Message::Paste(text.to_owned()));
    effects.extend(go(state, "<enter>"));
    effects
}

pub fn told(state: &State) -> &str {
    state.status.as_deref().unwrap_or("")
}

/// What is on the screen.
pub fn draw(state: &mut State) -> String {
    let mut terminal = Terminal::new(TestBackend::new(state.size.0, state.size.1)).unwrap();
    terminal.draw(|frame| state.drawn = view::draw(state, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let width = usize::from(buffer.area.width.max(1));
    let line =
        |row: &[ratatui::buffer::Cell]| row.iter().map(ratatui::buffer::Cell::symbol).collect::<String>();
    buffer.content.chunks(width).map(|row| line(row).trim_end().to_owned()).collect::<Vec<_>>().join("\n")
}
