//! Results on their way out: pages for people, CSV and JSON for programs. Every string of a file passes
//! `escape` here.

// Texts of a few kilobytes: a plain push reads better than a `write!` whose result means nothing.
#![allow(clippy::format_push_string, clippy::format_collect)]

pub mod answer;
pub mod bbcode;
pub mod builds;
pub mod cells;
pub mod differences;
pub mod escape;
pub mod explained;
pub mod fields;
pub mod figures;
pub mod grid;
pub mod html;
pub mod json;
pub mod log;
pub mod markdown;
pub mod next;
pub mod overview;
pub mod page;
pub mod ranking;
pub mod reasons;
pub mod restack;
pub mod sheet;
pub mod sources;
pub mod spans;
pub mod suits;
pub mod svg;
pub mod tank;
pub mod text;
pub mod wear;
pub mod wording;

pub use page::{Block, Cell, Column, Look, Page, Run, Table};
pub use ranking::Ranked;
pub use reasons::Reasoned;
pub use spans::Scale;
pub use svg::Picture;
pub use svg::canvas::{Canvas, TextAnchor};

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::Assessment;
use crate::measures::Measure;
use crate::order::InOrder;
use crate::profile::Problem;

/// What a set of builds came to, ready to be written in any format.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    pub rows: Vec<Assessment>,
    pub broken: Vec<BadFile>,
    pub tank: Option<String>,
    pub currency: String,
    pub seed: u64,
}

/// A file that could not be used.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BadFile {
    pub file: String,
    pub problems: Vec<BadSpot>,
}

/// One problem, its place counted from 1.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BadSpot {
    #[schemars(range(min = 1))]
    pub line: usize,
    #[schemars(range(min = 1))]
    pub column: usize,
    pub message: String,
    /// What to do.
    pub help: Option<String>,
}

impl From<&Problem> for BadSpot {
    fn from(problem: &Problem) -> Self {
        let Problem { line, column, message, help, .. } = problem;
        Self { line: *line, column: *column, message: message.clone(), help: help.clone() }
    }
}

impl Sheet {
    /// Draws behind the doubt; 0 while none was worked out.
    pub fn samples(&self) -> usize {
        self.rows.iter().filter_map(|r| r.simulated.as_ref()).map(|s| s.count).max().unwrap_or(0)
    }
    /// Sorts by a measure, small to large or the other way. What cannot be told stands last either way;
    /// equal ones keep their order.
    pub fn sort(&mut self, by: Measure, down: bool) {
        self.rows.order_by(|a, b| match (a.outcome(by).number(), b.outcome(by).number()) {
            (Some(x), Some(y)) if down => y.total_cmp(&x),
            (Some(x), Some(y)) => x.total_cmp(&y),
            (None, Some(_)) => std::cmp::Ordering::Greater,
            (Some(_), None) => std::cmp::Ordering::Less,
            (None, None) => std::cmp::Ordering::Equal,
        });
    }
}

/// Rounded to six significant digits, so that the same run gives the same bytes on every machine; none
/// unless it is finite.
pub fn six_digits(x: f64) -> Option<f64> {
    let rounded: f64 = format!("{x:.5e}").parse().ok()?;
    // Adding zero turns -0 into 0.
    rounded.is_finite().then_some(rounded + 0.0)
}
