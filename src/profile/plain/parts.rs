//! Several figures in one field: `235x200x410`, `40 x 35 x 60 cm`, `25 % every 7 days`, `foam-20 2 l`.

use std::ops::Range;

use super::super::lexer;
use super::super::write::figures::text;
use super::figure::{self, One};
use super::{Unclear, Understood, as_in_file};
use crate::model::fields::{Dimension, Kind, Row, Table};
use crate::units::Units;

/// Below this many of their millimetres the sides of a box are meant as centimetres.
const CENTIMETRES: f64 = 100.0;
/// Words that may stand between two figures.
const BETWEEN: [&str; 8] = ["x", "×", "*", ",", ";", "by", "and", "every"];

/// A text before figures that are typed as one, and the figures.
type Figures = (Option<&'static Row>, Vec<(&'static Row, Dimension)>);

/// The figures of a form that is typed as one, a text before them if it has one; none for other forms.
pub fn figures(table: &Table) -> Option<Figures> {
    let mut rows = table.rows.iter().peekable();
    let named = rows.next_if(|row| table.by_place && matches!(row.kind, Kind::Text));
    let of = |row: &'static Row| match row.kind {
        Kind::Figure(of) if row.is_needed() => Some((row, of)),
        _ => None,
    };
    let figures: Option<Vec<_>> = rows.map(of).collect();
    figures.filter(|all| !all.is_empty() && all.len() <= 3).map(|all| (named, all))
}

pub(super) fn example(table: &Table, units: Units) -> Option<String> {
    let (named, figures) = figures(table)?;
    let told = figures.iter().map(|(row, _)| figure::example(row, units));
    let text = named.map(|row| row.like.trim_matches('"').to_owned());
    let by = if figures.len() == 3 { " x " } else { " " };
    Some(text.into_iter().chain([told.collect::<Vec<_>>().join(by)]).collect::<Vec<_>>().join(" "))
}

