//! Another word, or a figure a sensible step up or down, in the unit it is written in.

use crate::model::fields::{Dimension, Kind, exact_of};
use crate::profile::form::{Line, What};
use crate::profile::plain;
use crate::units::{Units, trimmed};

/// What stands there so many steps on, none where it is left out; a field that is left out begins with its example.
pub fn nudged(
    line: &Line,
    kind: Kind,
    given: &str,
    by: isize,
    units: Units,
) -> Result<Option<String>, &'static str> {
    let row = line.row;
    match (line.what, kind) {
        (What::Choice(choice), _) => {
            let word = |ron: &str| ron.split('(').next().unwrap_or_default().to_owned();
            let words: Vec<String> = choice.told().map(|variant| plain::chosen(choice, variant)).collect();
            let like = words.iter().position(|one| word(one) == word(row.like)).unwrap_or(0);
            let Some(at) = words.iter().position(|one| word(one) == word(given)) else {
                return Ok(words.into_iter().nth(like));
            };
            let next = at.checked_add_signed(by);
            let leaves = !row.is_needed() && (next.is_none() || next >= Some(words.len()));
            Ok(if leaves {
                None
            } else {
                words.into_iter().nth(next.unwrap_or(at)).or(Some(given.to_owned()))
            })
        }
        (What::Flag, _) => Ok(Some((given != "true").to_string())),
        (What::Typed, Kind::Figure(of)) => figure(line, given, of, by, units).map(Some),
        (What::Typed, Kind::Exact(_) | Kind::Count) => {
            figure(line, given, exact_of(row), by, units).map(Some)
        }
        (What::Typed, _) => Err("it is typed: press {edit}"),
        _ => Err("nothing steps here: {edit} opens it"),
    }
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
    let end = rest.find(|c: char| !is_number(c)).unwrap_or(rest.len());
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

fn figure(line: &Line, given: &str, of: Dimension, by: isize, units: Units) -> Result<String, &'static str> {
    let row = line.row;
    if given.is_empty() {
        // From what is assumed, where that is a figure; else from the example.
        let assumed = match &line.value {
            Some(crate::model::fields::Value::Figure(known)) => {
                plain::understand(row, &plain::value(known.si, row, known.of, units), units).ok()
            }
            _ => None,
        };
        return Ok(assumed.map_or_else(|| row.like.to_owned(), |read| read.ron));
    }
    let found = find(given)?;
    let example = find(row.like).map_or("", |found| found.unit);
    let unit = |name: &str| of.units.iter().find(|unit| unit.name == name);
    let step = match (row.step > 0.0, unit(example), unit(found.unit)) {
        (false, ..) => round(found.number.abs().max(1e-3) / 20.0),
        (true, Some(own), Some(other)) if own.name != other.name => {
            round(row.step * own.factor / other.factor)
        }
        _ => row.step,
    };
    // To the next whole step that way, so that figures stay round.
    let steps = found.number / step;
    let near = steps.round();
    let from = match ((steps - near).abs() < 1e-9, by < 0) {
        (true, _) => near,
        (false, true) => steps.ceil(),
        (false, false) => steps.floor(),
    };
    let next = ((from + by as f64) * step).max(0.0);
    let digits = decimals(step);
    let text = format!("{}{}{}", found.before, trimmed(&format!("{next:.digits$}")), found.after);
    // What the reader would refuse is not taken.
    match plain::understand(row, &text, units) {
        Ok(_) => Ok(text),
        Err(_) if matches!(line.trail.last(), Some(crate::profile::form::At::Key(_))) => Ok(text),
        Err(_) => Err("that is as far as it goes"),
    }
}

/// Rounded to 1, 2 or 5 of a power of ten.
fn round(exact: f64) -> f64 {
    let power = 10_f64.powf(exact.log10().floor());
    let lead = match exact / power {
        lead if lead < 1.5 => 1.0,
        lead if lead < 3.5 => 2.0,
        lead if lead < 7.5 => 5.0,
        _ => 10.0,
    };
    lead * power
}

/// Digits behind the point that a step needs.
fn decimals(step: f64) -> usize {
    (0..12).find(|n| ((step * 10_f64.powi(*n)).round() / 10_f64.powi(*n) - step).abs() < 1e-12).unwrap_or(0)
        as usize
}
