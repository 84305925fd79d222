//! The real binary, run once to its end: what it printed, where, and with which status.

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Output};

use cansift::hidden::is_hidden;

/// The top of the repository, for tests that name the demo's files as a person there would.
pub const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// The program in a folder, with no home and nothing else of the surroundings, so that nobody's own profiles and
/// habits get in.
pub fn command(folder: impl AsRef<Path>, args: &[impl AsRef<OsStr>]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cansift"));
    command.args(args).env_clear().env("HOME", "/nonexistent").current_dir(folder);
    command
}

/// The same, run.
pub fn run(folder: impl AsRef<Path>, args: &[impl AsRef<OsStr>]) -> Output {
    command(folder, args).output().expect("the binary runs")
}

/// What it said on standard error.
pub fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Standard output of a run that ended with that status; it drives no terminal.
#[track_caller]
pub fn said(folder: impl AsRef<Path>, args: &[&str], status: i32) -> String {
    let output = run(folder, args);
    assert_eq!(output.status.code(), Some(status), "{args:?}: {}", err(&output));
    let text = String::from_utf8(output.stdout).expect("standard output is UTF-8");
    assert!(!text.chars().any(|c| c != '\n' && is_hidden(c)), "{args:?} drives a terminal");
    text
}

/// Standard output of a run that went well.
#[track_caller]
pub fn told(folder: impl AsRef<Path>, args: &[&str]) -> String {
    said(folder, args, 0)
}
