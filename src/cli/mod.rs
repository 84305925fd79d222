//! The command line: parse, do, give a status. Commands of one kind share a file; `args` and `help` say what may be written,
//! `context`, `pick` and `console` are what commands share, and `screens` puts the screens together.

// Texts of a few kilobytes: a plain push reads better than a `write!` whose result means nothing.
#![allow(clippy::format_push_string, clippy::format_collect)]

pub mod args;
mod check;
pub mod console;
pub mod context;
mod help;
pub mod keys;
mod lists;
pub mod man;
pub mod new;
pub mod pick;
pub mod plain;
mod rank;
mod report;
mod restack;
pub mod screens;
mod single;
pub mod suggest;
mod table;
mod wear;

pub use args::Run;
pub use console::{Console, Failure, Status};
pub use context::{Context, Depth};

use std::ffi::OsString;

use clap::Parser;

use args::{Args, Bare, Command, Format, Table};

use crate::profile::today;

/// Does what the arguments ask, the program's own name being the first of them.
pub fn run(arguments: impl IntoIterator<Item = OsString>, console: &mut Console<'_>) -> Status {
    let done = match Args::try_parse_from(arguments) {
        Ok(args) => obey(args, console),
        Err(told) if told.use_stderr() => {
            console.remark(&told.render().to_string());
            return Status::WrongUsage;
        }
        Err(help) => console.result(&help.render().to_string()).map(|()| Status::Fine),
    };
    done.unwrap_or_else(|failure| console.fail(&failure))
}

fn obey(args: Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    if args.command.is_some() && !args.bare.is_empty() {
        return Err(Failure::Usage(
            "the command comes first, then its paths and options: `cansift table filters/ --tank t.ron` (a folder that is called like a command is written `./table`)"
                .to_owned(),
        ));
    }
    args.look.today.into_iter().for_each(today::set);
    let mut context = Context::new(console, args.look);
    match args.command {
        None => bare(&mut context, args.bare),
        Some(Command::Table(args)) => table::run(context.judging(&args.run), &args),
        Some(Command::Compare(args)) => table::side_by_side(context.judging(&args.run), &args),
        Some(Command::Rank(args)) => rank::rank(context.judging(&args.run), &args),
        Some(Command::Answer(args)) => rank::answer(context.judging(&args.run), &args),
        Some(Command::Wear(args)) => wear::run(context.judging(&args.run), &args),
        Some(Command::Explain(args)) => single::explain(context.judging(&args.run), &args),
        Some(Command::Next(args)) => rank::next(context.judging(&args.run), &args),
        Some(Command::Suits(args)) => single::suits(context.judging(&args.run), &args),
        Some(Command::Restack(args)) => restack::run(context.judging(&args.run), &args),
        Some(Command::Log(args)) => single::log(context.judging(&args.run), &args),
        Some(Command::Draw(args)) => single::draw(context.judging(&args.run), &args),
        Some(Command::Report(args)) => report::run(context.judging(&args.run), &args),
        Some(Command::Check(args)) => check::run(&mut context, &args),
        Some(Command::New(args)) => new::run(&mut context, &args),
        Some(Command::Sheet(args)) => report::sheet(&mut context, &args),
        Some(Command::Import(args)) => check::import_rows(&mut context, &args),
        Some(Command::Fields(args)) => lists::fields(&mut context, &args),
        Some(Command::Media(args)) => lists::media(&mut context, &args),
        Some(Command::Sources) => lists::sources(&mut context),
        Some(Command::Completions(args)) => man::completions(&mut context, &args),
        Some(Command::Keys(args)) => keys::run(&mut context, &args),
        Some(Command::Man) => man::man(&mut context),
    }
}

/// The screens, or the table where there is no terminal.
fn bare(context: &mut Context<'_, '_>, args: Bare) -> Result<Status, Failure> {
    if context.console.terminal || args.plain {
        return context.screens(&args);
    }
    context.console.remark("cansift: no terminal for screens here, so this is the table (`cansift table`)");
    let Bare { paths, run, .. } = args;
    table::run(
        context.judging(&run),
        &Table { paths, sort: None, columns: Vec::new(), format: Format::Text, to: None, run },
    )
}
