//! `E`: the user's editor gets the terminal, the file and the line, and what it saved is there afterwards.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::PermissionsExt;

use crate::home::Home;
use crate::session::Session;

/// The program with that script as its editor.
fn with_editor(place: &Home, script: &str) -> Session {
    let path = place.path("my editor");
    fs::write(&path, format!("#!/bin/sh\n{script}\n")).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).unwrap();
    let mut command = place.command(&["filters", "--tank", "tank.ron", "--samples", "16", "--no-watch"]);
    command.env_remove("VISUAL");
    // Quoted, as people write it whose editor stands in a folder with a space.
    command.env("EDITOR", format!("'{}' --wait", path.display()));
    Session::start(command)
}

#[test]
fn it_opens_at_the_build_and_reads_again_on_return() {
    let place = Home::new();
    let script = "printf '%s|' \"$@\" > said\ntty -s && echo on a terminal\n\
                  sed -i 's/\"as sold\"/\"as I sold it\"/' filters/orrin-900.ron";
    let mut s = with_editor(&place, script);
    s.until("Orrin 900 · as sold");
    s.press("/as sold\rE");
    s.until("as I sold it");
    assert!(s.sent("on a terminal"), "the editor has the terminal");
    let said = fs::read_to_string(place.path("said")).unwrap();
    let text = fs::read_to_string(place.path("filters/orrin-900.ron")).unwrap();
    let line = text.lines().position(|l| l.contains("\"as I sold it\"")).unwrap() + 1;
    assert_eq!(said, format!("--wait|+{line}|filters/orrin-900.ron|"));
    // Keys are the program's again.
    s.press("\u{1b}3");
    s.until("of all 4 builds");
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    s.given_back();
}

#[test]
fn a_broken_file_opens_at_its_first_problem_and_a_failing_editor_is_told() {
    let place = Home::new();
    let text = fs::read_to_string(place.path("filters/orrin-900.ron")).unwrap().replace("hz: 50", "hzz: 50");
    let line = text.lines().position(|l| l.contains("hzz")).unwrap() + 1;
    fs::write(place.path("filters/broken.ron"), text).unwrap();
    let mut s = with_editor(&place, "printf '%s|' \"$@\" > said\nexit 3");
    s.until("broken.ron");
    s.press("/broken\rE");
    s.until("the editor ended with exit status: 3");
    let said = fs::read_to_string(place.path("said")).unwrap();
    assert_eq!(said, format!("--wait|+{line}|filters/broken.ron|"));
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
}
