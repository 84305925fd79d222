//! A file as a form: each field of its tables is a line, whether it stands in the text or not. What is changed is the
//! text, at its place; what is left out shows what the reader made of it.

mod edit;
mod lines;

pub use edit::{add, fresh, remove, set};
pub use lines::{At, Line, Trail, What, lines, place, range};
