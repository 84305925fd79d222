//! A page: what a command, a report or a screen says, as values, built once. One small renderer a format draws it:
//! `text`, `markdown`, `bbcode`, `html`; each escapes all words that stand here.

use super::figures::Units;
use super::spans;
use crate::measures::{Measure, Outcome};
use crate::uncertainty::Band;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    pub units: Units,
    pub ascii: bool,
    pub width: usize,
}

impl Default for Look {
    /// 100 columns: what a file or a pipe gets, so that its bytes do not hang on a terminal.
    fn default() -> Self {
        Self { units: Units::Metric, ascii: false, width: 100 }
    }
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    pub blocks: Vec<Block>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    Heading(String),
    Paragraph(String),
    /// A paragraph in which some words stand out.
    Said(Vec<Run>),
    /// Short lines that belong together.
    List(List, Vec<String>),
    Table(Table),
    Facts(Vec<Fact>),
    /// SVG, each with the word for what it shows, or why it cannot be drawn.
    Pictures(Vec<(&'static str, Result<String, &'static str>)>),
    Section(Section),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    pub text: String,
    pub strong: bool,
}

impl Run {
    pub fn plain_text(text: impl Into<String>) -> Self {
        Self { text: text.into(), strong: false }
    }
    pub fn strong_text(text: impl Into<String>) -> Self {
        Self { text: text.into(), strong: true }
    }
    pub fn plain(runs: &[Self]) -> String {
        runs.iter().map(|run| run.text.as_str()).collect()
    }
}

const BAR: f64 = 16.0;

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum List {
    #[default]
    Lines,
    Numbered,
    /// Stands back behind what it belongs to.
    Quiet,
    Cautions,
    Stages,
}

/// Something known, with how it is known or how sure it is; that may be empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    pub name: String,
    pub value: String,
    pub note: String,
}

/// A part of a page that can be led to.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    pub kind: Kind,
    pub id: String,
    pub title: String,
    pub page: Page,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Part,
    Card,
    /// Folded away until it is asked for.
    Fold,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// What it holds, where no heading says so.
    pub caption: String,
    pub columns: Vec<Column>,
    /// Each as long as `columns`; what is missing counts as empty.
    pub rows: Vec<Vec<Cell>>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    pub head: String,
    /// Empty where there is none.
    pub unit: String,
    pub kind: Holds,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Holds {
    /// Words, never broken.
    #[default]
    Words,
    /// Words that are broken where a line is too long.
    Prose,
    /// Names, which are broken where they are very long and a line is too.
    Names,
    Figures,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    Words(String),
    /// A name that leads to a section of the page, by its id.
    Link(String, String),
    /// A bar, as a share of a full one; what it shows stands beside it in figures.
    Bar(f64),
    Figure(Measure, Outcome, Option<Band>),
}

impl From<String> for Cell {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Cell {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl Cell {
    /// On one line, its doubt beside a figure.
    pub fn shown(&self, units: Units) -> String {
        match self {
            Self::Words(words) | Self::Link(words, _) => words.clone(),
            Self::Bar(share) => "█".repeat((share * BAR).round() as usize),
            Self::Figure(measure, outcome, band) => {
                spans::figure(*measure, *outcome, *band, units).bracketed()
            }
        }
    }
}

impl Column {
    pub fn words(head: &str) -> Self {
        Self { head: head.to_owned(), unit: String::new(), kind: Holds::Words }
    }
    pub fn names(head: &str) -> Self {
        Self { kind: Holds::Names, ..Self::words(head) }
    }
    pub fn prose(head: &str) -> Self {
        Self { kind: Holds::Prose, ..Self::words(head) }
    }
    pub fn figures(head: &str, unit: &str) -> Self {
        Self { head: head.to_owned(), unit: unit.to_owned(), kind: Holds::Figures }
    }
    pub fn is_figures(&self) -> bool {
        self.kind == Holds::Figures
    }
}

impl Table {
    pub fn new(columns: Vec<Column>, rows: impl IntoIterator<Item = Vec<String>>) -> Self {
        let cells = |row: Vec<String>| row.into_iter().map(Cell::Words).collect();
        Self { caption: String::new(), columns, rows: rows.into_iter().map(cells).collect() }
    }
    pub fn caption(self, caption: &str) -> Self {
        Self { caption: caption.to_owned(), ..self }
    }
    /// Every row's cells as they are shown, as many as there are columns.
    pub fn shown(&self, units: Units) -> impl Iterator<Item = Vec<String>> {
        let cell = move |row: &[Cell], i| row.get(i).map(|c: &Cell| c.shown(units)).unwrap_or_default();
        self.rows.iter().map(move |row| (0..self.columns.len()).map(|i| cell(row, i)).collect())
    }
}

impl Page {
    pub fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }
    pub fn paragraph(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.blocks.push(Block::Paragraph(text));
        }
    }
    pub fn said(&mut self, runs: Vec<Run>) {
        if !runs.is_empty() {
            self.blocks.push(Block::Said(runs));
        }
    }
    pub fn list(&mut self, lines: Vec<String>) {
        self.list_of(List::Lines, lines);
    }
    pub fn list_of(&mut self, kind: List, lines: Vec<String>) {
        if !lines.is_empty() {
            self.blocks.push(Block::List(kind, lines));
        }
    }
    /// Adds a heading with its list, unless the list is empty.
    pub fn listed(&mut self, heading: &str, kind: List, lines: Vec<String>) {
        if !lines.is_empty() {
            self.heading(heading);
            self.list_of(kind, lines);
        }
    }
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }
    pub fn section(&mut self, kind: Kind, id: &str, title: &str, page: Page) {
        let (id, title) = (id.to_owned(), title.to_owned());
        self.blocks.push(Block::Section(Section { kind, id, title, page }));
    }

    /// The blocks for a format that knows no sections, facts or pictures: headings, paragraphs, lists and tables.
    pub fn flat(&self) -> Vec<Block> {
        self.blocks.iter().flat_map(flat).collect()
    }
}

fn flat(block: &Block) -> Vec<Block> {
    match block {
        Block::Section(section) => {
            let mut out = vec![Block::Heading(section.title.clone())];
            out.extend(section.page.flat());
            out
        }
        Block::Facts(facts) => {
            let line = |fact: &Fact| match fact.note.as_str() {
                "" => format!("{}: {}", fact.name, fact.value),
                note => format!("{}: {} ({note})", fact.name, fact.value),
            };
            vec![Block::List(List::Lines, facts.iter().map(line).collect())]
        }
        Block::Pictures(_) => Vec::new(),
        other => vec![other.clone()],
    }
}
