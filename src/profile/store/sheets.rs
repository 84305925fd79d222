//! Spreadsheets, read as rows of texts.

use std::fs;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use calamine::{Data, Reader as _, Xlsx};

use crate::profile::message::plain;

/// Most bytes of one spreadsheet, and most cells.
const MOST: u64 = 4 << 20;
const MOST_CELLS: usize = 200_000;

/// The rows of a CSV file, or of the first sheet of an XLSX file. The error is for people.
pub fn sheet_rows(path: &Path) -> Result<Vec<Vec<String>>, String> {
    let size = fs::metadata(path).map_err(|error| plain(&error))?.len();
    if size > MOST {
        return Err(format!("it is larger than {} MiB", MOST >> 20));
    }
    let bytes = fs::read(path).map_err(|error| plain(&error))?;
    rows_of(&bytes)
}

pub fn rows_of(bytes: &[u8]) -> Result<Vec<Vec<String>>, String> {
    // Every XLSX file is a ZIP file, which begins so.
    let rows = if bytes.starts_with(b"PK\x03\x04") { xlsx(bytes)? } else { csv(bytes)? };
    let cells: usize = rows.iter().map(Vec::len).sum();
    if cells > MOST_CELLS { Err(format!("it holds more than {MOST_CELLS} cells")) } else { Ok(rows) }
}

fn csv(bytes: &[u8]) -> Result<Vec<Vec<String>>, String> {
    let text = std::str::from_utf8(bytes).map_err(|error| {
        format!("it is not UTF-8 (at byte {}): save it as CSV in UTF-8, or as XLSX", error.valid_up_to())
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let head = text.lines().next().unwrap_or_default();
    let count = |sign: char| head.matches(sign).count();
    let sign = [';', '\t', ','].into_iter().max_by_key(|sign| count(*sign)).filter(|sign| count(*sign) > 0);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(u8::try_from(sign.unwrap_or(',')).unwrap_or(b','))
        .from_reader(text.as_bytes());
    let mut out = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| format!("it is no CSV file: {error}"))?;
        out.push(record.iter().map(str::to_owned).collect());
    }
    Ok(out)
}

fn xlsx(bytes: &[u8]) -> Result<Vec<Vec<String>>, String> {
    let read = || -> Result<Vec<Vec<String>>, String> {
        let mut book: Xlsx<_> =
            Xlsx::new(Cursor::new(bytes)).map_err(|error| format!("it is no XLSX file: {error}"))?;
        let name = book.sheet_names().first().cloned().ok_or("it holds no sheet")?;
        let range = book
            .worksheet_range(&name)
            .map_err(|error| format!("its first sheet cannot be read: {error}"))?;
        if range.get_size().0.saturating_mul(range.get_size().1) > MOST_CELLS {
            return Err(format!("it holds more than {MOST_CELLS} cells"));
        }
        Ok(range.rows().map(|row| row.iter().map(cell).collect()).collect())
    };
    // A library's fault on a broken file is told as the file's.
    catch_unwind(AssertUnwindSafe(read))
        .unwrap_or_else(|_| Err("it is no XLSX file that can be read".to_owned()))
}

fn cell(data: &Data) -> String {
    match data {
        Data::Empty | Data::Error(_) => String::new(),
        other => other.to_string(),
    }
}
