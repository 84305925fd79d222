//! What comes in from outside and what is written: sound, broken and hostile files, faults of the system.

#[path = "../common/binary.rs"]
mod binary;
mod mutate;
#[path = "../common/said.rs"]
mod said;
#[path = "../common/session.rs"]
mod session;
mod strace;

mod bad_input;
mod faults;
mod foreign_text;
mod fuzz;
mod good_input;
mod own_files;
mod same_bytes;
mod write;
