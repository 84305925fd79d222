//! The door: files come in here, checked, with every problem told at its place.

mod check;
mod check_build;
mod check_filter;
mod check_hoses;
mod check_medium;
mod check_room;
mod explain;
mod message;
pub mod own_keys;
mod quantity;
mod reader;
mod rules;
mod scan;
mod schema;
mod spanned;
pub mod state_file;
pub mod store;
mod tank;
mod tank_form;
pub mod watch;
pub mod write;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::hidden::visible;
use crate::library::Library;
use crate::model::filter::Filter;
use crate::model::medium::Medium;
use crate::model::tank::Tank;
use crate::uncertainty::key::Source;
use message::Fault;
use spanned::{List, Reader};

pub use tank::{DEFAULT_PRIORITIES, Entry, TANK_FIELDS, TankField, tank_texts, write_tank, write_tank_texts};
pub use tank_form::{FieldProblem, read_tank_texts};

/// Most problems told of one file.
pub const MAX_PROBLEMS: usize = 100;

/// One problem of a file, at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: Option<String>,
    /// The whole, with the source line and a mark under the spot, plain text.
    pub rendered: String,
}

/// A file that was read and is whole.
#[derive(Clone, Debug)]
pub struct Sound {
    /// Where it lies; none for what is built in.
    pub path: PathBuf,
    /// Its filter.
    pub filter: Arc<Filter>,
}

/// A file that cannot be used, with its problems.
#[derive(Clone, Debug, PartialEq)]
pub struct Broken {
    /// Where it lies.
    pub path: PathBuf,
    /// What is wrong with it, in the order of the text.
    pub problems: Vec<Problem>,
}

/// All that was found under the paths asked for, in name order.
#[derive(Clone, Debug, Default)]
pub struct Loaded {
    /// Good files.
    pub filters: Vec<Sound>,
    /// Broken ones.
    pub broken: Vec<Broken>,
    /// Media of the lists among the files, each id once: where two lists have it, the later one's.
    pub media: Vec<Arc<Medium>>,
}

/// A tank file that was read and is whole.
#[derive(Clone, Debug)]
pub struct SoundTank {
    /// Where it lies.
    pub path: PathBuf,
    /// The tank.
    pub tank: Arc<Tank>,
    /// What reads otherwise now; nothing is refused for it.
    pub hints: Vec<Problem>,
}

/// A file that was checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// Where it lies.
    pub path: PathBuf,
    /// What it holds.
    pub what: What,
    /// How many builds, media or fittings; 0 where it is broken.
    pub parts: usize,
    /// What is wrong with it; empty when nothing is.
    pub problems: Vec<Problem>,
}

/// What a file holds, by its first word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A filter and its builds.
    Filter,
    /// A tank.
    Tank,
    /// A list of media.
    Media,
    /// A list of fittings.
    Fittings,
    /// None of these.
    Unknown,
}

impl What {
    /// What it is called, with its article.
    pub fn words(self) -> &'static str {
        match self {
            Self::Filter => "a filter",
            Self::Tank => "a tank",
            Self::Media => "a list of media",
            Self::Fittings => "a list of fittings",
            Self::Unknown => "nothing this program knows",
        }
    }

    /// What the text of a file holds.
    pub fn of(text: &str) -> Self {
        let text = without_mark(text);
        let mut at = scan::skip_trivia(text, 0);
        // A header such as `#![enable(implicit_some)]` is not needed, but allowed.
        while text.get(at..).is_some_and(|rest| rest.starts_with("#!")) {
            let end = text.get(at..).and_then(|rest| rest.find(']')).map_or(text.len(), |i| at + i + 1);
            at = scan::skip_trivia(text, end);
        }
        match scan::word(text, at) {
            "Filter" => return Self::Filter,
            "Tank" => return Self::Tank,
            "" if text.as_bytes().get(at) == Some(&b'[') => {}
            _ => return Self::Unknown,
        }
        match scan::word(text, scan::skip_trivia(text, at + 1)) {
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

fn read_filter_as(path: &Path, id: &str, text: &str, library: &Library) -> Result<Sound, Broken> {
    let text = without_mark(text);
    let (filter, faults) = Reader::run(text, |reader| check_filter::filter(reader, library, id));
    finish(path, text, filter, faults).map(|filter| Sound { path: path.to_owned(), filter: Arc::new(filter) })
}

/// Reads a tank from its text.
pub fn read_tank(path: &Path, text: &str, library: &Library) -> Result<SoundTank, Broken> {
    let text = without_mark(text);
    let read = tank::read(text, library);
    let hints = message::problems(path, text, &read.hints);
    let tank = finish(path, text, read.thing, read.faults)?;
    Ok(SoundTank { path: path.to_owned(), tank: Arc::new(tank), hints })
}

/// Reads a list of media or fittings from its text.
pub fn read_list(path: &Path, text: &str) -> Result<Library, Broken> {
    let text = without_mark(text);
    let nothing = Library::default();
    let (library, faults) = Reader::run(text, |reader| {
        let mut library = Library::default();
        if What::of(text) == What::Fittings {
            let whole = reader.whole::<List<schema::Fitting>>();
            let list = reader.list(&whole, "a list of fittings", check_medium::MAX_ENTRIES)?;
            for fitting in check::Check::new(reader, &nothing, Source::Library).fittings(&list) {
                library.add_fitting(fitting);
            }
        } else {
            let whole = reader.whole::<List<schema::Medium>>();
            let list = reader.list(&whole, "a list of media", check_medium::MAX_ENTRIES)?;
            for medium in check::Check::new(reader, &nothing, Source::Library).media(&list) {
                library.add_medium(medium);
            }
        }
        reader.is_sound().then_some(library)
    });
    finish(path, text, library, faults)
}

/// The value if nothing was wrong with it; else every problem, rendered.
fn finish<T>(path: &Path, text: &str, value: Option<T>, mut faults: Vec<Fault>) -> Result<T, Broken> {
    if faults.is_empty() {
        if let Some(value) = value {
            return Ok(value);
        }
        faults.push(Fault { place: 0..0, message: "this file cannot be used".into(), help: None });
    }
    Err(Broken { path: path.to_owned(), problems: message::problems(path, text, &faults) })
}

/// Text without a byte-order mark in front.
fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// The id of a file: its name without its ending, fit for a screen.
fn id_of(path: &Path) -> String {
    visible(&path.file_stem().unwrap_or_default().to_string_lossy())
}
