//! Dirt over time on the network, and what says "open it".
//!
//! Loose dirt either settles on the bed of the tank or is caught, pass after pass; what is caught decays in place. Its
//! wet volume resists in the media and shuts the narrow gaps beside pads; slime grows in the hoses. Water turns to
//! where it still can: the network is solved again each step.

mod aged;
mod ageing;
mod capture;
mod deposit;
mod flock;

pub use aged::{Aged, Course, Dirt, LONGEST, Opened};
pub use aged::{Moment, Step, on};
pub use ageing::{Ageing, age, name_slime};
pub use capture::{Capture, TOLD_AT, one_pass};
pub use deposit::{Deposit, Grown, resistance};
pub use flock::Flock;
