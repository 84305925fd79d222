//! What is not known exactly: a figure with its spread, the key that names where the doubt comes from, and draws.
pub mod centre;
pub mod distribution;
pub mod field;
pub mod generator;
pub mod key;
pub mod normal;
pub mod pinned;
pub mod recorder;
pub mod sampling;
pub mod spread;
pub mod summary;
pub mod uncertain;
