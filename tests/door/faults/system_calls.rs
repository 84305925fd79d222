//! The kernel refuses a step of a save: `strace` makes that very call of the program itself fail.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use portable_pty::CommandBuilder;

use super::session::Session;
use super::{DEMO, PROGRAM, names, strace};

/// A program whose sync fails is enough to tell.
fn strace_can_inject() -> bool {
    strace::works_with(&["-e", "inject=fsync:error=EIO"])
}

fn with_faults(faults: &[&str]) -> Vec<String> {
    let each = faults.iter().flat_map(|fault| ["-e".to_owned(), format!("inject={fault}")]);
    ["-f", "-o", "/dev/null"].into_iter().map(str::to_owned).chain(each).chain([PROGRAM.to_owned()]).collect()
}

fn new_profile(place: &Path, faults: &[&str]) -> Output {
    Command::new("strace")
        .args(with_faults(faults))
        .args(["new", "x.ron"])
        .current_dir(place)
        .output()
        .unwrap()
}

#[test]
fn a_new_profile_is_whole_or_not_there() {
    if !strace_can_inject() {
        return;
    }
    let whole = {
        let place = tempfile::tempdir().unwrap();
        assert!(new_profile(place.path(), &[]).status.success());
        fs::read_to_string(place.path().join("x.ron")).unwrap()
    };
    // The first two writes are the file's, the first sync too, the second one is the folder's.
    let no_link = "link,linkat:error=EPERM";
    let no_rename = "rename,renameat,renameat2:error=EIO";
    for (faults, status, left) in [
        (&["write:error=ENOSPC:when=1"][..], 3, &[][..]),
        (&["write:error=EIO:when=2"], 3, &[]),
        (&["fsync:error=EIO:when=1"], 3, &[]),
        (&["fsync:error=EIO:when=2"], 3, &["x.ron"]),
        // A disk without hard links is no fault.
        (&[no_link], 0, &["x.ron"]),
        (&[no_link, no_rename], 3, &[]),
    ] {
        let place = tempfile::tempdir().unwrap();
        let output = new_profile(place.path(), faults);
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(status), "{faults:?}: {told}");
        assert_eq!(told.contains("could not be saved"), status == 3, "{faults:?}: {told}");
        assert_eq!(names(place.path()), left, "{faults:?}");
        if !left.is_empty() {
            assert_eq!(fs::read_to_string(place.path().join("x.ron")).unwrap(), whole, "{faults:?}");
        }
    }
}

#[test]
fn what_was_kept_last_time_stays_where_it_cannot_be_replaced() {
    if !strace_can_inject() {
        return;
    }
    for fault in ["fsync:error=EIO", "rename,renameat,renameat2:error=ENOSPC"] {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join(".local/state/cansift");
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("state.ron"), "(units: \"uk\")").unwrap();
        let mut command = CommandBuilder::new("strace");
        command.args(with_faults(&[fault]));
        command.args([DEMO, "--samples", "0"]);
        command.cwd(place.path());
        command.env("HOME", place.path());
        command.env_remove("XDG_STATE_HOME");
        let mut s = Session::start(command);
        s.until("UK gal");
        s.press("u");
        s.until_gone("UK gal");
        s.press("q");
        s.until("could not be kept for next time");
        s.child.wait().unwrap();
        s.given_back();
        assert_eq!(fs::read_to_string(folder.join("state.ron")).unwrap(), "(units: \"uk\")", "{fault}");
        assert_eq!(names(&folder), ["state.ron"], "{fault}");
    }
}
