//! A browser for tests, where one is to be had.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::skip::skipped;

const NAMES: [&str; 2] = ["chromium", "chromium-browser"];
const PATIENCE: Duration = Duration::from_secs(120);

/// Its name, or a plain message that there is none.
pub fn browser() -> Option<&'static str> {
    let found = NAMES.into_iter().find(|name| {
        let asked = Command::new(name).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
        asked.is_ok_and(|status| status.success())
    });
    if found.is_none() {
        skipped("chromium", &format!("no browser found (looked for {})", NAMES.join(", ")));
    }
    found
}

/// What the browser wrote to its output and its log.
pub fn run(name: &str, folder: &Path, arguments: &[String]) -> (String, String) {
    let file = |name: &str| fs::File::create(folder.join(name)).unwrap();
    let mut child = Command::new(name)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
        ])
        .args(["--enable-logging=stderr", "--hide-scrollbars"])
        .arg(format!("--user-data-dir={}", folder.join("user").display()))
        .args(arguments)
        .stdout(file("out"))
        .stderr(file("err"))
        .spawn()
        .unwrap();
    let until = Instant::now() + PATIENCE;
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if Instant::now() > until {
            child.kill().unwrap();
            panic!("the browser did not end in {PATIENCE:?}");
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    let read = |name: &str| String::from_utf8_lossy(&fs::read(folder.join(name)).unwrap()).into_owned();
    let (out, err) = (read("out"), read("err"));
    assert!(status.success(), "{err}");
    (out, err)
}
