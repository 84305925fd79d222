//! The door: files come in here, checked, with every problem told at its place.

use std::path::PathBuf;
use std::sync::Arc;

use crate::filter::filter::Filter;
use crate::filter::tank::Tank;

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
}

/// A tank file that was read and is whole.
#[derive(Clone, Debug)]
pub struct SoundTank {
    /// Where it lies.
    pub path: PathBuf,
    /// The tank.
    pub tank: Arc<Tank>,
}
