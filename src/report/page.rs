//! A page for people: headings, prose and tables. Built once, written as text, Markdown or `BBCode`.
//!
//! Cells and lines hold text as it came; the writer of each format escapes all of it.

/// A page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Its parts, from the top.
    pub blocks: Vec<Block>,
}

/// One part of a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// Short lines that belong together.
    List(Vec<String>),
    /// A table.
    Table(Table),
}

/// A table of words and figures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows, each as long as `columns`; what is missing counts as empty.
    pub rows: Vec<Vec<String>>,
}

/// A column's head.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// Head.
    pub head: String,
    /// Unit under it; empty where there is none.
    pub unit: String,
    /// Figures stand to the right.
    pub right: bool,
}

impl Column {
    /// A column of words.
    pub fn words(head: &str) -> Self {
        Self { head: head.to_owned(), unit: String::new(), right: false }
    }
    /// A column of figures.
    pub fn figures(head: &str, unit: &str) -> Self {
        Self { head: head.to_owned(), unit: unit.to_owned(), right: true }
    }
}

impl Page {
    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }
    /// Adds a paragraph.
    pub fn paragraph(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Paragraph(text.into()));
    }
    /// Adds a list, unless it is empty.
    pub fn list(&mut self, lines: Vec<String>) {
        if !lines.is_empty() {
            self.blocks.push(Block::List(lines));
        }
    }
    /// Adds a table, unless it has no rows.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }
}
