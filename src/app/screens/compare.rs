//! Compare: some builds side by side. Its lines are measures, then stacks, then fields; all of them, or only what
//! differs.

use crate::app::asks::Pair;
use crate::app::effect::Effect;
use crate::app::entry::{Entry, Id};
use crate::app::layout;
use crate::app::list::{moved, pages};
use crate::app::screen::{May, Screen};
use crate::app::state::State;
use crate::app::tabs::Place;
use crate::compare::align::{self, Field, Row};
use crate::measures::{Measure, Outcome};

/// Most builds side by side.
pub const MOST: usize = 4;

pub struct Compare;

impl Screen for Compare {
    fn place(&self, _: &State) -> Place {
        Place::Compare
    }
    fn step(&self, state: &mut State, by: isize) {
        let lines = lines(state);
        let mut to = moved(state.compare.list.cursor, by, lines.len());
        // A heading holds nothing to choose: go past it the way one was going.
        if matches!(lines.get(to), Some(Compared::Head(_))) {
            let past = if by < 0 && to > 0 { to - 1 } else { to + 1 };
            to = past.min(lines.len().saturating_sub(1));
        }
        self.go(state, to);
        self.keep(state);
    }
    fn page(&self, state: &mut State, by: isize) {
        self.step(state, pages(by, window(state)));
    }
    fn column(&self, state: &mut State, by: isize) {
        state.compare.column = moved(state.compare.column, by, builds(state).len());
    }
    fn press(&self, state: &mut State, _: u16, y: u16) -> Vec<Effect> {
        let inner = state.parts().main.unwrap_or_default().inner();
        if let Some(row) = y.checked_sub(inner.y + 2) {
            let to = state.compare.list.top + usize::from(row);
            if lines(state).get(to).is_some_and(|l| !matches!(l, Compared::Head(_))) {
                self.go(state, to);
                self.keep(state);
            }
        }
        Vec::new()
    }
    fn figure(&self, state: &State) -> Result<(usize, Measure), &'static str> {
        allowed(state)?;
        let of = builds(state).get(state.compare.column).copied();
        match (lines(state).get(state.compare.list.cursor), of) {
            (Some(Compared::Measure(m)), Some(Id::Build(of))) => Ok((of, *m)),
            _ => Err("only a measure can be explained: choose one above"),
        }
    }
    fn on_line(&self, state: &State) -> May {
        allowed(state)
    }
    fn keep(&self, state: &mut State) {
        let (lines, builds, rows) = (lines(state).len(), builds(state).len(), window(state));
        let compare = &mut state.compare;
        // The first line is a heading.
        compare.list.cursor = compare.list.cursor.max(1);
        compare.list.keep(rows, lines);
        compare.column = compare.column.min(builds.saturating_sub(1));
        if compare.list.cursor == 1 {
            compare.list.top = 0;
        }
    }
    fn sync(&self, state: &mut State) -> Vec<Effect> {
        match pair_here(state).filter(|pair| state.unjudged() == 0 && !state.whys.contains_key(pair)) {
            Some(pair) => {
                // Only the newest question is answered: one that was not may be asked again.
                state.whys.retain(|_, line| line.is_some());
                state.whys.insert(pair, None);
                vec![Effect::Why(pair)]
            }
            None => Vec::new(),
        }
    }
    fn sought(&self, state: &State) -> Vec<String> {
        lines(state).iter().map(said).collect()
    }
    fn at(&self, state: &State) -> usize {
        state.compare.list.cursor
    }
    fn go(&self, state: &mut State, line: usize) {
        state.compare.list.cursor = line;
    }
}

/// Shows also what is the same, or only what differs.
pub fn all(state: &mut State) {
    state.compare.all = !state.compare.all;
    state.compare.list.top = 0;
    Compare.keep(state);
}

fn window(state: &State) -> usize {
    state.parts().main.map_or(1, layout::table_rows)
}

/// A line as it is looked for. A heading holds nothing to go to.
fn said(line: &Compared) -> String {
    match line {
        Compared::Head(_) | Compared::Nothing(_) => String::new(),
        Compared::Measure(m) => format!("{} {}", m.row().head, m.key()),
        Compared::Step(row) => {
            let steps = row.steps.iter().flatten().map(|s| format!("{} {}", s.place, s.says));
            steps.collect::<Vec<_>>().join(" ")
        }
        Compared::Field(field) => {
            let values: Vec<&str> = field.values.iter().flatten().map(String::as_str).collect();
            format!("{} {}", field.path, values.join(" "))
        }
    }
}

/// The pair under the cursor, where it stands on a measure: the first build and the chosen column, or the second.
pub fn pair_here(state: &State) -> Option<Pair> {
    let Some(Compared::Measure(measure)) = lines(state).get(state.compare.list.cursor).cloned() else {
        return None;
    };
    let builds = builds(state);
    let (Some(Id::Build(first)), Some(Id::Build(other))) =
        (builds.first().copied(), builds.get(state.compare.column.max(1)).copied())
    else {
        return None;
    };
    Some(Pair { first, other, measure })
}

#[derive(Clone, Debug, PartialEq)]
pub enum Compared {
    Head(&'static str),
    Measure(Measure),
    /// What lies at one place along the water.
    Step(Row),
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
pub fn lines(state: &State) -> Vec<Compared> {
    let entries: Vec<&Entry> = builds(state).into_iter().filter_map(|id| state.entry(id)).collect();
    if entries.len() < 2 {
        return Vec::new();
    }
    let all = state.compare.all;
    let pairs: Vec<_> = entries.iter().map(|e| (e.filter.as_ref(), e.build)).collect();
    let mut out = vec![Compared::Head("Measures")];
    part(
        &mut out,
        Measure::ALL.into_iter().filter(|m| all || differs(&entries, *m)).map(Compared::Measure).collect(),
        "no measure differs",
    );
    out.push(Compared::Head("Stack, along the water"));
    part(
        &mut out,
        align::stacks(&pairs).into_iter().filter(|r| all || r.differs()).map(Compared::Step).collect(),
        "the stacks are the same",
    );
    out.push(Compared::Head("Inputs"));
    part(
        &mut out,
        align::fields(&pairs).into_iter().filter(|f| all || f.differs()).map(Compared::Field).collect(),
        "no other input differs",
    );
    out
}

fn part(out: &mut Vec<Compared>, lines: Vec<Compared>, nothing: &'static str) {
    if lines.is_empty() {
        out.push(Compared::Nothing(nothing));
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
