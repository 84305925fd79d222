//! Folders that hold what is no profile, far too much of it, or what changes while it is read.

use std::fs;
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use cansift::library::Library;
use cansift::profile::store::{check, load, read_text};

use super::{DEMO, program};

/// P8's bound for a refusal.
const AT_ONCE: Duration = Duration::from_millis(50);

fn profile() -> String {
    fs::read_to_string(format!("{DEMO}/tamsin-1100.ron")).unwrap()
}

/// The quickest of five: what the program takes, not what a busy machine adds.
fn quickest(mut of: impl FnMut()) -> Duration {
    let times = (0..5).map(|_| {
        let start = Instant::now();
        of();
        start.elapsed()
    });
    times.min().unwrap()
}

/// A pipe, a socket, a device, a folder, a ring of links, a link to nothing and a huge file.
fn oddities(folder: &Path) -> Vec<&'static str> {
    assert!(Command::new("mkfifo").arg(folder.join("pipe.ron")).status().unwrap().success());
    // The name stays when the listener goes.
    drop(UnixListener::bind(folder.join("socket.ron")).unwrap());
    symlink("/dev/zero", folder.join("device.ron")).unwrap();
    symlink("ring.ron", folder.join("ring.ron")).unwrap();
    symlink("nowhere", folder.join("gone.ron")).unwrap();
    // Of a tebibyte, none of it written.
    fs::File::create(folder.join("huge.ron")).unwrap().set_len(1 << 40).unwrap();
    vec!["pipe.ron", "socket.ron", "device.ron", "ring.ron", "gone.ron", "huge.ron"]
}

#[test]
fn what_is_no_file_is_refused_at_once_and_hides_nothing() {
    let place = tempfile::tempdir().unwrap();
    let odd = oddities(place.path());
    for name in &odd {
        let path = place.path().join(name);
        let took = quickest(|| assert!(read_text(&path).is_err(), "{name}"));
        assert!(took < AT_ONCE, "{name}: {took:?}");
    }
    fs::write(place.path().join("good.ron"), profile()).unwrap();
    let paths = [place.path().to_owned()];
    let took = quickest(|| {
        let loaded = load(&paths, Library::shipped());
        assert_eq!((loaded.filters.len(), loaded.broken.len()), (1, odd.len()));
    });
    assert!(took < AT_ONCE * 2, "{took:?}");
    // The whole program, by name and as a folder: the good one is shown, the others are told, the status says so.
    let output = program(place.path(), &["table", ".", "--samples", "0"]).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stdout).contains("Tamsin"));
    let told = String::from_utf8(output.stderr).unwrap();
    for name in odd {
        assert!(told.contains(name), "{name}: {told}");
        let output = program(place.path(), &["check", name]).output().unwrap();
        assert!(matches!(output.status.code(), Some(1 | 3)), "{name}");
    }
}

#[test]
fn the_walk_stays_where_it_was_sent() {
    let place = tempfile::tempdir().unwrap();
    let (root, outside) = (place.path().join("root"), place.path().join("outside"));
    fs::create_dir_all(root.join("sub.ron")).unwrap();
    fs::create_dir(&outside).unwrap();
    fs::write(outside.join("secret.ron"), profile()).unwrap();
    fs::write(root.join("sub.ron").join("deep.ron"), profile()).unwrap();
    fs::write(root.join("own.ron"), profile()).unwrap();
    for (target, name) in [("..", "up.ron"), (".", "here.ron"), ("../outside", "aside.ron"), ("/", "all.ron")]
    {
        symlink(target, root.join(name)).unwrap();
    }
    let loaded = load(&[root], Library::shipped());
    let read: Vec<_> = loaded.filters.iter().map(|f| f.path.file_name().unwrap().to_owned()).collect();
    assert_eq!(read, ["own.ron"]);
    assert!(loaded.broken.is_empty(), "{:?}", loaded.broken);
}

#[test]
fn size_and_depth_are_capped() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("x.ron");
    let fill = |to: usize| format!("{}{}", profile(), " ".repeat(to - profile().len()));
    fs::write(&path, fill(1 << 20)).unwrap();
    assert_eq!(load(std::slice::from_ref(&path), Library::shipped()).filters.len(), 1);
    fs::write(&path, fill((1 << 20) + 1)).unwrap();
    assert_eq!(load(std::slice::from_ref(&path), Library::shipped()).broken.len(), 1);
    for levels in [40, 64, 65, 100_000] {
        let text = format!("Filter(name: {}{})", "[".repeat(levels), "]".repeat(levels));
        fs::write(&path, text).unwrap();
        let start = Instant::now();
        let told = &check(std::slice::from_ref(&path))[0].problems[0].message;
        assert_eq!(told.contains("brackets nest deeper"), levels >= 64, "{levels}: {told}");
        assert!(start.elapsed() < Duration::from_secs(1));
    }
}

