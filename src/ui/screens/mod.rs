//! The screens.

pub mod builds;
pub mod diff;
pub mod ranking;
