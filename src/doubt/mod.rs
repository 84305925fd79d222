//! What is not known exactly: a figure with its spread, the key that names where the doubt comes from, and draws.
pub mod draws;
pub mod figure;
pub mod key;
pub mod summary;
