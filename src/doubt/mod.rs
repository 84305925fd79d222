//! What is not known exactly: a figure with its spread, the key that names where the doubt comes from, and draws.
pub mod asked;
pub mod draws;
pub mod elementary;
pub mod figure;
pub mod generator;
pub mod held;
pub mod key;
pub mod law;
pub mod normal;
pub mod summary;
