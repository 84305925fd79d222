//! Build script: a release that is built from a checkout tells in `--version` which commit it is and when that was made.
#![allow(clippy::print_stdout, reason = "that is how a build script speaks")]

use std::process::Command;

fn main() {
    println!("cargo::rerun-if-changed=.ci/stamp.rs");
    // A debug build would be compiled anew after each commit.
    if std::env::var("PROFILE").as_deref() != Ok("release") {
        return;
    }
    let version = std::env::var("CARGO_PKG_VERSION").unwrap_or_default();
    // A package file unpacked inside somebody else's checkout is no checkout of this.
    if git(&["ls-files", "--error-unmatch", "Cargo.toml"]).is_none() {
        return;
    }
    let Some(commit) = git(&["log", "-1", "--format=%h, %cs"]) else { return };
    let changed =
        git(&["status", "--porcelain", "--untracked-files=no"]).is_some_and(|told| !told.is_empty());
    let changed = if changed { ", changed since" } else { "" };
    println!("cargo::rustc-env=CANSIFT_VERSION={version} ({commit}{changed})");
    for path in ["logs/HEAD", "index"] {
        if let Some(path) = git(&["rev-parse", "--git-path", path]) {
            println!("cargo::rerun-if-changed={path}");
        }
    }
}

/// What git prints, without the end of the line; `None` where there is no git or no checkout.
fn git(arguments: &[&str]) -> Option<String> {
    let told = Command::new("git").args(arguments).output().ok().filter(|told| told.status.success())?;
    Some(String::from_utf8(told.stdout).ok()?.trim().to_owned())
}
