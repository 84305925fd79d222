//! Published values, and other programs' answers, against ours.
#![cfg(test)]
#![allow(clippy::float_cmp, reason = "what is to be exact is checked to the bit")]

mod checks;
#[path = "../common/laws.rs"]
mod laws;
#[path = "../common/one.rs"]
mod one;

mod vessel;

mod biology;
mod choice;
mod epanet;
mod hydraulics_outside;
mod hydraulics_vessel;
mod keepers;
mod measured_elsewhere;
mod nitrate;
mod readings;
mod statistics;
mod uv;
mod whole_build;
