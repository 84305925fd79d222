//! What the screens show, as sentences: for a voice or a braille line. One thing a line, no frames, no pictures.

use std::fmt::Write as _;

use super::text;
use super::widgets::table;
use crate::app::{Entry, Id, State};
use crate::measures::Measure;
use crate::report::spans;

/// Columns of a line that is never broken.
pub const WIDE: usize = 4000;

/// What a screen holds, one thing a line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    pub lines: Vec<String>,
    /// Which of them the cursor is on.
    pub on: Option<usize>,
    /// What else the screen tells of that one.
    pub more: Vec<String>,
}

impl Page {
    pub fn of(lines: Vec<String>) -> Self {
        Self { lines, ..Self::default() }
    }

    /// Below a title, which is no line to choose.
    pub fn titled(mut self, title: &str) -> Self {
        self.lines.insert(0, words(title));
        self.on = self.on.map(|on| on + 1);
        self
    }

    /// All of it, the line under the cursor named.
    pub fn whole(&self) -> Vec<String> {
        let line = |(i, line): (usize, &String)| if self.on == Some(i) { on(line) } else { line.clone() };
        self.lines.iter().enumerate().map(line).chain(self.more.iter().cloned()).collect()
    }

    /// The line under the cursor, and what else is not as it was; where most is not, all of it.
    pub fn since(&self, was: &Self) -> Vec<String> {
        let (mut old, mut changed) = (was.lines.clone(), Vec::new());
        for line in &self.lines {
            match old.iter().position(|was| was == line) {
                Some(at) => drop(old.swap_remove(at)),
                None => changed.push(line),
            }
        }
        if changed.len() * 2 > self.lines.len() {
            return self.whole();
        }
        let here = self.on.and_then(|i| self.lines.get(i));
        let rest = changed.into_iter().filter(|line| Some(*line) != here).cloned();
        let more = self.more.iter().filter(|line| !was.more.contains(line)).cloned();
        here.map(|line| on(line)).into_iter().chain(more).chain(rest).collect()
    }
}

fn on(line: &str) -> String {
    format!("on: {line}")
}

/// One row of the list, with its number if it is wanted; the chosen columns after the name.
pub fn line(state: &State, number: Option<usize>, id: Id) -> String {
    let number = number.map_or(String::new(), |n| format!("{n}. "));
    match id {
        Id::Broken(i) => {
            let Some(file) = state.broken.get(i) else { return String::new() };
            let count = file.problems.len();
            let problems = if count == 1 { "problem" } else { "problems" };
            let path = text::clean(&file.path.to_string_lossy());
            format!("{number}broken file {path}: {count} {problems}")
        }
        Id::Build(_) => {
            let Some(entry) = state.entry(id) else { return String::new() };
            let marked = if state.marks.contains(&id) { ", marked" } else { "" };
            let mut out = format!("{number}{}{marked}", text::clean(&entry.name));
            for (i, column) in state.columns.iter().enumerate() {
                let gap = if i == 0 { ":" } else { ";" };
                let said = match column.measure() {
                    Some(measure) => figure(state, entry, measure),
                    None => known(entry),
                };
                let _ = write!(out, "{gap} {said}");
            }
            out
        }
    }
}

/// `known: 9 printed, 2 guessed`.
pub fn known(entry: &Entry) -> String {
    entry.judged.as_ref().map_or_else(String::new, |judged| format!("known: {}", judged.known.words()))
}

/// `filtered 638 l/h (590–686)`.
pub fn figure(state: &State, entry: &Entry, measure: Measure) -> String {
    let unit = spans::unit(measure, state.units, state.currency());
    format!("{} {}", measure.row().head, table::figure(state, entry, measure).said(unit))
}

/// A line without the signs that only draw, and without the blanks that only align.
pub fn words(line: &str) -> String {
    let draws = |c: char| matches!(c, '─'..='▟' | '⠀'..='⣿' | '►' | '◄' | '▲' | '▼' | '↑' | '↓');
    let kept: String = line.chars().map(|c| if draws(c) { ' ' } else { c }).collect();
    let kept = kept.replace('→', "to");
    // Hatches, too: nobody wants them read out.
    let hatch = |word: &&str| match word.chars().count() {
        1 => *word == "≈",
        _ => word.chars().all(|c| "·≈o+".contains(c)),
    };
    kept.split_whitespace().filter(|word| !hatch(word)).collect::<Vec<_>>().join(" ")
}

/// Drawn lines, such as are sentences, as text.
pub fn rows(rows: &[super::paint::Row]) -> Vec<String> {
    let text = |row: &super::paint::Row| row.spans.iter().map(|s| s.content.as_ref()).collect::<String>();
    rows.iter().map(text).map(|l| words(&l)).filter(|l| !l.is_empty()).collect()
}
