//! Killed at any moment while saving.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};

use cansift::profile::{state_file, store};
use cansift::uncertainty::generator::Generator;

use super::{PROGRAM, names};

const CHILD: &str = "FAULTS_SAVES_INTO";
const KILLS: usize = 500;

/// Long enough to be caught in the middle of.
fn text(of: usize) -> String {
    format!("// {of}\n").repeat(20_000)
}

/// Saves without end when this test was started as a child: a new file each round, one that is replaced, and a folder.
#[test]
fn child() {
    let Ok(folder) = std::env::var(CHILD) else { return };
    let folder = Path::new(&folder);
    let (state, own) = (folder.join("state"), std::process::id());
    for round in 0.. {
        store::save_new(&folder.join(format!("{own}-{round}.ron")), text(round % 2)).unwrap();
        state_file::write(&state, &text(round % 2)).unwrap();
        let page = text(round % 2);
        store::save_folder(&folder.join(format!("{own}-{round}")), &[("a", &page), ("b", &page)]).unwrap();
    }
}

fn killed_after(mut command: Command, micros: u64) {
    let mut child = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    std::thread::sleep(Duration::from_micros(micros));
    // SIGKILL: nothing of the program runs after it.
    let _ = child.kill();
    child.wait().unwrap();
}

#[test]
fn a_kill_at_any_moment_leaves_the_old_or_the_new() {
    let (mut random, whole) = (Generator::new(1, 1), [text(0), text(1)]);
    let (mut saved, mut folders, mut cut_short) = (0, 0, 0);
    for _ in 0..KILLS {
        let place = tempfile::tempdir().unwrap();
        let state = place.path().join("state");
        fs::write(&state, &whole[1]).unwrap();
        let mut command = Command::new(std::env::current_exe().unwrap());
        command.args(["--exact", "faults::killed::child", "--test-threads=1"]).env(CHILD, place.path());
        killed_after(command, 2_000 + random.below(18_000) as u64);
        let state = fs::read_to_string(&state).unwrap();
        assert!(whole.contains(&state), "{} bytes of {}", state.len(), whole[0].len());
        for name in names(place.path()) {
            if name.starts_with('.') {
                // Begun and not finished: out of sight of every command.
                assert!(name.ends_with(".cansift-new"), "{name}");
                cut_short += 1;
                // An hour later the next save clears it away.
                let file = fs::File::open(place.path().join(&name)).unwrap();
                file.set_modified(SystemTime::now() - Duration::from_secs(3600)).unwrap();
            } else if !name.contains(['.', 's']) {
                let pages =
                    ["a", "b"].map(|page| fs::read_to_string(place.path().join(&name).join(page)).unwrap());
                assert!(whole.contains(&pages[0]) && pages[0] == pages[1], "{name}");
                folders += 1;
            } else if name != "state" {
                let text = fs::read_to_string(place.path().join(&name)).unwrap();
                assert!(whole.contains(&text), "{name}: {} bytes", text.len());
                saved += 1;
            }
        }
        let checked = store::check(&[place.path().to_owned()]);
        assert!(checked.iter().all(|f| f.path.extension().is_some_and(|e| e == "ron")));
        store::save_new(&place.path().join("next.ron"), &whole[0]).unwrap();
        assert!(names(place.path()).iter().all(|name| !name.starts_with('.')), "{:?}", names(place.path()));
    }
    println!(
        "{KILLS} kills: {saved} files and {folders} folders whole, {cut_short} begun and left out of sight"
    );
    assert!(
        saved > KILLS / 4 && folders > KILLS / 100 && cut_short > KILLS / 20,
        "{saved} {folders} {cut_short}: the kills are no test"
    );
}

#[test]
fn the_program_itself_killed_while_it_writes_a_profile() {
    let place = tempfile::tempdir().unwrap();
    let whole = {
        let path = place.path().join("whole.ron");
        assert!(
            Command::new(PROGRAM)
                .args(["new", "--name", "tub"])
                .arg(&path)
                .output()
                .unwrap()
                .status
                .success()
        );
        fs::read_to_string(&path).unwrap()
    };
    // How long it takes when nobody kills it.
    let start = std::time::Instant::now();
    Command::new(PROGRAM).arg("new").arg(place.path().join("timed.ron")).output().unwrap();
    let usual = usize::try_from(start.elapsed().as_micros()).unwrap();
    let (mut random, mut there, mut not) = (Generator::new(1, 2), 0, 0);
    for kill in 0..KILLS {
        let path = place.path().join(format!("{kill}.ron"));
        let mut command = Command::new(PROGRAM);
        command.args(["new", "--name", "tub"]).arg(&path);
        killed_after(command, random.below(usual * 3 / 2) as u64);
        match fs::read_to_string(&path) {
            Ok(text) => {
                assert!(text == whole, "kill {kill}: {} of {} bytes", text.len(), whole.len());
                there += 1;
            }
            Err(_) => not += 1,
        }
    }
    println!("{KILLS} kills: {there} written whole, {not} not at all");
    assert!(there > 0 && not > 0, "{there} {not}: the kills are no test");
}
