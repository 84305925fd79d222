//! Any keys, sizes, clicks and pastes on any screen: the state stays sound and everything can be drawn. Written
//! over the tables of screens and actions, so that a new one is in by itself. `FUZZ_KEYS` makes it longer.

use std::sync::Arc;

use crate::things;
use cansift::app::actions::{self, ACTIONS};
use cansift::app::effect::{Effect, Message, Mouse};
use cansift::app::entry::Id;
use cansift::app::key::{Code, Key};
use cansift::app::state::State;
use cansift::app::tabs::Tab;
use cansift::app::update::update;
use cansift::assess::monte_carlo::Simulated;
use cansift::hidden::is_hidden;
use cansift::library::demo_tanks;
use cansift::measures::Measure;
use cansift::ui::{plain, view};
use cansift::uncertainty::summary::Band;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use rayon::prelude::*;

/// Marsaglia's xorshift (2003), 64 bit.
struct Shift(u64);

impl Shift {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

/// A state with a tank and doubt.
fn state(size: (u16, u16)) -> State {
    let mut state = things::state(size);
    let tank = demo_tanks().remove(0).tank;
    update(&mut state, Message::Tank(tank));
    judged(&mut state);
    state
}

/// Everything of the present round is worked out.
fn judged(state: &mut State) {
    let round = state.round;
    let done: Vec<_> = (0..state.entries.len())
        .map(|i| {
            let e = &state.entries[i];
            (i, Arc::new(things::judgement(&e.filter, e.build, 400.0 + 30.0 * i as f64, 0.1, 60.0)))
        })
        .collect();
    update(state, Message::Judged { round, done });
    let mut doubts = Simulated::empty(64, Vec::new());
    doubts.set_band(Measure::FilteredFlow, Some(Band { low: 300.0, median: 400.0, high: 500.0 }));
    let done = (0..state.entries.len()).map(|i| (i, Arc::new(doubts.clone()))).collect();
    update(state, Message::Doubted { round, done, share: 1.0 });
}

/// What the world answers, as far as this test knows the questions.
fn answered(state: &mut State, effects: Vec<Effect>) {
    for effect in effects {
        match effect {
            Effect::Load => drop(update(state, Message::Loaded(things::loaded()))),
            Effect::Judge => judged(state),
            Effect::Rank(ask) => {
                let stood = things::stood(&ask);
                drop(update(state, Message::Ranked { number: ask.number, stood }));
            }
            Effect::Why(pair) => {
                let round = state.round;
                drop(update(state, Message::Whied { pair, round, because: Err("because".repeat(30)) }));
            }
            Effect::Explain { number, .. } => {
                let lines = (0..40).map(|i| format!("line {i} of many")).collect();
                drop(update(state, Message::Explained { number, lines }));
            }
            Effect::CopyPane => drop(plain::pane(state)),
            _ => {}
        }
    }
}

/// Every key of the table but those that leave, and what people type.
fn keys() -> Vec<Key> {
    let mut keys: Vec<Key> = ACTIONS.iter().flat_map(actions::Action::key_list).collect();
    keys.extend(crate::typed::list("<backspace><delete><tab><backtab><enter><esc><esc><esc><home><end>"));
    for c in "abcz AZ09.,-#é過\u{1b}\u{202e}\u{7f}".chars().chain('1'..='9') {
        keys.push(Key::plain(Code::Char(c)));
    }
    keys
}

fn sound(s: &State) {
    assert!(s.column <= s.columns.len() && s.top <= s.rows.len());
    assert!(s.cursor.is_none_or(|id| s.rows.contains(&id)) || s.rows.is_empty());
    assert!(s.marks.iter().all(|m| matches!(m, Id::Build(_))));
    assert!(Tab::ALL.contains(&s.screen));
}

fn drawn(state: &mut State, (w, h): (u16, u16)) {
    let mut buffer = Buffer::empty(Rect::new(0, 0, w, h));
    state.drawn = view::paint_all(state, &mut buffer);
    for cell in buffer.content() {
        assert!(!cell.symbol().chars().any(is_hidden), "{:?}", cell.symbol());
    }
}

/// One hand at the keys for so long; every key and size that led there is told where it goes wrong.
fn hand(seed: u64, presses: usize, resize_every: usize) {
    let (keys, mut chance) = (keys(), Shift(seed | 1));
    let mut size = (80, 24);
    let mut state = state(size);
    for press in 0..presses {
        let message = match chance.below(40) {
            0 => Message::Paste("orr\u{1b}[2J\nq\u{202e}".repeat(1 + chance.below(3))),
            1 | 2 => Message::Mouse {
                what: [Mouse::Press, Mouse::WheelUp, Mouse::WheelDown][chance.below(3)],
                x: chance.below(260) as u16,
                y: chance.below(90) as u16,
            },
            3 => Message::Changed,
            _ => Message::Key(keys[chance.below(keys.len())]),
        };
        let effects = update(&mut state, message);
        answered(&mut state, effects);
        if press % resize_every == 0 {
            size = (1 + chance.below(250) as u16, 1 + chance.below(80) as u16);
            update(&mut state, Message::Size(size.0, size.1));
            drawn(&mut state, size);
        }
        sound(&state);
    }
    drawn(&mut state, size);
}

#[test]
fn any_keys_and_sizes_leave_a_sound_state() {
    let presses = std::env::var("FUZZ_KEYS").ok().and_then(|n| n.parse().ok()).unwrap_or(200_000_usize);
    // A thousand resizes, each drawn.
    let hands = 100;
    (1..=hands as u64).into_par_iter().for_each(|seed| {
        hand(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15), presses / hands, presses / 1000);
    });
}

#[test]
fn every_screen_after_every_key_draws_at_every_size() {
    let sizes: Vec<(u16, u16)> = [1, 2, 3, 5, 9, 14, 20, 33, 47, 60, 79, 80, 100, 120, 133, 180, 250]
        .into_iter()
        .flat_map(|w| [1, 2, 3, 5, 9, 15, 24, 40, 61, 80].map(|h| (w, h)))
        .collect();
    let first = keys();
    let views: Vec<(usize, Key)> =
        (0..Tab::ALL.len()).flat_map(|screen| first.iter().map(move |key| (screen, *key))).collect();
    views.into_par_iter().enumerate().for_each(|(n, (screen, key))| {
        let mut state = state((120, 40));
        let press = |state: &mut State, key| {
            let effects = update(state, Message::Key(key));
            answered(state, effects);
        };
        // Two builds marked, so that what compares has something to show.
        for key in crate::typed::list(" <down> ") {
            press(&mut state, key);
        }
        let number = char::from_digit(screen as u32 + 1, 10).unwrap();
        press(&mut state, Key::plain(Code::Char(number)));
        press(&mut state, key);
        (state.look.ascii, state.look.mono) = (n % 3 == 0, n % 2 == 0);
        // Every third size, another third for the next view, and the ends always.
        for (i, size) in sizes.iter().enumerate() {
            if (i + n).is_multiple_of(3) || *size == (1, 1) || *size == (250, 80) {
                update(&mut state, Message::Size(size.0, size.1));
                drawn(&mut state, *size);
            }
        }
    });
}
