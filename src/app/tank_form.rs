//! The Tank screen: the tank as a form of texts, each checked by the reader of files; what changes it, and back.

pub mod change;
pub mod choices;
pub mod keys;
pub mod lines;
pub mod lists;
mod moved;
pub mod nudge;

pub use super::state::tank::{Answer, Ask, CHOICES, Choice, TankForm};
pub use change::{passes_over, problems, sync};
pub use choices::answer;
pub use keys::{back, on_submit, page, press, step};
pub use lines::{FieldHelp, FormLine, area, beside, keep, lines, problem_now, reads_as, told, told_rows};
pub use lists::{complete, fits_here};
pub use moved::{Moved, moved, to_show};
