//! A build's inputs worded by the table of fields: number, unit, and how it is known where that was said.

use crate::model::fields::{Brackets, Field, Given, Known, Row, Value, row};
use crate::model::{Amount, Filter, Layer};
use crate::uncertainty::{Provenance, Spread};

/// What is asked for its fields has no row itself.
static WHOLE: Row = row("");

/// Every input but the layers, as (where, what): a form's fields each on a line, a choice in one.
pub(super) fn apart_from_layers(filter: &Filter, build: usize) -> Vec<(String, String)> {
    let mut out = vec![("filter".to_owned(), filter.name.clone())];
    out.extend(filter.builds.get(build).map(|build| ("build".to_owned(), build.name.clone())));
    let Some(Value::Form(_, given)) = filter.value(&WHOLE) else { return out };
    let told = |row: &Row| row.name != Filter::name.name && row.name != Filter::builds.name;
    for (row, value) in given.iter().filter(|(row, _)| told(row)) {
        lines(&mut out, row.label, row, value);
    }
    out
}

fn lines(out: &mut Vec<(String, String)>, at: &str, row: &Row, value: &Value) {
    match value {
        Value::Form(table, given) if !table.by_place => {
            for (row, value) in given {
                lines(out, &format!("{at}, {}", row.label), row, value);
            }
        }
        Value::List(items) if !items.iter().any(|item| matches!(item, Value::Text(_))) => {
            for (i, item) in items.iter().enumerate() {
                lines(out, &format!("{at} {}", i + 1), row, item);
            }
        }
        one => {
            let said = text(row, one);
            out.extend((!said.is_empty()).then(|| (at.to_owned(), said)));
        }
    }
}

/// A value on one line.
fn text(row: &Row, value: &Value) -> String {
    let each = |items: &[Value]| items.iter().map(|item| text(row, item)).collect::<Vec<_>>().join("; ");
    match value {
        Value::Figure(known) => figure(known, row),
        Value::Number(x) => number(*x),
        Value::Flag(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Text(said) => said.clone(),
        Value::Word(variant, given) if variant.brackets == Brackets::ByPlace => {
            format!("{} {}", variant.says, by_place(given))
        }
        Value::Word(variant, given) => {
            given.iter().fold(variant.says.to_owned(), |said, field| format!("{said}, {}", labelled(field)))
        }
        Value::Form(_, given) => by_place(given),
        Value::List(items) => each(items),
        Value::Map(pairs) => pairs.iter().map(|(key, x)| format!("{key} {x}")).collect::<Vec<_>>().join(", "),
    }
}

fn by_place(given: &Given) -> String {
    given.iter().map(|(row, value)| text(row, value)).collect::<Vec<_>>().join(" ")
}

fn labelled((row, value): &(&'static Row, Value)) -> String {
    format!("{} {}", row.label, text(row, value))
}

/// A layer in words: name, amount, and what is wrong with its fit.
pub fn layer(layer: &Layer) -> String {
    let Some(Value::Form(_, given)) = layer.value(&WHOLE) else { return layer.medium.name.clone() };
    let mut out = layer.medium.name.clone();
    for field in &given {
        let (row, value) = field;
        let nothing = matches!(value, Value::Figure(known) if known.si == 0.0);
        if Amount::ROWS.iter().any(|amount| amount.name == row.name) {
            out = format!("{out} {}", text(row, value));
        } else if row.name != Layer::medium.name && !nothing {
            out = format!("{out}, {}", labelled(field));
        }
    }
    out
}

/// A figure in its row's unit; a share, which has none and stays within 1, in per cent.
pub fn figure(figure: &Known, row: &Row) -> String {
    let unit = figure.of.unit(row.unit);
    let share = figure.of.units.is_empty() && row.high <= 1.0;
    let after = match unit {
        Some(unit) => format!(" {}", unit.sign),
        None => if share { " %" } else { "" }.to_owned(),
    };
    let write = |si: f64| match unit {
        Some(unit) => number(unit.from_si(si)),
        None => number(if share { si * 100.0 } else { si }),
    };
    match (figure.known, figure.spread) {
        (Provenance::Between, Spread::Uniform { low, high }) => {
            format!("{} to {}{after}", write(low), write(high))
        }
        (Provenance::Measured | Provenance::Guessed | Provenance::Assumed, _) => {
            format!("{}{after} ({})", write(figure.si), figure.known.word())
        }
        _ => format!("{}{after}", write(figure.si)),
    }
}

/// A number with at most four places that matter and no needless zeros.
pub fn number(x: f64) -> String {
    if !x.is_finite() {
        return "–".to_owned();
    }
    let size = x.abs();
    let decimals = [(1000.0, 0), (100.0, 1), (10.0, 2), (0.1, 3)].into_iter().find(|(from, _)| size >= *from);
    let decimals = decimals.map_or(5, |(_, decimals)| decimals);
    let shown = format!("{x:.decimals$}");
    let shown = if shown.contains('.') { shown.trim_end_matches('0').trim_end_matches('.') } else { &shown };
    if shown == "-0" { "0".to_owned() } else { shown.to_owned() }
}
