//! Writes a profile as a person would: each figure in the unit and with the digits it was written with, how it
//! is known kept, one layer a line, nothing that would be read the same if it were left out.

pub mod figures;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::hidden::is_hidden;
use crate::model::fields::{Field, Given, Row, Table, Value, row};
use crate::model::filter::OWN_MEDIA;
use crate::model::{Build, Filter, Library, Medium};
use crate::uncertainty::{Key, Uncertain};
use crate::units::{Length, Quantity};

/// Forms whose fields stand on lines of their own.
const BLOCKS: [&str; 4] = ["Body", "Unit", "Build", "Medium"];
/// Lists whose items stand on lines of their own, and what is said beside their bracket.
const LISTS: [(&str, &str); 5] = [
    ("`log`", ""),
    ("`trays`", "   // bottom to top"),
    ("a build's `trays`", "   // bottom to top, and so within each"),
    ("`builds`", ""),
    ("`media`", ""),
];

/// The filter with these builds, as RON. `note` becomes comments at the top. Media that do not ship, or that
/// differ from those that do, travel with it. Reading it gives equal figures; keys follow the new file's name,
/// and fittings called by a name are written out.
pub fn write(filter: &Filter, builds: &[Build], note: &str) -> String {
    static FILTER: Row = row("a filter");
    static MEDIA: Row = OWN_MEDIA;
    let own = own_media(builds);
    let mut filter = Filter { builds: builds.to_vec(), ..filter.to_keep() };
    // Loose media have no edge gap to tell of.
    for layer in filter.builds.iter_mut().flat_map(|b| b.floor.iter_mut().chain(b.trays.iter_mut().flatten()))
    {
        if let (false, None) = (layer.medium.is_pad(), &layer.slack) {
            layer.slack = Length::new(0.0).map(|none| Uncertain::exact(none, Key::named("")));
        }
    }
    // An id that nothing describes would be refused: it stays as a remark.
    let known = |id: &String| own.contains_key(id.as_str()) || Library::shipped().medium(id).is_some();
    let mut lost = Vec::new();
    if let Some(unit) = &mut filter.unit {
        lost.extend(unit.includes.extract_if(.., |id| !known(id)));
    }
    let mut given = match filter.value(&FILTER) {
        Some(Value::Form(_, given)) => given,
        _ => Vec::new(),
    };
    let media = own.values().filter_map(|medium| medium.as_ref().value(&MEDIA)).collect();
    given.insert(given.len().saturating_sub(1), (&MEDIA, Value::List(media)));
    let remark = if lost.is_empty() {
        String::new()
    } else {
        let said = comment(&format!("also came with media that no build holds: {}", lost.join(", ")));
        format!("    {said}")
    };
    format!("{}Filter(\n    format: 1,\n{remark}{})\n", comment(note), lines(Filter::TABLE, &given, 4))
}

pub(super) fn whole(table: &Table, given: &Given) -> String {
    format!("{}(\n    format: 1,\n{})\n", table.name, lines(table, given, 4))
}

/// Each of the given fields on a line of its own, indented.
fn lines(table: &Table, given: &Given, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let line = |(row, value): &(&'static Row, Value)| {
        laid(value, row, indent).map(|text| format!("{margin}{}: {text},\n", row.name))
    };
    let none =
        figures::nothings(table, given).map(|row| format!("{margin}{}: {},\n", row.name, figures::NONE));
    given.iter().filter_map(line).chain(none).collect()
}

/// A value, over several lines where it reads better so.
pub(super) fn laid(value: &Value, row: &Row, indent: usize) -> Option<String> {
    let margin = " ".repeat(indent);
    let within = |items: &[Value]| -> String {
        let item = |item: &Value| laid(item, row, indent + 4).unwrap_or_else(|| "[]".to_owned());
        items.iter().map(|value| [&margin, "    ", &item(value), ",\n"].concat()).collect::<Vec<_>>().concat()
    };
    let listed = LISTS.iter().find(|(words, _)| *words == row.words);
    match (value, listed) {
        (Value::Form(table, given), _) if BLOCKS.contains(&table.name) => {
            let inside = lines(table, given, indent + 4);
            (!inside.is_empty()).then(|| format!("{}(\n{inside}{margin})", table.name))
        }
        (Value::List(items), Some(("`trays`", _))) if !items.is_empty() && items.iter().all(is_counted) => {
            Some(format!("count({})", items.len()))
        }
        // What lies in a tray or on the floor: a layer a line where there are several.
        (Value::List(items), _) if items.len() > 1 && is_layers(items) => {
            Some(format!("[\n{}{margin}]", within(items)))
        }
        (Value::List(items), Some((_, beside))) if !items.is_empty() && !is_layers(items) => {
            Some(format!("[{beside}\n{}{margin}]", within(items)))
        }
        _ => figures::value(value, row),
    }
}

fn is_counted(tray: &Value) -> bool {
    let Value::Form(table, given) = tray else { return false };
    given.len() == table.rows.len() && given.iter().all(|(_, value)| value.is_assumed())
}

fn is_layers(items: &[Value]) -> bool {
    matches!(items.first(), Some(Value::Form(table, _)) if table.name == "Layer")
}

/// Comments, one a line of the note.
fn comment(note: &str) -> String {
    let safe = |line: &str| line.chars().map(|c| if is_hidden(c) { ' ' } else { c }).collect::<String>();
    note.lines().map(|line| format!("// {}", safe(line)).trim_end().to_owned() + "\n").collect()
}

/// Media of the builds that a reader without this person's lists would not know, or know otherwise.
fn own_media(builds: &[Build]) -> BTreeMap<&str, &Arc<Medium>> {
    let layers = builds.iter().flat_map(|b| b.floor.iter().chain(b.trays.iter().flatten()));
    layers
        .map(|layer| &layer.medium)
        .filter(|medium| Library::shipped().medium(&medium.id).is_none_or(|shipped| shipped != *medium))
        .map(|medium| (medium.id.as_str(), medium))
        .collect()
}
