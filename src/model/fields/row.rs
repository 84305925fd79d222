//! What is said of a field, a form and a choice.

use std::ops::Range;

use crate::assumptions::A;
use crate::uncertainty::field::{self};
use crate::uncertainty::{Printed, Provenance, Spread};
use crate::units::{Quantity, UnitOf};

/// Where something stands in a text, in bytes.
pub type Place = Range<usize>;

/// What stands for a field that is left out.
#[derive(Clone, Copy, Debug)]
pub enum Silence {
    /// Nothing can: it is told as missing.
    Needed,
    /// There is none, or it is not told.
    Nothing,
    /// The program's own figure, SI, without doubt.
    Figure(f64),
    Assumed(A),
    /// Made by that row from the nominal of what it hangs on (`model::assumed`), wide, with a key of its own.
    Made(A),
    Word(&'static str),
    /// A form all of whose fields are left out.
    Fields,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wording {
    /// A name: one line, not empty.
    Name,
    Notes,
    /// Letters, digits, `-`, `_` and `.`.
    Id,
    Medium,
    Measure,
    /// A day of the calendar, `2026-03-01`.
    Date,
    /// So many letters at most.
    Short(usize),
}

#[derive(Clone, Copy)]
pub enum Kind {
    /// A figure that may be wrapped in how it is known.
    Figure(Dimension),
    /// A plain value in the row's unit, which nobody doubts.
    Exact(Dimension),
    Count,
    /// A date, or whole days since the filter was packed.
    When,
    Text,
    Flag,
    Form(fn() -> &'static Table),
    Choice(fn() -> &'static Choice),
    List(&'static Kind),
    /// Measures with a number each.
    Map,
    /// Stands for these rows of the same form.
    Flat(fn() -> &'static [Row]),
}

impl std::fmt::Debug for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Figure(of) | Self::Exact(of) => of.name,
            Self::Count => "count",
            Self::When => "when",
            Self::Text => "text",
            Self::Flag => "flag",
            Self::Form(_) => "form",
            Self::Choice(_) => "choice",
            Self::List(_) => "list",
            Self::Map => "map",
            Self::Flat(_) => "rows",
        })
    }
}

/// A kind of quantity as a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimension {
    pub name: &'static str,
    /// None for a bare number.
    pub units: &'static [UnitOf],
}

impl Dimension {
    pub const fn of<Q: Quantity>() -> Self {
        Self { name: Q::KIND, units: Q::UNITS }
    }
    pub fn unit(self, name: &str) -> Option<&'static UnitOf> {
        self.units.iter().find(|unit| unit.name == name)
    }
}

#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a yes or no of one field, set by name")]
pub struct Row {
    pub name: &'static str,
    /// What it adds to the keys of figures; empty where the form round it says enough.
    pub key: &'static str,
    pub(super) keyless: bool,
    /// What files called it before; still read, with a hint.
    pub was: &'static str,
    pub words: &'static str,
    /// Its name beside its own form's name, where that is shorter.
    pub label: &'static str,
    pub says: &'static str,
    /// How it is measured at home; empty where nobody can.
    pub measure: &'static str,
    pub without: &'static str,
    pub like: &'static str,
    /// The unit of its bounds, in which people read it too; empty for a bare number.
    pub unit: &'static str,
    pub low: f64,
    pub high: f64,
    pub printed: Printed,
    pub silence: Silence,
    pub wording: Wording,
    pub most: usize,
    /// A sensible step to nudge it by, in the unit of the example.
    pub step: f64,
    /// Stands among the first of the form on screen, in that order.
    pub lead: usize,
    /// Nothing is computed with it.
    pub aside: bool,
    /// Written even where it says what its absence would.
    pub always: bool,
    pub kind: Kind,
    /// `none` may stand there: there is no such thing.
    pub none: bool,
    /// Its type has no way to be absent.
    pub solid: bool,
    pub held: field::Field,
}

pub const fn row(words: &'static str) -> Row {
    Row {
        name: "",
        key: "",
        keyless: false,
        was: "",
        words,
        label: "",
        says: "",
        measure: "",
        without: "",
        like: "",
        unit: "",
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
        printed: Printed::Usual,
        silence: Silence::Needed,
        wording: Wording::Notes,
        most: usize::MAX,
        step: 0.0,
        lead: 0,
        aside: false,
        always: false,
        kind: Kind::Flag,
        none: false,
        solid: true,
        held: field::NONE,
    }
}

