//! The lines of a form: heads, fields, lists.

use std::ops::Range;

use super::super::{lexer, plain};
use crate::measures::Measure;
use crate::model::fields::{Brackets, Choice, Given, Kind, Known, Row, Table, Value, exact_of, variant_of};
use crate::order::InOrder;
use crate::units::Units;

/// What a line is, and so what can be done with it.
#[derive(Clone, Copy, Debug)]
pub enum What {
    /// Names those below it.
    Head,
    /// A form that may be there or not.
    Group,
    Typed,
    Choice(&'static Choice),
    Flag,
    List,
}

#[derive(Clone, Debug)]
pub struct Line {
    pub trail: Trail,
    pub row: &'static Row,
    /// What it holds: of an item what its list holds.
    pub kind: Kind,
    pub label: String,
    pub depth: usize,
    pub what: What,
    pub at: Option<Range<usize>>,
    /// What the reader made of it, where that is known.
    pub value: Option<Value>,
    /// Its own lines are folded away, or could be.
    pub folds: bool,
}

impl Line {
    pub fn given<'t>(&self, text: &'t str) -> Option<&'t str> {
        text.get(self.at.clone()?)
    }
}

/// Most rows of an item of a list that are always shown.
const SHORT: usize = 3;

/// Letters of a name that still stands beside its value.
const NARROW: usize = 20;

struct Walk<'a> {
    text: &'a str,
    open: &'a [Trail],
    out: Vec<Line>,
}

/// The lines of a file's text; `sound` is what the reader made of it last, `open` are items that are unfolded. The
/// leading ones come first.
pub fn lines(text: &str, table: &'static Table, sound: &Given, open: &[Trail]) -> Vec<Line> {
    let mut walk = Walk { text, open, out: Vec::new() };
    let at = root(text);
    walk.form((&table.rows().collect::<Vec<_>>(), false), Some(&at), Some(sound), &Vec::new(), 0);
    let (mut leading, rest): (Vec<Line>, Vec<Line>) = walk
        .out
        .into_iter()
        .partition(|line| line.row.lead > 0 && line.trail.len() < 3 && !matches!(line.what, What::Head));
    leading.order_by_key(|line| line.row.lead);
    for line in &mut leading {
        line.depth = 0;
        if line.trail.len() > 1 && line.row.words.len() < NARROW {
            line.label = line.row.words.to_owned();
        }
    }
    // What nothing is computed with stands last.
    let (rest, aside): (Vec<Line>, Vec<Line>) =
        rest.into_iter().partition(|line| !matches!(line.trail.first(), Some(At::Field(row)) if row.aside));
    // A head over nothing names nothing.
    let mut out: Vec<Line> = Vec::new();
    for line in rest.into_iter().chain(aside) {
        while out.last().is_some_and(|last| matches!(last.what, What::Head) && last.depth >= line.depth) {
            out.pop();
        }
        out.push(line);
    }
    while out.last().is_some_and(|last| matches!(last.what, What::Head)) {
        out.pop();
    }
    leading.append(&mut out);
    leading
}

