//! CSV for spreadsheets and programs (RFC 4180, lines ended by a line feed), always in base units.
//!
//! A spreadsheet takes a cell that starts with `= + - @` for a formula. The three columns of names come from
//! files of strangers, so such a name gets an apostrophe in front, which spreadsheets show as plain text;
//! figures never do. A figure that cannot be told is an empty field: JSON says why.

use std::borrow::Cow;

use super::ranking::Ranked;
use super::{Sheet, escape, json, six_digits};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};

/// The table with these measures; `key_low` and `key_high` follow each where cases were simulated.
pub fn table(sheet: &Sheet, measures: &[Measure]) -> String {
    let ends = sheet.samples() > 0;
    let mut head: Vec<String> = ["file", "filter", "build"].map(str::to_owned).to_vec();
    for key in measures.iter().map(|m| m.key()) {
        head.push(key.to_owned());
        if ends {
            head.extend([format!("{key}_low"), format!("{key}_high")]);
        }
    }
    let fields = |row: &Assessment| {
        let mut fields = vec![name(&row.file), name(&row.filter), name(&row.build)];
        for &measure in measures {
            fields.push(match row.outcome(measure) {
                Outcome::Value(x) => number(six_digits(x)),
                Outcome::Flag(yes) => yes.to_string(),
                Outcome::Missing(_) => String::new(),
            });
            if ends {
                let band = row.band(measure);
                fields.extend(
                    [band.map(|b| b.low), band.map(|b| b.high)].map(|x| number(x.and_then(six_digits))),
                );
            }
        }
        fields
    };
    write(head, sheet.rows.iter().map(fields))
}

/// One row a build, in the order to show; what a build that is ruled out does not have is empty.
pub fn rank(ranked: &Ranked<'_>) -> String {
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
    ];
    let rows = json::rank::builds(ranked).into_iter().map(|b| {
        vec![
            number(b.place),
            name(b.file),
            name(b.filter),
            name(b.build),
            b.ruled_out.to_string(),
            number(b.score),
            number(b.first),
            number(b.first_any_priorities),
            number(b.rank_low),
            number(b.rank_high),
            number(b.passes),
        ]
    });
    write(head.map(str::to_owned).to_vec(), rows)
}

fn write(head: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> String {
    std::iter::once(head)
        .chain(rows)
        .map(|record| record.iter().map(|field| quoted(field)).collect::<Vec<_>>().join(",") + "\n")
        .collect()
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

fn number(x: Option<impl ToString>) -> String {
    x.map(|x| x.to_string()).unwrap_or_default()
}