#[test]
fn ten_thousand_files_are_taken_and_of_one_more_it_is_said() {
    let place = tempfile::tempdir().unwrap();
    // One build each.
    let text = fs::read_to_string(format!("{DEMO}/gorsewick-2000.ron")).unwrap();
    for i in 0..10_000 {
        fs::write(place.path().join(format!("{i:05}.ron")), &text).unwrap();
    }
    fs::write(place.path().join("05000.ron"), "Filter(").unwrap();
    let start = Instant::now();
    let loaded = load(&[place.path().to_owned()], Library::shipped());
    println!("10,000 files in {:?}", start.elapsed());
    assert!(start.elapsed() < Duration::from_secs(60), "{:?}", start.elapsed());
    assert_eq!((loaded.filters.len(), loaded.broken.len()), (9_999, 1));

    fs::write(place.path().join("10000.ron"), &text).unwrap();
    let loaded = load(&[place.path().to_owned()], Library::shipped());
    assert_eq!((loaded.filters.len(), loaded.broken.len()), (9_999, 2));
    let said = "this folder holds more than 10,000 profiles: the rest is left out";
    assert_eq!(loaded.broken[0].problems[0].message, said);
    assert_eq!(loaded.broken[0].path, place.path());
}

/// The program says which builds it leaves out, shows the others, and its exit status tells of it.
#[test]
fn ten_thousand_builds_are_taken_and_of_more_it_is_said() {
    let place = tempfile::tempdir().unwrap();
    let one = fs::read_to_string(format!("{DEMO}/gorsewick-2000.ron")).unwrap();
    let (before, rest) = one.split_once("builds: [").unwrap();
    let (build, _) = rest.rsplit_once(']').unwrap();
    let of = |count: usize| {
        let builds: Vec<String> =
            (0..count).map(|i| build.replacen("name: \"", &format!("name: \"{i} "), 1)).collect();
        format!("{before}builds: [{}])", builds.join(""))
    };
    // A file holds a thousand at most, and one with more is refused at once.
    let path = place.path().join("10.ron");
    fs::write(&path, of(1001)).unwrap();
    let loaded = load(std::slice::from_ref(&path), Library::shipped());
    assert!(loaded.broken[0].problems[0].message.contains("1001 entries: expected at most 1000"));
    for i in 0..=10 {
        fs::write(place.path().join(format!("{i:02}.ron")), of(1000)).unwrap();
    }
    let output =
        program(place.path(), &["table", ".", "--samples", "0", "--format", "csv"]).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("10,000 builds are taken at once: this file is left out"), "{told}");
    assert!(told.contains("10.ron"), "{told}");
    assert_eq!(String::from_utf8_lossy(&output.stdout).lines().count(), 10_001);
}

#[test]
fn a_file_that_changes_while_it_is_read_is_whole_or_told_never_a_crash() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("busy.ron");
    let (short, long) = (profile(), format!("{}// {}\n", profile(), "much more ".repeat(50_000)));
    fs::write(&path, &short).unwrap();
    let stop = AtomicBool::new(false);
    let (mut sound, mut told) = (0, 0);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            // In place, as careless programs write: cut to nothing, then filled; now short, now long, now gone.
            for round in 0_u32.. {
                if stop.load(Ordering::Relaxed) {
                    break;
                }
                let text = if round % 2 == 0 { &short } else { &long };
                fs::write(&path, text).unwrap();
                std::thread::sleep(Duration::from_micros(u64::from(round % 5) * 100));
                if round % 7 == 0 {
                    fs::remove_file(&path).unwrap();
                }
            }
        });
        for _ in 0..3000 {
            let loaded = load(std::slice::from_ref(&path), Library::shipped());
            assert_eq!(loaded.filters.len() + loaded.broken.len(), 1);
            sound += loaded.filters.len();
            told += loaded.broken.len();
        }
        stop.store(true, Ordering::Relaxed);
    });
    assert!(sound > 10 && told > 10, "{sound} sound, {told} told: no test");
}
