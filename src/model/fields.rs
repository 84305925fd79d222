//! One table of fields. A field of a file is one row: what it is called, what it holds, what it may be, what stands
//! for it when nobody says, how it is measured. Reading, checking, writing, comparing, the forms on screen, the
//! aligned diff, the page of fields and the JSON Schema all follow from the row.
//!
//! A form is declared with [`form!`], a choice with [`choice!`]; what is read comes through a [`Door`], what is told
//! leaves as a [`Value`].

use std::any::Any;
use std::ops::Range;
use std::sync::Arc;

use super::hoses::{Outlet, Part};
use super::medium::Medium;
use crate::assumptions::A;
use crate::uncertainty::field;
pub use crate::uncertainty::field::Printed;
use crate::uncertainty::key::Key;
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::{Plain, Quantity, UnitOf};

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
    /// A row of the assumptions.
    Assumed(A),
    /// A word of the choice.
    Word(&'static str),
    /// A form all of whose fields are left out.
    Fields,
}

/// What a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wording {
    /// A name: one line, not empty.
    Name,
    /// Free text.
    Notes,
    /// Letters, digits, `-`, `_` and `.`.
    Id,
    /// The id of a medium that is known.
    Medium,
    /// The key of a measure.
    Measure,
    /// So many letters at most.
    Short(usize),
}

/// What a field holds.
#[derive(Clone, Copy)]
pub enum Kind {
    /// A figure that may be wrapped in how it is known.
    Figure(Dimension),
    /// A plain value in the row's unit, which nobody doubts.
    Exact(Dimension),
    Count,
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

/// One field of a form.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// Its name in files.
    pub name: &'static str,
    /// What it adds to the keys of figures; empty where the form round it says enough.
    pub key: &'static str,
    keyless: bool,
    /// What files called it before; still read, with a hint.
    pub was: &'static str,
    /// Its name in messages.
    pub words: &'static str,
    /// Its name beside its own form's name, where that is shorter.
    pub label: &'static str,
    /// What it is for.
    pub says: &'static str,
    /// How it is measured at home; empty where nobody can.
    pub measure: &'static str,
    /// What happens when it is left out.
    pub without: &'static str,
    /// How it is written.
    pub like: &'static str,
    /// The unit of its bounds, in which people read it too; empty for a bare number.
    pub unit: &'static str,
    pub low: f64,
    pub high: f64,
    pub printed: Printed,
    pub silence: Silence,
    pub wording: Wording,
    /// Most entries of a list.
    pub most: usize,
    /// A sensible step to nudge it by, in the unit of the example.
    pub step: f64,
    /// Begins a part of the form on screen.
    pub head: &'static str,
    /// Nothing is computed with it.
    pub aside: bool,
    /// Written even where it says what its absence would.
    pub always: bool,
    pub kind: Kind,
    /// Its type has no way to be absent.
    pub solid: bool,
}

/// A row of that name in messages.
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
        head: "",
        aside: false,
        always: false,
        kind: Kind::Flag,
        solid: true,
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
        head: &'static str;
        silence: Silence;
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
        Self { low, high, unit, ..self }
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
    /// The row of a field of that type and name.
    #[must_use]
    pub const fn of<T: Field>(self, name: &'static str) -> Self {
        let name = if self.name.is_empty() { name } else { self.name };
        let key = if self.keyless {
            ""
        } else if self.key.is_empty() {
            name
        } else {
            self.key
        };
        let label = if self.label.is_empty() { self.words } else { self.label };
        Self { name, key, label, kind: T::KIND, solid: T::SOLID, ..self }
    }
    /// It has to be there.
    pub const fn is_needed(&self) -> bool {
        self.solid && matches!(self.silence, Silence::Needed)
    }
    /// What a key holds of it.
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
    /// A form of its own stands there, whose rows say what is left out.
    pub const fn is_composite(&self) -> bool {
        matches!(self.kind, Kind::Form(_))
    }
    /// The unit it is read in.
    pub fn read_in(&self) -> Option<&'static UnitOf> {
        match self.kind {
            Kind::Figure(of) | Kind::Exact(of) => of.unit(self.unit),
            _ => None,
        }
    }
}

/// A form: its name, what it is, and its rows.
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

#[derive(Clone, Copy, Debug)]
pub struct Variant {
    pub word: &'static str,
    /// How people read it.
    pub says: &'static str,
    pub rows: &'static [Row],
    pub brackets: Brackets,
}

