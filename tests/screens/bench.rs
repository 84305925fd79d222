//! The Restack screen on the built-in demo, judged by the program itself, with what it asks answered at once.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::app::effect::{Effect, Message};
use cansift::app::jobs::Hooks;
use cansift::app::overlay::Of;
use cansift::app::screens::restack::{background, list};
use cansift::app::state::State;
use cansift::app::state::work::Work;
use cansift::app::update::update;
use cansift::cli::args::Run;
use cansift::library::Library;
use cansift::ui::view;
use ratatui::Terminal;
use ratatui::backend::TestBackend;

/// State and background.
pub struct Bench {
    pub state: State,
    pub hooks: Hooks,
    /// Effects that were not answered.
    pub left: Vec<Effect>,
}

impl Bench {
    /// The demo with its first tank, or the profiles of a folder.
    pub fn new(size: (u16, u16), paths: Vec<PathBuf>) -> Self {
        let tank = cansift::library::demo_tanks().into_iter().next().unwrap().tank;
        let run =
            Run { tank: None, as_found: false, samples: Some(32), seed: None, log: None, threads: None };
        let demo = paths.is_empty();
        let hooks = cansift::cli::screens::hooks(paths, Library::shipped(), &run);
        let mut state = State::new("built-in demo", Some(tank));
        state.samples = Some(32);
        state.restack.demo = demo;
        update(&mut state, Message::Size(size.0, size.1));
        let mut bench = Self { state, hooks, left: Vec::new() };
        bench.load();
        bench
    }

    /// At the trays of the badly packed demo unit.
    pub fn at_tamsin(size: (u16, u16)) -> Self {
        let mut bench = Self::new(size, Vec::new());
        bench.press("/tamsin 1100 · as bought<enter>4");
        bench
    }

    /// The same with nothing put right.
    pub fn at_tamsin_as_found(size: (u16, u16)) -> Self {
        let mut bench = Self::new(size, Vec::new());
        bench.press("f/tamsin 1100 · as bought<enter>4");
        bench
    }

    /// Reads the files and judges them.
    pub fn load(&mut self) {
        let loaded = (self.hooks.load)();
        self.take(Message::Loaded(loaded));
    }

    pub fn press(&mut self, keys: &str) {
        for key in crate::typed::list(keys) {
            self.take(Message::Key(key));
        }
    }

    /// Takes a message in, and answers what that asks for.
    pub fn take(&mut self, message: Message) {
        let mut open = update(&mut self.state, message);
        while let Some(effect) = open.pop() {
            let mut answers = Vec::new();
            match effect {
                Effect::Restack(ask) => {
                    let never = AtomicBool::new(false);
                    background::answer(&ask, &self.hooks, &never, &mut |a| answers.push(Message::Restack(a)));
                }
                Effect::Load => answers.push(Message::Loaded((self.hooks.load)())),
                Effect::Judge => {
                    let tank = self.state.tank.clone();
                    let judged = self
                        .state
                        .entries
                        .iter()
                        .map(|e| (self.hooks.judge)(&e.filter, e.build, tank.as_deref()));
                    let done = judged.map(Arc::new).enumerate().collect();
                    answers.push(Message::Judged { round: self.state.round, done });
                }
                Effect::Explain { number, of: of @ Of::Worked, measure } => {
                    let (state, hooks) = (&self.state, &self.hooks);
                    let of = state.explained(of).unwrap();
                    let lines =
                        hooks.explained(&of.filter, of.build, measure, state.tank.as_deref(), state.units);
                    answers.push(Message::Explained { number, lines });
                }
                other => self.left.push(other),
            }
            for answer in answers {
                open.extend(update(&mut self.state, answer));
            }
        }
    }

    /// Doubt for every listed build.
    pub fn doubt(&mut self) {
        let never = AtomicBool::new(false);
        let doubt = self.hooks.doubt.clone().unwrap();
        let tank = self.state.tank.clone();
        let many =
            self.state.entries.iter().map(|e| doubt(&e.filter, e.build, tank.as_deref(), &never).unwrap());
        let done = many.map(Arc::new).enumerate().collect();
        let round = self.state.round;
        self.take(Message::Doubted { round, done, share: 1.0 });
    }

    pub fn work(&self) -> &Work {
        self.state.restack.work.as_deref().unwrap()
    }

    pub fn told(&self) -> String {
        self.state.status.clone().unwrap_or_default()
    }

    /// What is on the screen.
    pub fn draw(&mut self) -> String {
        let (w, h) = self.state.size;
        let mut terminal = Terminal::new(TestBackend::new(w, h)).unwrap();
        terminal.draw(|frame| self.state.drawn = view::draw(&self.state, frame)).unwrap();
        let buffer = terminal.backend().buffer();
        let row = |row: &[ratatui::buffer::Cell]| {
            row.iter().map(ratatui::buffer::Cell::symbol).collect::<String>().trim_end().to_owned()
        };
        buffer.content.chunks(usize::from(w.max(1))).map(row).collect::<Vec<_>>().join("\n")
    }
}

/// A folder with copies of some of the demo's profiles.
pub fn folder(names: &[&str]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in names {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(name);
        std::fs::copy(from, folder.path().join(name)).unwrap();
    }
    folder
}

/// Layers of a tray from the bottom up, as id and height in mm.
pub fn tray(bench: &Bench, tray: usize) -> Vec<(String, f64)> {
    let piece = &bench.work().piece;
    let lain = list::lain(piece, Some(tray));
    let layers = list::layers(piece, Some(tray));
    layers
        .iter()
        .zip(lain)
        .map(|(l, lain)| (l.medium.id.clone(), (lain.standing * 1e4).round() / 10.0))
        .collect()
}
