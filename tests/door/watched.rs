//! Folders that are watched.

use cansift::profile::watch::*;
use std::cell::Cell;
use std::fs;
use std::sync::mpsc::channel;
use std::thread;
use std::time::Duration;

use cansift::library::Library;
use cansift::profile::store;

fn good() -> String {
    fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/dunlow-300.ron")).unwrap()
}

#[test]
fn a_change_of_text_is_told_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    fs::write(&path, "one").unwrap();
    let (tell, told) = channel();
    let watch = Watch::start(&[folder.path().to_owned()], move || tell.send(()).unwrap()).unwrap();
    let wait = |ms| told.recv_timeout(Duration::from_millis(ms));
    fs::write(&path, "two").unwrap();
    wait(5000).expect("told");
    // The same text again, a hidden file, another ending, and reading.
    fs::write(&path, "two").unwrap();
    fs::write(folder.path().join(".a.ron.swp"), "x").unwrap();
    fs::write(folder.path().join("notes.txt"), "x").unwrap();
    fs::read(&path).unwrap();
    assert!(wait(600).is_err(), "nothing that is read has changed");
    // As careful editors save.
    fs::write(folder.path().join(".new"), "three").unwrap();
    fs::rename(folder.path().join(".new"), &path).unwrap();
    wait(5000).expect("told");
    fs::remove_file(&path).unwrap();
    wait(5000).expect("told");
    drop(watch);
}

/// A folder that is removed, and renamed, and made again: itself or the one above it, at once or so late that it is seen
/// to be missing.
fn goes_and_comes(above: bool, wait: u64) {
    let place = tempfile::tempdir().unwrap();
    let (folder, aside) = (place.path().join("above/filters"), place.path().join("aside"));
    let gone = &if above { place.path().join("above") } else { folder.clone() };
    let make = |text: &str| {
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("a.ron"), text).unwrap();
    };
    make("one");
    let (tell, told) = channel();
    let _watch = Watch::start(std::slice::from_ref(&folder), move || tell.send(()).unwrap()).unwrap();
    // Until nothing more comes: how often it is told while things go and come does not matter.
    let settled = |what: &str| {
        told.recv_timeout(Duration::from_secs(10)).expect(what);
        while told.recv_timeout(Duration::from_millis(1500)).is_ok() {}
        fs::write(folder.join("a.ron"), format!("a change after: {what}")).unwrap();
        told.recv_timeout(Duration::from_secs(10)).expect(what);
    };
    fs::remove_dir_all(gone).unwrap();
    thread::sleep(Duration::from_millis(wait));
    make(&format!("made again {wait}"));
    settled(&format!("removed {gone:?} {wait}"));
    fs::rename(gone, &aside).unwrap();
    thread::sleep(Duration::from_millis(wait));
    make(&format!("made anew {wait}"));
    settled(&format!("renamed {gone:?} {wait}"));
}

#[test]
fn a_folder_that_goes_and_comes_again_is_watched_again() {
    thread::scope(|all| {
        for (above, wait) in [(false, 0), (false, 2500), (true, 0), (true, 2500)] {
            all.spawn(move || goes_and_comes(above, wait));
        }
    });
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_elsewhere_is_followed() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    for name in ["one", "two"] {
        fs::create_dir(at(name)).unwrap();
        fs::write(at(name).join("a.ron"), name).unwrap();
    }
    std::os::unix::fs::symlink(at("one"), at("link")).unwrap();
    let (tell, told) = channel();
    let _watch = Watch::start(&[at("link")], move || tell.send(()).unwrap()).unwrap();
    fs::remove_file(at("link")).unwrap();
    std::os::unix::fs::symlink(at("two"), at("link")).unwrap();
    told.recv_timeout(Duration::from_secs(10)).expect("another folder");
    fs::write(at("two/a.ron"), "changed").unwrap();
    told.recv_timeout(Duration::from_secs(10)).expect("a change in it");
}

#[test]
fn one_file_is_watched_by_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    fs::write(&path, "one").unwrap();
    let (tell, told) = channel();
    let _watch = Watch::start(std::slice::from_ref(&path), move || tell.send(()).unwrap()).unwrap();
    fs::write(folder.path().join("b.ron"), "x").unwrap();
    assert!(told.recv_timeout(Duration::from_millis(600)).is_err(), "another file's text");
    fs::remove_file(&path).unwrap();
    told.recv_timeout(Duration::from_secs(5)).expect("told");
    fs::write(&path, "one").unwrap();
    told.recv_timeout(Duration::from_secs(5)).expect("told");
}

#[test]
fn a_half_written_file_gets_a_second_look() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    fs::write(&path, good()).unwrap();
    let paths = [folder.path().to_owned()];
    let read = || store::load(&paths, Library::shipped());
    let steady = Steady::default();
    let waits = Cell::new(0);
    let count = || waits.set(waits.get() + 1);
    assert_eq!(steady.load(read, count).filters.len(), 1);
    assert_eq!(waits.get(), 0, "the first reading is not held up");

    let text = good();
    let half: String = text.chars().take(text.chars().count() / 2).collect();
    fs::write(&path, &half).unwrap();
    let finish = || {
        count();
        fs::write(&path, &text).unwrap();
    };
    let loaded = steady.load(read, finish);
    assert_eq!((loaded.filters.len(), loaded.broken.len(), waits.get()), (1, 0, 1));

    fs::remove_file(&path).unwrap();
    assert_eq!((steady.load(read, finish).filters.len(), waits.get()), (1, 2), "gone for a moment");

    fs::write(&path, &half).unwrap();
    assert_eq!((steady.load(read, count).broken.len(), waits.get()), (1, 3), "it is broken");
    assert_eq!((steady.load(read, count).broken.len(), waits.get()), (1, 3), "known, and told at once");
}
