//! Limits of the system: no threads, no room in files, a terminal that takes nothing, one larger than any, no
//! standard output. The program does what it still can, says what it cannot, and leaves the terminal as it was.
#![cfg(target_os = "linux")]
// Helpers of a test may fail as a test fails.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use std::fs;
use std::io::{Read, Write};
use std::process::{Command, Output};
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

use crate::home::{DEMO, Home};
use crate::session::{LIMIT, Session};

/// More than any address space has: the standard library asks for a stack of so many bytes for each thread, and
/// the system refuses.
const NO_THREADS: (&str, &str) = ("RUST_MIN_STACK", "140737488355328");

/// A script around the program, which it starts as `"$@"`.
fn wrapped(place: &Home, script: &str, arguments: &[&str]) -> CommandBuilder {
    let inner = place.command(arguments);
    let mut command = CommandBuilder::new("sh");
    command.args(["-c", script, "sh"]);
    command.args(inner.get_argv());
    command.cwd(place.path(""));
    command.env("HOME", place.path("home"));
    command
}

/// The program run to its end, within a shell's limit.
fn limited(limit: &str, arguments: &[&str], set: &[(&str, &str)]) -> Output {
    let mut command = Command::new("sh");
    command.args(["-c", &format!("{limit} exec \"$0\" \"$@\""), env!("CARGO_BIN_EXE_cansift")]);
    command.args(arguments).envs(set.iter().copied()).current_dir(env!("CARGO_MANIFEST_DIR"));
    command.output().unwrap()
}

fn words(output: &Output) -> String {
    format!("{:?}\n{}", output.status, String::from_utf8_lossy(&output.stderr))
}

#[test]
fn without_threads_every_command_still_answers() {
    let tank = format!("{DEMO}/tanks/reading-room.ron");
    let to = tempfile::tempdir().unwrap();
    let report = to.path().join("report");
    let asked: [&[&str]; 6] = [
        &["table", DEMO, "--samples", "8"],
        &["rank", DEMO, "--tank", &tank, "--samples", "8"],
        &["check", DEMO],
        &["answer", DEMO, "--tank", &tank, "--samples", "8"],
        &["report", DEMO, "--tank", &tank, "--samples", "8", "--to", report.to_str().unwrap()],
        &[
            "restack",
            "demo-data/tamsin-1100.ron#as bought",
            "--tank",
            &tank,
            "--samples",
            "0",
            "--threads",
            "1000",
        ],
    ];
    for arguments in asked {
        let without = limited("", arguments, &[NO_THREADS]);
        let _ = fs::remove_dir_all(&report);
        let with = limited("", arguments, &[]);
        let _ = fs::remove_dir_all(&report);
        // The book alone needs threads, and the report does without it.
        assert_eq!(words(&without), words(&with).replace("table.xlsx, ", ""), "{arguments:?}");
        assert!(without.stdout == with.stdout, "{arguments:?}");
    }
}

#[test]
fn without_threads_the_screens_work() {
    let place = Home::new();
    let mut command = place.command(&["filters", "--tank", "tank.ron", "--samples", "16"]);
    command.env(NO_THREADS.0, NO_THREADS.1);
    let mut s = Session::start(command);
    s.until("changes on disk are not seen by themselves");
    s.until("Tamsin 1100 · restacked");
    s.until("16 cases");
    s.press(" jj d");
    s.until("Why ");
    s.press("3");
    s.until("first ");
    s.press("1e");
    s.until_gone("first ");
    s.press("\u{1b}\u{1b}[<");
    std::thread::sleep(Duration::from_millis(200));
    s.press("/orr");
    s.until("holding /orr");
    s.press("\u{3}");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
}

/// Threads of that user.
fn threads_of(user: u32) -> usize {
    use std::os::unix::fs::MetadataExt;
    let processes =
        fs::read_dir("/proc").unwrap().flatten().filter(|e| e.metadata().is_ok_and(|m| m.uid() == user));
    processes.filter_map(|e| Some(fs::read_dir(e.path().join("task")).ok()?.count())).sum()
}

