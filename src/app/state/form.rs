//! A file being filled in: its text, what the reader says of it, and the way back.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use crate::app::List;
use crate::model::Filter;
use crate::model::fields::{Field, Given, Row, Table, Value, row};
use crate::model::log::Kept;
use crate::profile::Problem;
use crate::profile::form::{self, At, Line, Trail};

/// Changes that can be taken back.
const MOST_STEPS: usize = 500;

/// The form at one time: what a step back goes back to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Held {
    pub text: String,
    pub kept: String,
    pub file: Option<String>,
}

#[derive(Clone, Debug)]
pub struct Form {
    table: &'static Table,
    pub text: String,
    /// As last loaded or saved.
    pub kept: String,
    pub list: List,
    /// Items that are unfolded.
    pub open: Vec<Trail>,
    /// The build whose log alone is shown.
    pub only: Option<Trail>,
    /// Where it lies; none where that is no matter of the form.
    pub file: Option<String>,
    past: Vec<Held>,
    future: Vec<Held>,
    /// What the reader made of the text when it was last sound.
    pub sound: Given,
    pub problems: Vec<Problem>,
}

impl Form {
    pub fn new(table: &'static Table, text: String, sound: Given) -> Self {
        let kept = text.clone();
        let (past, future, file) = (Vec::new(), Vec::new(), None);
        Self {
            table,
            text,
            kept,
            list: List::default(),
            open: Vec::new(),
            only: None,
            file,
            past,
            future,
            sound,
            problems: Vec::new(),
        }
    }
    pub fn lines(&self) -> Vec<Line> {
        let mut lines = form::lines(&self.text, self.table, &self.sound, &self.open);
        if let Some(build) = &self.only {
            lines.retain(|line| {
                let of_log = |at: &At| matches!(at, At::Field(row) if Kept::ROWS.iter().any(|kept| kept.name == row.name));
                line.trail.starts_with(build) && line.trail.get(build.len()).is_some_and(of_log)
            });
        }
        lines
    }
    pub fn here(&self) -> Option<Line> {
        self.lines().into_iter().nth(self.list.cursor)
    }
    pub fn changed(&self) -> bool {
        self.text != self.kept
    }
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
    pub fn with(&self, line: &Line, ron: &str) -> String {
        form::set(self.begun(), self.table, &self.sound, &line.trail, ron)
    }
    pub fn with_item(&self, list: &Line, ron: &str) -> String {
        form::add(self.begun(), self.table, &self.sound, &list.trail, ron)
    }
    /// The text, or what the first field is put into where there is none.
    fn begun(&self) -> &str {
        if self.text.trim().is_empty() { crate::app::tank_form::BLANK } else { &self.text }
    }
    fn held(&self) -> Held {
        Held { text: self.text.clone(), kept: self.kept.clone(), file: self.file.clone() }
    }
    fn put(&mut self, held: Held) {
        (self.text, self.kept, self.file) = (held.text, held.kept, held.file);
    }
    pub fn take(&mut self, text: String) {
        let now = self.held();
        self.step_to(Held { text, ..now });
    }
    /// Another text, perhaps of another file, as a change that can be taken back.
    pub fn step_to(&mut self, next: Held) {
        self.past.push(self.held());
        if self.past.len() > MOST_STEPS {
            self.past.remove(0);
        }
        self.future.clear();
        self.put(next);
    }
    /// One step back or on among the changes; whether there was one. The cursor goes where something changes.
    pub fn travel(&mut self, back: bool) -> bool {
        let now = self.held();
        let (from, to) =
            if back { (&mut self.past, &mut self.future) } else { (&mut self.future, &mut self.past) };
        let Some(next) = from.pop() else { return false };
        to.push(now);
        let was: Vec<String> = self.said();
        self.put(next);
        if let Some(at) = self.said().iter().zip(&was).position(|(now, was)| now != was) {
            self.list.cursor = at;
        }
        true
    }
    fn said(&self) -> Vec<String> {
        self.lines()
            .iter()
            .map(|line| format!("{} {}", line.label, line.given(&self.text).unwrap_or_default()))
            .collect()
    }
    /// A text was saved in that file: wherever undo leads back to it, it is saved there, too.
    pub fn saved(&mut self, text: &str, file: &str) {
        for held in self.past.iter_mut().chain(&mut self.future).filter(|held| held.text == text) {
            text.clone_into(&mut held.kept);
            held.file = Some(file.to_owned());
        }
        text.clone_into(&mut self.kept);
        self.file = Some(file.to_owned());
    }
    /// The first problem that lies in a line, by its place in the text.
    pub fn problem(&self, line: &Line) -> Option<&Problem> {
        let at = line.at.as_ref()?;
        self.problems.iter().find(|problem| at.contains(&self.offset(problem)))
    }
    /// Where a problem begins, in bytes.
    fn offset(&self, problem: &Problem) -> usize {
        let start: usize =
            self.text.split_inclusive('\n').take(problem.line.saturating_sub(1)).map(str::len).sum();
        let line = self.text.get(start..).unwrap_or_default();
        start + line.char_indices().nth(problem.column.saturating_sub(1)).map_or(0, |(i, _)| i)
    }
}

/// The fields of a thing, as the reader made them.
pub fn given(thing: &impl Field) -> Given {
    static ANY: Row = row("");
    match thing.value(&ANY) {
        Some(Value::Form(_, given)) => given,
        _ => Vec::new(),
    }
}

#[derive(Clone, Debug)]
pub struct FilterForm {
    pub form: Form,
    /// The first part of its keys.
    pub id: String,
    /// What it was last when it was sound, if it was changed.
    pub filter: Option<Arc<Filter>>,
    /// No file holds it yet.
    pub fresh: bool,
}

impl FilterForm {
    pub fn unsaved(&self) -> bool {
        self.fresh || self.form.changed()
    }
}

/// What to measure next: of which build, in which round of judging; none while it is worked out.
#[derive(Clone, Debug)]
pub struct NextOf {
    pub round: u64,
    pub entry: usize,
    pub lines: Option<Vec<String>>,
}

/// The Filter screen: each filter that was changed keeps its form.
#[derive(Clone, Debug, Default)]
pub struct Filters {
    /// The log of the build is shown in place of the whole file.
    pub log: bool,
    /// How far what it says is scrolled.
    pub log_scroll: usize,
    pub forms: BTreeMap<PathBuf, FilterForm>,
    /// Where to put the cursor when files were read again.
    pub to: Option<PathBuf>,
    pub folder: PathBuf,
    pub next: Option<NextOf>,
    /// Files that this program wrote, each with what its content comes to.
    pub wrote: Vec<(String, u64)>,
}
