//! Spreadsheets in: a row a filter. Which column is which field is proposed from the heads, and can be said in a file of
//! its own: a line a column, `head = field`, with the field's way through the form of a filter, `label/flow`.

use std::fmt::Write as _;
use std::path::Path;

use super::form::{At, Trail, set};
use super::plain::understand;
use super::write::figures::text;
use super::{read_filter, starter};
use crate::hidden::visible;
use crate::model::fields::{Kind, Row};
use crate::model::{Filter, Library, Way};
use crate::units::Units;

/// Fields that a spreadsheet may tell, by words of its heads; what stands first is sought first.
const WORDS: [(&str, &[&str]); 16] = [
    ("body/outside/width", &["width"]),
    ("body/outside/depth", &["depth", "length"]),
    ("body/outside", &["outside", "size", "dimension"]),
    ("label/tank", &["tank", "aquarium", "suits"]),
    ("pump/curve/head", &["lift", "head"]),
    ("label/flow", &["flow", "output", "l/h", "gph", "lph"]),
    ("body/outside/height", &["height"]),
    ("pump/power", &["power", "watt"]),
    ("trays", &["tray", "basket"]),
    ("hose/bore", &["bore", "hose"]),
    ("unit/asking", &["price", "asking", "cost"]),
    ("body/dry_mass", &["weight", "mass"]),
    ("variant", &["variant", "version"]),
    ("licence", &["licence", "license"]),
    ("notes", &["note", "remark", "comment"]),
    ("name", &["name", "model", "filter"]),
];
/// Rows of one file.
const MOST: usize = 2_000;

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    pub head: String,
    /// The field's way through the form; empty: not read.
    pub field: String,
    /// Its unit, where the head says one.
    unit: String,
}

#[derive(Clone, Debug, Default)]
pub struct Imported {
    pub files: Vec<(String, String)>,
    /// What could not be read, each with its row.
    pub told: Vec<String>,
    pub rows: usize,
}

pub fn propose(heads: &[String]) -> Vec<Column> {
    let mut taken: Vec<&str> = Vec::new();
    heads
        .iter()
        .map(|head| {
            let lower = head.to_lowercase();
            let holds = |words: &[&str]| words.iter().any(|word| lower.contains(word));
            let field = WORDS
                .iter()
                .find(|(field, words)| holds(words) && !taken.contains(field))
                .map_or("", |(field, _)| field);
            taken.push(field);
            Column { head: head.clone(), field: field.to_owned(), unit: unit_of(head, field) }
        })
        .collect()
}

/// The unit in a head: `Flow (l/h)`, `Flow [gal/h]`, `Flow, l/h`.
fn unit_of(head: &str, field: &str) -> String {
    let Some(row) = trail(field).and_then(|trail| last_row(&trail)) else { return String::new() };
    let inside = head
        .split_once(['(', '['])
        .map(|(_, rest)| rest.split([')', ']']).next().unwrap_or_default())
        .or_else(|| head.rsplit_once([',', ' ']).map(|(_, last)| last));
    let unit = inside.unwrap_or_default().trim();
    // It is one where a number with it is understood.
    let tried = match row.kind {
        Kind::Form(_) => format!("100x100x100 {unit}"),
        _ => format!("{} {unit}", sample(row)),
    };
    let reads = !unit.is_empty() && (row.read_in().is_some() || matches!(row.kind, Kind::Form(_)));
    if reads && (understand(row, &tried, Units::Metric).is_ok() || is_unit(row, unit)) {
        unit.to_owned()
    } else {
        String::new()
    }
}

/// A unit of its kind, though this many of it may be out of range.
fn is_unit(row: &'static Row, unit: &str) -> bool {
    ["1", "10", "0.1", "100", "1000"]
        .iter()
        .any(|n| understand(row, &format!("{n} {unit}"), Units::Metric).is_ok())
}

fn sample(row: &Row) -> String {
    let number: String = row.like.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
    if number.is_empty() { "1".to_owned() } else { number }
}

/// The way to a field by the names of files.
fn trail(path: &str) -> Option<Trail> {
    let mut rows: Vec<&'static Row> = Filter::TABLE.rows().collect();
    let mut out = Trail::new();
    for name in path.split('/') {
        let row = *rows.iter().find(|row| row.name == name)?;
        rows = match row.kind {
            Kind::Form(table) => table().rows().collect(),
            Kind::Choice(choice) => choice().variants.iter().flat_map(|variant| variant.rows).collect(),
            _ => Vec::new(),
        };
        out.push(At::Field(row));
    }
    Some(out)
}

fn last_row(trail: &Trail) -> Option<&'static Row> {
    match trail.last()? {
        At::Field(row) => Some(row),
        _ => None,
    }
}

/// The columns as a file, to be changed by hand.
pub fn map_text(columns: &[Column]) -> String {
    let mut out = String::from(
        "// Which column is which field of a filter: head = field. Nothing behind the sign: the column is not read.\n// `cansift fields` lists the fields; a figure may say its unit in its cell or in the head, as in Flow (l/h).\n",
    );
    for column in columns {
        let _ = writeln!(out, "{} = {}", visible(&column.head), column.field);
    }
    out
}

