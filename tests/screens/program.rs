//! The whole program in this process: its state, its own background and its drawing, without a terminal.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use cansift::app::effect::{Effect, Message};
use cansift::app::jobs::{Hooks, Jobs};
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::cli::args::Run;
use cansift::library::Library;

use crate::demo::draw;

/// Longest wait for what is expected: a search for better stacks, on a busy machine, without optimisation.
const LIMIT: Duration = Duration::from_secs(120);

/// So long nothing comes out of the background: then nothing is under way.
const QUIET: Duration = Duration::from_millis(150);

pub struct Program {
    pub state: State,
    hooks: Hooks,
    jobs: Jobs,
    /// Effects that are the terminal's.
    pub left: Vec<Effect>,
}

/// What the screens need, for some profiles and so many cases.
pub fn hooks(profiles: Vec<PathBuf>, samples: u32) -> Hooks {
    let run =
        Run { tank: None, as_found: false, samples: Some(samples), seed: None, log: None, threads: None };
    cansift::cli::screens::hooks(profiles, Library::shipped(), &run)
}

impl Program {
    /// Some profiles for the demo's first tank, at 80 by 24.
    pub fn new(profiles: Vec<PathBuf>, samples: u32) -> Self {
        let tank = cansift::library::demo_tanks().into_iter().next().unwrap().tank;
        let hooks = hooks(profiles, samples);
        let mut state = State::new("profiles", Some(tank));
        state.samples = Some(samples as usize);
        let mut program = Self { state, jobs: Jobs::new(hooks.clone(), 2), hooks, left: Vec::new() };
        program.take(Message::Size(80, 24));
        program.jobs.load();
        program
    }

    /// Another one at the same point, with nothing under way.
    pub fn again(&self) -> Self {
        let jobs = Jobs::new(self.hooks.clone(), 2);
        Self { state: self.state.clone(), hooks: self.hooks.clone(), jobs, left: Vec::new() }
    }

    /// Takes a message in, and hands on what it asks for.
    pub fn take(&mut self, message: Message) {
        for effect in update(&mut self.state, message) {
            match effect {
                Effect::Quit
                | Effect::Suspend
                | Effect::Edit { .. }
                | Effect::Redraw
                | Effect::CopyPane
                | Effect::CopyHere
                | Effect::CopyText(_)
                | Effect::Mouse(_) => self.left.push(effect),
                work => self.jobs.obey(&self.state, work),
            }
        }
    }

    pub fn press(&mut self, keys: &str) {
        for key in crate::typed::list(keys) {
            self.take(Message::Key(key));
            self.draw();
        }
    }

    /// What is on the screen, with what the background told by now.
    pub fn draw(&mut self) -> String {
        for message in self.jobs.drain() {
            self.take(message);
        }
        let text = draw(&mut self.state);
        self.take(Message::Drawn(self.state.drawn));
        text
    }

    /// Waits so long until the screen is as wanted; whether it came to that.
    pub fn comes(&mut self, longest: Duration, wanted: impl Fn(&str) -> bool) -> bool {
        let end = Instant::now() + longest;
        while !wanted(&self.draw()) {
            if Instant::now() > end {
                return false;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        true
    }

    pub fn until(&mut self, what: &str) {
        assert!(self.comes(LIMIT, |text| text.contains(what)), "no {what:?} in\n{}", self.draw());
    }

    /// Waits until nothing is under way.
    pub fn still(&mut self) -> String {
        let (mut text, mut since) = (self.draw(), Instant::now());
        let end = since + LIMIT;
        while since.elapsed() < QUIET {
            assert!(Instant::now() < end, "never still:\n{text}");
            std::thread::sleep(Duration::from_millis(10));
            let now = self.draw();
            if now != text {
                (text, since) = (now, Instant::now());
            }
        }
        text
    }
}
