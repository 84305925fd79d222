//! Results as rows of fields, always in base units, which the heads name: CSV, and what XLSX holds. A figure that cannot
//! be told is nothing: JSON says why.

use std::borrow::Cow;
use std::{io, thread};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use super::{Ranked, Reasoned, Sheet, builds, escape, json, six_digits};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome, Unit};

#[derive(Clone, Debug, PartialEq)]
pub enum Field {
    Name(String),
    Number(f64),
    Flag(bool),
    Nothing,
}

/// As many fields a row as there are heads.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Grid {
    pub head: Vec<String>,
    pub rows: Vec<Vec<Field>>,
}

fn name(text: &str) -> Field {
    Field::Name(text.to_owned())
}

fn number(x: Option<f64>) -> Field {
    x.and_then(six_digits).map_or(Field::Nothing, Field::Number)
}

/// `clearing (1/h)`; money is in the tank's own.
fn headed(key: &str, measure: Measure, currency: &str) -> String {
    let row = measure.row();
    let unit = match row.unit {
        Unit::Money => currency,
        Unit::YesNo => "",
        unit => unit.sign(),
    };
    if unit.is_empty() { key.to_owned() } else { format!("{key} ({unit})") }
}

/// The table with these measures; `key_low` and `key_high` follow each where cases were simulated.
pub fn table(sheet: &Sheet, measures: &[Measure]) -> Grid {
    let ends = sheet.samples() > 0;
    let mut head: Vec<String> = ["file", "filter", "build"].map(str::to_owned).to_vec();
    for &measure in measures {
        let key = measure.key();
        head.push(headed(key, measure, &sheet.currency));
        if ends {
            head.extend(["low", "high"].map(|end| headed(&format!("{key}_{end}"), measure, &sheet.currency)));
        }
    }
    head.extend(["state", "tank"].map(str::to_owned));
    let fields = |row: &Assessment| {
        let mut fields = vec![name(&row.file), name(&row.filter), name(&row.build)];
        for &measure in measures {
            fields.push(match row.outcome(measure) {
                Outcome::Value(x) => number(Some(x)),
                Outcome::Flag(yes) => Field::Flag(yes),
                Outcome::Missing(_) => Field::Nothing,
            });
            if ends {
                let band = row.band(measure);
                fields.extend([band.map(|b| b.low), band.map(|b| b.high)].map(number));
            }
        }
        fields.push(name(row.state.words()));
        fields.push(sheet.tank.as_deref().map_or(Field::Nothing, name));
        fields
    };
    Grid { head, rows: sheet.rows.iter().map(fields).collect() }
}

/// One row a build, in the order to show; what a build that is ruled out does not have is nothing.
pub fn rank(ranked: &Ranked<'_>) -> Grid {
    let head = [
        "place",
        "file",
        "filter",
        "build",
        "ruled_out",
        "score",
        "first",
        "first_any_priorities",
        "rank_low",
        "rank_high",
        "passes",
        "tank",
    ];
    let count = |n: Option<usize>| n.map_or(Field::Nothing, |n| Field::Number(n as f64));
    let rows = json::rank::builds(ranked).into_iter().map(|b| {
        vec![
            count(b.place),
            name(b.file),
            name(b.filter),
            name(b.build),
            Field::Flag(b.ruled_out),
            number(b.score),
            number(b.first),
            number(b.first_any_priorities),
            count(b.rank_low),
            count(b.rank_high),
            number(b.passes),
            ranked.sheet.tank.as_deref().map_or(Field::Nothing, name),
        ]
    });
    Grid { head: head.map(str::to_owned).to_vec(), rows: rows.collect() }
}

/// Each further build against the first, a row a measure.
pub fn differences(sheet: &Sheet, measures: &[Measure], reasoned: &Reasoned) -> Grid {
    let head = ["measure", "unit", "build", "against", "is", "low", "middle", "high", "sure_of_100"];
    let mut rows = Vec::new();
    let Some(first) = sheet.rows.first() else { return Grid::default() };
    for &measure in measures {
        for (further, row) in sheet.rows.iter().skip(1).enumerate() {
            let verdict = reasoned.verdict(measure, further);
            let figure = |of: Option<f64>| number(of);
            rows.push(vec![
                name(measure.key()),
                name(&builds::unit_of(measure, sheet, super::figures::Units::Metric)),
                name(&builds::called(sheet, row)),
                name(&builds::called(sheet, first)),
                verdict.map_or(Field::Nothing, |v| name(v.call.word())),
                figure(verdict.map(|v| v.low)),
                figure(verdict.map(|v| v.middle)),
                figure(verdict.map(|v| v.high)),
                figure(verdict.map(|v| v.of_100)),
            ]);
        }
    }
    Grid { head: head.map(str::to_owned).to_vec(), rows }
}

