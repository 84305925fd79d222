//! How time and memory of the whole process grow: builds times draws, a table of the demo's kinds of filter.
//!
//! `cargo bench --bench scale` measures up to 1,000 builds; `SCALE_MOST=10000` goes on to 10,000 (some minutes).
//! Memory needs GNU time as `/usr/bin/time`.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

const DRAWS: [&str; 4] = ["0", "128", "512", "2048"];

/// A folder of the demo's profiles over and over, as many as make so many builds.
fn folder(builds: usize) -> tempfile::TempDir {
    let mut demo: Vec<PathBuf> = std::fs::read_dir("demo-data")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .collect();
    demo.sort();
    let texts: Vec<String> = demo.iter().map(|p| std::fs::read_to_string(p).unwrap()).collect();
    let folder = tempfile::tempdir().unwrap();
    let (mut count, mut file) = (0, 0);
    while count < builds {
        let text = &texts[file % texts.len()];
        let stem = demo[file % demo.len()].file_stem().unwrap().to_string_lossy().into_owned();
        std::fs::write(folder.path().join(format!("{stem}-{file:05}.ron")), text).unwrap();
        count += text.matches("Build(").count();
        file += 1;
    }
    folder
}

/// Seconds by the clock, seconds of work and MB at most.
fn measured(folder: &Path, draws: &str) -> (f64, f64, f64) {
    let program = env!("CARGO_BIN_EXE_cansift");
    let start = Instant::now();
    let output = Command::new("/usr/bin/time")
        .args(["-f", "%U %S %M", program, "table"])
        .arg(folder)
        .args(["--tank", "demo-data/tanks/reading-room.ron", "--samples", draws])
        .stdout(Stdio::null())
        .output()
        .unwrap();
    let clock = start.elapsed().as_secs_f64();
    let told = String::from_utf8_lossy(&output.stderr);
    let figures: Vec<f64> =
        told.lines().last().unwrap_or("").split(' ').filter_map(|x| x.parse().ok()).collect();
    (clock, figures[0] + figures[1], figures[2] / 1024.0)
}

fn main() {
    let most = std::env::var("SCALE_MOST").ok().and_then(|n| n.parse().ok()).unwrap_or(1000_usize);
    println!(
        "{:>7} {:>6} {:>9} {:>9} {:>7} {:>14}",
        "builds", "draws", "clock s", "work s", "MB", "µs work/draw"
    );
    for builds in [10, 100, 1000, 10_000].into_iter().filter(|n| *n <= most) {
        let folder = folder(builds);
        for draws in DRAWS {
            let (clock, work, memory) = measured(folder.path(), draws);
            let each = work * 1e6 / (builds as f64 * draws.parse::<f64>().unwrap().max(1.0));
            println!("{builds:>7} {draws:>6} {clock:>9.2} {work:>9.2} {memory:>7.0} {each:>14.1}");
        }
    }
}