/// Somewhere between none and enough: wherever the limit strikes. It does not hold for root, who becomes somebody
/// else for it.
#[test]
fn with_few_threads_the_screens_work() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    const NOBODY: u32 = 54_321;
    let me = fs::metadata("/proc/self").unwrap().uid();
    let others = |who: u32| format!("setpriv --reuid {who} --regid {who} --clear-groups --inh-caps=-all");
    let other = |who: u32| if me == 0 { (others(who), who) } else { (String::new(), me) };
    let runs = format!("{} prlimit --nproc=100 {} --version", other(NOBODY).0, env!("CARGO_BIN_EXE_cansift"));
    if !Command::new("sh").args(["-c", &runs]).output().unwrap().status.success() {
        println!("not tried: nobody else can run the program here");
        return;
    }
    let works = |more: usize, (become_, who): (String, u32)| {
        let place = Home::new();
        fs::create_dir_all(place.path("home")).unwrap();
        for folder in ["", "home"] {
            fs::set_permissions(place.path(folder), fs::Permissions::from_mode(0o777)).unwrap();
        }
        let script = format!("exec {become_} prlimit --nproc={} \"$@\"", threads_of(who) + more);
        let mut s =
            Session::start(wrapped(&place, &script, &["filters", "--samples", "16", "--threads", "6"]));
        s.until("Tamsin 1100 · restacked");
        s.until("16 cases");
        let threads = fs::read_dir(format!("/proc/{}/task", s.child.process_id().unwrap())).unwrap().count();
        println!("{more} allowed, {threads} there");
        assert!(me != 0 || threads <= more, "{threads} threads where {more} are allowed");
        s.press("/orr");
        s.until("holding /orr");
        s.press("\u{3}");
        assert_eq!(s.child.wait().unwrap().exit_code(), 0, "{more} threads");
    };
    // Threads are counted by user: with one of its own each need not wait for the others.
    std::thread::scope(|all| {
        for more in [1, 2, 3, 5, 7] {
            let running = all.spawn(move || works(more, other(NOBODY + more as u32)));
            if me != 0 {
                running.join().unwrap();
            }
        }
    });
}

#[test]
fn where_no_file_may_grow_that_is_told() {
    let place = Home::new();
    let script = "stty -g > before; (ulimit -f 0; exec \"$@\"); echo \"status $?\"; stty -g > after; \
                  echo all done; read rest";
    let mut s = Session::start(wrapped(&place, script, &["filters", "--tank", "tank.ron", "--samples", "0"]));
    s.until("Tamsin 1100 · restacked");
    // Something to keep; it is tried a second later.
    s.press("s");
    std::thread::sleep(Duration::from_millis(1500));
    s.press("W\u{15}report\r");
    s.until("could not be");
    s.press("q");
    s.until("status 0");
    s.until("all done");
    s.given_back();
    assert!(s.text().contains("could not be kept for next time"), "{}", s.text());
    let read = |name: &str| fs::read_to_string(place.path(name)).unwrap();
    assert_eq!(read("before"), read("after"));
    s.press("\n");

    let to = tempfile::tempdir().unwrap();
    let name = |file: &str| to.path().join(file).to_str().unwrap().to_owned();
    for arguments in [
        &[
            "report",
            DEMO,
            "--tank",
            &format!("{DEMO}/tanks/cafe-window.ron"),
            "--samples",
            "0",
            "--to",
            &name("r"),
        ][..],
        &["draw", "demo-data/tamsin-1100.ron#as bought", "--samples", "0", "--to", &name("d.svg")],
    ] {
        let output = limited("ulimit -f 0;", arguments, &[]);
        assert_eq!(output.status.code(), Some(3), "{arguments:?}: {}", words(&output));
        assert!(words(&output).to_lowercase().contains("file too large"), "{}", words(&output));
    }
    let file = fs::File::create(to.path().join("table.txt")).unwrap();
    let mut command = Command::new("sh");
    command.args(["-c", "ulimit -f 0; exec \"$0\" table demo-data", env!("CARGO_BIN_EXE_cansift")]);
    command.current_dir(env!("CARGO_MANIFEST_DIR"));
    assert_eq!(command.stdout(file).status().unwrap().code(), Some(3));
}

