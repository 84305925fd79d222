//! How time and memory of the whole process grow: builds times draws, a table of the demo's kinds of filter.
//!
//! `cargo bench --bench scale` measures up to 1,000 builds; `SCALE_MOST=10000` goes on to 10,000 (some minutes). Before
//! that the greatest builds that are let in: `restack`, `compare`, `answer`, and a thousand of a bar with 200 holes.
//! Memory needs GNU time as `/usr/bin/time`.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

use std::path::PathBuf;
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

/// A tower of as many trays as asked for, each of its builds with as many layers in every tray.
fn tower(trays: usize, layers: usize, builds: usize, outlet: &str) -> String {
    const MEDIA: [&str; 6] =
        ["foam-10", "foam-20", "foam-30", "floss", "ceramic-ring-12", "sintered-lump-20"];
    let layer = |at: usize| {
        format!("Layer(media: \"{}\", depth: mm({:.2}))", MEDIA[at % MEDIA.len()], 85.0 / layers as f64)
    };
    let stack = |build: usize, tray: usize| {
        let all: Vec<String> = (0..layers).map(|i| layer(build + tray + i)).collect();
        format!("[{}]", all.join(", "))
    };
    let build = |build: usize| {
        let all: Vec<String> = (0..trays).map(|tray| stack(build, tray)).collect();
        format!("Build(name: \"b{build}\", trays: [{}])", all.join(", "))
    };
    let tray = "Tray(shape: rect(width: mm(180), depth: mm(150)), height: mm(90), grid: 0.45, seal: lip(gap: mm(0.08)))";
    format!(
        "Filter(format: 1, name: \"tower\", pump: Pump(curve: ends(flow: l_h(1100), head: m(1.7)), power: w(18)),
         hose: Hose(bore: mm(16)), return: [{outlet}],
         body: Body(outside: (width: mm(235), depth: mm(200), height: mm(1990)), floor: none,
             down_tube: (bore: mm(22), length: mm(1950), joint: none)),
         trays: [{}], builds: [{}])",
        vec![tray; trays].join(", "),
        (0..builds).map(build).collect::<Vec<_>>().join(", ")
    )
}

/// Seconds by the clock, seconds of work and MB at most, of a command at the reading room.
fn measured(args: &[&str]) -> (f64, f64, f64) {
    let program = env!("CARGO_BIN_EXE_cansift");
    let start = Instant::now();
    let output = Command::new("/usr/bin/time")
        .args(["-f", "%U %S %M", program])
        .args(args)
        .args(["--tank", "demo-data/tanks/reading-room.ron"])
        .stdout(Stdio::null())
        .output()
        .unwrap();
    let clock = start.elapsed().as_secs_f64();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{args:?}: {told}");
    let figures: Vec<f64> =
        told.lines().last().unwrap_or("").split(' ').filter_map(|x| x.parse().ok()).collect();
    (clock, figures[0] + figures[1], figures[2] / 1024.0)
}

/// The greatest builds that are let in.
fn greatest() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: String| {
        std::fs::write(folder.path().join(name), text).unwrap();
        folder.path().join(name).to_str().unwrap().to_owned()
    };
    let show = |what: &str, args: &[&str]| {
        let (clock, work, memory) = measured(args);
        println!("{what:>42} {clock:>9.2} {work:>9.2} {memory:>7.0}");
    };
    for trays in [12, 20] {
        let file = write(&format!("tower-{trays}.ron"), tower(trays, 1, 1, "outlet(open)"));
        show(&format!("restack of {trays} trays"), &["restack", &file]);
    }
    let pair = write("pair.ron", tower(20, 20, 2, "outlet(open)"));
    let (a, b) = (format!("{pair}#b0"), format!("{pair}#b1"));
    show("compare, two of 20 trays of 20 layers", &["compare", &a, &b]);
    show("answer, the same", &["answer", &pair]);
    for (files, builds) in [(100, 10), (500, 2)] {
        let bars = tempfile::tempdir().unwrap();
        let bar = "outlet(spray_bar(bore: mm(13), holes: 200, hole: mm(1.2), pitch: mm(5)))";
        for file in 0..files {
            std::fs::write(bars.path().join(format!("bar-{file}.ron")), tower(3, 2, builds, bar)).unwrap();
        }
        let what = format!("{files} files of {builds}, 200-hole bars, table");
        show(&what, &["table", bars.path().to_str().unwrap()]);
    }
}

fn main() {
    println!("{:>42} {:>9} {:>9} {:>7}", "", "clock s", "work s", "MB");
    greatest();
    let most = std::env::var("SCALE_MOST").ok().and_then(|n| n.parse().ok()).unwrap_or(1000_usize);
    println!(
        "{:>7} {:>6} {:>9} {:>9} {:>7} {:>14}",
        "builds", "draws", "clock s", "work s", "MB", "µs work/draw"
    );
    for builds in [10, 100, 1000, 10_000].into_iter().filter(|n| *n <= most) {
        let folder = folder(builds);
        for draws in DRAWS {
            let (clock, work, memory) =
                measured(&["table", folder.path().to_str().unwrap(), "--samples", draws]);
            let each = work * 1e6 / (builds as f64 * draws.parse::<f64>().unwrap().max(1.0));
            println!("{builds:>7} {draws:>6} {clock:>9.2} {work:>9.2} {memory:>7.0} {each:>14.1}");
        }
    }
}
