//! The door: files come in here, checked, with every problem told at its place.

pub mod diagnostics;
pub mod form;
pub mod import;
pub mod lexer;
pub mod message;
pub mod plain;
pub mod quantity;
pub mod reader;
mod rules;
pub mod starter;
pub mod state_file;
pub mod store;
pub mod today;
pub mod watch;
pub mod write;

pub use message::{MAX_PROBLEMS, Problem};
pub use reader::Reader;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use message::Diagnostic;

use crate::hidden::visible;
use crate::measures::Measure;
use crate::message::worded;
use crate::model::assumed::Assumed;
use crate::model::fields::{Field, Row, Value, row};
use crate::model::filter::{OWN_MEDIA, Text};
use crate::model::hoses::NamedFitting;
use crate::model::pump::{Curve, CurvePoint};
use crate::model::{Filter, Library, Medium, Tank, ranges};
use crate::uncertainty::{Key, Provenance, Source};

/// A file that was read and is whole.
#[derive(Clone, Debug)]
pub struct Sound {
    /// Where it lies; none for what is built in.
    pub path: PathBuf,
    pub filter: Arc<Filter>,
    /// What reads otherwise now; nothing is refused for it.
    pub hints: Vec<Problem>,
}

/// A file that cannot be used, with its problems.
#[derive(Clone, Debug, PartialEq)]
pub struct Broken {
    pub path: PathBuf,
    /// What is wrong with it, in the order of the text.
    pub problems: Vec<Problem>,
}

/// All that was found under the paths asked for, in name order.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    pub filters: Vec<Sound>,
    pub broken: Vec<Broken>,
    /// Media of the lists among the files, each id once: where two lists have it, the later one's.
    pub media: Vec<Arc<Medium>>,
}

#[derive(Clone, Debug)]
pub struct SoundTank {
    pub path: PathBuf,
    pub tank: Arc<Tank>,
    /// What reads otherwise now; nothing is refused for it.
    pub hints: Vec<Problem>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    pub path: PathBuf,
    pub what: What,
    /// How many builds, media or fittings; 0 where it is broken.
    pub parts: usize,
    /// What is wrong with it; empty when nothing is.
    pub problems: Vec<Problem>,
    /// What reads otherwise now; nothing is refused for it.
    pub hints: Vec<Problem>,
    pub lacks: Vec<&'static str>,
}

impl Checked {
    fn broken(path: PathBuf, what: What, problems: Vec<Problem>) -> Self {
        Self { path, what, parts: 0, problems, hints: Vec::new(), lacks: Vec::new() }
    }
}

/// What a filter lacks that strangers need, to judge its figures and to pass them on.
fn lacks(filter: &Filter) -> Vec<&'static str> {
    let measured = filter.measured.as_ref();
    let empty = |text: Option<&Option<String>>| text.is_none_or(Option::is_none);
    [
        (empty(measured.map(|m| &m.by)), "who measured: `measured: (by: \"…\")`"),
        (empty(measured.map(|m| &m.on)), "when: `measured: (on: \"2026-02-21\")`"),
        (empty(measured.map(|m| &m.with)), "with what: `measured: (with: \"ruler, bucket\")`"),
        (filter.licence.is_none(), "under which licence: `licence: \"CC0-1.0\"`"),
    ]
    .into_iter()
    .filter_map(|(lacking, what)| lacking.then_some(what))
    .collect()
}

worded! {
    /// What a file holds, by its first word.
    What /// What it is called, with its article.
    words: &'static str {
        Filter "a filter";
        Tank "a tank";
        Media "a list of media";
        Fittings "a list of fittings";
        Unknown "nothing this program knows";
    }
}

impl What {
    pub fn of(text: &str) -> Self {
        let text = without_mark(text);
        let mut at = lexer::skip_trivia(text, 0);
        // A header such as `#![enable(implicit_some)]` is not needed, but allowed.
        while text.get(at..).is_some_and(|rest| rest.starts_with("#!")) {
            let end = text.get(at..).and_then(|rest| rest.find(']')).map_or(text.len(), |i| at + i + 1);
            at = lexer::skip_trivia(text, end);
        }
        match lexer::word(text, at) {
            "Filter" => return Self::Filter,
            "Tank" => return Self::Tank,
            "" if text.as_bytes().get(at) == Some(&b'[') => {}
            _ => return Self::Unknown,
        }
        match lexer::word(text, lexer::skip_trivia(text, at + 1)) {
            "Medium" => Self::Media,
            "Fitting" => Self::Fittings,
            _ => Self::Unknown,
        }
    }
}

/// Reads a filter from its text. Its id, the first part of its keys, is the file name without its ending.
pub fn read_filter(path: &Path, text: &str, library: &Library) -> Result<Sound, Broken> {
    read_filter_as(path, &id_of(path), text, library)
}

