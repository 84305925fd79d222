//! Another word, or a figure a sensible step up or down, in whatever unit it is written.

use crate::profile::{Entry, TankField};
use crate::units::{UnitOf, trimmed};

/// The text so many steps on; a field that is left out begins with its example.
pub fn nudged(field: &TankField, text: &str, by: isize) -> Result<String, &'static str> {
    match field.entry() {
        Entry::Text => Err("it is typed: press {edit}"),
        Entry::List(_) => Err("a list is typed: press {edit}"),
        Entry::Words => Ok(word(&field.words(), text.trim(), by).to_owned()),
        Entry::Figure if text.trim().is_empty() => Ok(field.row.like.to_owned()),
        Entry::Figure => figure(field, text, field.row.step, by),
    }
}

/// Left out stands before the first word.
fn word(words: &[&'static str], now: &str, by: isize) -> &'static str {
    let at = words.iter().position(|w| *w == now).map_or(0, |i| i + 1);
    let to = at.saturating_add_signed(by).min(words.len());
    to.checked_sub(1).and_then(|i| words.get(i)).copied().unwrap_or("")
}

/// The one number of a figure, with the unit before its bracket.
struct Found<'a> {
    before: &'a str,
    number: f64,
    after: &'a str,
    unit: &'a str,
}

fn find(text: &str) -> Result<Found<'_>, &'static str> {
    const NOT_ONE: &str = "it is no single figure: press {edit} to type";
    let is_number = |c: char| c.is_ascii_digit() || c == '.';
    let start = text.find(is_number).ok_or(NOT_ONE)?;
    let (before, rest) = text.split_at_checked(start).ok_or(NOT_ONE)?;
    let end = rest.find(|c| !is_number(c)).unwrap_or(rest.len());
    let (number, after) = rest.split_at_checked(end).ok_or(NOT_ONE)?;
    // Two figures, or one with an exponent or a sign, are for typing.
    let odd = |c: char| c.is_ascii_digit() || matches!(c, 'e' | 'E' | '-' | '+' | ',');
    if after.contains(odd) || before.ends_with(['-', '+']) {
        return Err("a range or an odd number is typed: press {edit}");
    }
    let unit = before.trim_end().strip_suffix('(').map_or("", |head| {
        let from = head.rfind(|c: char| !c.is_ascii_alphanumeric() && c != '_').map_or(0, |i| i + 1);
        head.get(from..).unwrap_or("")
    });
    Ok(Found { before, number: number.parse().map_err(|_no_number| NOT_ONE)?, after, unit })
}

fn figure(field: &TankField, text: &str, step: f64, by: isize) -> Result<String, &'static str> {
    let found = find(text)?;
    let example = find(field.row.like)?.unit;
    let of = |name: &str| field.units().iter().find(|u| u.name == name);
    let step = match (of(example), of(found.unit)) {
        (Some(own), Some(other)) if own.name != other.name => in_other(step, own, other),
        _ => step,
    };
    // To the next whole step that way, so that figures stay round.
    let steps = found.number / step;
    let near = steps.round();
    let on_one = (steps - near).abs() < 1e-9;
    let from = match (on_one, by < 0) {
        (true, _) => near,
        (false, true) => steps.ceil(),
        (false, false) => steps.floor(),
    };
    let next = (from + by as f64) * step;
    let digits = decimals(step);
    // What would be less than nothing is nothing: the reader says where the field's own end is.
    let next = if next < 0.0 { 0.0 } else { next };
    Ok(format!("{}{}{}", found.before, trimmed(&format!("{next:.digits$}")), found.after))
}

/// A step in another unit, rounded to 1, 2 or 5 of a power of ten.
fn in_other(step: f64, own: &UnitOf, other: &UnitOf) -> f64 {
    let exact = step * own.factor / other.factor;
    let power = 10_f64.powf(exact.log10().floor());
    let lead = exact / power;
    let lead = if lead < 1.5 {
        1.0
    } else if lead < 3.5 {
        2.0
    } else if lead < 7.5 {
        5.0
    } else {
        10.0
    };
    lead * power
}

/// Digits behind the point that a step needs.
fn decimals(step: f64) -> usize {
    (0..12).find(|n| ((step * 10_f64.powi(*n)).round() / 10_f64.powi(*n) - step).abs() < 1e-12).unwrap_or(0)
        as usize
}
