//! The lines of the Diff screen: measures, then stacks, then fields; all of them, or only what differs.

use super::entry::{Entry, Id};
use super::state::State;
use crate::compare::align::{self, Field, Row};
use crate::measures::{Measure, Outcome};

/// Most builds side by side.
pub const MOST: usize = 4;

/// Two builds, by their places among the entries, and a measure in which they differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pair {
    /// The first.
    pub first: usize,
    /// The one held against it.
    pub other: usize,
    /// The measure.
    pub measure: Measure,
}

/// The pair under the cursor, where it stands on a measure: the first build and the chosen column, or the second.
pub fn pair_here(state: &State) -> Option<Pair> {
    let Some(Line::Measure(measure)) = lines(state).get(state.diff.cursor).cloned() else { return None };
    let builds = builds(state);
    let (Some(Id::Build(first)), Some(Id::Build(other))) =
        (builds.first().copied(), builds.get(state.diff.column.max(1)).copied())
    else {
        return None;
    };
    Some(Pair { first, other, measure })
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Begins a part.
    Head(&'static str),
    /// A measure of each build.
    Measure(Measure),
    /// What lies at one place along the water.
    Step(Row),
    /// An input of each build.
    Field(Field),
    /// Said instead of lines that are not there.
    Nothing(&'static str),
}

/// The builds to put side by side: those marked, in the order of marking, at most four; where one alone is
/// marked, that one and the one under the cursor.
pub fn builds(state: &State) -> Vec<Id> {
    let mut out: Vec<Id> =
        state.marks.iter().copied().filter(|id| state.entry(*id).is_some()).take(MOST).collect();
    if let (1, Some(here)) = (out.len(), state.cursor.filter(|id| state.entry(*id).is_some()))
        && !out.contains(&here)
    {
        out.push(here);
    }
    out
}

/// Whether there is something to compare, and why not.
pub fn allowed(state: &State) -> Result<(), &'static str> {
    match builds(state).len() {
        0 => Err("mark two builds first ({mark})"),
        1 => Err("mark one more build, or move the cursor off the marked one"),
        _ => Ok(()),
    }
}

/// The lines for what is to be compared.
pub fn lines(state: &State) -> Vec<Line> {
    let entries: Vec<&Entry> = builds(state).into_iter().filter_map(|id| state.entry(id)).collect();
    if entries.len() < 2 {
        return Vec::new();
    }
    let all = state.diff.all;
    let pairs: Vec<_> = entries.iter().map(|e| (e.filter.as_ref(), e.build)).collect();
    let mut out = vec![Line::Head("Measures")];
    part(
        &mut out,
        Measure::ALL.into_iter().filter(|m| all || differs(&entries, *m)).map(Line::Measure).collect(),
        "no measure differs",
    );
    out.push(Line::Head("Stack, along the water"));
    part(
        &mut out,
        align::stacks(&pairs).into_iter().filter(|r| all || r.differs()).map(Line::Step).collect(),
        "the stacks are the same",
    );
    out.push(Line::Head("Inputs"));
    part(
        &mut out,
        align::fields(&pairs).into_iter().filter(|f| all || f.differs()).map(Line::Field).collect(),
        "no other input differs",
    );
    out
}

fn part(out: &mut Vec<Line>, lines: Vec<Line>, nothing: &'static str) {
    if lines.is_empty() {
        out.push(Line::Nothing(nothing));
    } else {
        out.extend(lines);
    }
}

fn differs(entries: &[&Entry], measure: Measure) -> bool {
    let close = |a: Option<Outcome>, b: Option<Outcome>| match (a, b) {
        (Some(Outcome::Value(x)), Some(Outcome::Value(y))) => {
            (x - y).abs() <= 1e-9 * x.abs().max(y.abs()).max(1e-9)
        }
        _ => a == b,
    };
    entries.windows(2).any(|pair| match pair {
        [a, b] => !close(a.outcome(measure), b.outcome(measure)),
        _ => false,
    })
}