pub fn read_filter_as(path: &Path, id: &str, text: &str, library: &Library) -> Result<Sound, Broken> {
    static FILTER: Row = row("a filter");
    let text = without_mark(text);
    let read = reader::read::<Filter>(text, library, Source::Filter(id.into()), &FILTER);
    let hints = message::hints(path, text, &read.hints);
    let mut filter = finish(path, text, read.thing, read.faults)?;
    id.clone_into(&mut filter.id);
    Assumed::new(id).complete(&mut filter, &read.left);
    // What is printed of a curve's points is one curve: it is right or wrong as a whole.
    if let Some(Curve::Points { points }) = &mut filter.pump.curve {
        let source = || Source::Filter(id.into());
        for CurvePoint { flow, head } in points {
            if flow.known == Provenance::Stated {
                flow.key = Key::new(source(), "pump/flow", &ranges::PUMP_FLOW);
            }
            if head.known == Provenance::Stated {
                head.key = Key::new(source(), "pump/head", &ranges::PUMP_HEAD);
            }
        }
    }
    for build in &mut filter.builds {
        build.trays.resize_with(filter.trays.len(), Vec::new);
    }
    filter.text = Text(text.into());
    Ok(Sound { path: path.to_owned(), filter: Arc::new(filter), hints })
}

/// A filter as a file: its own with its comments, as long as that says the same; else written out.
pub fn filter_text(filter: &Filter) -> String {
    let says = |text: &str| {
        let read = read_filter_as(Path::new(""), &filter.id, text, Library::shipped());
        read.is_ok_and(|sound| *sound.filter == *filter.as_found())
    };
    own_text(&filter.text, "Filter", says).unwrap_or_else(|| write::write(filter, &filter.builds, ""))
}

/// The same of a tank.
pub fn tank_text(tank: &Tank) -> String {
    let says = |text: &str| {
        read_tank(Path::new(""), text, Library::shipped()).is_ok_and(|sound| *sound.tank == *tank)
    };
    own_text(&tank.text, "Tank", says).unwrap_or_else(|| write_tank(tank))
}

fn own_text(Text(text): &Text, begins: &str, says: impl Fn(&str) -> bool) -> Option<String> {
    let whole = lexer::word(text, lexer::skip_trivia(text, 0)) == begins;
    (whole && says(text)).then(|| text.to_string())
}

pub fn read_tank(path: &Path, text: &str, library: &Library) -> Result<SoundTank, Broken> {
    static TANK: Row = row("a tank").file("tank");
    let text = without_mark(text);
    let read = reader::read::<Tank>(text, library, Source::Tank, &TANK);
    let hints = message::hints(path, text, &read.hints);
    let mut tank = finish(path, text, read.thing, read.faults)?;
    // Food that was weighed wins over how the tank is stocked.
    if tank.food.daily.is_some() {
        tank.stock = None;
    }
    tank.text = Text(text.into());
    Ok(SoundTank { path: path.to_owned(), tank: Arc::new(tank), hints })
}

/// Reads a list of media or fittings from its text.
pub fn read_list(path: &Path, text: &str) -> Result<Library, Broken> {
    static MEDIA: Row = OWN_MEDIA.list("a list of media");
    static FITTINGS: Row = row("a list of fittings").key("fittings").most(1000);
    let text = without_mark(text);
    let (nothing, mut library) = (Library::default(), Library::default());
    if What::of(text) == What::Fittings {
        let read = reader::read::<Vec<NamedFitting>>(text, &nothing, Source::Library, &FITTINGS);
        for fitting in finish(path, text, read.thing, read.faults)? {
            library.add_fitting(fitting);
        }
    } else {
        let read = reader::read::<Vec<Medium>>(text, &nothing, Source::Library, &MEDIA);
        for medium in finish(path, text, read.thing, read.faults)? {
            library.add_medium(medium);
        }
    }
    Ok(library)
}

/// The value if nothing was wrong with it; else every problem, rendered.
fn finish<T>(path: &Path, text: &str, value: Option<T>, mut faults: Vec<Diagnostic>) -> Result<T, Broken> {
    if faults.is_empty() {
        if let Some(value) = value {
            return Ok(value);
        }
        faults.push(Diagnostic { place: 0..0, message: "this file cannot be used".into(), help: None });
    }
    Err(Broken { path: path.to_owned(), problems: message::problems(path, text, &faults) })
}

/// Text without a byte-order mark in front.
pub fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// A file name without its ending for a name: letters and digits of any script, the rest as dashes.
pub fn file_stem(name: &str, or: &str) -> String {
    let mut out = String::new();
    for c in name.trim().to_lowercase().chars().take(60) {
        if c.is_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { or.to_owned() } else { out.to_owned() }
}

/// The id of a file: its name without its ending, fit for a screen.
pub fn id_of(path: &Path) -> String {
    visible(&path.file_stem().unwrap_or_default().to_string_lossy())
}

/// What counts in the ranking where the tank does not say.
pub const DEFAULT_PRIORITIES: [(Measure, f64); 7] = [
    (Measure::Clearing, 1.0),
    (Measure::BypassChance, 1.0),
    (Measure::OpeningInterval, 1.0),
    (Measure::AmmoniaCapacity, 1.0),
    (Measure::RuleOfThumbTank, 1.0),
    (Measure::FirstYearCost, 1.0),
    (Measure::OrderFaults, 1.0),
];

/// The tank as a file. Reading it gives an equal tank.
pub fn write_tank(tank: &Tank) -> String {
    static TANK: Row = row("a tank");
    match tank.value(&TANK) {
        Some(Value::Form(table, given)) => write::whole(table, &given),
        _ => String::new(),
    }
}
