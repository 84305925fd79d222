//! Parse, run, exit status.

use std::io::{self, IsTerminal};
use std::process::ExitCode;

use cansift::cli::console::Console;

fn main() -> ExitCode {
    let terminal = io::stdin().is_terminal() && io::stdout().is_terminal();
    let (mut out, mut err) = (io::stdout(), io::stderr());
    let status = cansift::cli::run(std::env::args_os(), &mut Console::new(&mut out, &mut err, terminal));
    ExitCode::from(status as u8)
}
