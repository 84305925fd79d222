//! The terminal after the program, as the kernel has it: every setting as before, within a fifth of a second,
//! however the program ended.
#![cfg(unix)]

use crate::skip::skipped;

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use crate::session::{LIMIT, Session};
use portable_pty::CommandBuilder;

/// P6's bound.
const SOON: Duration = Duration::from_millis(200);

/// The screens between two looks at the terminal's settings, left in `before` and `after`; the shell that runs them
/// heeds no signal itself.
fn start(place: &Path) -> Session {
    let script = "trap : INT HUP TERM QUIT; stty -g > before; echo $$ > shell; \"$0\" \"$@\"; echo $? > status; \
                  stty -g > after.new; mv after.new after; echo all done; read rest";
    let mut command = CommandBuilder::new("sh");
    command.args(["-c", script, env!("CARGO_BIN_EXE_cansift")]);
    command.args([concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data"), "--samples", "0"]);
    command.cwd(place);
    command.env("HOME", place);
    let s = Session::start(command);
    s.until("Tamsin 1100");
    s
}

/// The program under that shell.
fn program(place: &Path) -> String {
    let shell = fs::read_to_string(place.join("shell")).unwrap();
    let output = Command::new("ps").args(["-o", "pid=", "--ppid", shell.trim()]).output().unwrap();
    String::from_utf8(output.stdout).unwrap().split_whitespace().next().unwrap().to_owned()
}

fn wait_for(path: &Path) -> Duration {
    let start = Instant::now();
    while !path.exists() {
        assert!(start.elapsed() < LIMIT, "no {}", path.display());
        std::thread::sleep(Duration::from_millis(2));
    }
    start.elapsed()
}

/// Ends it and looks at what is left of it; how long that took.
fn ended(how: &str, status: &str) -> Duration {
    let place = tempfile::tempdir().unwrap();
    let mut s = start(place.path());
    match how {
        "q" | "\u{3}" => s.press(how),
        signal => drop(Command::new("kill").args([signal, &program(place.path())]).status().unwrap()),
    }
    let took = wait_for(&place.path().join("after"));
    s.until("all done");
    s.given_back();
    let read = |name: &str| fs::read_to_string(place.path().join(name)).unwrap();
    assert_eq!(read("before"), read("after"), "{how}: settings of the terminal");
    assert_eq!(read("status").trim(), status, "{how}");
    s.press("\n");
    s.child.wait().unwrap();
    took
}

#[test]
fn every_end_gives_every_setting_back_at_once() {
    let signals = [("-TERM", "143"), ("-INT", "130"), ("-HUP", "129"), ("-QUIT", "131")];
    for (how, status) in [("q", "0"), ("\u{3}", "0")].into_iter().chain(signals) {
        // One of fifteen in time: what the program takes, not what a busy machine adds.
        let mut all = Vec::new();
        let in_time = (0..15).any(|_| {
            let took = ended(how, status);
            all.push(took);
            took < SOON
        });
        println!("{how:?}: given back in {all:?}");
        assert!(in_time, "{how:?}: {all:?}");
    }
}

/// Under a shell with jobs: Ctrl-Z gives all back, `fg` takes it again, leaving gives it back for good.
#[test]
fn stopping_and_going_on_under_a_shell_with_jobs() {
    if Command::new("bash").arg("--version").output().is_err() {
        skipped("bash", "no bash here");
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let mut command = CommandBuilder::new("bash");
    command.args(["--norc", "--noprofile", "--noediting", "-i"]);
    command.cwd(place.path());
    command.env("HOME", place.path());
    command.env("PS1", "ready> ");
    let mut s = Session::start(command);
    s.until("ready>");
    let run = format!(
        "stty -g > before; {} {}/demo-data --samples 0\n",
        env!("CARGO_BIN_EXE_cansift"),
        env!("CARGO_MANIFEST_DIR")
    );
    s.press(&run);
    s.until("Tamsin 1100");
    s.press("\u{1a}");
    s.until("Stopped");
    s.given_back();
    s.press("stty -g > stopped; echo seen\n");
    wait_for(&place.path().join("stopped"));
    s.press("fg\n");
    s.until("Tamsin 1100");
    s.press("?");
    s.until("search:");
    s.press("\u{1b}");
    s.until_gone("search:");
    s.press("q");
    // The shell's own lines are on the other screen.
    s.until("ready>");
    s.press("stty -g > after.new; mv after.new after\n");
    wait_for(&place.path().join("after"));
    s.given_back();
    let read = |name: &str| fs::read_to_string(place.path().join(name)).unwrap();
    assert_eq!(read("before"), read("stopped"));
    assert_eq!(read("before"), read("after"));
    s.press("exit\n");
    s.child.wait().unwrap();
}
