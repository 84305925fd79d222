//! Files as nobody would write them: real profiles, tanks and media, changed here and there by chance, go the
//! whole way from bytes through the door to judging and drawing. Nothing may fall over, take a second, tell an
//! unreal number or let a foreign character out.
//!
//! `FUZZ_CASES` makes the run longer and `FUZZ_SEED` another; a find is printed with the text that brought it
//! about, to be kept in `corpus/`.

mod whole_way;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::Command;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use crate::mutate::{Chance, Sources, mutated};
use rayon::prelude::*;
use whole_way::{Came, Way};

/// Set in the child that does the work.
const CHILD: &str = "CANSIFT_TEST_FUZZ_CHILD";

/// P1's bound for a case.
const LONGEST: Duration = Duration::from_secs(1);

/// P1's bound for the whole process, all threads and their cases together.
const MOST_KIB: u64 = 256 * 1024;

/// The most memory this process has held so far, where the system tells (Linux: proc(5), `VmHWM`).
fn peak_kib() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// One text the whole way; what was wrong, if anything.
fn tried(way: &Way, kind: usize, text: &str) -> Result<Came, String> {
    let start = Instant::now();
    let came = catch_unwind(AssertUnwindSafe(|| way.go(kind, text)));
    let took = start.elapsed();
    match came {
        Err(panic) => Err(panic
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| panic.downcast_ref::<&str>().map(|s| (*s).to_owned()))
            .unwrap_or_default()),
        Ok(_) if took > LONGEST => Err(format!("took {took:?}")),
        Ok(came) => Ok(came),
    }
}

/// In a process of its own: what the other tests hold is not counted.
#[test]
fn mutated_files_go_the_whole_way() {
    if std::env::var_os(CHILD).is_none() {
        let mut alone = Command::new(std::env::current_exe().unwrap());
        alone.args(["--exact", "fuzz::mutated_files_go_the_whole_way", "--nocapture"]).env(CHILD, "");
        let output = alone.output().unwrap();
        println!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
        assert!(output.status.success());
        return;
    }
    let (cases, seed) = (number("FUZZ_CASES", 100_000), number("FUZZ_SEED", 1));
    let (sources, way) = (Sources::real(), Way::new());
    let (sound, slow) = (AtomicUsize::new(0), Mutex::new(Duration::ZERO));
    let finds = Mutex::new(Vec::new());
    let start = Instant::now();
    (0..cases).into_par_iter().for_each(|case| {
        let mut chance = Chance::new(seed, case);
        let (kind, text) = mutated(&sources, &mut chance);
        let began = Instant::now();
        let mut came = tried(&way, kind, &text);
        if came.as_ref().is_err_and(|why| why.starts_with("took")) {
            // Others use the machine too: once more, to be sure.
            came = tried(&way, kind, &text);
        }
        let took = began.elapsed();
        let mut slowest = slow.lock().unwrap();
        *slowest = took.max(*slowest);
        drop(slowest);
        match came {
            Ok(came) => drop(sound.fetch_add(usize::from(came == Came::Judged), Ordering::Relaxed)),
            Err(why) => finds.lock().unwrap().push((case, why, text)),
        }
    });
    let (finds, judged) = (finds.into_inner().unwrap(), sound.into_inner());
    println!(
        "{cases} cases in {:.0?}: {judged} sound and judged, slowest {:?}, {} finds",
        start.elapsed(),
        slow.into_inner().unwrap(),
        finds.len()
    );
    for (case, why, text) in finds.iter().take(5) {
        println!("== case {case} of seed {seed}: {why}\n{text}\n");
    }
    assert!(finds.is_empty(), "{} finds", finds.len());
    if let Some(peak) = peak_kib() {
        println!("{} MiB at most", peak / 1024);
        assert!(peak < MOST_KIB, "{peak} KiB");
    }
    assert!(
        judged as u64 > cases / 5 && (judged as u64) < cases * 9 / 10,
        "{judged}: the mutations are no test"
    );
}

/// What was found once stays mended.
#[test]
fn the_corpus_goes_the_whole_way() {
    let way = Way::new();
    for entry in std::fs::read_dir("tests/corpus").unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        let mut text = String::from_utf8_lossy(&bytes).into_owned();
        // What is drawn and written goes by the length of the text: each of them in turn.
        for _ in 0..12 {
            for kind in 0..3 {
                if let Err(why) = tried(&way, kind, &text) {
                    panic!("{}: {why}", path.display());
                }
            }
            text.push(' ');
        }
    }
}