/// Rows are put together one saying at a time.
macro_rules! sayings {
    ($($(#[$doc:meta])* $name:ident: $type:ty;)+) => { $(
        $(#[$doc])*
        #[must_use]
        pub const fn $name(self, $name: $type) -> Self {
            Self { $name, ..self }
        }
    )+ };
}

impl Row {
    sayings! {
        was: &'static str;
        key: &'static str;
        label: &'static str;
        says: &'static str;
        measure: &'static str;
        without: &'static str;
        like: &'static str;
        wording: Wording;
        most: usize;
        step: f64;
        lead: usize;
        printed: Printed;
    }
    /// Its name in files where that is no name in Rust, or another one there.
    #[must_use]
    pub const fn file(self, name: &'static str) -> Self {
        Self { name, ..self }
    }
    /// The same row as a whole file.
    #[must_use]
    pub const fn list(self, words: &'static str) -> Self {
        Self { words, ..self }
    }
    /// Least and greatest plausible value, in that unit.
    #[must_use]
    pub const fn range(self, low: f64, high: f64, unit: &'static str) -> Self {
        Self { unit, low, high, ..self }
    }
    /// Without doubt unless a word says so.
    #[must_use]
    pub const fn exact(self) -> Self {
        Self { printed: Printed::Exact, ..self }
    }
    /// A length: so many millimetres beside its share.
    #[must_use]
    pub const fn length(self) -> Self {
        Self { printed: Printed::Length, ..self }
    }
    /// What water runs through.
    #[must_use]
    pub const fn bore(self) -> Self {
        Self { printed: Printed::Bore, ..self }
    }
    /// Adds nothing to keys.
    #[must_use]
    pub const fn keyless(self) -> Self {
        Self { keyless: true, ..self }
    }
    #[must_use]
    pub const fn aside(self) -> Self {
        Self { aside: true, ..self }
    }
    #[must_use]
    pub const fn always(self) -> Self {
        Self { always: true, ..self }
    }
    /// The program's own figure, SI, where it is left out.
    #[must_use]
    pub const fn or(self, si: f64) -> Self {
        Self { silence: Silence::Figure(si), ..self }
    }
    #[must_use]
    pub const fn or_assumed(self, which: A) -> Self {
        Self { silence: Silence::Assumed(which), ..self }
    }
    #[must_use]
    pub const fn or_made(self, which: A) -> Self {
        Self { silence: Silence::Made(which), ..self }
    }
    /// `none` may stand there, which means this.
    #[must_use]
    pub const fn or_none(self, without: &'static str) -> Self {
        Self { none: true, without, ..self }
    }
    #[must_use]
    pub const fn or_word(self, word: &'static str) -> Self {
        Self { silence: Silence::Word(word), ..self }
    }
    #[must_use]
    pub const fn or_nothing(self) -> Self {
        Self { silence: Silence::Nothing, ..self }
    }
    #[must_use]
    pub const fn or_fields(self) -> Self {
        Self { silence: Silence::Fields, ..self }
    }
    pub const fn is_needed(&self) -> bool {
        self.solid && matches!(self.silence, Silence::Needed)
    }
    pub const fn of_key(&self) -> field::Field {
        field::Field {
            name: self.words,
            unit: self.unit,
            low: self.low,
            high: self.high,
            printed: self.printed,
            measured_by: if self.measure.is_empty() { None } else { Some(self.measure) },
        }
    }
    /// What stands for it where it is left out, and where it says `none`.
    pub fn left_out(&self) -> String {
        let Silence::Made(which) = self.silence else { return self.without.to_owned() };
        let made = format!("assumed: {}", which.entry().words());
        if self.none { format!("{made}; `none`: {}", self.without) } else { made }
    }
    pub fn read_in(&self) -> Option<&'static UnitOf> {
        match self.kind {
            Kind::Figure(of) | Kind::Exact(of) => of.unit(self.unit),
            _ => None,
        }
    }
}

#[derive(Debug)]
pub struct Table {
    /// `Hose`; files may leave it out.
    pub name: &'static str,
    /// With its article: `a hose`.
    pub what: &'static str,
    pub like: &'static str,
    pub rows: &'static [Row],
    /// Written by place, `(a, b)`, and not by name.
    pub by_place: bool,
}

impl Table {
    /// Its rows, those that stand for others taken apart.
    pub fn rows(&self) -> impl Iterator<Item = &'static Row> + use<> {
        self.rows.iter().flat_map(|row| match row.kind {
            Kind::Flat(rows) => rows().iter(),
            _ => std::slice::from_ref(row).iter(),
        })
    }
}

