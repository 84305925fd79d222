//! Where a field of a file stands, and what may stand there.

use std::ops::Range;

use crate::model::fields::{Choice, Given, Kind, Known, Row, Table, Value};
use crate::profile::{lexer, plain};
use crate::units::Units;

/// One step from a file's form to one of its fields.
#[derive(Clone, Debug)]
pub enum At {
    Field(&'static Row),
    /// From 0.
    Item(usize),
    Key(String),
}

impl PartialEq for At {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Field(a), Self::Field(b)) => a.name == b.name,
            (Self::Item(a), Self::Item(b)) => a == b,
            (Self::Key(a), Self::Key(b)) => a == b,
            _ => false,
        }
    }
}

/// From a file's form to one of its fields.
pub type Trail = Vec<At>;

/// Where the file's one value stands.
pub(super) fn root(text: &str) -> Range<usize> {
    let start = lexer::skip_trivia(text, 0);
    start..lexer::value_end(text, start)
}

/// Where a step leads from what stands at `at`.
pub(super) fn step(text: &str, at: &Range<usize>, to: &At) -> Option<Range<usize>> {
    let value_from = |from: usize| {
        let start = lexer::skip_trivia(text, from);
        start..lexer::value_end(text, start)
    };
    match to {
        At::Field(row) => {
            let called = |name: &str| name == row.name || !row.was.is_empty() && name == row.was;
            let entry = lexer::entries(text, at)
                .into_iter()
                .find(|entry| text.get(entry.key.clone()).is_some_and(called))?;
            Some(value_from(lexer::skip_trivia(text, entry.key.end) + 1))
        }
        At::Item(i) if is_counted(text, at) => {
            let _ = i;
            None
        }
        At::Item(i) => lexer::items(text, at).into_iter().nth(*i),
        At::Key(key) => pairs(text, at).into_iter().find(|(found, _)| found == key).map(|(_, value)| value),
    }
}

/// `count(3)` counts trays, and holds none.
pub(super) fn is_counted(text: &str, at: &Range<usize>) -> bool {
    lexer::word(text, at.start) == "count"
}

/// The keys of a map with the places of their values.
pub(super) fn pairs(text: &str, at: &Range<usize>) -> Vec<(String, Range<usize>)> {
    let mut out = Vec::new();
    let mut from = at.start + 1;
    loop {
        let start = lexer::skip_trivia(text, from);
        let key = start..lexer::value_end(text, start);
        let colon = lexer::skip_trivia(text, key.end);
        if text.as_bytes().get(colon) != Some(&b':') || colon >= at.end {
            return out;
        }
        let start = lexer::skip_trivia(text, colon + 1);
        let value = start..lexer::value_end(text, start);
        from = lexer::skip_trivia(text, value.end) + 1;
        out.push((text.get(key).unwrap_or_default().trim_matches('"').to_owned(), value));
    }
}

/// Where a trail leads, if all of it stands in the text.
pub fn place(text: &str, trail: &[At]) -> Option<Range<usize>> {
    trail.iter().try_fold(root(text), |at, to| step(text, &at, to))
}

/// What may stand where a trail leads.
pub(super) fn kind_at(table: &'static Table, trail: &[At]) -> Option<Kind> {
    let mut rows: Vec<&'static Row> = table.rows().collect();
    let mut kind = None;
    for to in trail {
        kind = match (to, kind) {
            (At::Field(wanted), _) => Some(rows.iter().find(|row| row.name == wanted.name)?.kind),
            (At::Item(_), Some(Kind::List(inner))) => Some(*inner),
            (At::Item(i), Some(Kind::Choice(_) | Kind::Form(_))) => rows.get(*i).map(|row| row.kind),
            (At::Key(_), Some(Kind::Map)) => None,
            _ => return None,
        };
        rows = match kind {
            Some(Kind::Form(inner)) => inner().rows().collect(),
            Some(Kind::Choice(choice)) => all_rows(choice()),
            _ => Vec::new(),
        };
    }
    kind
}

pub(super) fn all_rows(choice: &'static Choice) -> Vec<&'static Row> {
    choice.variants.iter().flat_map(|variant| variant.rows).chain(choice.common).collect()
}

/// What the reader made of what stands, or does not stand, where a trail leads.
pub(super) fn value_at<'v>(given: &'v Given, trail: &[At]) -> Option<&'v Value> {
    let in_form = |given: &'v Given, row: &Row| {
        given.iter().find(|(other, _)| other.name == row.name).map(|(_, value)| value)
    };
    let (At::Field(first), rest) = trail.split_first()? else { return None };
    rest.iter().try_fold(in_form(given, first)?, |value, to| match (value, to) {
        (Value::Form(_, given) | Value::Word(_, given), At::Field(row)) => in_form(given, row),
        (Value::Form(_, given) | Value::Word(_, given), At::Item(i)) => given.get(*i).map(|(_, value)| value),
        (Value::List(items), At::Item(i)) => items.get(*i),
        _ => None,
    })
}

/// How far a figure may lie off, as people read it: `12–20`; none where it is exact.
pub fn range(figure: &Known, row: &Row, units: Units) -> Option<String> {
    use crate::uncertainty::uncertain::Spread as S;
    /// 9 of 10 of a normal lie within so many of its standard deviations.
    const NINE_OF_TEN: f64 = 1.645;
    let si = figure.si;
    let (low, high) = match figure.spread {
        S::Exact => return None,
        S::Normal { sd } => (si - (NINE_OF_TEN * sd * si).abs(), si + (NINE_OF_TEN * sd * si).abs()),
        S::Factor { factor } => {
            let by = factor.powf(NINE_OF_TEN / 2.0);
            (si / by, si * by)
        }
        S::CutNormal { sd } => ((si - NINE_OF_TEN * sd).max(0.0), si + NINE_OF_TEN * sd),
        S::Uniform { low, high } | S::Triangular { low, high } | S::TriangularLog { low, high } => {
            (low, high)
        }
    };
    let [low, high] = [low, high].map(|si| plain::rough(si, row, figure.of, units));
    (low != high).then(|| format!("{low}–{high}"))
}
