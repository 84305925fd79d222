//! The screens, without a terminal.

mod bench;
mod demo;
#[path = "../common/filters.rs"]
mod filters;
#[path = "../common/said.rs"]
mod said;
#[path = "../common/things.rs"]
mod things;

mod forms;
mod fuzz_screens;
mod keys;
mod restack_measures;
mod restack_saving;
mod restack_screen;
mod seek;
mod sources_screen;
mod views;