/// A choice of words, each perhaps with fields of its own.
#[derive(Debug)]
pub struct Choice {
    pub what: &'static str,
    pub like: &'static str,
    pub variants: &'static [Variant],
    /// Fields that every word may have besides its own.
    pub common: &'static [Row],
}

impl Choice {
    /// The words that a file may say.
    pub fn told(&self) -> impl Iterator<Item = &'static Variant> + use<> {
        self.variants.iter().filter(|variant| !variant.word.is_empty())
    }
}

#[derive(Clone, Copy, Debug)]
pub struct Variant {
    pub word: &'static str,
    pub says: &'static str,
    pub rows: &'static [Row],
    pub brackets: Brackets,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Brackets {
    None,
    /// `word(name: …)`.
    Named,
    /// `word(…)`.
    ByPlace,
}

/// A figure without its type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    pub si: f64,
    pub known: Provenance,
    pub spread: Spread,
    pub of: Dimension,
}

/// What a field holds, as a value to be written, compared and read.
#[derive(Clone, Debug)]
pub enum Value {
    Figure(Known),
    /// In the row's unit.
    Number(f64),
    Flag(bool),
    Text(String),
    Form(&'static Table, Given),
    Word(&'static Variant, Given),
    List(Vec<Value>),
    Map(Vec<(String, f64)>),
}

pub type Given = Vec<(&'static Row, Value)>;

impl Value {
    /// Made by the program where a file left it out.
    pub fn is_assumed(&self) -> bool {
        match self {
            Self::Figure(known) => known.known == Provenance::Assumed && known.spread != Spread::Exact,
            Self::Word(_, given) | Self::Form(_, given) => {
                let is_told =
                    |value: &Self| matches!(value, Self::Figure(k) if k.known != Provenance::Assumed);
                let mut figures =
                    given.iter().map(|(_, v)| v).filter(|v| matches!(v, Self::Figure(_))).peekable();
                if figures.peek().is_none() {
                    return given.iter().any(|(_, value)| value.is_assumed());
                }
                let figures: Vec<&Self> = figures.collect();
                !figures.iter().any(|f| is_told(f)) && figures.iter().any(|f| f.is_assumed())
            }
            Self::List(items) => items.iter().any(Self::is_assumed),
            Self::Number(_) | Self::Flag(_) | Self::Text(_) | Self::Map(_) => false,
        }
    }
    /// The same to whoever computes with it: names, keys and doubt do not count.
    pub fn alike(&self, other: &Self) -> bool {
        // A gap of nothing is a passage when it is in doubt, and none when it is not.
        let passage = |f: &Known| f.si != 0.0 || f.spread != Spread::Exact;
        match (self, other) {
            (Self::Figure(a), Self::Figure(b)) => {
                a.si.to_bits() == b.si.to_bits() && passage(a) == passage(b)
            }
            (Self::Number(a), Self::Number(b)) => a.to_bits() == b.to_bits(),
            (Self::Flag(a), Self::Flag(b)) => a == b,
            (Self::Text(a), Self::Text(b)) => a == b,
            (Self::Map(a), Self::Map(b)) => a == b,
            (Self::Form(_, a), Self::Form(_, b)) => fields_alike(a, b),
            (Self::Word(v, a), Self::Word(w, b)) => v.word == w.word && fields_alike(a, b),
            (Self::List(a), Self::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.alike(b)),
            _ => false,
        }
    }
}

fn fields_alike(a: &Given, b: &Given) -> bool {
    let counted = |given: &Given| {
        given
            .iter()
            .filter(|(row, _)| !row.aside)
            .map(|(row, value)| (row.name, value.clone()))
            .collect::<Vec<_>>()
    };
    let (a, b) = (counted(a), counted(b));
    a.len() == b.len() && a.iter().zip(&b).all(|((n, v), (m, w))| n == m && v.alike(w))
}
