//! Builds beside each other: which is better, why, in what order, what to measure first.

pub mod align;
pub mod better;
pub mod candidates;
pub mod rank;
pub mod ranking;
pub mod reasons;
pub mod requirements;
pub mod shapley;
pub mod swap;
pub mod utility;
pub mod value_of_information;

pub use better::{Call, Side, Verdict};
pub use ranking::{Met, Standing, Stands};
pub use requirements::{Bound, Limit};
pub use shapley::Why;
pub use utility::criteria;
pub use value_of_information::{Gain, MeasureFirst};
