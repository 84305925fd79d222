//! Changes of a file's text at the place of one field: comments and the rest stay as they are.

use std::ops::Range;

use super::super::write::{figures, laid};
use super::lines::{At, all_rows, is_counted, kind_at, place, root, step, value_at};
use crate::model::fields::{Given, Kind, Known, Row, Table, Value, row};
use crate::profile::{lexer, plain};
use crate::uncertainty::{Provenance, Spread};

/// Forms within forms that one change may have to write out.
const DEEPEST: usize = 12;

/// The text with this at a field. Forms and lists round it that the file leaves out are written first, with what the
/// reader made of them where something is needed.
pub fn set(text: &str, table: &'static Table, sound: &Given, trail: &[At], ron: &str) -> String {
    let mut text = text.to_owned();
    for _ in 0..DEEPEST {
        let mut at = root(&text);
        let mut reached = 0;
        for to in trail {
            let Some(next) = step(&text, &at, to) else { break };
            (at, reached) = (next, reached + 1);
        }
        let Some((known, missing)) = trail.split_at_checked(reached) else { return text };
        let Some(next) = missing.first() else { return replaced(&text, &at, ron) };
        let parent = kind_at(table, known).unwrap_or(Kind::Form(|| NOTHING));
        let parent = if known.is_empty() { None } else { Some(parent) };
        // What stands there holds nothing to go into: `none`, `count(3)`, a list without its items.
        let closed = text.get(at.clone()) == Some(figures::NONE)
            || is_counted(&text, &at)
            || matches!((next, parent), (At::Item(_), Some(Kind::List(_))) | (At::Key(_), _));
        if closed && !known.is_empty() {
            let Some(whole) = written(sound, known, parent, indent_of(&text, at.start)) else { return text };
            if text.get(at.clone()) == Some(whole.as_str()) {
                return text;
            }
            text = replaced(&text, &at, &whole);
            continue;
        }
        let At::Field(row) = next else { return text };
        let rows: Vec<&'static Row> = match parent {
            None => table.rows().collect(),
            Some(Kind::Form(table)) => table().rows().collect(),
            Some(Kind::Choice(choice)) => all_rows(choice()),
            Some(_) => return text,
        };
        let last = missing.len() == 1;
        let within = trail.get(..=reached).unwrap_or(trail);
        let value = if last {
            ron.to_owned()
        } else {
            let kind = kind_at(table, within);
            let Some(value) = written(sound, within, kind, indent_of(&text, at.start) + 4) else {
                return text;
            };
            value
        };
        text = inserted(&text, &at, &rows, row, &value);
        if last {
            return text;
        }
    }
    text
}

static NOTHING: &Table = &Table { name: "", what: "", like: "", rows: &[], by_place: false };

/// A form or list as a file would have it: as the reader made it, else empty but for what it needs.
fn written(sound: &Given, trail: &[At], kind: Option<Kind>, indent: usize) -> Option<String> {
    static ANY: Row = row("");
    let row = trail.iter().rev().find_map(|to| match to {
        At::Field(row) => Some(*row),
        _ => None,
    });
    let row = row.unwrap_or(&ANY);
    if let Some(value) = value_at(sound, trail) {
        let told = told(value, row);
        return laid(&told, row, indent).or_else(|| fresh(kind?));
    }
    fresh(kind?)
}

/// What begins in such a place: nothing but what it needs, as guesses to be typed over.
pub fn fresh(kind: Kind) -> Option<String> {
    Some(match kind {
        Kind::Form(table) => form(table()),
        Kind::Choice(choice) => plain::chosen(choice(), choice().told().next()?),
        Kind::List(_) => "[]".to_owned(),
        Kind::Map => "{}".to_owned(),
        _ => return None,
    })
}

/// A form that holds what it needs, as guesses to be typed over.
pub fn form(table: &Table) -> String {
    let given: Vec<String> = table
        .rows()
        .filter(|row| row.is_needed())
        .map(|row| if table.by_place { guess(row) } else { format!("{}: {}", row.name, guess(row)) })
        .collect();
    let name = if table.like.starts_with('(') { "" } else { table.name };
    format!("{name}({})", given.join(", "))
}

