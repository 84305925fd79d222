//! What comes in from outside and what is written: sound, broken and hostile files, faults of the system.
#![cfg(test)]
#![allow(clippy::string_slice, reason = "a test may fail where a text is not as it expects")]
#![allow(clippy::float_cmp, clippy::unreadable_literal, reason = "what is to be exact is checked to the bit")]

#[path = "../common/binary.rs"]
#[allow(dead_code, reason = "others use more of it")]
mod binary;
mod mutate;
#[path = "../common/said.rs"]
mod said;
#[path = "../common/session.rs"]
#[allow(dead_code, reason = "others use more of it")]
mod session;
#[path = "../common/skip.rs"]
mod skip;
mod strace;

mod arguments;
mod bad_input;
mod faults;
mod foreign_text;
mod form_text;
mod fuzz;
mod good_input;
mod import;
mod logs;
mod own_files;
mod plain_input;
mod reading;
mod same_bytes;
mod state;
mod stored;
mod tank_texts;
mod watched;
mod write;