pub(super) fn understand(
    row: &'static Row,
    typed: &str,
    table: &'static Table,
    units: Units,
) -> Result<Understood, Unclear> {
    let Some((named, wanted)) = figures(table).filter(|_| !typed.contains('(')) else {
        return as_in_file(row, Kind::Text, typed);
    };
    let parts = parts(typed);
    let start = parts.first().map_or(typed.len(), |part| part.start);
    let before = typed.get(..start).unwrap_or_default();
    let about = before.trim_end().ends_with('~');
    let name = before.trim().trim_end_matches('~').trim();
    if let Some(row) = named.filter(|_| name.is_empty()) {
        return Err(Unclear::part(
            &(0..start),
            format!("{}: {} first, such as {}", table.what, row.words, row.like),
        ));
    }
    if named.is_none() && !name.is_empty() {
        return Err(Unclear::part(
            &(0..start),
            format!("`{}` stands before the numbers", super::visible(name)),
        ));
    }
    if parts.len() != wanted.len() {
        let all: Vec<&str> = wanted.iter().map(|(row, _)| row.label).collect();
        let said = format!(
            "{} {} here ({}), found {}",
            wanted.len(),
            if wanted.len() == 1 { "number belongs" } else { "numbers belong" },
            all.join(", "),
            parts.len()
        );
        return Err(Unclear::whole(typed, said));
    }
    let mut ones: Vec<One> = Vec::new();
    for (part, (row, of)) in parts.iter().zip(&wanted) {
        ones.push(figure::one(row, typed, part, *of, units)?);
    }
    share_units(&mut ones, &parts, typed, &wanted, units)?;
    let (mut given, mut told) = (Vec::new(), Vec::new());
    for ((one, part), (row, of)) in ones.iter().zip(&parts).zip(&wanted) {
        figure::in_range(row, part, one.si(), *of)?;
        let value = one.ron();
        let value = if about { format!("guessed({value})") } else { value };
        given.push(if table.by_place { value } else { format!("{}: {value}", row.name) });
        told.push(figure::shown(one.si(), row, *of, units));
    }
    let labels: Vec<&str> = wanted.iter().map(|(row, _)| row.label).collect();
    let alike = told.windows(2).all(|pair| matches!(pair, [a, b] if a.1 == b.1));
    let echo = if alike {
        let numbers: Vec<&str> = told.iter().map(|(number, _)| number.as_str()).collect();
        let sign = told.first().map_or("", |(_, sign)| sign);
        format!("{} {sign}", numbers.join(" × ")).trim_end().to_owned()
    } else {
        told.iter()
            .map(|(n, sign)| format!("{n} {sign}").trim_end().to_owned())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let echo = if name.is_empty() { echo } else { format!("{name}, {echo}") };
    let echo = if labels.len() > 1 { format!("{echo} ({})", labels.join(", ")) } else { echo };
    let echo = if about { format!("about {echo}, guessed") } else { echo };
    let given = named.map(|_| text(name)).into_iter().chain(given).collect::<Vec<_>>().join(", ");
    Ok(Understood { ron: format!("({given})"), echo })
}

/// What stands in a file, as people read it, and how all of it is known.
pub(super) fn human(table: &'static Table, ron: &str, units: Units) -> (String, &'static str) {
    let whole = 0..ron.len();
    let (items, entries) = (lexer::items(ron, &whole), lexer::entries(ron, &whole));
    let mut told: Vec<(String, &'static str)> = Vec::new();
    for (i, row) in table.rows.iter().enumerate() {
        let called = |entry: &&lexer::Entry| ron.get(entry.key.clone()) == Some(row.name);
        let at = if table.by_place {
            items.get(i).cloned()
        } else {
            entries.iter().find(called).map(|entry| entry.value.clone())
        };
        let text = at.and_then(|at| ron.get(at)).unwrap_or_default();
        told.push(super::human(row, row.kind, text, units));
    }
    let known = told.iter().map(|(_, known)| *known).find(|known| !known.is_empty()).unwrap_or("");
    // One unit for all stands once, behind the last.
    let split: Vec<(&str, &str)> =
        told.iter().map(|(said, _)| said.rsplit_once(' ').unwrap_or((said.as_str(), ""))).collect();
    let one = split.windows(2).all(|pair| matches!(pair, [a, b] if a.1 == b.1 && !a.1.is_empty()));
    let said = if one && split.len() > 1 {
        let numbers: Vec<&str> = split.iter().map(|(number, _)| *number).collect();
        format!("{} {}", numbers.join(" × "), split.first().map_or("", |(_, sign)| sign))
    } else {
        told.iter().map(|(said, _)| said.as_str()).collect::<Vec<_>>().join(", ")
    };
    (said, known)
}

/// A unit that stands only behind the last number is meant for all; sides of a box that are all small are centimetres.
fn share_units(
    ones: &mut [One],
    parts: &[Range<usize>],
    typed: &str,
    wanted: &[(&'static Row, Dimension)],
    units: Units,
) -> Result<(), Unclear> {
    let Some(((first, of), last)) = wanted.first().zip(parts.last()) else { return Ok(()) };
    if wanted.iter().any(|(_, other)| other.name != of.name) || of.units.is_empty() {
        return Ok(());
    }
    let named = ones.iter().filter(|one| one.named).count();
    if named == 1 && ones.last().is_some_and(|one| one.named) {
        let text = typed.get(last.clone()).unwrap_or_default();
        let from = text
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' ')))
            .unwrap_or(text.len());
        let unit = text.get(from..).unwrap_or_default();
        for (one, part) in ones.iter_mut().zip(parts) {
            if !one.named {
                let alone = typed.get(part.clone()).unwrap_or_default().trim();
                let both = format!("{alone} {unit}");
                *one = figure::one(first, &both, &(0..both.len()), *of, units)?;
            }
        }
    } else if named == 0
        && wanted.len() == 3
        && figure::own_unit(first, *of, units).is_some_and(|own| own.name == "mm")
        && ones.iter().all(|one| one.si() < CENTIMETRES * 1e-3)
        && let Some(cm) = of.unit("cm")
    {
        for one in ones.iter_mut() {
            *one = figure::with_unit(*one, cm);
        }
    }
    Ok(())
}

/// Where each number with its unit stands: a new one begins with a digit that follows a blank or a sign of times.
fn parts(typed: &str) -> Vec<Range<usize>> {
    let mut starts: Vec<usize> = Vec::new();
    let mut before = ' ';
    for (i, c) in typed.char_indices() {
        let times = |c: char| matches!(c, 'x' | 'X' | '×' | '*' | '~' | ';');
        if c.is_ascii_digit() && (before.is_whitespace() || times(before)) {
            let fraction = typed.get(i..).is_some_and(|rest| {
                let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
                rest.get(end..).is_some_and(|rest| rest.starts_with('/'))
                    && starts.last().is_some_and(|start| {
                        typed.get(*start..i).is_some_and(|one| one.trim().bytes().all(|b| b.is_ascii_digit()))
                    })
            });
            if !fraction {
                starts.push(i);
            }
        }
        before = c;
    }
    let ends = starts.iter().skip(1).copied().chain([typed.len()]);
    starts.iter().zip(ends).map(|(start, end)| trimmed(typed, *start..end)).collect()
}

/// Without the blanks and words between it and the next.
fn trimmed(typed: &str, at: Range<usize>) -> Range<usize> {
    let mut text = typed.get(at.clone()).unwrap_or_default();
    loop {
        let mut shorter = text.trim_end();
        for word in BETWEEN {
            let Some(rest) =
                shorter.strip_suffix(word).or_else(|| shorter.strip_suffix(&word.to_uppercase()))
            else {
                continue;
            };
            let letters = word.chars().all(|c| c.is_ascii_lowercase());
            if !letters || word == "x" || rest.ends_with(char::is_whitespace) {
                shorter = rest;
            }
        }
        if shorter.len() == text.len() {
            return at.start..at.start + text.len();
        }
        text = shorter;
    }
}
