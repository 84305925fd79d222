//! Whether `strace` works here; where it does not, what needs it is skipped and says so.

use std::process::{Command, Stdio};

use crate::skip::skipped;

/// With these options, around a program that does nothing.
pub fn works_with(options: &[&str]) -> bool {
    let works = Command::new("strace")
        .args(["-f", "-o", "/dev/null"])
        .args(options)
        .arg("true")
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    if !works {
        skipped("strace", "no strace that works here");
    }
    works
}