/// The columns as a file says; what it does not name is not read.
pub fn mapped(map: &str, heads: &[String]) -> Result<Vec<Column>, String> {
    let mut said: Vec<(String, String)> = Vec::new();
    for (i, line) in map.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with("//") {
            continue;
        }
        let Some((head, field)) = line.rsplit_once('=') else {
            return Err(format!("line {}: write it as head = field", i + 1));
        };
        let (head, field) = (head.trim().to_owned(), field.trim().to_owned());
        if !field.is_empty() && trail(&field).is_none() {
            let known: Vec<&str> = WORDS.iter().map(|(field, _)| *field).collect();
            return Err(format!("line {}: there is no field {field}; such as {}", i + 1, known.join(", ")));
        }
        if !heads.iter().any(|other| visible(other) == head) {
            return Err(format!("line {}: the spreadsheet has no column {head}", i + 1));
        }
        said.push((head, field));
    }
    let column = |head: &String| {
        let field = said.iter().find(|(other, _)| *other == visible(head)).map_or("", |(_, field)| field);
        Column { head: head.clone(), field: field.to_owned(), unit: unit_of(head, field) }
    };
    Ok(heads.iter().map(column).collect())
}

/// The rows of a spreadsheet as profiles; the first row holds the heads.
pub fn import(rows: &[Vec<String>], columns: &[Column]) -> Imported {
    let mut out = Imported::default();
    for (i, row) in rows.iter().enumerate().skip(1).take(MOST) {
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        out.rows += 1;
        let mut told = Vec::new();
        match profile(row, columns, &mut told) {
            Ok((name, text)) => {
                let file = free(&name, &out.files);
                out.files.push((file, text));
            }
            Err(why) => told.push(format!("no profile: {why}")),
        }
        out.told.extend(told.into_iter().map(|said| format!("row {}: {said}", i + 1)));
    }
    if rows.len() > MOST + 1 {
        out.told.push(format!("only the first {MOST} rows were read"));
    }
    out
}

/// What stands in the columns, as files have it.
fn cells(row: &[String], columns: &[Column], told: &mut Vec<String>) -> Vec<(Trail, String)> {
    let mut out = Vec::new();
    for (column, cell) in columns.iter().zip(row) {
        let (cell, Some(trail)) = (cell.trim(), trail(&column.field)) else { continue };
        let Some(row) =
            last_row(&trail).filter(|_| !cell.is_empty() && !matches!(cell, "-" | "–" | "?" | "n/a"))
        else {
            continue;
        };
        let bare = cell
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | 'x' | '×' | '*' | ' ' | '~' | '-'));
        let typed =
            if bare && !column.unit.is_empty() { format!("{cell} {}", column.unit) } else { cell.to_owned() };
        match understand(row, &typed, Units::Metric) {
            Ok(read) => out.push((trail, read.ron)),
            Err(unclear) => told.push(format!(
                "{}: `{}` is left out: {}",
                visible(&column.head),
                visible(cell),
                unclear.said
            )),
        }
    }
    out
}

fn profile(row: &[String], columns: &[Column], told: &mut Vec<String>) -> Result<(String, String), String> {
    let mut cells = cells(row, columns, told);
    let at = |cells: &[(Trail, String)], path: &str| {
        let wanted = trail(path)?;
        cells.iter().position(|(trail, _)| *trail == wanted)
    };
    let mut take = |path: &str| at(&cells, path).map(|i| cells.remove(i).1);
    let name = take("name").map(|name| name.trim_matches('"').to_owned());
    let flow = take("label/flow").ok_or("no printed flow is told, and all figures begin with it")?;
    let sides = ["width", "depth", "height"].map(|side| take(&format!("body/outside/{side}")));
    let outside = take("body/outside").or_else(|| match sides {
        [Some(width), Some(depth), Some(height)] => {
            Some(format!("(width: {width}, depth: {depth}, height: {height})"))
        }
        _ => None,
    });
    let trays = take("trays");
    let lift = take("pump/curve/head");
    let name = name.unwrap_or_else(|| "unnamed filter".to_owned());
    let mut out = if let (Some(trays), Some(outside)) = (&trays, &outside) {
        starter::filter(&name, [&flow, trays, outside], Way::Rising)
            .map_err(|broken| broken.problems.first().map_or_else(String::new, |p| p.message.clone()))?
    } else {
        if trays.is_some() {
            told.push(
                "the number of trays is left out: without an outside size their sizes cannot be assumed"
                    .to_owned(),
            );
        }
        let body = outside.map_or(String::new(), |outside| format!("    body: Body(outside: {outside}),\n"));
        format!(
            "Filter(\n    format: 1,\n    name: {},\n    label: Label(flow: {flow}),\n{body}    builds: [Build(name: \"as sold\", trays: [])],\n)\n",
            text(&name)
        )
    };
    let nothing = Vec::new();
    if let (Some(lift), Some(trail)) = (lift, trail("pump/curve")) {
        // The two ends that a box prints.
        out = set(&out, Filter::TABLE, &nothing, &trail, &format!("ends(flow: {flow}, head: {lift})"));
    }
    for (trail, ron) in &cells {
        out = set(&out, Filter::TABLE, &nothing, trail, ron);
    }
    read_filter(Path::new("import.ron"), &out, Library::shipped()).map_err(|broken| {
        broken.problems.first().map_or_else(String::new, |p| match &p.help {
            Some(help) => format!("{}: {help}", p.message),
            None => p.message.clone(),
        })
    })?;
    Ok((name, out))
}

/// A file name that none of the others has.
fn free(name: &str, files: &[(String, String)]) -> String {
    let stem = super::file_stem(name, "filter");
    let called = |n: usize| if n == 1 { format!("{stem}.ron") } else { format!("{stem}-{n}.ron") };
    (1..=MOST + 1)
        .map(called)
        .find(|file| files.iter().all(|(other, _)| other != file))
        .unwrap_or_else(|| called(1))
}
