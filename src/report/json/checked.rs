//! What `check` writes for programs, such as an editor that marks the places.

use schemars::JsonSchema;
use serde::Serialize;

use super::{PROGRAM, SCHEMA};
use crate::profile::{Checked, Problem};
use crate::report::BadSpot;

#[derive(Serialize, JsonSchema)]
pub(super) struct Check {
    #[schemars(range(min = 2, max = 2))]
    schema: u32,
    program: &'static str,
    files: Vec<File>,
}

#[derive(Serialize, JsonSchema)]
#[expect(clippy::struct_field_names, reason = "the names are those of the JSON")]
struct File {
    file: String,
    /// What it is, by its first word.
    is: &'static str,
    /// Builds, media or fittings in it; 0 where it is broken.
    parts: usize,
    problems: Vec<BadSpot>,
    /// What reads otherwise now; nothing is refused for it.
    hints: Vec<BadSpot>,
    /// What a filter lacks before it is shared.
    lacks: Vec<&'static str>,
}

/// The files that were checked, as JSON.
pub fn check(checked: &[Checked]) -> serde_json::Result<String> {
    let spots = |problems: &[Problem]| problems.iter().map(BadSpot::from).collect();
    let file = |file: &Checked| File {
        file: file.path.display().to_string(),
        is: file.what.words(),
        parts: file.parts,
        problems: spots(&file.problems),
        hints: spots(&file.hints),
        lacks: file.lacks.clone(),
    };
    let files = checked.iter().map(file).collect();
    Ok(serde_json::to_string_pretty(&Check { schema: SCHEMA, program: PROGRAM, files })? + "\n")
}
