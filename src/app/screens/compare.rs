//! Compare: some builds side by side. Its lines are measures, then stacks, then fields; all of them, or only what
//! differs.

use crate::app::layout::{self};
use crate::app::screens::ranking;
use crate::app::state::Ahead;
use crate::app::{Area, Effect, Entry, Id, List, May, Pair, Place, Screen, State, moved, pages};
use crate::compare::align::{self, Field, Row};
use crate::compare::better::{self};
use crate::compare::utility::Criterion;
use crate::compare::{Call, Standing};
use crate::measures::{Measure, Outcome};
use crate::model::Way;
use crate::order::InOrder;

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
    fn press(&self, state: &mut State, _: u16, y: u16) {
        let parts = areas(state);
        if let Some(row) = y.checked_sub(parts.lines.y) {
            let to = state.compare.list.top + usize::from(row);
            if lines(state).get(to).is_some_and(|l| !matches!(l, Compared::Head(_))) {
                self.go(state, to);
                self.keep(state);
            }
        }
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
    fn sync(&self, state: &mut State) {
        weigh_up(state);
        let ready =
            |pair: &Pair| state.unjudged() == 0 && !state.whys.contains_key(pair) && learnt(state, pair);
        if let Some(pair) = pair_here(state).filter(ready) {
            // Only the newest question is answered: one that was not may be asked again.
            state.whys.retain(|_, line| line.is_some());
            state.whys.insert(pair, None);
            state.ask(Effect::Why(pair));
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

/// What logs say is learnt with the cases; nothing is to be waited for where there is none.
fn learnt(state: &State, pair: &Pair) -> bool {
    let whole = |i: usize| state.entries.get(i).is_none_or(Entry::is_whole);
    state.samples.is_none() || [pair.first, pair.other].into_iter().all(whole) || state.logs().is_empty()
}

pub fn all(state: &mut State) {
    state.compare.all = !state.compare.all;
    state.compare.list.top = 0;
    Compare.keep(state);
}

pub fn next_part(state: &mut State) {
    let lines = lines(state);
    let heads: Vec<usize> =
        (0..lines.len()).filter(|i| matches!(lines.get(*i), Some(Compared::Head(_)))).collect();
    let cursor = state.compare.list.cursor;
    let next = heads.iter().copied().find(|at| *at > cursor).or(heads.first().copied()).unwrap_or(0);
    state.compare.list = List { cursor: next + 1, top: next };
    Compare.keep(state);
}

pub struct Areas {
    pub all: Area,
    /// The sentences that answer, two lines of names, and the lines below them.
    pub headline: Area,
    pub names: Area,
    pub lines: Area,
    /// Why they differ: below, or beside where there is room.
    pub why: Area,
}

const BESIDE: u16 = 40;

pub fn areas(state: &State) -> Areas {
    let main = state.parts().main.unwrap_or_default();
    let beside = main.w >= layout::WIDE;
    let (all, right) = if beside { main.split(BESIDE) } else { (main, Area::default()) };
    let inner = all.inner();
    let head = match (inner.h, inner.w) {
        (..=13, _) => 0,
        (_, ..=79) => 3,
        _ => 2,
    };
    let below = if beside || inner.h < 8 { 0 } else { inner.h.min(20) / 6 };
    let rest = inner.h.saturating_sub(head + 2 + below);
    Areas {
        all,
        headline: inner.rows(0, head),
        names: inner.rows(head, 2),
        lines: inner.rows(head + 2, rest),
        why: if beside { right } else { inner.rows(inner.h - below, below) },
    }
}

fn window(state: &State) -> usize {
    usize::from(areas(state).lines.h)
}

/// How often the second of two comes out ahead with all priorities, and which decides: worked out anew where the two,
/// their figures or the priorities are others.
fn weigh_up(state: &mut State) {
    let pair = match builds(state).as_slice() {
        [Id::Build(a), Id::Build(b)] => (*a, *b),
        _ => return,
    };
    ranking::fill(state);
    let settled = state.doubted.is_some_and(|share| share >= 1.0);
    let weights: Vec<f64> = state.ranking.weights.iter().map(|(_, w)| *w).collect();
    let asked = (pair.0, pair.1, state.round, settled, weights);
    if state.compare.weighed.as_ref() == Some(&asked) || state.unjudged() > 0 {
        return;
    }
    state.compare.ahead = ahead(state, pair, &asked.4);
    state.compare.weighed = Some(asked);
}

fn ahead(state: &State, pair: (usize, usize), weights: &[f64]) -> Option<Ahead> {
    let tank = state.tank.as_deref()?;
    let judged = |i: usize| state.entries.get(i)?.judged.as_deref();
    let mut standing = Standing::new(&[judged(pair.0)?, judged(pair.1)?], tank, 0);
    if standing.samples == 0 {
        return None;
    }
    let of_both = |m, is: fn(Outcome) -> bool| {
        [pair.0, pair.1].iter().all(|i| judged(*i).is_some_and(|judged| is(judged.outcome(m))))
    };
    let known = weights.len() == standing.criteria.len();
    let weigh = |(i, c): (usize, &Criterion)| {
        let own = weights.get(i).copied().filter(|_| known).unwrap_or(c.weight);
        // What a file is silent about could turn it either way: of one of them it decides nothing.
        if of_both(c.measure, |outcome| outcome.asked_of().is_none()) { own } else { 0.0 }
    };
    let weights: Vec<f64> = standing.criteria.iter().enumerate().map(weigh).collect();
    standing.reweigh(&weights);
    let misses = match (standing.rank(0).is_some(), standing.rank(1).is_some()) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    };
    if misses.is_some() {
        return Some(Ahead { chance: 0.5, decides: None, misses });
    }
    let chance = 1.0 - standing.better(0, 1)?.chance;
    let lead = standing.lead(1, 0)?;
    let side = if chance >= 0.5 { 1.0 } else { -1.0 };
    let both = lead.iter().filter(|(m, _)| of_both(*m, |outcome| outcome.number().is_some()));
    let decides = both.max_by(|a, b| (a.1 * side).total_cmp(&(b.1 * side))).map(|(m, _)| *m);
    Some(Ahead { chance, decides, misses })
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
    if let Some((a, b)) = state.compare.two {
        return vec![a, b];
    }
    let mut out: Vec<Id> =
        state.marks.iter().copied().filter(|id| state.entry(*id).is_some()).take(MOST).collect();
    if let (1, Some(here)) = (out.len(), state.cursor.filter(|id| state.entry(*id).is_some()))
        && !out.contains(&here)
    {
        out.push(here);
    }
    out
}

pub fn allowed(state: &State) -> Result<(), &'static str> {
    match builds(state).len() {
        0 => Err("mark two builds first ({mark})"),
        1 => Err("mark one more build, or move the cursor off the marked one"),
        _ => Ok(()),
    }
}

/// The measures of one's priorities, in their order; none without a tank.
pub fn priorities(state: &State) -> Vec<Measure> {
    let Some(tank) = &state.tank else { return Vec::new() };
    tank.priorities.iter().filter_map(|(key, _)| Measure::from_key(key)).collect()
}

pub fn lines(state: &State) -> Vec<Compared> {
    let entries: Vec<&Entry> = builds(state).into_iter().filter_map(|id| state.entry(id)).collect();
    if entries.len() < 2 {
        return Vec::new();
    }
    let all = state.compare.all;
    let pairs: Vec<_> = entries.iter().map(|e| (e.filter.as_ref(), e.build)).collect();
    let first = priorities(state);
    let mut out = Vec::new();
    if !first.is_empty() {
        out.push(Compared::Head("Your priorities"));
        out.extend(first.iter().copied().map(Compared::Measure));
    }
    let rest = Measure::ALL.into_iter().filter(|m| !first.contains(m));
    out.push(Compared::Head(if all { "The rest" } else { "The rest that differs" }));
    part(
        &mut out,
        rest.filter(|m| all || differs(&entries, *m)).map(Compared::Measure).collect(),
        "no measure differs",
    );
    let mut stacks: Vec<Row> = align::stacks(&pairs).into_iter().filter(|r| all || r.differs()).collect();
    let rising = entries.iter().filter(|e| e.filter.way == Way::Rising).count();
    // Where water rises in one and falls in another, what it meets first is what can be set side by side.
    let one_way = rising == 0 || rising == entries.len();
    if rising == entries.len() {
        stacks.reverse();
    }
    if one_way {
        stacks.order_by_key(|row| std::cmp::Reverse(row.tray()));
    }
    let head = if one_way { "Media, top tray first" } else { "Media, along the water" };
    out.push(Compared::Head(head));
    part(&mut out, stacks.into_iter().map(Compared::Step).collect(), "the stacks are the same");
    out.push(Compared::Head("Other inputs"));
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

/// Whether some build is not called the same as the first in a measure.
fn differs(entries: &[&Entry], measure: Measure) -> bool {
    let Some((first, others)) = entries.split_first() else { return false };
    others.iter().any(|other| {
        let both = first.judged.as_deref().zip(other.judged.as_deref());
        let verdict = both.and_then(|(a, b)| better::of_builds(a, b, measure, None));
        verdict.map_or(first.outcome(measure) != other.outcome(measure), |v| v.call != Call::Same)
    })
}
