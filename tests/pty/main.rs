//! The program in a pseudo-terminal: what can only be seen there, and a few whole walks.
#![cfg(test)]
#![allow(clippy::float_cmp, reason = "what is to be exact is checked to the bit")]

#[path = "../common/binary.rs"]
#[allow(dead_code, reason = "others use more of it")]
mod binary;
mod home;
#[path = "../common/session.rs"]
mod session;
#[path = "../common/skip.rs"]
mod skip;
#[path = "../common/things.rs"]
#[allow(dead_code, reason = "others use more of it")]
mod things;
#[path = "../common/keys.rs"]
mod typed;

mod editor;
mod flood;
mod given_back;
mod hang_up;
mod idle;
mod keys;
mod limits;
mod plain;
mod program;
mod restack_program;
mod terminal;