impl Walk<'_> {
    fn push(&mut self, line: Line) {
        self.out.push(line);
    }

    fn said(&self, at: Option<&Range<usize>>) -> &str {
        at.and_then(|at| self.text.get(at.clone())).unwrap_or_default()
    }

    /// Its fields, by name, or by their place in brackets.
    fn form(
        &mut self,
        (rows, by_place): (&[&'static Row], bool),
        at: Option<&Range<usize>>,
        sound: Option<&Given>,
        trail: &Trail,
        depth: usize,
    ) {
        let parts = at.map(|at| parts(self.text, at, by_place)).unwrap_or_default();
        for (i, row) in rows.iter().enumerate() {
            let to = if by_place { At::Item(i) } else { At::Field(row) };
            let here = part(&parts, &to);
            let mut given = sound.into_iter().flatten();
            let value = if by_place { given.nth(i) } else { given.find(|(other, _)| other.name == row.name) };
            let value = value.map(|(_, value)| value);
            let mut trail = trail.clone();
            trail.push(to);
            let label = if row.label.is_empty() { row.words } else { row.label };
            self.field(row, row.kind, here, value, trail, label.to_owned(), depth);
        }
    }

    #[expect(
        clippy::too_many_arguments,
        clippy::needless_pass_by_value,
        reason = "a field, where it stands, and how it is shown, made for this call"
    )]
    fn field(
        &mut self,
        row: &'static Row,
        kind: Kind,
        at: Option<Range<usize>>,
        value: Option<&Value>,
        trail: Trail,
        label: String,
        depth: usize,
    ) {
        let none = self.said(at.as_ref()) == "none";
        let line = |what: What, folds: bool| Line {
            trail: trail.clone(),
            row,
            kind,
            label: label.clone(),
            depth,
            what,
            at: at.clone(),
            value: value.cloned(),
            folds,
        };
        match kind {
            Kind::Form(table) if plain::is_one_line(table()) => self.push(line(What::Typed, false)),
            Kind::Form(table) => {
                let rows: Vec<&'static Row> = table().rows().collect();
                let bare = !rows.iter().any(|row| row.is_needed());
                let item = matches!(trail.last(), Some(At::Item(_)));
                let folds = item && rows.len() > SHORT;
                let what = if bare && !item { What::Head } else { What::Group };
                self.push(line(what, folds));
                let open = !folds || self.open.contains(&trail);
                if !none && open && (bare || at.is_some() || value.is_some()) {
                    let given = match value {
                        Some(Value::Form(_, given)) => Some(given),
                        _ => None,
                    };
                    self.form((&rows, table().by_place), at.as_ref(), given, &trail, depth + 1);
                }
            }
            Kind::Choice(choice) => {
                self.push(line(What::Choice(choice()), false));
                let given = match value {
                    Some(Value::Word(_, given)) => Some(given),
                    _ => None,
                };
                let word = lexer::word(self.said(at.as_ref()), 0).to_owned();
                let variant = if at.is_some() {
                    choice().variants.iter().find(|variant| variant.word == word)
                } else if let Some(Value::Word(variant, _)) = value {
                    Some(variant_of(choice(), variant.word))
                } else {
                    None
                };
                let Some(variant) = variant.filter(|_| !none) else { return };
                let rows: Vec<&'static Row> = variant.rows.iter().chain(choice().common).collect();
                if variant.brackets != Brackets::None {
                    let by_place = variant.brackets == Brackets::ByPlace;
                    self.form((&rows, by_place), at.as_ref(), given, &trail, depth + 1);
                }
            }
            Kind::List(inner) => self.list(line(What::List, false), *inner, none),
            Kind::Map => {
                self.push(line(What::Head, false));
                let told = match value {
                    Some(Value::Map(pairs)) => pairs.as_slice(),
                    _ => &[],
                };
                let keys: Vec<(String, Option<Range<usize>>)> = match &at {
                    Some(at) => pairs(self.text, at).into_iter().map(|(key, at)| (key, Some(at))).collect(),
                    None => told.iter().map(|(key, _)| (key.clone(), None)).collect(),
                };
                for (key, at) in keys {
                    let label = Measure::from_key(&key).map_or(key.clone(), |m| m.as_priority().to_owned());
                    let number = told.iter().find(|(other, _)| *other == key).map(|(_, x)| Value::Number(*x));
                    let mut trail = trail.clone();
                    trail.push(At::Key(key));
                    self.push(Line {
                        trail,
                        row,
                        kind: Kind::Exact(exact_of(row)),
                        label,
                        depth: depth + 1,
                        what: What::Typed,
                        at,
                        value: number,
                        folds: false,
                    });
                }
            }
            Kind::Flag => self.push(line(What::Flag, false)),
            Kind::Figure(_) | Kind::Exact(_) | Kind::Count | Kind::Text | Kind::When | Kind::Flat(_) => {
                self.push(line(What::Typed, false));
            }
        }
    }

    fn list(&mut self, mut head: Line, inner: Kind, none: bool) {
        if head.row.words == "`trays`" {
            "trays".clone_into(&mut head.label);
        }
        let counted = head.at.as_ref().is_some_and(|at| is_counted(self.text, at));
        let words = matches!(inner, Kind::Text | Kind::Count);
        if words || counted || head.row.words == "`trays`" && head.at.is_none() && head.value.is_none() {
            head.what = What::Typed;
        }
        let (trail, row, depth) = (head.trail.clone(), head.row, head.depth);
        let items = head.at.as_ref().filter(|_| !counted).map(|at| lexer::items(self.text, at));
        let values = match &head.value {
            Some(Value::List(values)) => values.clone(),
            _ => Vec::new(),
        };
        self.push(head);
        if words || none {
            return;
        }
        let count = items.as_ref().map_or(values.len(), Vec::len);
        for i in 0..count {
            let at = items.as_ref().and_then(|items| items.get(i).cloned());
            let mut trail = trail.clone();
            trail.push(At::Item(i));
            let label = item_label(row, inner, i);
            self.field(row, inner, at, values.get(i), trail, label, depth + 1);
        }
    }
}

/// What an item of a list is called: by what it is, and its number.
fn item_label(row: &Row, inner: Kind, i: usize) -> String {
    let what = match inner {
        Kind::Form(table) => table().name.to_lowercase(),
        Kind::List(_) => "tray".to_owned(),
        _ => String::new(),
    };
    let what = match what.as_str() {
        "" => row.label,
        "onhand" => "medium",
        "curvepoint" => "point",
        other => other,
    };
    format!("{what} {}", i + 1)
}

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

/// What stands between the brackets at `at`, each with its name; items have none.
fn parts<'t>(text: &'t str, at: &Range<usize>, by_place: bool) -> Vec<(&'t str, Range<usize>)> {
    if !by_place {
        let named = |entry: lexer::Entry| (text.get(entry.key).unwrap_or_default(), entry.value);
        return lexer::entries(text, at).into_iter().map(named).collect();
    }
    let items = if is_counted(text, at) { Vec::new() } else { lexer::items(text, at) };
    items.into_iter().map(|item| ("", item)).collect()
}

fn part(parts: &[(&str, Range<usize>)], to: &At) -> Option<Range<usize>> {
    let part = match to {
        At::Field(row) => {
            parts.iter().find(|(name, _)| *name == row.name || !row.was.is_empty() && *name == row.was)
        }
        At::Item(i) => parts.get(*i),
        At::Key(_) => None,
    };
    part.map(|(_, at)| at.clone())
}

/// Where a step leads from what stands at `at`.
pub(super) fn step(text: &str, at: &Range<usize>, to: &At) -> Option<Range<usize>> {
    match to {
        At::Key(key) => pairs(text, at).into_iter().find(|(found, _)| found == key).map(|(_, value)| value),
        to => part(&parts(text, at, matches!(to, At::Item(_))), to),
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
