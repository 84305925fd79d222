//! Parse, run, exit status.

use std::io::{self, IsTerminal};
use std::process::ExitCode;

use cansift::cli::console::Console;

fn main() -> ExitCode {
    cansift::terminal::heed_size_limits();
    let terminal = io::stdin().is_terminal() && io::stdout().is_terminal();
    let (mut out, mut err) = (io::stdout(), io::stderr());
    let mut console = Console::new(&mut out, &mut err, terminal);
    // Set and not empty, whatever it says: <https://no-color.org>.
    console.mono = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    console.watched = io::stderr().is_terminal();
    if io::stdout().is_terminal()
        && let Ok((columns @ 20.., _)) = crossterm::terminal::size()
    {
        console.width = usize::from(columns);
    }
    ExitCode::from(cansift::cli::run(std::env::args_os(), &mut console).code())
}
