//! Published values, and other programs' answers, against ours.

mod checks;
mod vessel;

mod biology;
mod choice;
mod epanet;
mod hydraulics_outside;
mod hydraulics_vessel;
mod nitrate;
mod statistics;
mod uv;