/// What stands behind a word.
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

/// Fields that are given, each with its row.
pub type Given = Vec<(&'static Row, Value)>;

impl Value {
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

/// One step on the way from a file's form to a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// By its name, and by what it adds to a key: nothing where that is empty.
    Field(&'static str, &'static str),
    /// From 0.
    Item(usize),
    /// An item by its id or name.
    Id(String),
}

/// Where what is read comes from: it notes what is wrong at its place, and goes on.
pub trait Door {
    /// Where a field of the open form stands, if it is given.
    fn given(&mut self, row: &'static Row) -> Option<Place>;
    /// Notes that a field of the open form is missing.
    fn missing(&mut self, row: &'static Row);
    /// Opens a form; without a place, one in which nothing is given.
    fn open(&mut self, at: Option<&Place>, table: &'static Table) -> bool;
    /// Reads the word of a choice and opens what stands behind it.
    fn choose(
        &mut self,
        at: Option<&Place>,
        choice: &'static Choice,
        word: &'static str,
    ) -> Option<&'static Variant>;
    fn close(&mut self);
    fn enter(&mut self, step: Step);
    fn leave(&mut self);
    /// The items of a list.
    fn items(&mut self, at: &Place, row: &'static Row) -> Option<Vec<Place>>;
    /// The pairs of a map.
    fn pairs(&mut self, at: &Place, row: &'static Row) -> Option<Vec<(Place, Place)>>;
    fn figure(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<Known>;
    /// A plain number in the row's unit.
    fn exact(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<f64>;
    fn text(&mut self, at: &Place, row: &'static Row) -> Option<String>;
    fn flag(&mut self, at: &Place) -> Option<bool>;
    fn medium(&mut self, at: &Place) -> Option<Arc<Medium>>;
    /// What a fitting called by its id is.
    fn part(&mut self, at: &Place) -> Option<Part>;
    /// Notes a problem; without a place, at the head of the open form.
    fn fault(&mut self, at: Option<&Place>, message: String, help: &str);
    /// Enough problems: whoever walks a list may stop.
    fn full(&self) -> bool;
    /// The key of the field that was entered.
    fn key(&self, row: &'static Row) -> Key;
    /// A form, choice or list was read, and is still open: rules across its fields have their say. `at` are the
    /// places of a list's items, else that of the whole.
    fn built(&mut self, what: &dyn Any, at: &[Place]) -> bool;
    /// Remembers an outlet that stands among fittings, and gives it back.
    fn keep_outlet(&mut self, outlet: Outlet);
    fn kept_outlet(&mut self) -> Option<Outlet>;
    /// What counts in the ranking when nobody says.
    fn usual_priorities(&self) -> Vec<(String, f64)>;
}

/// What can stand in a field.
pub trait Field: Sized + 'static {
    const KIND: Kind;
    /// It has no way to be absent.
    const SOLID: bool = true;
    /// Reads what stands there; `None` where a problem was noted.
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self>;
    /// What stands for it where it is left out.
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        door.missing(row);
        None
    }
    /// A field of the open form.
    fn take(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        let at = door.given(row);
        door.enter(Step::Field(row.name, row.key));
        let read = match at {
            Some(at) => Self::read(door, &at, row),
            None => Self::silent(door, row),
        };
        door.leave();
        read
    }
    /// A list of it; what is sound of it is shown to the rules.
    fn read_list(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Vec<Self>> {
        let places = door.items(at, row)?;
        let (mut items, mut found) = (Vec::with_capacity(places.len()), Vec::new());
        for (i, place) in places.iter().enumerate() {
            if door.full() {
                break;
            }
            door.enter(Step::Item(i));
            if let Some(item) = Self::read(door, place, row) {
                items.push(item);
                found.push(place.clone());
            }
            door.leave();
        }
        let sound = door.built(&items, &found);
        (sound && items.len() == places.len()).then_some(items)
    }
    /// What it holds; none where it is absent.
    fn value(&self, row: &'static Row) -> Option<Value>;
    /// Adds what it holds to the fields of its form.
    fn put(&self, row: &'static Row, given: &mut Given) {
        given.extend(self.value(row).map(|value| (row, value)));
    }
}

/// Are two things the same to the nominal model?
pub fn alike<T: Field>(a: &T, b: &T) -> bool {
    /// Whatever it is called.
    static ANY: Row = row("");
    match (a.value(&ANY), b.value(&ANY)) {
        (Some(a), Some(b)) => a.alike(&b),
        (None, None) => true,
        _ => false,
    }
}

impl<T: Field> Field for Option<T> {
    const KIND: Kind = T::KIND;
    const SOLID: bool = false;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        T::read(door, at, row).map(Some)
    }
    fn silent(_: &mut dyn Door, _: &'static Row) -> Option<Self> {
        Some(None)
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        self.as_ref()?.value(row)
    }
}

impl<T: Field> Field for Vec<T> {
    const KIND: Kind = match T::KIND {
        Kind::Map => Kind::Map,
        _ => Kind::List(&T::KIND),
    };
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        T::read_list(door, at, row)
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        match (row.silence, T::KIND) {
            (Silence::Needed, _) => {
                door.missing(row);
                None
            }
            (_, Kind::Map) => T::read_list(door, &(0..0), row),
            _ => Some(Vec::new()),
        }
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        let values: Vec<Value> = self.iter().filter_map(|item| item.value(row)).collect();
        if let Kind::Map = T::KIND {
            let pairs = values.into_iter().filter_map(|value| match value {
                Value::Map(pair) => Some(pair),
                _ => None,
            });
            return Some(Value::Map(pairs.flatten().collect()));
        }
        Some(Value::List(values))
    }
}

/// A measure and what it counts.
impl Field for (String, f64) {
    const KIND: Kind = Kind::Map;
    fn read(_: &mut dyn Door, _: &Place, _: &'static Row) -> Option<Self> {
        None
    }
    fn read_list(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Vec<Self>> {
        if at.is_empty() {
            return Some(door.usual_priorities());
        }
        let pairs = door.pairs(at, row)?;
        let (mut read, mut found) = (Vec::new(), Vec::new());
        for (key, number) in &pairs {
            if door.full() {
                break;
            }
            let number = door.exact(number, row, Dimension::of::<Plain>());
            let Some(pair) = door.text(key, row).zip(number) else { continue };
            read.push(pair);
            found.push(key.clone());
        }
        let sound = door.built(&read, &found);
        (sound && read.len() == pairs.len()).then_some(read)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Map(vec![self.clone()]))
    }
}

impl<Q: Quantity> Field for Uncertain<Q> {
    const KIND: Kind = Kind::Figure(Dimension::of::<Q>());
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        let Known { si, known, spread, .. } = door.figure(at, row, Dimension::of::<Q>())?;
        Some(Self { value: Q::new(si)?, known, spread, key: door.key(row) })
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        match row.silence {
            Silence::Figure(si) => Some(Self::exact(Q::new(si)?, door.key(row))),
            Silence::Assumed(which) => Some(Self::exact(Q::new(which.entry().value)?, door.key(row))),
            _ => {
                door.missing(row);
                None
            }
        }
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let of = Dimension::of::<Q>();
        Some(Value::Figure(Known { si: self.si(), known: self.known, spread: self.spread, of }))
    }
}

/// A plain number; a row whose unit is one of time holds times.
impl Field for f64 {
    const KIND: Kind = Kind::Exact(Dimension::of::<Plain>());
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        door.exact(at, row, exact_of(row))
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        if let Silence::Figure(number) = row.silence {
            return Some(number);
        }
        door.missing(row);
        None
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Number(*self))
    }
}

/// The kind of quantity of a row that holds a plain number.
pub fn exact_of(row: &Row) -> Dimension {
    crate::units::KINDS
        .iter()
        .map(|(name, units)| Dimension { name, units })
        .find(|of| of.unit(row.unit).is_some())
        .unwrap_or(Dimension::of::<Plain>())
}

/// A corner of a traced outline, mm.
impl Field for (f64, f64) {
    const KIND: Kind = Kind::Form(|| CORNER);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        if !door.open(Some(at), CORNER) {
            return None;
        }
        let mut rows = CORNER.rows.iter();
        let (x, y) = (f64::take(door, next(&mut rows)), f64::take(door, next(&mut rows)));
        door.close();
        x.zip(y)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let numbers = [self.0, self.1].map(Value::Number);
        Some(Value::Form(CORNER, CORNER.rows.iter().zip(numbers).collect()))
    }
}

const CORNER: &Table = &Table {
    name: "",
    what: "a point of an outline",
    like: "(120, 35.5)",
    rows: &[
        row("traced coordinate (mm)").range(-5_000.0, 5_000.0, "").exact().like("120").of::<f64>("x"),
        row("traced coordinate (mm)").range(-5_000.0, 5_000.0, "").exact().like("35.5").of::<f64>("y"),
    ],
    by_place: true,
};

/// The medium of an id.
impl Field for Arc<Medium> {
    const KIND: Kind = Kind::Text;
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        door.medium(at)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Text(self.id.clone()))
    }
}

impl Field for u32 {
    const KIND: Kind = Kind::Count;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        let number = door.exact(at, row, Dimension::of::<Plain>())?;
        if number.fract() != 0.0 {
            door.fault(
                Some(at),
                format!("{} of {number}: expected a whole number", row.words),
                "count again",
            );
            return None;
        }
        // The row's bounds keep it small and positive.
        Some(number as Self)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Number(f64::from(*self)))
    }
}

