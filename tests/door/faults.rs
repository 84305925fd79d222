//! Faults from outside: a program killed while it saves, a disk that is full, a folder full of what is no file,
//! a terminal or a home that is not there. Old or new is on disk, never between; a line says what is wrong.
#![cfg(unix)]
#![allow(clippy::case_sensitive_file_extension_comparisons)]

mod folders;
mod killed;
mod surroundings;
mod system_calls;

use std::path::Path;
use std::process::Command;

use crate::{binary, session, strace};

const PROGRAM: &str = env!("CARGO_BIN_EXE_cansift");
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");

/// The program with a home of its own, where it stands.
fn program(home: &Path, args: &[&str]) -> Command {
    let mut command = binary::command(home, args);
    command.env("HOME", home);
    command
}

/// Names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
