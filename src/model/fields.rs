//! One table of fields. A field of a file is one row: what it is called, what it holds, what it may be, what stands
//! for it when nobody says, how it is measured. Reading, checking, writing, comparing, the forms on screen, the
//! aligned diff, the page of fields and the JSON Schema all follow from the row.
//!
//! A form is declared with `form!`, a choice with `choice!`; what is read comes through a [`Door`], what is told
//! leaves as a [`Value`].

pub(super) mod declare;
pub mod door;
pub mod row;
mod types;

pub(crate) use declare::{brackets, by_place, choice, choice_field, form, rows};
pub use declare::{next, variant_of};
pub use door::{Door, Field, Figured, Figures, Step};
pub use row::{Brackets, Choice, Dimension, Kind, Place, Row, Silence, Table, Variant, Wording, row};
pub use row::{Given, Known, Value};
pub use types::exact_of;

pub use crate::uncertainty::field::Printed;