impl Field for bool {
    const KIND: Kind = Kind::Flag;
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        door.flag(at)
    }
    fn silent(_: &mut dyn Door, _: &'static Row) -> Option<Self> {
        Some(false)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Flag(*self))
    }
}

impl Field for String {
    const KIND: Kind = Kind::Text;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        door.text(at, row)
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        if let Silence::Nothing = row.silence {
            return Some(Self::new());
        }
        door.missing(row);
        None
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        (!self.is_empty()).then(|| Value::Text(self.clone()))
    }
}

/// The next of a form's rows, in their order.
pub fn next(rows: &mut std::slice::Iter<'static, Row>) -> &'static Row {
    /// Never reached: a form has a row for each of its fields.
    static NONE: Row = row("field");
    rows.next().unwrap_or(&NONE)
}

/// A form: a structure, its name in files, what it is, an example, and the table of its fields. `given` are fields
/// that no file holds, `also` rows that files hold and the structure does not.
macro_rules! form {
    ($(#[$meta:meta])* $name:ident $file:literal $what:literal $like:literal $(by $place:ident)?
        $(given { $($(#[$gdoc:meta])* $given:ident: $gtype:ty,)+ })? $(also $extra:ident)? {
        $($(#[$doc:meta])* $field:ident: $type:ty = $row:expr;)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name { $($(#[$doc])* pub $field: $type,)+ $($($(#[$gdoc])* pub $given: $gtype,)+)? }
        #[allow(non_upper_case_globals, reason = "a row goes by the name of its field")]
        impl $name {
            $(pub const $field: $crate::model::fields::Row =
                $row.of::<$type>(stringify!($field));)+
            pub const TABLE: &'static $crate::model::fields::Table = &$crate::model::fields::Table {
                name: $file,
                what: $what,
                like: $like,
                rows: &[$(Self::$field),+ $(, $extra)?],
                by_place: $crate::model::fields::by_place!($($place)?),
            };
            fn from_open(door: &mut dyn $crate::model::fields::Door, at: &$crate::model::fields::Place) -> Option<Self> {
                let mut rows = Self::TABLE.rows.iter();
                $(let $field = <$type as $crate::model::fields::Field>::take(door, $crate::model::fields::next(&mut rows));)+
                let built = Self { $($field: $field?),+ $(, $($given: Default::default()),+)? };
                door.built(&built, std::slice::from_ref(at)).then_some(built)
            }
        }
        impl $crate::model::fields::Field for $name {
            const KIND: $crate::model::fields::Kind = $crate::model::fields::Kind::Form(|| Self::TABLE);
            fn read(
                door: &mut dyn $crate::model::fields::Door,
                at: &$crate::model::fields::Place,
                _: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                if !door.open(Some(at), Self::TABLE) {
                    return None;
                }
                let built = Self::from_open(door, at);
                door.close();
                built
            }
            fn silent(
                door: &mut dyn $crate::model::fields::Door,
                row: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                if !matches!(row.silence, $crate::model::fields::Silence::Fields) {
                    door.missing(row);
                    return None;
                }
                door.open(None, Self::TABLE);
                let built = Self::from_open(door, &(0..0));
                door.close();
                built
            }
            fn value(&self, _: &'static $crate::model::fields::Row) -> Option<$crate::model::fields::Value> {
                let mut rows = Self::TABLE.rows.iter();
                let mut given = Vec::new();
                $($crate::model::fields::Field::put(&self.$field, $crate::model::fields::next(&mut rows), &mut given);)+
                Some($crate::model::fields::Value::Form(Self::TABLE, given))
            }
        }
    };
}

macro_rules! by_place {
    () => {
        false
    };
    (place) => {
        true
    };
}

macro_rules! brackets {
    () => {
        $crate::model::fields::Brackets::None
    };
    (named) => {
        $crate::model::fields::Brackets::Named
    };
    (place) => {
        $crate::model::fields::Brackets::ByPlace
    };
}

/// A choice: an enumeration whose variants are words of the file, each perhaps with fields.
macro_rules! choice {
    ($(#[$meta:meta])* $name:ident $what:literal $like:literal $(with $common:expr)? , {
        $($(#[$doc:meta])* $variant:ident $word:literal $says:literal $(($by:ident) {
            $($(#[$fdoc:meta])* $field:ident: $type:ty = $row:expr;)*
        })?,)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        pub enum $name { $($(#[$doc])* $variant $({ $($(#[$fdoc])* $field: $type),* })?,)+ }
        impl $name {
            pub const CHOICE: &'static $crate::model::fields::Choice = &$crate::model::fields::Choice {
                what: $what,
                like: $like,
                variants: &[$($crate::model::fields::Variant {
                    word: $word,
                    says: $says,
                    rows: &[$($($row.of::<$type>(stringify!($field))),*)?],
                    brackets: $crate::model::fields::brackets!($($by)?),
                }),+],
                common: &[$($common)?],
            };
            /// Reads the fields of a word that was chosen and is open.
            #[allow(unused_variables, reason = "a word without fields asks the door for none")]
            pub fn of_variant(
                door: &mut dyn $crate::model::fields::Door,
                variant: &'static $crate::model::fields::Variant,
            ) -> Option<Self> {
                #[allow(unused_mut, unused_variables, reason = "not every word has fields")]
                let mut rows = variant.rows.iter();
                match variant.word {
                    $($word => {
                        $($(let $field = <$type as $crate::model::fields::Field>::take(
                            door, $crate::model::fields::next(&mut rows));)*)?
                        Some(Self::$variant $({ $($field: $field?),* })?)
                    })+
                    _ => None,
                }
            }
            /// The word in files and what stands behind it.
            pub fn variant(&self) -> (&'static $crate::model::fields::Variant, $crate::model::fields::Given) {
                #[allow(unused_mut, reason = "not every word has fields")]
                let mut given = Vec::new();
                let word = match self {
                    $(Self::$variant $({ $($field: _),* })? => $word,)+
                };
                let variant = $crate::model::fields::variant_of(Self::CHOICE, word);
                #[allow(unused_mut, unused_variables, reason = "not every word has fields")]
                let mut rows = variant.rows.iter();
                match self {
                    $(Self::$variant $({ $($field),* })? => {
                        $($($crate::model::fields::Field::put($field, $crate::model::fields::next(&mut rows), &mut given);)*)?
                    })+
                }
                (variant, given)
            }
            /// Its word in files.
            pub fn word(&self) -> &'static str {
                self.variant().0.word
            }
        }
    };
}

/// A choice that is a field as it stands.
macro_rules! choice_field {
    ($($name:ident),+) => { $(
        impl $crate::model::fields::Field for $name {
            const KIND: $crate::model::fields::Kind = $crate::model::fields::Kind::Choice(|| Self::CHOICE);
            fn read(
                door: &mut dyn $crate::model::fields::Door,
                at: &$crate::model::fields::Place,
                _: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                let variant = door.choose(Some(at), Self::CHOICE, "")?;
                let built = Self::of_variant(door, variant);
                let built = built.filter(|built| door.built(built, std::slice::from_ref(at)));
                door.close();
                built
            }
            fn silent(
                door: &mut dyn $crate::model::fields::Door,
                row: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                let $crate::model::fields::Silence::Word(word) = row.silence else {
                    door.missing(row);
                    return None;
                };
                let variant = door.choose(None, Self::CHOICE, word)?;
                let built = Self::of_variant(door, variant);
                door.close();
                built
            }
            fn value(&self, _: &'static $crate::model::fields::Row) -> Option<$crate::model::fields::Value> {
                let (variant, given) = self.variant();
                Some($crate::model::fields::Value::Word(variant, given))
            }
        }
    )+ };
}

/// The variant of that word; the first where there is none.
pub fn variant_of(choice: &'static Choice, word: &str) -> &'static Variant {
    /// Never reached: a word of a choice is one of its variants.
    static NONE: Variant = Variant { word: "", says: "", rows: &[], brackets: Brackets::None };
    choice.variants.iter().find(|variant| variant.word == word).unwrap_or(&NONE)
}

pub(crate) use {brackets, by_place, choice, choice_field, form};
