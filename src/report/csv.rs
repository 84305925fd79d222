//! CSV for spreadsheets and programs (RFC 4180, lines ended by a line feed), always in base units, which the heads name.
//!
//! A spreadsheet takes a cell that starts with `= + - @` for a formula. The three columns of names come from
//! files of strangers, so such a name gets an apostrophe in front, which spreadsheets show as plain text;
//! figures never do. A figure that cannot be told is an empty field: JSON says why.

use std::borrow::Cow;

use super::grid::{self, Field, Grid};
use super::ranking::Ranked;
use super::{Sheet, escape};
use crate::measures::Measure;

pub fn table(sheet: &Sheet, measures: &[Measure]) -> String {
    write(&grid::table(sheet, measures))
}

pub fn rank(ranked: &Ranked<'_>) -> String {
    write(&grid::rank(ranked))
}

fn write(grid: &Grid) -> String {
    let record =
        |fields: Vec<String>| fields.iter().map(|field| quoted(field)).collect::<Vec<_>>().join(",") + "\n";
    let told = |field: &Field| match field {
        Field::Name(text) => name(text),
        Field::Number(x) => x.to_string(),
        Field::Flag(yes) => yes.to_string(),
        Field::Nothing => String::new(),
    };
    let head = record(grid.head.clone());
    head + &grid.rows.iter().map(|row| record(row.iter().map(told).collect())).collect::<String>()
}

/// Quoted where it has to be; where a comma is the decimal mark, spreadsheets part cells at semicolons.
fn quoted(field: &str) -> Cow<'_, str> {
    if field.contains([',', ';', '"', '\n', '\r', '\t']) {
        format!("\"{}\"", field.replace('"', "\"\"")).into()
    } else {
        field.into()
    }
}

fn name(text: &str) -> String {
    let text = escape::one_line(text);
    let formula = text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if formula { format!("'{text}") } else { text.into_owned() }
}
