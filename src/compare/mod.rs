//! Builds beside each other: which is better, why, in what order, what to measure first.

pub mod align;
pub mod better;
pub mod measure_first;
pub mod rank;
pub mod why;
