//! Words to choose from, each with what help says of it.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use crate::assess::Mode;
use crate::model::Way;
use crate::report::Picture;
use crate::report::figures::Units;
use crate::report::svg::{self};

/// A row: value, word, help.
type Choice<T> = (T, &'static str, &'static str);

/// When colour is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    Auto,
    Always,
    Never,
}

/// Formats of results.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    Text,
    Markdown,
    Bbcode,
    Csv,
    Xlsx,
    Json,
}

pub const WHEN: &[Choice<When>] = &[
    (When::Auto, "auto", "As the surroundings ask"),
    (When::Always, "always", "Whatever they ask"),
    (When::Never, "never", "Not at all"),
];
pub const TEXT: Choice<Format> = (Format::Text, "text", "Aligned columns and plain paragraphs");
pub const PAGES: &[Choice<Format>] = &[
    TEXT,
    (Format::Markdown, "markdown", "For a page that reads Markdown"),
    (Format::Bbcode, "bbcode", "For a forum post; tables are code blocks"),
];
pub const CSV: Choice<Format> = (Format::Csv, "csv", "For a spreadsheet, base units");
pub const XLSX: Choice<Format> =
    (Format::Xlsx, "xlsx", "For a spreadsheet, base units, into the file of --to");
pub const JSON: Choice<Format> = (Format::Json, "json", "For programs, base units, schema 2");
pub const PICTURES: &[Choice<Picture>] = &[
    (Picture::Section, "section", svg::SECTION),
    (Picture::Curve, "curve", "Pump and system curves"),
    (Picture::Timeline, "timeline", "Flow and bypass over the weeks"),
    (Picture::Budget, "budget", svg::BUDGET),
    (Picture::Log, "log", "Flow over the weeks, the model against your readings"),
];
pub const UNITS: &[Choice<Units>] = &[
    (Units::Metric, "metric", "Litres and kilograms"),
    (Units::Us, "us", "US gallons, inches and pounds"),
    (Units::Uk, "uk", "Imperial gallons"),
];
pub const MODES: &[Choice<Mode>] = &[
    (Mode::All, "all", "Those of other builds too, as far as they share them"),
    (Mode::Own, "own", "Those of the logged build alone"),
    (Mode::Off, "off", "None: readings are shown at most"),
];
pub const WAYS: &[Choice<Way>] =
    &[(Way::Rising, "rising", "Upward, from the floor"), (Way::Falling, "falling", "Downward, from the lid")];

/// Takes one of the words.
pub fn one_of<T: Copy + Send + Sync + 'static>(
    rows: &[Choice<T>],
) -> impl TypedValueParser<Value = T> + use<T> {
    let rows = rows.to_vec();
    let known = rows.iter().map(|(_, word, help)| PossibleValue::new(*word).help(*help));
    PossibleValuesParser::new(known).try_map(move |word| {
        rows.iter().find(|row| row.1 == word).map(|row| row.0).ok_or("there is no such word")
    })
}

/// Formats that a page comes in, and whatever else a command writes.
pub fn formats(others: &[Choice<Format>]) -> impl TypedValueParser<Value = Format> + use<> {
    one_of(&[PAGES, others].concat())
}
