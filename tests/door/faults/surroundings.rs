//! No home, no terminal to speak of, streams that are shut, a disk that is full, folders that cannot be written.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use cansift::profile::{state_file, store};

use crate::skip::skipped;

use super::{DEMO, PROGRAM, names, program};

const TABLE: [&str; 4] = ["table", DEMO, "--samples", "0"];

#[test]
fn without_home_and_without_a_kind_of_terminal_the_table_is_there() {
    let nowhere = tempfile::tempdir().unwrap();
    for (name, value) in [
        ("HOME", None),
        ("HOME", Some("")),
        ("HOME", Some("/dev/null")),
        ("TERM", Some("dumb")),
        ("LANG", Some("C")),
    ] {
        for args in [&TABLE[..], &[DEMO, "--samples", "0"], &["--samples", "0"]] {
            let mut command = program(nowhere.path(), args);
            match value {
                Some(value) => command.env(name, value),
                None => command.env_remove(name),
            };
            let output = command.stdin(Stdio::null()).output().unwrap();
            let told = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(0), "{name} {value:?} {args:?}: {told}");
            assert!(String::from_utf8_lossy(&output.stdout).contains("Tamsin 1100"), "{told}");
        }
    }
    assert!(names(nowhere.path()).is_empty(), "a table writes nothing");
}

/// A terminal that cannot place text gets a dialogue of lines, which begins with the list; no escapes.
#[test]
fn a_dumb_terminal_gets_the_list_and_no_escapes() {
    use portable_pty::{CommandBuilder, PtySize, native_pty_system};
    for kind in [None, Some(""), Some("dumb")] {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pty = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args([DEMO, "--samples", "0"]);
        command.env_remove("TERM");
        if let Some(kind) = kind {
            command.env("TERM", kind);
        }
        let mut child = pty.slave.spawn_command(command).unwrap();
        drop(pty.slave);
        pty.master.take_writer().unwrap().write_all(b"quit\r").unwrap();
        let (mut reader, mut bytes) = (pty.master.try_clone_reader().unwrap(), Vec::new());
        // The end of a terminal is an error to its reader.
        let _ = reader.read_to_end(&mut bytes);
        assert_eq!(child.wait().unwrap().exit_code(), 0);
        let text = String::from_utf8(bytes).unwrap();
        assert!(text.contains("Tamsin 1100") && !text.contains('\u{1b}'), "{kind:?}: {text}");
    }
}

#[test]
fn a_reader_that_has_enough_is_no_error() {
    for format in ["text", "markdown", "bbcode", "csv", "json"] {
        let mut child = Command::new(PROGRAM)
            .args([&TABLE[..], &["--format", format]].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = child.stdout.take().unwrap();
        let mut first = [0];
        out.read_exact(&mut first).unwrap();
        drop(out);
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{format}");
        assert!(output.stderr.is_empty(), "{format}: {}", String::from_utf8_lossy(&output.stderr));
    }
}

#[test]
fn a_full_disk_behind_standard_output_is_said_once() {
    for args in [&TABLE[..], &["man"], &["media"], &["sources"], &["completions", "bash"], &["--help"]] {
        let full = File::options().write(true).open("/dev/full").unwrap();
        let output = Command::new(PROGRAM).args(args).stdout(full).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{args:?}: {told}");
        assert_eq!(told.matches("could not be written").count(), 1, "{args:?}: {told}");
    }
}

/// One that is shut cannot be told from one that is unwanted: before `main` the runtime puts `/dev/null`, open both
/// ways, in the place of a shut one, and other languages start programs with the same when they want no output.
#[test]
fn shut_streams_are_borne() {
    for shut in ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"] {
        let script = format!("\"$0\" \"$@\" {shut}");
        let mut command = Command::new("sh");
        command.args(["-c", &script, PROGRAM]).args(TABLE);
        let output = command.output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{shut}: {}", String::from_utf8_lossy(&output.stderr));
    }
}

/// A name that fits has room to be saved under; one that does not is told.
#[test]
fn long_names_are_saved() {
    let place = tempfile::tempdir().unwrap();
    for length in [200, 240, 250] {
        let name = format!("{}.ron", "x".repeat(length));
        store::save_new(&place.path().join(&name), "x").unwrap();
        state_file::write(&place.path().join(&name), "y").unwrap();
        store::save_folder(&place.path().join("x".repeat(length)), &[(&name, "z")]).unwrap();
    }
    assert_eq!(names(place.path()).len(), 6);
    assert!(store::save_new(&place.path().join("x".repeat(300)), "x").is_err());
}

