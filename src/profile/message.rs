//! From a fault in the text to a problem a person can read: line, column, the line itself, a mark.

use std::io;
use std::ops::Range;
use std::path::Path;

use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};

use crate::hidden::visible;

pub const MAX_PROBLEMS: usize = 100;

#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    pub message: String,
    pub help: Option<String>,
    /// The whole, with the source line and a mark under the spot, plain text.
    pub rendered: String,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// Where, in bytes.
    pub place: Range<usize>,
    pub message: String,
    pub help: Option<String>,
}

impl Diagnostic {
    pub fn new(place: Range<usize>, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { place, message: message.into(), help: Some(help.into()) }
    }
}

/// Characters of a line shown on either side of the mark's start.
const SHOWN_BEFORE: usize = 100;
/// Characters of a line shown from the mark's start on.
const SHOWN_AFTER: usize = 200;
/// Characters of a message or of its help.
const MAX_MESSAGE: usize = 600;

/// The problems of a file, rendered. `source` is the text that the faults' places refer to.
pub fn problems(path: &Path, source: &str, faults: &[Diagnostic]) -> Vec<Problem> {
    rendered(path, source, faults, &Level::ERROR)
}

/// What of a file reads otherwise now, rendered.
pub fn hints(path: &Path, source: &str, hints: &[Diagnostic]) -> Vec<Problem> {
    rendered(path, source, hints, &Level::WARNING)
}

fn rendered(path: &Path, source: &str, faults: &[Diagnostic], level: &Level<'_>) -> Vec<Problem> {
    let starts: Vec<usize> =
        std::iter::once(0).chain(source.match_indices('\n').map(|(i, _)| i + 1)).collect();
    let name = short_name(path);
    let mut told: Vec<_> =
        faults.iter().take(MAX_PROBLEMS).map(|fault| problem(&name, source, &starts, fault, level)).collect();
    if faults.len() > MAX_PROBLEMS
        && let Some(last) = faults.get(MAX_PROBLEMS - 1)
    {
        let rest = Diagnostic {
            place: last.place.clone(),
            message: "there are more problems from here on".into(),
            help: Some(format!("only the first {} are listed: put these right first", MAX_PROBLEMS - 1)),
        };
        told.truncate(MAX_PROBLEMS - 1);
        told.push(problem(&name, source, &starts, &rest, level));
    }
    told
}

/// A problem of a file as a whole, such as one that cannot be opened.
pub fn whole_file(path: &Path, message: &str, help: Option<&str>) -> Problem {
    let name = short_name(path);
    let message = visible(message);
    let mut group = Level::ERROR.primary_title(message.as_str()).element(Origin::path(name.as_str()));
    if let Some(help) = help {
        group = group.element(Level::HELP.message(help));
    }
    let rendered = Renderer::plain().render(&[group]);
    Problem { line: 1, column: 1, message, help: help.map(str::to_owned), rendered }
}

/// Folder and file name: enough to know a file by, short enough for a line.
fn short_name(path: &Path) -> String {
    let parts: Vec<_> = path.components().collect();
    let tail: std::path::PathBuf = parts.iter().skip(parts.len().saturating_sub(2)).collect();
    visible(&tail.to_string_lossy()).replace('\\', "/")
}

fn problem(name: &str, source: &str, starts: &[usize], fault: &Diagnostic, level: &Level<'_>) -> Problem {
    let at = floor_char(source, fault.place.start);
    let line = starts.partition_point(|start| *start <= at).max(1);
    let start = starts.get(line - 1).copied().unwrap_or(0);
    let text = source.get(start..).unwrap_or("");
    let text = text.split('\n').next().unwrap_or("").trim_end_matches('\r');
    let column = text.get(..at - start).map_or(1, |before| before.chars().count() + 1);

    let (shown, mark) = window(text, at - start, fault.place.end.saturating_sub(start));
    let message = shortened(&visible(&fault.message));
    let help = fault.help.as_deref().map(|help| shortened(&visible(help)));
    let mut group = level
        .clone()
        .primary_title(message.as_str())
        .element(Origin::path(name).line(line).char_column(column))
        .element(
            Snippet::source(shown.as_str()).line_start(line).annotation(AnnotationKind::Primary.span(mark)),
        );
    if let Some(help) = &help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    let rendered = Renderer::plain().render(&[group]);
    // The renderer sets `:::` between a place and its snippet when the two are given apart, as they must be
    // here: columns are those of the file, marks those of the line as shown.
    let lines = rendered.lines().map(str::trim_end).filter(|line| line.trim() != ":::");
    let rendered = lines.collect::<Vec<_>>().join("\n");
    Problem { line, column, message, help, rendered }
}

/// A message that repeats a very long word of the file is cut.
fn shortened(text: &str) -> String {
    match text.char_indices().nth(MAX_MESSAGE) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or("")),
        None => text.to_owned(),
    }
}

/// The part of a line round a mark from `from` to `to` (bytes), made visible, and the mark within it.
fn window(line: &str, from: usize, to: usize) -> (String, Range<usize>) {
    let from = floor_char(line, from);
    let to = floor_char(line, to.min(line.len())).max(from);
    let before = line.get(..from).unwrap_or("");
    let left = before.char_indices().rev().nth(SHOWN_BEFORE - 1).map_or(0, |(i, _)| i);
    let right = line
        .get(from..)
        .and_then(|rest| rest.char_indices().nth(SHOWN_AFTER))
        .map_or(line.len(), |(i, _)| from + i);
    // Tabs stay: the renderer draws them as spaces.
    let piece = |from: usize, to: usize| {
        let tabs = line.get(from..to).unwrap_or("").split('\t');
        tabs.map(visible).collect::<Vec<_>>().join("\t")
    };

    let mut shown = if left > 0 { "…".to_owned() } else { String::new() };
    shown.push_str(&piece(left, from));
    let start = shown.len();
    shown.push_str(&piece(from, to.min(right)));
    let mut end = shown.len();
    shown.push_str(&piece(to.min(right), right));
    if right < line.len() {
        shown.push('…');
    }
    if end == start {
        // An empty mark is drawn under the next character, or behind the end of the line.
        end = shown.get(start..).and_then(|rest| rest.chars().next()).map_or(start, |c| start + c.len_utf8());
    }
    (shown, start..end)
}

/// The last place at or before `at` that lies between two characters.
pub fn floor_char(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The system's words for an error, without its number.
pub fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "access is denied".into(),
        _ => {
            let text = error.to_string();
            text.split(" (os error").next().unwrap_or(&text).to_lowercase()
        }
    }
}