fn guess(row: &Row) -> String {
    match row.kind {
        Kind::Figure(_) => format!("guessed({})", row.like),
        Kind::Choice(choice) => {
            let like = if row.like.is_empty() { choice().like } else { row.like };
            let word = lexer::word(like, 0);
            let variant = choice().variants.iter().find(|variant| variant.word == word);
            variant
                .or_else(|| choice().variants.first())
                .map_or_else(String::new, |variant| plain::chosen(choice(), variant))
        }
        Kind::Form(table) => form(table()),
        _ => row.like.to_owned(),
    }
}

/// What is assumed and has to be written becomes what it is: anything between its ends.
fn told(value: &Value, row: &Row) -> Value {
    let each = |given: &Given| {
        given
            .iter()
            .map(|(row, value)| match value {
                Value::Figure(_) if !row.is_needed() => (*row, value.clone()),
                _ => (*row, told(value, row)),
            })
            .collect::<Given>()
    };
    match value {
        Value::Figure(Known { si, known: Provenance::Assumed, spread, of }) => {
            let (Spread::TriangularLog { low, high } | Spread::Triangular { low, high }) = *spread else {
                return value.clone();
            };
            // To three digits of the unit that it is written in.
            let unit = of.unit(row.unit);
            let [low, high] = [low, high]
                .map(|si| unit.map_or_else(|| rounded(si), |unit| unit.to_si(rounded(unit.from_si(si)))));
            Value::Figure(Known {
                si: *si,
                known: Provenance::Between,
                spread: Spread::Uniform { low, high },
                of: *of,
            })
        }
        Value::Form(table, given) => Value::Form(table, each(given)),
        Value::Word(variant, given) => Value::Word(variant, each(given)),
        Value::List(items) => Value::List(items.iter().map(|item| told(item, row)).collect()),
        other => other.clone(),
    }
}

/// To three digits.
fn rounded(x: f64) -> f64 {
    format!("{x:.2e}").parse().unwrap_or(x)
}

fn replaced(text: &str, at: &Range<usize>, with: &str) -> String {
    let mut out = text.to_owned();
    if text.is_char_boundary(at.start)
        && text.is_char_boundary(at.end)
        && at.end <= text.len()
        && at.start <= at.end
    {
        out.replace_range(at.clone(), with);
    }
    out
}

/// Blanks before the line that holds a place.
fn indent_of(text: &str, at: usize) -> usize {
    let line = text.get(..at).unwrap_or_default().rsplit('\n').next().unwrap_or_default();
    line.len() - line.trim_start().len()
}

/// The end of a line from `at` on if only a remark stands there, else `at`.
fn past_remark(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    if line.trim().is_empty() || line.trim_start().starts_with("//") {
        at + line.trim_end().len()
    } else {
        at
    }
}