#[test]
fn a_terminal_that_takes_nothing_holds_up_no_signal() {
    for (signal, number) in [("TERM", 143), ("HUP", 129), ("INT", 130), ("Ctrl-C", 0)] {
        let place = Home::new();
        let size = PtySize { rows: 60, cols: 200, pixel_width: 0, pixel_height: 0 };
        let pty = native_pty_system().openpty(size).unwrap();
        let script = "stty -g > before; \"$@\"; echo $? > status; stty -g > after; echo > done";
        let mut command = wrapped(&place, script, &["filters", "--samples", "0"]);
        command.env("TERM", "xterm-256color");
        let mut shell = pty.slave.spawn_command(command).unwrap();
        let mut reader = pty.master.try_clone_reader().unwrap();
        let mut keys = pty.master.take_writer().unwrap();
        let mut seen = Vec::new();
        let mut bytes = [0; 4096];
        while !String::from_utf8_lossy(&seen).contains("restacked") {
            let read = reader.read(&mut bytes).unwrap();
            seen.extend_from_slice(&bytes[..read]);
        }
        let children = format!("/proc/{0}/task/{0}/children", shell.process_id().unwrap());
        let process = fs::read_to_string(children).unwrap().split_whitespace().next().unwrap().to_owned();
        // From here on nobody reads; other screens are drawn until no more goes in.
        let where_it_waits =
            || fs::read_to_string(format!("/proc/{process}/task/{process}/wchan")).unwrap_or_default();
        let end = Instant::now() + LIMIT;
        let mut turns = 0;
        while turns < 200 && Instant::now() < end {
            keys.write_all(format!("{}", turns % 6 + 1).as_bytes()).unwrap();
            keys.flush().unwrap();
            std::thread::sleep(Duration::from_millis(15));
            turns += 1;
        }
        println!("waits in {:?}", where_it_waits());
        let sent = Instant::now();
        if signal == "Ctrl-C" {
            keys.write_all(b"\x03").unwrap();
        } else {
            Command::new("kill").args([&format!("-{signal}"), &process]).status().unwrap();
        }
        while !place.path("done").exists() {
            assert!(sent.elapsed() < LIMIT, "still there after {signal}");
            std::thread::sleep(Duration::from_millis(10));
        }
        let took = sent.elapsed();
        let read = |name: &str| fs::read_to_string(place.path(name)).unwrap();
        println!("{signal}: {took:?}");
        assert!(took < Duration::from_secs(2), "{signal}: {took:?}");
        assert_eq!(read("status").trim(), number.to_string());
        assert_eq!(read("before"), read("after"));
        // Whoever reads again finds a terminal given back.
        drop(keys);
        drop(pty.slave);
        shell.wait().unwrap();
        let mut rest = Vec::new();
        let _ = reader.read_to_end(&mut rest);
        let rest = String::from_utf8_lossy(&rest).into_owned();
        assert!(
            rest.contains("\u{1b}[?1049l") && rest.contains("\u{1b}[?25h"),
            "{signal}: {}",
            rest.escape_debug()
        );
    }
}

#[test]
fn a_terminal_larger_than_any_is_drawn_on_in_part() {
    let place = Home::new();
    let mut s = place.start(&["filters", "--samples", "0"]);
    s.until("Tamsin 1100 · restacked");
    let process = s.child.process_id().unwrap();
    let huge = PtySize { rows: 65535, cols: 65535, pixel_width: 0, pixel_height: 0 };
    s.master.resize(huge).unwrap();
    s.press("/orr");
    std::thread::sleep(Duration::from_millis(500));
    s.master.resize(PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 }).unwrap();
    s.until("holding /orr");
    let text = fs::read_to_string(format!("/proc/{process}/status")).unwrap();
    let peak = text.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap();
    let peak: u64 = peak.split_whitespace().next().unwrap().parse().unwrap();
    println!("{} MiB at 65535 by 65535", peak / 1024);
    assert!(peak < 200 * 1024, "{peak} KiB");
    s.press("\u{3}");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
}
