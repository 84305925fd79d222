//! The screens.

pub mod builds;
pub mod diff;
pub mod ranking;
pub mod restack;
pub mod sources;
pub mod tank;