/// A field put into the form at `at`, where its place in the table is.
fn inserted(text: &str, at: &Range<usize>, rows: &[&'static Row], row: &Row, value: &str) -> String {
    let order =
        |name: &str| rows.iter().position(|row| row.name == name || !row.was.is_empty() && row.was == name);
    let own = order(row.name);
    let entries = lexer::entries(text, at);
    let before = entries.iter().rev().find(|entry| {
        let name = text.get(entry.key.clone()).unwrap_or_default();
        name == "format" || order(name).zip(own).is_some_and(|(other, own)| other < own)
    });
    let head = lexer::head(text, at);
    // A bare word becomes a form: `none`, or nothing yet.
    if text.as_bytes().get(head.end.saturating_sub(1)) != Some(&b'(') {
        return replaced(text, at, &format!("({}: {value})", row.name));
    }
    let first = entries.first().map_or(at.end, |entry| entry.key.start);
    let spread = text.get(head.end..first).is_some_and(|between| between.contains('\n'));
    let put = |at: usize, with: &str| replaced(text, &(at..at), with);
    match before {
        Some(entry) => {
            let end = entry.value.end;
            let after = lexer::skip_trivia(text, end);
            let comma = text.as_bytes().get(after) == Some(&b',');
            let from = if comma { after + 1 } else { end };
            if spread {
                let margin = " ".repeat(indent_of(text, entry.key.start));
                let sign = if comma { "" } else { "," };
                let from = if comma { past_remark(text, from) } else { from };
                put(from, &format!("{sign}\n{margin}{}: {value},", row.name))
            } else if comma {
                put(from, &format!(" {}: {value},", row.name))
            } else {
                put(from, &format!(", {}: {value}", row.name))
            }
        }
        None if entries.is_empty() => put(head.end, &format!("{}: {value}", row.name)),
        None if spread => {
            let margin = " ".repeat(indent_of(text, first));
            put(head.end, &format!("\n{margin}{}: {value},", row.name))
        }
        None => put(head.end, &format!("{}: {value}, ", row.name)),
    }
}

/// The text without a field, or without an item of a list; a form that holds nothing then goes as well.
pub fn remove(text: &str, trail: &[At]) -> String {
    let without = removed(text, trail);
    let above = trail.split_last().map_or(&[][..], |(_, above)| above);
    let hollow = matches!((trail.last(), above.last()), (Some(At::Field(_)), Some(At::Field(_))))
        && place(&without, above).is_some_and(|at| {
            let said = without.get(at.clone()).unwrap_or_default();
            said.ends_with(')')
                && lexer::word(said, 0).len() + 2 == said.replace(char::is_whitespace, "").len()
        });
    if hollow { remove(&without, above) } else { without }
}

fn removed(text: &str, trail: &[At]) -> String {
    let Some((last, above)) = trail.split_last() else { return text.to_owned() };
    let Some(within) = place(text, above) else { return text.to_owned() };
    let Some(value) = step(text, &within, last) else { return text.to_owned() };
    let start = match last {
        At::Item(_) => value.start,
        At::Field(_) => {
            let keys = lexer::entries(text, &within).into_iter().map(|entry| entry.key.start);
            keys.filter(|key| *key < value.start).max().unwrap_or(value.start)
        }
        At::Key(key) => {
            let quoted = figures::text(key);
            text.get(..value.start).and_then(|before| before.rfind(&quoted)).unwrap_or(value.start)
        }
    };
    let after = lexer::skip_trivia(text, value.end);
    let comma = text.as_bytes().get(after) == Some(&b',');
    let (mut start, mut end) = (start, if comma { after + 1 } else { value.end });
    let line = text.get(..start).unwrap_or_default().rfind('\n').map_or(0, |i| i + 1);
    let alone = text.get(line..start).is_some_and(|before| before.trim().is_empty());
    let remark = past_remark(text, end);
    let ends = text.as_bytes().get(remark) == Some(&b'\n') || remark == text.len();
    if alone && ends {
        (start, end) = (line, (remark + 1).min(text.len()));
    } else if comma {
        end += text.get(end..).map_or(0, |rest| rest.len() - rest.trim_start_matches(' ').len());
    } else {
        let before = text.get(..start).unwrap_or_default().trim_end();
        if before.ends_with(',') {
            start = before.len() - 1;
        }
    }
    replaced(text, &(start..end), "")
}

/// The text with one more item at the end of a list.
pub fn add(text: &str, table: &'static Table, sound: &Given, trail: &[At], ron: &str) -> String {
    let usable = |at: &Range<usize>| text.get(at.clone()).is_some_and(|said| said.starts_with('['));
    let Some(at) = place(text, trail).filter(usable) else {
        // What was assumed there is written out first, and stays.
        let whole = written(sound, trail, Some(Kind::Text), 4).filter(|whole| whole.starts_with('['));
        let whole = whole.unwrap_or_else(|| "[]".to_owned());
        let with = set(text, table, sound, trail, &whole);
        return match place(&with, trail) {
            Some(at) if with.get(at.clone()).is_some_and(|said| said.starts_with('[')) => {
                appended(&with, &at, ron)
            }
            _ => with,
        };
    };
    appended(text, &at, ron)
}

fn appended(text: &str, at: &Range<usize>, ron: &str) -> String {
    let items = lexer::items(text, at);
    let put = |at: usize, with: &str| replaced(text, &(at..at), with);
    let Some(last) = items.last() else { return put(at.start + 1, ron) };
    let after = lexer::skip_trivia(text, last.end);
    let comma = text.as_bytes().get(after) == Some(&b',');
    let spread = text.get(at.start..last.start).is_some_and(|before| before.contains('\n'));
    match (spread, comma) {
        (true, _) => {
            let margin = " ".repeat(indent_of(text, last.start));
            let from = if comma { past_remark(text, after + 1) } else { last.end };
            let sign = if comma { "" } else { "," };
            put(from, &format!("{sign}\n{margin}{ron},"))
        }
        (false, true) => put(after + 1, &format!(" {ron}")),
        (false, false) => put(last.end, &format!(", {ron}")),
    }
}
