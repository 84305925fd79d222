//! One figure as text: the unit and the digits it was most likely written with, and how it is known.

use crate::model::fields::{
    Brackets, Dimension, Given, Known, Printed, Row, Silence, Table, Value, exact_of,
};
use crate::uncertainty::{Provenance, Spread};
use crate::units::UnitOf;

/// Digits up to which a number in the field's own unit is not exchanged for a shorter one in another.
const SHORT: usize = 4;
/// Digits that tell any two numbers apart.
const ALL_DIGITS: usize = 17;
pub const NONE: &str = "none";

pub fn known_text(figure: &Known, unit: &str, printed: Printed) -> String {
    let quantity = |si| quantity(si, unit, figure.of);
    let one = quantity(figure.si);
    match (figure.known, figure.spread) {
        (Provenance::Measured, _) => format!("measured({one})"),
        (Provenance::Guessed | Provenance::Assumed, _) => format!("guessed({one})"),
        (Provenance::Between, Spread::Uniform { low, high }) => {
            format!("between({}, {})", quantity(low), quantity(high))
        }
        (Provenance::Between, _) => format!("between({one}, {one})"),
        // Some fields take a plain figure for another doubt than one that is called stated.
        (known, spread)
            if spread != printed.spread(known, false, figure.si)
                && spread == printed.spread(known, true, figure.si) =>
        {
            format!("stated({one})")
        }
        _ => one,
    }
}

/// A value on one line; none for what is read the same where it is left out.
pub fn value(value: &Value, row: &Row) -> Option<String> {
    Some(match value {
        Value::Figure(known) if known.known == Provenance::Assumed && !row.is_needed() => return None,
        made if matches!(row.silence, Silence::Made(_)) && made.is_assumed() => return None,
        Value::Figure(known) => known_text(known, row.unit, row.printed),
        Value::Number(number) => number_text(*number, row),
        Value::Flag(false) if !row.always => return None,
        Value::Flag(flag) => flag.to_string(),
        Value::Text(said) => text(said),
        Value::Word(variant, _) if matches!(row.silence, Silence::Word(word) if word == variant.word) => {
            return None;
        }
        Value::Word(variant, given) => match variant.brackets {
            Brackets::None => variant.word.to_owned(),
            Brackets::Named => format!("{}({})", variant.word, named(given).join(", ")),
            Brackets::ByPlace => format!("{}({})", variant.word, by_place(given)),
        },
        Value::Form(table, given) if table.by_place => format!("({})", by_place(given)),
        Value::Form(table, given) => {
            let inside = fields(table, given);
            if inside.is_empty() && matches!(row.silence, Silence::Fields) {
                return None;
            }
            let name = if table.like.starts_with('(') { "" } else { table.name };
            format!("{name}({inside})")
        }
        Value::List(items) if items.is_empty() => return row.none.then(|| NONE.to_owned()),
        Value::List(items) => {
            let items: Vec<String> = items.iter().filter_map(|item| self::value(item, row)).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Map(pairs) => {
            let pairs: Vec<String> = pairs.iter().map(|(key, x)| format!("{}: {x}", text(key))).collect();
            format!("{{{}}}", pairs.join(", "))
        }
    })
}

/// `a: 1, b: 2`
fn fields(table: &Table, given: &Given) -> String {
    let none = nothings(table, given).map(|row| format!("{}: {NONE}", row.name));
    named(given).into_iter().chain(none).collect::<Vec<_>>().join(", ")
}

fn named(given: &Given) -> Vec<String> {
    given.iter().filter_map(|(row, given)| Some(format!("{}: {}", row.name, value(given, row)?))).collect()
}

/// Rows of which it is known that there is no such thing.
pub fn nothings(table: &Table, given: &Given) -> impl Iterator<Item = &'static Row> {
    table.rows().filter(|row| row.none && given.iter().all(|(other, _)| other.name != row.name))
}

fn by_place(given: &Given) -> String {
    let parts = given.iter().filter_map(|(row, given)| value(given, row));
    parts.collect::<Vec<_>>().join(", ")
}

/// A plain number in the row's unit: times in whole weeks where they are.
pub fn number_text(number: f64, row: &Row) -> String {
    let of = exact_of(row);
    let Some(own) = of.unit(row.unit) else { return number.to_string() };
    let reads_as = |unit: &UnitOf, x: f64| own.from_si(unit.to_si(x)).to_bits() == number.to_bits();
    let weeks = (number / 7.0).round();
    if let Some(week) = of.unit("week").filter(|week| weeks >= 1.0 && reads_as(week, weeks)) {
        return format!("{}({weeks})", week.name);
    }
    // The shortest number that is read as this one.
    let short = (0..ALL_DIGITS)
        .map(|digits| format!("{number:.digits$e}"))
        .filter_map(|text| text.parse::<f64>().ok())
        .find(|x| reads_as(own, *x));
    format!("{}({})", own.name, short.unwrap_or(number))
}

/// A value in a unit: the field's own where that takes few digits, else the one that takes the fewest.
fn quantity(si: f64, own: &str, of: Dimension) -> String {
    let others = of.units.iter().filter(|unit| unit.name != own);
    let mut best: Option<(usize, String)> = None;
    for unit in of.unit(own).into_iter().chain(others) {
        let (digits, number) = number(si, unit);
        let text = format!("{}({number})", unit.name);
        if unit.name == own && digits <= SHORT {
            return text;
        }
        if best.as_ref().is_none_or(|(fewest, _)| digits < *fewest) {
            best = Some((digits, text));
        }
    }
    best.map_or_else(|| format!("{si}"), |(_, text)| text)
}

/// The shortest decimal number that is read as this SI value in that unit, with its count of digits; where
/// rounding lets none, the nearest.
fn number(si: f64, unit: &UnitOf) -> (usize, String) {
    let value = unit.from_si(si);
    for digits in 1..ALL_DIGITS {
        let rounded = format!("{value:.*e}", digits - 1);
        let Ok(parsed) = rounded.parse::<f64>() else { continue };
        // Every way of writing a number is read as the same one: the plainest is chosen.
        if unit.to_si(parsed).to_bits() == si.to_bits() || (si == 0.0 && parsed == 0.0) {
            return (digits, format!("{parsed}"));
        }
    }
    (ALL_DIGITS, format!("{value}"))
}

pub fn text(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
