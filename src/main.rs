//! Parse, run, exit status.

use std::io::{self, IsTerminal};
use std::process::ExitCode;

use cansift::cli::console::Console;

/// Whether the terminal says that text can be placed on it: a line printer or an editor's window cannot. Windows
/// names no kind.
fn places_text() -> bool {
    cfg!(windows) || std::env::var_os("TERM").is_some_and(|kind| !kind.is_empty() && kind != "dumb")
}

fn main() -> ExitCode {
    let terminal = io::stdin().is_terminal() && io::stdout().is_terminal() && places_text();
    let (mut out, mut err) = (io::stdout(), io::stderr());
    let mut console = Console::new(&mut out, &mut err, terminal);
    // Set and not empty, whatever it says: <https://no-color.org>.
    console.mono = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    ExitCode::from(cansift::cli::run(std::env::args_os(), &mut console).code())
}
