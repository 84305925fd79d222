//! The screens, without a terminal.
#![cfg(test)]
#![allow(clippy::float_cmp, clippy::unreadable_literal, reason = "what is to be exact is checked to the bit")]

mod bench;
mod budgets;
#[path = "../common/chance.rs"]
#[allow(dead_code, reason = "others use more of it")]
mod chance;
mod demo;
mod program;
#[path = "../common/said.rs"]
mod said;
#[path = "../common/things.rs"]
mod things;
#[path = "../common/keys.rs"]
mod typed;

mod bytes;
mod every_action;
mod filter_form;
mod forms;
mod fuzz_screens;
mod keys;
mod logs;
mod looks;
mod picture;
mod queue;
mod restack_measures;
mod restack_saving;
mod restack_screen;
mod seek;
mod sources_screen;
mod state;
mod tank_form;
mod twenty;
mod views;
