//! A file being filled in: its text, what the reader says of it, and the way back.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use crate::app::list::List;
use crate::model::fields::{Field, Given, Row, Table, Value, row};
use crate::model::filter::Filter;
use crate::model::log::Kept;
use crate::profile::Problem;
use crate::profile::form::{self, At, Line, Trail};

/// Changes that can be taken back.
const MOST_STEPS: usize = 500;

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
    past: Vec<String>,
    future: Vec<String>,
    /// What the reader made of the text when it was last sound.
    pub sound: Given,
    pub problems: Vec<Problem>,
}

impl Form {
    pub fn new(table: &'static Table, text: String, sound: Given) -> Self {
        let kept = text.clone();
        let (past, future) = (Vec::new(), Vec::new());
        Self {
            table,
            text,
            kept,
            list: List::default(),
            open: Vec::new(),
            only: None,
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
                line.trail.starts_with(build) && line.trail.get(build.len()).is_some_and(of_log)
            });
        }
        lines
    }
    /// The line under the cursor.
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
    /// The text with this at a line's place.
    pub fn with(&self, line: &Line, ron: &str) -> String {
        form::set(&self.text, self.table, &self.sound, &line.trail, ron)
    }
    /// The text with one more item in a list.
    pub fn with_item(&self, list: &Line, ron: &str) -> String {
        form::add(&self.text, self.table, &self.sound, &list.trail, ron)
    }
    pub fn take(&mut self, text: String) {
        self.past.push(std::mem::replace(&mut self.text, text));
        if self.past.len() > MOST_STEPS {
            self.past.remove(0);
        }
        self.future.clear();
    }
    /// One step back or on among the changes; whether there was one.
    pub fn travel(&mut self, back: bool) -> bool {
        let (from, to) =
            if back { (&mut self.past, &mut self.future) } else { (&mut self.future, &mut self.past) };
        let Some(next) = from.pop() else { return false };
        to.push(std::mem::replace(&mut self.text, next));
        true
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

/// A field of how a build was kept.
fn of_log(at: &At) -> bool {
    matches!(at, At::Field(row) if Kept::ROWS.iter().any(|kept| kept.name == row.name))
}

/// The fields of a thing, as the reader made them.
pub fn given(thing: &impl Field) -> Given {
    static ANY: Row = row("");
    match thing.value(&ANY) {
        Some(Value::Form(_, given)) => given,
        _ => Vec::new(),
    }
}

/// A filter being filled in.
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

/// The Filter screen: each filter that was changed keeps its form.
#[derive(Clone, Debug, Default)]
pub struct Filters {
    /// The log of the build is shown in place of the whole file.
    pub log: bool,
    pub forms: BTreeMap<PathBuf, FilterForm>,
    /// Where to put the cursor when files were read again.
    pub to: Option<PathBuf>,
    /// Where a new one is to lie.
    pub folder: PathBuf,
    /// Files that this program wrote, each with what its content comes to.
    pub wrote: Vec<(String, u64)>,
}
