//! Words to choose from.

use clap::ValueEnum;
use clap::builder::{PossibleValuesParser, TypedValueParser};

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

/// Formats of results.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Aligned columns and plain paragraphs.
    Text,
    /// For a page that reads Markdown.
    Markdown,
    /// For a forum post; tables are code blocks.
    Bbcode,
    /// For a spreadsheet, base units.
    Csv,
    /// For programs, base units, schema 2.
    Json,
}

/// Those that a page comes in, and whatever else a command writes.
pub fn formats(others: &[Format]) -> impl TypedValueParser<Value = Format> {
    let all = [Format::Text, Format::Markdown, Format::Bbcode].iter().chain(others);
    let known = PossibleValuesParser::new(all.filter_map(Format::to_possible_value));
    // What passes the one parser passes the other.
    known.map(|word| Format::from_str(&word, false).unwrap_or(Format::Text))
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
