//! Builds beside each other: which is better, why, in what order, what to measure first.

pub mod align;
pub mod better;
pub mod how_to_measure;
pub mod measure_first;
pub mod musts;
pub mod rank;
pub mod utility;
pub mod why;
