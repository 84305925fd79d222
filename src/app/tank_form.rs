//! The Tank screen: the tank as a form; what changes it, and back.

pub mod change;
pub mod choices;
mod moved;

pub use super::state::tank::{Answer, Ask, CHOICES, Choice, TankForm};
pub use change::{passes_over, problems, read, sync};
pub use choices::{answer, choose};
pub use moved::{Moved, moved, to_show};
