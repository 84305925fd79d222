//! XLSX for spreadsheets: the same rows as CSV, numbers as numbers, a head that stays in view. Text is text, whatever it
//! begins with. No clock goes in, so the same results give the same bytes.

use std::{io, thread};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};

use super::escape;
use super::grid::{Field, Grid};

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
                        sheet.write_string(line, column, text_of(text))?;
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

fn text_of(text: &str) -> String {
    escape::one_line(text).chars().take(MOST).collect()
}

fn width(field: &Field) -> usize {
    match field {
        Field::Name(text) => text.chars().count(),
        Field::Number(x) => x.to_string().len(),
        Field::Flag(_) => 5,
        Field::Nothing => 0,
    }
}
