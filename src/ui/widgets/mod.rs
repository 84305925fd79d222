//! The parts of screens: each turns what it is given into lines for a width.

pub mod budget;
pub mod columns;
pub mod curve;
pub mod explain;
pub mod help;
pub mod plot;
pub mod reply;
pub mod section;
pub mod stages;
pub mod table;
pub mod timeline;
pub mod verdict;
