//! `cansift completions`: a script for the shell.

use clap::CommandFactory;

use super::args::{Args, Completions};
use super::console::{Failure, Status};
use super::context::Context;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Completions) -> Result<Status, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "cansift", &mut script);
    context.console.result(&String::from_utf8_lossy(&script))?;
    Ok(Status::Fine)
}