/// What the system makes up while it is read (the log of its kernel waits for more for ever) behind a fair name.
#[cfg(target_os = "linux")]
#[test]
fn a_file_that_never_ends_is_not_waited_for() {
    let place = tempfile::tempdir().unwrap();
    let real = "/proc/kmsg";
    for name in ["log.ron", ".local/state/cansift/state.ron", ".config/cansift/keys.ron"] {
        let link = place.path().join(name);
        fs::create_dir_all(link.parent().unwrap()).unwrap();
        std::os::unix::fs::symlink(real, link).unwrap();
    }
    for args in
        [&["check", "log.ron"][..], &["table", ".", "--samples", "0"], &["keys"], &["--plain", "log.ron"]]
    {
        let mut child =
            program(place.path(), args).stdin(Stdio::null()).stdout(Stdio::null()).spawn().unwrap();
        let begun = std::time::Instant::now();
        while child.try_wait().unwrap().is_none() {
            if begun.elapsed().as_secs() > 20 {
                child.kill().unwrap();
                panic!("{args:?} waits");
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
    }
    let about = fs::metadata("/proc/self/status").unwrap();
    assert!(about.is_file() && !fs::read_to_string("/proc/self/status").unwrap().is_empty());
    assert_eq!(store::read_text(Path::new("/proc/self/status")).ok().as_deref(), Some(""), "not begun");
}

/// What writes files, each into `folder`.
fn writers(folder: &str) -> Vec<Vec<String>> {
    let tamsin = format!("{DEMO}/tamsin-1100.ron#as bought");
    let tank = format!("{DEMO}/tanks/reading-room.ron");
    let words = |of: &[&str]| of.iter().map(|w| (*w).to_owned()).collect();
    vec![
        words(&["new", &format!("{folder}/new.ron"), "--trays", "12"]),
        words(&["draw", &tamsin, "--to", &format!("{folder}/a.svg")]),
        words(&["restack", &tamsin, "--tank", &tank, "--samples", "8", "--save", &format!("{folder}/s.ron")]),
        words(&["report", DEMO, "--tank", &tank, "--samples", "8", "--to", &format!("{folder}/page")]),
    ]
}

/// Every command that saves, where no more than a few bytes can be written: one line, status 3, nothing left.
fn nothing_is_left(folder: &Path, shell: &str) {
    for args in writers(folder.to_str().unwrap()) {
        let mut command = Command::new("sh");
        command.args(["-c", &format!("{shell} exec \"$0\" \"$@\""), PROGRAM]).args(&args);
        let output = command.output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{args:?}: {told}");
        assert!(told.contains("could not be saved"), "{args:?}: {told}");
        let left: Vec<String> = names(folder).into_iter().filter(|n| n != "page").collect();
        assert!(left.is_empty(), "{args:?}: {left:?}");
        if folder.join("page").exists() {
            assert!(names(&folder.join("page")).is_empty());
            fs::remove_dir(folder.join("page")).unwrap();
        }
    }
}

#[test]
fn a_write_that_stops_in_the_middle_leaves_nothing() {
    let place = tempfile::tempdir().unwrap();
    // A file may grow to 1 or 2 KiB (shells differ), and the signal that says so is ignored.
    nothing_is_left(place.path(), "trap '' XFSZ; ulimit -f 2;");
    // What was kept last time stays, too.
    let state = place.path().join("state");
    fs::write(&state, "old").unwrap();
    fs::create_dir(place.path().join("taken")).unwrap();
    assert!(state_file::write(&place.path().join("taken"), "new").is_err(), "no rename over a folder");
    assert!(state_file::write(&state.join("below"), "new").is_err(), "no folder there");
    assert!(state_file::write(Path::new("/dev/full/x"), "new").is_err());
    assert_eq!(names(place.path()), ["state", "taken"]);
    assert_eq!(fs::read_to_string(&state).unwrap(), "old");
}

#[test]
fn a_full_disk_leaves_nothing() {
    let place = tempfile::tempdir().unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=4k", "tmpfs"])
        .arg(place.path())
        .output()
        .is_ok_and(|o| o.status.success());
    if !mounted {
        skipped("mount", "no small disk can be mounted here");
        return;
    }
    let done = std::panic::catch_unwind(|| {
        fs::write(place.path().join("filler"), [b'x'; 4096]).unwrap();
        for args in writers(place.path().to_str().unwrap()) {
            let output = Command::new(PROGRAM).args(&args).output().unwrap();
            let told = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(3), "{args:?}: {told}");
            assert!(told.contains("could not be saved"), "{told}");
        }
        assert!(state_file::write(&place.path().join("state"), "x").is_err());
        let left: Vec<String> = names(place.path()).into_iter().filter(|n| n != "page").collect();
        assert_eq!(left, ["filler"]);
    });
    Command::new("umount").arg(place.path()).status().unwrap();
    done.unwrap();
}

#[test]
fn a_folder_that_cannot_be_written_is_told() {
    let place = tempfile::tempdir().unwrap();
    // /proc refuses everybody, root too.
    assert!(store::save_new(Path::new("/proc/x.ron"), "x").is_err());
    assert!(state_file::write(Path::new("/proc/cansift/state.ron"), "x").is_err());
    for args in writers("/proc") {
        let output = Command::new(PROGRAM).args(&args).current_dir(place.path()).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{args:?}: {told}");
        assert!(told.contains("could not be saved"), "{told}");
    }
    assert!(names(place.path()).is_empty());
}

#[test]
fn a_state_that_cannot_be_read_or_kept_stops_nothing() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join(".local/state/cansift");
    fs::create_dir_all(folder.join("state.ron")).unwrap();
    let output = program(place.path(), &TABLE).output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(folder.join("state.ron").is_dir(), "a table does not touch it");
}
