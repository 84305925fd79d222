//! Words to choose from.

use clap::ValueEnum;

use crate::report::figures::Units;

/// When colour is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// As the surroundings ask.
    Auto,
    /// Whatever they ask.
    Always,
    /// Not at all.
    Never,
}

/// Formats of `table`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Aligned columns.
    Text,
    /// A Markdown table.
    Markdown,
    /// A code block for a forum post.
    Bbcode,
    /// For a spreadsheet, base units.
    Csv,
    /// For programs, base units, schema 2.
    Json,
}

/// Formats of `compare`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    /// Aligned columns.
    Text,
    /// Markdown tables.
    Markdown,
    /// Code blocks for a forum post.
    Bbcode,
    /// For programs, base units, schema 2.
    Json,
}

/// Formats of `answer`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReplyFormat {
    /// Plain paragraphs.
    Text,
    /// For a page that reads Markdown.
    Markdown,
    /// For a forum post.
    Bbcode,
}

/// Pictures to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DrawWhat {
    /// The vessel cut open.
    Section,
    /// Pump and system curves.
    Curve,
    /// Flow and bypass over the weeks.
    Timeline,
    /// Where the pump's head goes.
    Budget,
}

/// Units to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsChoice {
    /// Litres and kilograms.
    Metric,
    /// US gallons, inches and pounds.
    Us,
    /// Imperial gallons.
    Uk,
}

/// Ways to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum WayChoice {
    /// Upward, from the floor.
    Rising,
    /// Downward, from the lid.
    Falling,
}

impl From<UnitsChoice> for Units {
    fn from(choice: UnitsChoice) -> Self {
        match choice {
            UnitsChoice::Metric => Self::Metric,
            UnitsChoice::Us => Self::Us,
            UnitsChoice::Uk => Self::Uk,
        }
    }
}