pub fn about(sheet: &Sheet) -> Grid {
    let row = |key: &str, value: Field| vec![name(key), value];
    let cases = Field::Number(sheet.samples() as f64);
    let rows = vec![
        row("program", name(concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION")))),
        row("tank", sheet.tank.as_deref().map_or(Field::Nothing, name)),
        row("currency", name(&sheet.currency)),
        row("simulated cases", cases),
        row("seed", Field::Number(sheet.seed as f64)),
        row("low, high", name("9 of 10 simulated cases lie between")),
        row("an empty cell", name("it cannot be told; JSON says why")),
    ];
    Grid { head: ["what", "is"].map(str::to_owned).to_vec(), rows }
}

impl Grid {
    /// CSV for spreadsheets and programs (RFC 4180, lines ended by a line feed).
    pub fn csv(&self) -> String {
        let record = |fields: Vec<String>| {
            fields.iter().map(|field| quoted(field)).collect::<Vec<_>>().join(",") + "\n"
        };
        let told = |field: &Field| match field {
            Field::Name(text) => tame(text),
            Field::Number(x) => x.to_string(),
            Field::Flag(yes) => yes.to_string(),
            Field::Nothing => String::new(),
        };
        let head = record(self.head.clone());
        head + &self.rows.iter().map(|row| record(row.iter().map(told).collect())).collect::<String>()
    }
}

/// Quoted where it has to be; where a comma is the decimal mark, spreadsheets part cells at semicolons.
fn quoted(field: &str) -> Cow<'_, str> {
    if field.contains([',', ';', '"', '\n', '\r', '\t']) {
        format!("\"{}\"", field.replace('"', "\"\"")).into()
    } else {
        field.into()
    }
}

/// A spreadsheet takes a cell that starts with `= + - @` for a formula: such a name of a stranger's file gets an apostrophe
/// in front, which spreadsheets show as plain text; figures never do.
fn tame(text: &str) -> String {
    let text = escape::one_line(text);
    let formula = text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if formula { format!("'{text}") } else { text.into_owned() }
}

/// Longest text of a cell that spreadsheets take.
const MOST: usize = 32_000;
/// Widths of columns, in characters.
const WIDTHS: (f64, f64) = (8.0, 40.0);

/// A book with these sheets. Its library packs on threads of its own and falls over where none is to be had.
pub fn book(sheets: &[(&str, Grid)]) -> io::Result<Vec<u8>> {
    drop(thread::Builder::new().spawn(|| ())?.join());
    packed(sheets).map_err(io::Error::other)
}

fn packed(sheets: &[(&str, Grid)]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&made));
    let bold = Format::new().set_bold().set_text_wrap();
    for (name, grid) in sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(*name)?.set_freeze_panes(1, 0)?;
        for (column, head) in (0..).zip(&grid.head) {
            let wide = grid.rows.iter().filter_map(|row| row.get(usize::from(column))).map(width);
            let longest = wide.chain(head.split('_').map(str::len)).max().unwrap_or(0) as f64;
            sheet.set_column_width(column, (longest + 2.0).clamp(WIDTHS.0, WIDTHS.1))?;
            sheet.write_string_with_format(0, column, head, &bold)?;
        }
        for (line, row) in (1..).zip(&grid.rows) {
            for (column, field) in (0..).zip(row) {
                match field {
                    Field::Name(text) => {
                        sheet.write_string(
                            line,
                            column,
                            escape::one_line(text).chars().take(MOST).collect::<String>(),
                        )?;
                    }
                    Field::Number(x) => {
                        sheet.write_number(line, column, *x)?;
                    }
                    Field::Flag(yes) => {
                        sheet.write_boolean(line, column, *yes)?;
                    }
                    Field::Nothing => {}
                }
            }
        }
    }
    book.save_to_buffer()
}

fn width(field: &Field) -> usize {
    match field {
        Field::Name(text) => text.chars().count(),
        Field::Number(x) => x.to_string().len(),
        Field::Flag(_) => 5,
        Field::Nothing => 0,
    }
}
