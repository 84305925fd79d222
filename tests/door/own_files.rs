//! What the program asks of the system, from a trace of its calls: it writes to the files it was told to save and
//! to one of its own, opens no connection, and starts no other program.
#![cfg(target_os = "linux")]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::session::Session;
use crate::strace;
use portable_pty::CommandBuilder;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_cansift");
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
const TRACED: &str = "trace=%file,%network,execve,execveat,ftruncate,fchmod";

/// What the calls in a trace changed on disk, by path; fails on a connection or another program.
fn written(log: &Path) -> Vec<String> {
    let mut paths = Vec::new();
    let text = fs::read_to_string(log).unwrap();
    assert!(text.lines().count() > 20, "no trace");
    for line in text.lines() {
        // `1234 openat(AT_FDCWD, "path", O_RDONLY) = 3`, cut in two where threads take turns.
        let call = line.trim_start_matches(|c: char| c.is_ascii_digit()).trim_start();
        let name = call.split('(').next().unwrap_or("");
        assert!(!call.contains("AF_INET") && !call.contains("AF_NETLINK"), "{line}");
        assert!(!matches!(name, "connect" | "bind" | "listen" | "accept" | "sendto"), "{line}");
        if name.starts_with("execve") {
            assert!(call.contains(PROGRAM), "{line}");
        }
        let opens = name.starts_with("open") || name == "creat";
        let for_writing = ["O_WRONLY", "O_RDWR", "O_CREAT", "O_TRUNC"].iter().any(|how| call.contains(how));
        let changes =
            ["rename", "link", "symlink", "unlink", "mkdir", "rmdir", "chmod", "fchmod", "truncate", "utime"]
                .iter()
                .any(|start| name.starts_with(start));
        if (opens && for_writing) || changes {
            paths.extend(call.split('"').skip(1).step_by(2).map(str::to_owned));
        }
    }
    paths.retain(|p| !matches!(p.as_str(), "/dev/tty" | "/dev/null"));
    paths
}

/// Is it, or does it lie in, what a save writes before it has its name: `./.17-0.cansift-new`?
fn beside(path: &str) -> bool {
    let mut parts = path.trim_start_matches("./").split('/');
    parts.next().is_some_and(|name| name.starts_with('.') && name.ends_with("-0.cansift-new"))
}

fn trace(place: &TempDir) -> std::path::PathBuf {
    place.path().join("trace")
}

#[test]
fn commands_write_what_they_were_told_to_and_nothing_else() {
    if !strace::works_with(&[]) {
        return;
    }
    let tank = format!("{DEMO}/tanks/reading-room.ron");
    let tamsin = format!("{DEMO}/tamsin-1100.ron#as bought");
    let few = ["--tank", &tank, "--samples", "8"];
    let with =
        |words: &[&str]| -> Vec<String> { words.iter().chain(&few).map(|w| (*w).to_owned()).collect() };
    for (args, saves) in [
        (with(&["table", DEMO]), None),
        (with(&["rank", DEMO]), None),
        (with(&["explain", &tamsin, "flow"]), None),
        (vec!["check".to_owned(), DEMO.to_owned()], None),
        (vec!["new".to_owned(), "new.ron".to_owned()], Some("new.ron")),
        (with(&["draw", &tamsin, "--to", "a.svg"]), Some("a.svg")),
        (with(&["restack", &tamsin, "--save", "b.ron"]), Some("b.ron")),
        (with(&["report", DEMO, "--to", "page"]), Some("page")),
    ] {
        let place = tempfile::tempdir().unwrap();
        let status = Command::new("strace")
            .args(["-f", "-e", TRACED, "-o"])
            .arg(trace(&place))
            .arg(PROGRAM)
            .args(&args)
            .current_dir(place.path())
            .env("HOME", place.path())
            .env_remove("XDG_STATE_HOME")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .unwrap();
        assert!(status.success(), "{args:?}");
        let written = written(&trace(&place));
        // Under its name, or beside it under one that says whose it is.
        let ours = |path: &String| saves.is_some_and(|name| path.contains(name) || beside(path));
        assert!(written.iter().all(ours), "{args:?}: {written:?}");
        assert_eq!(written.is_empty(), saves.is_none(), "{args:?}: {written:?}");
    }
}

#[test]
fn a_session_writes_one_file_of_its_own() {
    if !strace::works_with(&[]) {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let mut command = CommandBuilder::new("strace");
    command.args(["-f", "-e", TRACED, "-o"]);
    command.arg(trace(&place));
    command.arg(PROGRAM);
    command.args([DEMO, "--samples", "16"]);
    command.args(["--tank", &format!("{DEMO}/tanks/reading-room.ron")]);
    command.cwd(place.path());
    command.env("HOME", place.path());
    command.env_remove("XDG_STATE_HOME");
    let mut s = Session::start(command);
    s.until("Tamsin 1100");
    for keys in ["u", " j d", "\u{1b}", "3", "1", "p", "e", "\u{1b}", "r", "y"] {
        s.press(keys);
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    s.until("clipboard");
    s.press("q");
    assert!(s.child.wait().unwrap().success());
    let written = written(&trace(&place));
    let own = place.path().join(".local/state/cansift").display().to_string();
    // The folders above it are made where they are missing.
    assert!(written.iter().all(|p| p.starts_with(&own) || own.starts_with(p.as_str())), "{written:?}");
    assert!(written.iter().any(|p| p.ends_with("state.ron")), "{written:?}");
    let left = fs::read_dir(&own).unwrap().count();
    assert_eq!(left, 1, "one file, and nothing beside it");
}
