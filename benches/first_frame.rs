//! From start to the first frame that shows builds, in a real pseudo-terminal: 200 and 1,000 builds.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

use std::io::Read;
use std::path::Path;
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

fn folder(files: usize) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(Path::new("demo-data/tamsin-1100.ron")).unwrap();
    for i in 0..files {
        std::fs::write(folder.path().join(format!("unit-{i:04}.ron")), &text).unwrap();
    }
    folder
}

fn first_frame(folder: &Path) -> Duration {
    let size = PtySize { rows: 40, cols: 120, pixel_width: 0, pixel_height: 0 };
    let pty = native_pty_system().openpty(size).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_cansift"));
    command.arg(folder);
    command.args(["--tank", "demo-data/tanks/reading-room.ron"]);
    command.cwd(std::env::current_dir().unwrap());
    let mut reader = pty.master.try_clone_reader().unwrap();
    let start = Instant::now();
    let mut child = pty.slave.spawn_command(command).unwrap();
    let mut parser = vt100::Parser::new(40.try_into().unwrap(), 120.try_into().unwrap(), 0);
    let mut buffer = vec![0; 65_536];
    let took = loop {
        let read = reader.read(&mut buffer).unwrap();
        parser.process(&buffer[..read]);
        if parser.screen().contents().contains("Tamsin") {
            break start.elapsed();
        }
        assert!(start.elapsed() < Duration::from_secs(20), "no frame in 20 s");
    };
    child.kill().unwrap();
    child.wait().unwrap();
    took
}

fn main() {
    for files in [100, 500] {
        let folder = folder(files);
        let mut took: Vec<Duration> = (0..7).map(|_| first_frame(folder.path())).collect();
        took.sort();
        println!(
            "first frame with {} builds: median {:?}, from {:?} to {:?}",
            files * 2,
            took[3],
            took[0],
            took[6]
        );
    }
}
