//! When the terminal is closed the program goes too.
#![cfg(unix)]

use std::io::Read;
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

fn cells(n: u16) -> std::num::NonZero<u16> {
    std::num::NonZero::new(n).unwrap()
}

/// Starts the program, closes its terminal once it shows the demo, and says how long it lived on.
fn lived_on(wrap: &[&str]) -> Duration {
    let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
    let pty = native_pty_system().openpty(size).unwrap();
    let program = env!("CARGO_BIN_EXE_cansift");
    let mut command = match wrap {
        [] => CommandBuilder::new(program),
        [first, rest @ ..] => {
            let mut command = CommandBuilder::new(first);
            command.args(rest);
            command.arg(program);
            command
        }
    };
    command.arg("demo-data");
    command.cwd(env!("CARGO_MANIFEST_DIR"));
    let mut child = pty.slave.spawn_command(command).unwrap();
    drop(pty.slave);
    let mut reader = pty.master.try_clone_reader().unwrap();
    let mut parser = vt100::Parser::new(cells(24), cells(80), 0);
    let mut bytes = [0; 4096];
    let start = Instant::now();
    while !parser.screen().contents().contains("Tamsin") {
        assert!(start.elapsed() < Duration::from_secs(20), "no screen:\n{}", parser.screen().contents());
        let read = reader.read(&mut bytes).unwrap();
        parser.process(&bytes[..read]);
    }
    drop(reader);
    drop(pty.master);
    let closed = Instant::now();
    loop {
        if child.try_wait().unwrap().is_some() {
            return closed.elapsed();
        }
        if closed.elapsed() > Duration::from_secs(10) {
            child.kill().unwrap();
            panic!("still there after ten seconds");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// The quickest of three: what the program takes, not what a busy machine adds.
fn within_a_second(wrap: &[&str]) {
    let took = (0..3).map(|_| lived_on(wrap)).min().unwrap();
    assert!(took < Duration::from_secs(1), "{took:?}");
}

#[test]
fn a_closed_terminal_ends_it() {
    within_a_second(&[]);
}

#[test]
fn a_closed_terminal_ends_it_also_where_the_signal_was_ignored() {
    within_a_second(&["sh", "-c", "trap '' HUP; exec \"$0\" \"$@\""]);
}
