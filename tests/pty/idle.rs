//! Open and left alone the program costs nothing: it waits for keys, it does not look for them.
#![cfg(target_os = "linux")]

use std::time::Duration;

use crate::session::Session;
use portable_pty::CommandBuilder;

/// Clock ticks that a process has worked: fields 14 and 15 of its line (proc(5)), counted behind the name.
fn ticks(process: u32) -> u64 {
    let line = std::fs::read_to_string(format!("/proc/{process}/stat")).unwrap();
    let fields: Vec<&str> = line.rsplit_once(')').unwrap().1.split_whitespace().collect();
    fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
}

#[test]
fn left_alone_it_does_not_work() {
    let home = tempfile::tempdir().unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_cansift"));
    command.args(["--samples", "16"]);
    command.cwd(home.path());
    command.env("HOME", home.path());
    let mut s = Session::start(command);
    s.until("16 cases");
    // What was asked for last may still be under way.
    std::thread::sleep(Duration::from_secs(2));
    let process = s.child.process_id().unwrap();
    let before = ticks(process);
    std::thread::sleep(Duration::from_secs(8));
    // A loop that looks every few milliseconds takes tens of them; a tick is a hundredth of a second.
    let worked = ticks(process) - before;
    assert!(worked <= 4, "{worked} ticks in 8 s");
    let _ = s.child.kill();
}
