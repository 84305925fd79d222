//! From a text to everything that is shown of it.

use cansift::assess::Assessment;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::app::effect::Message;
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::assess::case::Case;
use cansift::assess::judge;
use cansift::assess::monte_carlo::simulate;
use cansift::hidden::is_hidden;
use cansift::library::{Library, demo_tanks};
use cansift::measures::{Measure, Outcome};
use cansift::model::filter::Filter;
use cansift::model::tank::Tank;
use cansift::profile::{Broken, Loaded, Sound, read_filter, read_list, read_tank};
use cansift::report::figures::Units;
use cansift::report::page::Look;
use cansift::report::svg::{self, Embedding, Picture};
use cansift::report::{Sheet, builds, grid, json, text};
use cansift::ui::view;
use cansift::uncertainty::sampling::Draws;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// How far a text came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Came {
    /// It was refused with its reasons.
    Refused,
    /// It was judged and drawn.
    Judged,
}

/// What a text is judged with.
pub struct Way {
    tank: Arc<Tank>,
    filter: String,
    draws: Draws,
}

impl Way {
    pub fn new() -> Self {
        Self {
            tank: demo_tanks().remove(0).tank,
            filter: std::fs::read_to_string("tests/good_input/tamsin-1100.ron").unwrap(),
            draws: Draws::new(8, 1),
        }
    }

    /// A text taken as a filter (0), a tank (1) or a list (2).
    pub fn go(&self, kind: usize, text: &str) -> Came {
        let path = Path::new("x.ron");
        let shipped = Library::shipped();
        let read = match kind {
            0 => read_filter(path, text, shipped).map(|sound| (sound, Arc::clone(&self.tank))),
            1 => read_tank(path, text, shipped).map(|t| (self.own(shipped), t.tank)),
            _ => read_list(path, text).map(|list| {
                let mut library = shipped.clone();
                library.extend(list);
                (self.own(&library), Arc::clone(&self.tank))
            }),
        };
        match read {
            Err(broken) => {
                told(text, &broken);
                shown(
                    Loaded { filters: Vec::new(), broken: vec![broken], ..Loaded::default() },
                    &self.tank,
                    text.len(),
                    |_| (),
                );
                Came::Refused
            }
            Ok((sound, tank)) => {
                self.judged(&sound, &tank, text.len());
                Came::Judged
            }
        }
    }

    /// A good filter, packed with media of that library.
    fn own(&self, library: &Library) -> Sound {
        read_filter(Path::new("own.ron"), &self.filter, library).map_err(|b| format!("{b:?}")).unwrap()
    }

    fn judged(&self, sound: &Sound, tank: &Arc<Tank>, turn: usize) {
        let filter = &sound.filter;
        // One build, one way of writing and one picture a case, in turn.
        let build = turn % filter.builds.len();
        let rows = vec![self.row(filter, build, tank, turn)];
        let sheet = Sheet { rows, ..Sheet::default() };
        let look = Look { ascii: turn.is_multiple_of(2), ..Look::default() };
        tame(&text::page(&builds::page(&sheet, &Measure::ALL, Units::Metric), look));
        match turn % 3 {
            0 => tame(&grid::table(&sheet, &Measure::ALL).csv()),
            1 => tame(&json::table(&sheet, &Measure::ALL).unwrap()),
            _ => {}
        }
        for row in &sheet.rows {
            if let Ok(picture) = svg::draw(Picture::ALL[turn % 4], row, Units::Metric, Embedding::Alone) {
                drawn_with_numbers(&picture);
                tame(&picture);
            }
        }
        let loaded = Loaded { filters: vec![sound.clone()], broken: Vec::new(), ..Loaded::default() };
        shown(loaded, tank, turn, |state| {
            let round = state.round;
            let done = sheet.rows.iter().map(|row| (build, Arc::new(row.clone()))).collect();
            update(state, Message::Judged { round, done });
        });
    }

    fn row(&self, filter: &Filter, build: usize, tank: &Tank, turn: usize) -> Assessment {
        let mut judgement = judge(filter, build, Some(tank));
        for measure in Measure::ALL {
            if let Outcome::Value(x) = judgement.outcome(measure) {
                assert!(x.is_finite(), "{}", measure.key());
            }
        }
        let leaks: f64 = judgement.leaks.iter().map(|leak| leak.share).sum();
        if let Outcome::Value(bypass) = judgement.outcome(Measure::Bypass) {
            assert!((0.0..=1.0).contains(&bypass) && (leaks - bypass).abs() < 1e-6, "{leaks} of {bypass}");
        }
        // The doubt is the dearest: every fourth case.
        if turn.is_multiple_of(4) {
            let case = Case::new(filter, &filter.builds[build], Some(tank));
            let drawn = simulate(&case, &self.draws, &AtomicBool::new(false)).unwrap();
            for measure in Measure::ALL {
                let band = drawn.band(measure);
                assert!(band.is_none_or(|b| b.low.is_finite() && b.low <= b.high), "{}", measure.key());
            }
        }
        judgement.file = "x.ron".to_owned();
        judgement
    }
}

/// What is told of a broken file stands in it and is fit to be shown.
fn told(text: &str, broken: &Broken) {
    assert!(!broken.problems.is_empty() && broken.problems.len() <= 100);
    for problem in &broken.problems {
        let line = text.split('\n').nth(problem.line - 1).unwrap_or("");
        assert!(problem.column <= line.chars().count() + 1, "{problem:?}");
        tame(&problem.rendered);
    }
}

fn tame(text: &str) {
    let wild = text.chars().find(|c| *c != '\n' && is_hidden(*c));
    assert_eq!(wild, None, "let out");
}

/// On the screens, at a size of its own; every third case.
fn shown(loaded: Loaded, tank: &Arc<Tank>, turn: usize, with: impl Fn(&mut State)) {
    if !turn.is_multiple_of(3) {
        return;
    }
    let mut state = State::new("x", Some(Arc::clone(tank)));
    let (w, h) = (1 + (turn * 7 % 130) as u16, 1 + (turn * 3 % 50) as u16);
    update(&mut state, Message::Size(w, h));
    update(&mut state, Message::Loaded(loaded));
    with(&mut state);
    let mut buffer = Buffer::empty(Rect::new(0, 0, w, h));
    view::paint_all(&state, &mut buffer);
    for cell in buffer.content() {
        assert!(!cell.symbol().chars().any(is_hidden), "on screen");
    }
}

/// No place or size in a picture is "not a number" or endless; a name may hold such letters.
fn drawn_with_numbers(picture: &str) {
    let drawing = roxmltree::Document::parse(picture).unwrap();
    let attributes = drawing.descendants().flat_map(|node| node.attributes());
    for attribute in
        attributes.filter(|a| !matches!(a.name(), "aria-label" | "aria-labelledby" | "class" | "id"))
    {
        let odd = |word: &str| matches!(word, "NaN" | "inf" | "-inf");
        assert!(!attribute.value().split([' ', ',', '(', ')']).any(odd), "{attribute:?} in {picture}");
    }
}
