//! What leaves the program for people to read elsewhere.

pub mod figures;
