//! Text to a clipboard: by a helper of this system where a person sits at this very machine, else through the
//! terminal (OSC 52). What is said afterwards is what is known, no more.

use std::env;
use std::io::{self, Write};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crossterm::clipboard::CopyToClipboard;

const WAIT: Duration = Duration::from_millis(300);
const AGAIN: Duration = Duration::from_millis(5);
/// Bytes that some terminals refuse to copy beyond.
const LIMIT: usize = 74_000;

pub fn copy(text: &str) -> io::Result<String> {
    let lines = text.lines().count();
    let what = if lines == 1 { "1 line".to_owned() } else { format!("{lines} lines") };
    let failed = match by_helper(text) {
        Some(Ok(name)) => return Ok(format!("{what} put on the system's clipboard by {name}")),
        Some(Err(why)) => format!("{why}; "),
        None => String::new(),
    };
    let mut out = io::stdout();
    crossterm::execute!(out, CopyToClipboard::to_clipboard_from(text))?;
    out.flush()?;
    let size =
        if text.len() > LIMIT { "; it is long, and many terminals take no more than 74 kB" } else { "" };
    Ok(format!("{failed}{what} sent to the terminal's clipboard; paste to see that it came{size}"))
}

/// Programs that take text for the clipboard, with their arguments, in the order in which they are tried. None
/// from afar: there the clipboard of this machine is not the person's.
fn helpers() -> Vec<(&'static str, &'static [&'static str])> {
    let set = |name: &str| env::var_os(name).is_some_and(|v| !v.is_empty());
    if set("SSH_CONNECTION") || set("SSH_TTY") {
        return Vec::new();
    }
    if cfg!(target_os = "macos") {
        return vec![("pbcopy", &[])];
    }
    if cfg!(windows) {
        return vec![("clip.exe", &[])];
    }
    let mut out: Vec<(&str, &[&str])> = Vec::new();
    if set("WAYLAND_DISPLAY") {
        out.push(("wl-copy", &[]));
    }
    if set("DISPLAY") {
        out.push(("xclip", &["-selection", "clipboard"]));
        out.push(("xsel", &["--clipboard", "--input"]));
    }
    if set("WSL_DISTRO_NAME") {
        out.push(("clip.exe", &[]));
    }
    out
}

/// Tries the helpers: the name of the one that took it, or why the first that is there did not; none where there
/// is none.
fn by_helper(text: &str) -> Option<Result<&'static str, String>> {
    for (name, arguments) in helpers() {
        let started = Command::new(name)
            .args(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        match started {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => return Some(Err(format!("{name} could not be started: {error}"))),
            Ok(child) => {
                return Some(
                    feed(child, given(name, text)).map(|()| name).map_err(|why| format!("{name} {why}")),
                );
            }
        }
    }
    None
}

/// The bytes a helper is given: that of Windows reads UTF-16 where a mark of its order stands first, and the system's
/// own code page else, in which half of the signs here are missing.
pub fn given(name: &str, text: &str) -> Vec<u8> {
    if name == "clip.exe" {
        std::iter::once(0xfeff).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect()
    } else {
        text.as_bytes().to_vec()
    }
}

/// Gives a helper its text; it has to take it and to end well within the time.
fn feed(mut child: Child, bytes: Vec<u8>) -> Result<(), String> {
    let end = Instant::now() + WAIT;
    let stdin = child.stdin.take();
    // On a thread of its own: a helper that reads nothing would hold the screens up.
    let feed = move || stdin.is_some_and(|mut pipe| pipe.write_all(&bytes).is_ok());
    let writer = match thread::Builder::new().spawn(feed) {
        Ok(writer) => writer,
        Err(error) => {
            let _ = child.kill();
            let _ = child.wait();
            return Err(format!("could not be given it: {error}"));
        }
    };
    loop {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => {
                let whole = writer.join().unwrap_or(false);
                return if whole { Ok(()) } else { Err("did not take all of it".to_owned()) };
            }
            Ok(Some(status)) => return Err(format!("failed ({status})")),
            Ok(None) if Instant::now() < end => thread::sleep(AGAIN),
            Ok(None) => {
                let _ = child.kill();
                let _ = child.wait();
                return Err("did not answer".to_owned());
            }
            Err(error) => return Err(format!("was lost: {error}")),
        }
    }
}
