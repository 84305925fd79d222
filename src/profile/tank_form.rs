//! A tank read field by field, as a form holds it: the file's own reader decides, and each problem comes back
//! to the field it belongs to.

use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

use super::message::{Diagnostic, problems};
use super::tank::{self, TANK_FIELDS, TankField};
use super::{Problem, diagnostics, lexer};
use crate::library::Library;
use crate::model::tank::Tank;

/// A problem of one field of the form.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldProblem {
    /// Its place in [`TANK_FIELDS`].
    pub field: usize,
    /// What is wrong, at its place in the field's own text.
    pub problem: Problem,
}

/// Reads a tank from the texts of its fields, in the order of [`TANK_FIELDS`]; an empty one is left out. What is
/// read and what is refused is exactly what a file would hold.
pub fn read_tank_texts(texts: &[String], library: &Library) -> Result<Tank, Vec<FieldProblem>> {
    let mut found: Vec<FieldProblem> = Vec::new();
    let mut source = String::from("Tank(format: 1,\n");
    // Where each field's value and each group's head stand in the source.
    let mut values: Vec<(Range<usize>, usize)> = Vec::new();
    let mut heads: Vec<(Range<usize>, &str)> = Vec::new();
    let mut group = "";
    for (i, field) in TANK_FIELDS.iter().enumerate() {
        let typed = texts.get(i).map_or("", String::as_str);
        let given = !typed.trim().is_empty();
        if given && let Err(fault) = one_value(field, typed) {
            found.push(told(i, field, typed, fault));
            continue;
        }
        if field.group_name() != group {
            if !group.is_empty() && heads.last().is_some_and(|(_, g)| *g == group) {
                source.push_str("),\n");
            }
            group = field.group_name();
        }
        if !given {
            continue;
        }
        if let Some(opening) = field.opening().filter(|_| heads.last().is_none_or(|(_, g)| *g != group)) {
            let start = source.len();
            let _ = writeln!(source, "{opening}");
            heads.push((start..source.len(), group));
        }
        let _ = write!(source, "{}: ", field.row.name);
        let start = source.len();
        source.push_str(&field.in_file(typed));
        values.push((start..source.len(), i));
        source.push_str(",\n");
    }
    if !group.is_empty() && heads.last().is_some_and(|(_, g)| *g == group) {
        source.push_str("),\n");
    }
    source.push_str(")\n");

    let read = tank::read(&source, library);
    for fault in read.faults {
        let at = fault.place.start;
        if let Some((place, i)) = values.iter().find(|(place, _)| (place.start..=place.end).contains(&at)) {
            if let (Some(field), Some(typed)) = (TANK_FIELDS.get(*i), texts.get(*i)) {
                found.push(told(*i, field, typed, moved(fault, place.start, field, typed)));
            }
            continue;
        }
        // A structure or the tank itself lacks something: told at the first empty field of it that is named.
        let group = heads.iter().find(|(place, _)| place.contains(&at)).map_or("", |(_, group)| *group);
        let missing = |field: &TankField| {
            field.group_name() == group && fault.message.contains(&format!("`{}`", field.row.name))
        };
        let i = TANK_FIELDS.iter().position(missing).unwrap_or(0);
        // One that was refused already has its own problem.
        if found.iter().any(|other| other.field == i) {
            continue;
        }
        if let Some(field) = TANK_FIELDS.get(i) {
            let help = Some(format!("write for example `{}`", field.row.like));
            found.push(told(i, field, "", Diagnostic { place: 0..0, message: missing_words(field), help }));
        }
    }
    match read.thing {
        Some(tank) if found.is_empty() => Ok(tank),
        _ => {
            found.sort_by_key(|problem| problem.field);
            Err(found)
        }
    }
}

fn missing_words(field: &TankField) -> String {
    match field.group {
        None => format!("the {} is missing", field.label()),
        Some(_) => format!("the {} is missing: what stands beside it needs it", field.label()),
    }
}

/// Holds that a text is one value and nothing else, so that it cannot reach into the fields after it.
fn one_value(field: &TankField, typed: &str) -> Result<(), Diagnostic> {
    if let Some(at) = typed.find(['\n', '\r']) {
        let (message, help) =
            ("a field holds one line".to_owned(), Some("take the line break out".to_owned()));
        return Err(Diagnostic { place: at..at + 1, message, help });
    }
    if field.is_quoted() {
        return Ok(());
    }
    if let Some(open) = lexer::unclosed(typed) {
        let fault = diagnostics::unclosed(typed, &open);
        return Err(Diagnostic { help: Some("look for the missing bracket or quote".into()), ..fault });
    }
    let start = typed.len() - typed.trim_start().len();
    let end = lexer::value_end(typed, start);
    let over = end + typed.get(end..).map_or(0, |rest| rest.len() - rest.trim_start().len());
    if start == lexer::skip_trivia(typed, start) && end > start && over >= typed.len() {
        return Ok(());
    }
    let at = if end > start { over } else { start };
    Err(Diagnostic {
        place: at..typed.len().max(at),
        message: "one value stands in a field, and something is behind it".into(),
        help: Some(format!("write for example `{}`", field.row.like)),
    })
}

/// A fault of the composed source as one of the field's own text.
fn moved(fault: Diagnostic, start: usize, field: &TankField, typed: &str) -> Diagnostic {
    let lead = typed.len() - typed.trim_start().len();
    let shift =
        |at: usize| (at.saturating_sub(start + usize::from(field.is_quoted())) + lead).min(typed.len());
    Diagnostic { place: shift(fault.place.start)..shift(fault.place.end), ..fault }
}

fn told(i: usize, field: &TankField, typed: &str, fault: Diagnostic) -> FieldProblem {
    let mut told = problems(Path::new(&field.path()), typed, &[fault]);
    let problem = told
        .pop()
        .unwrap_or_else(|| super::message::whole_file(Path::new(&field.path()), "it cannot be read", None));
    FieldProblem { field: i, problem }
}
