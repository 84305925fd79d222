//! Where what is read comes from, and what can stand in a field.

use std::any::Any;
use std::sync::Arc;

use super::row::{Choice, Dimension, Given, Kind, Known, Place, Row, Table, Value, Variant, row};
use crate::model::Medium;
use crate::uncertainty::{Key, Provenance, Spread};

/// One step on the way from a file's form to a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// By its name, and by what it adds to a key: nothing where that is empty.
    Field(&'static str, &'static str),
    /// From 0.
    Item(usize),
    Id(String),
}

/// Reads figures, noting what is wrong at its place.
pub trait Figured {
    fn figure(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<Known>;
    /// A plain number in the row's unit.
    fn exact(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<f64>;
}

/// Where what is read comes from: it notes what is wrong at its place, and goes on.
pub trait Door: Figured {
    /// Where a field of the open form stands, if it is given.
    fn given(&mut self, row: &'static Row) -> Option<Place>;
    /// Notes that a field of the open form is missing.
    fn missing(&mut self, row: &'static Row);
    /// Notes that a field was left out for which something is made when all is read.
    fn left_out(&mut self, row: &'static Row);
    fn says_none(&self, at: &Place) -> bool;
    fn begins(&self, at: &Place, with: char) -> bool;
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
    fn items(&mut self, at: &Place, row: &'static Row) -> Option<Vec<Place>>;
    fn pairs(&mut self, at: &Place, row: &'static Row) -> Option<Vec<(Place, Place)>>;
    fn text(&mut self, at: &Place, row: &'static Row) -> Option<String>;
    fn flag(&mut self, at: &Place) -> Option<bool>;
    fn medium(&mut self, at: &Place) -> Option<Arc<Medium>>;
    /// The part of the hoses that a fitting called by its id is.
    fn part(&mut self, at: &Place) -> Option<Box<dyn Any>>;
    /// Notes a problem, and is false; without a place, at the head of the open form.
    fn fault(&mut self, at: Option<&Place>, message: String, help: &str) -> bool;
    /// Enough problems: whoever walks a list may stop.
    fn full(&self) -> bool;
    fn key(&self, row: &'static Row) -> Key;
    /// A form, choice or list was read, and is still open: rules across its fields have their say. `at` are the
    /// places of a list's items, else that of the whole.
    fn built(&mut self, what: &dyn Any, at: &[Place]) -> bool;
    /// Remembers what another field of the form is to hold, such as an outlet among fittings, and gives it back.
    fn keep(&mut self, what: Box<dyn Any>);
    fn kept(&mut self) -> Option<Box<dyn Any>>;
    /// What counts in the ranking when nobody says.
    fn usual_priorities(&self) -> Vec<(String, f64)>;
}

/// Takes figures one after the other: key, how known, spread.
pub type Figures<'f> = dyn FnMut(&Key, Provenance, Spread) + 'f;

pub trait Field: Sized + 'static {
    const KIND: Kind;
    /// It has no way to be absent.
    const SOLID: bool = true;
    /// Reads what stands there; `None` where a problem was noted, and for what is taken otherwise.
    fn read(_: &mut dyn Door, _: &Place, _: &'static Row) -> Option<Self> {
        None
    }
    /// What stands for it where it is left out.
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        door.missing(row);
        None
    }
    /// There is no such thing, where `none` may stand.
    fn nothing() -> Option<Self> {
        None
    }
    /// A field of the open form.
    fn take(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        let at = door.given(row);
        door.enter(Step::Field(row.name, row.key));
        let read = match at {
            Some(at) if row.none && door.says_none(&at) => Self::nothing(),
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
    /// Its figures, one after the other; what libraries hold does not belong to it.
    fn each(&self, _: &mut Figures<'_>) {}
    fn value(&self, _: &'static Row) -> Option<Value> {
        None
    }
    /// Is it the same to the nominal model? Names, keys and doubt do not count, only what is computed with.
    fn alike(&self, other: &Self) -> bool {
        /// Whatever it is called.
        static ANY: Row = row("");
        match (self.value(&ANY), other.value(&ANY)) {
            (Some(a), Some(b)) => a.alike(&b),
            (None, None) => true,
            _ => false,
        }
    }
    /// Adds what it holds to the fields of its form.
    fn put(&self, row: &'static Row, given: &mut Given) {
        given.extend(self.value(row).map(|value| (row, value)));
    }
}

impl Row {
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
        Self { name, key, label, kind: T::KIND, solid: T::SOLID, held: self.of_key(), ..self }
    }
}
