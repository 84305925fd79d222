//! The user's editor on the terminal, while the screens wait.

use std::env;
use std::ffi::OsString;
use std::path::Path;
use std::process::Command;

/// What opens a file at a line, from 1: `$VISUAL`, else `$EDITOR`, else on Unix `vi`, which POSIX has everywhere.
pub fn command(path: &Path, line: usize) -> Option<Command> {
    let named = |name| env::var_os(name).filter(|said: &OsString| !said.is_empty());
    let mut command = started(named("VISUAL").or_else(|| named("EDITOR")))?;
    if line > 1 {
        command.arg(format!("+{line}"));
    }
    command.arg(path);
    Some(command)
}

/// The shell takes its words apart, as everywhere that these variables are heeded.
#[cfg(unix)]
#[expect(clippy::unnecessary_wraps, reason = "elsewhere there may be none")]
fn started(editor: Option<OsString>) -> Option<Command> {
    let mut words = editor.unwrap_or_else(|| "vi".into());
    words.push(" \"$@\"");
    let mut command = Command::new("sh");
    command.arg("-c").arg(words).arg("editor");
    Some(command)
}

#[cfg(not(unix))]
fn started(editor: Option<OsString>) -> Option<Command> {
    let said = editor?.into_string().ok()?;
    let mut words = said.split_whitespace();
    let mut command = Command::new(words.next()?);
    command.args(words);
    Some(command)
}
