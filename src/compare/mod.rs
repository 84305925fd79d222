//! Builds beside each other: which is better, why, in what order, what to measure first.

pub mod align;
pub mod alike;
pub mod better;
pub mod candidates;
pub mod how_to_measure;
pub mod measure_first;
pub mod musts;
pub mod rank;
pub mod reasons;
pub mod standing;
pub mod swap;
pub mod utility;
pub mod why;
