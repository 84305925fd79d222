//! `cansift check`: reads files, says what each is, and tells every problem.

use super::args::{Check, Format};
use super::console::{Failure, Status};
use super::context::Context;
use crate::profile::{Checked, What, store};
use crate::report::{escape, json};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Check) -> Result<Status, Failure> {
    let checked = store::check(&context.asked(&args.paths));
    if checked.is_empty() {
        return Err(Failure::Nothing("no file to check under the paths given".to_owned()));
    }
    let mut text = String::new();
    let mut status = Status::Fine;
    if checked.iter().any(|file| !file.problems.is_empty() || args.share && !file.lacks.is_empty()) {
        status = Status::SomeBroken;
    }
    if args.format == Format::Json {
        context.data(json::check(&checked))?;
        return Ok(status);
    }
    for file in &checked {
        let path = file.path.display().to_string();
        match file.problems.as_slice() {
            [] => {
                for hint in &file.hints {
                    text.push_str(escape::lines(&hint.rendered).trim_end_matches('\n'));
                    text.push('\n');
                }
                text.push_str(&format!("{}: {}\n", escape::one_line(&path), holds(file)));
                for lack in file.lacks.iter().filter(|_| args.share) {
                    text.push_str(&format!("  to be shared it lacks {lack}\n"));
                }
            }
            problems => {
                for problem in problems {
                    text.push_str(escape::lines(&problem.rendered).trim_end_matches('\n'));
                    text.push('\n');
                }
                let count = problems.len();
                let word = if count == 1 { "problem" } else { "problems" };
                text.push_str(&format!("{}: broken, {count} {word}\n", escape::one_line(&path)));
            }
        }
    }
    let text = if context.console.ascii { escape::ascii(&text).into_owned() } else { text };
    context.console.result(&text)?;
    let nothing_there = args.paths.iter().all(|path| !path.exists());
    Ok(if nothing_there { Status::NothingUsable } else { status })
}

/// What a good file holds: `a filter with 2 builds`.
fn holds(file: &Checked) -> String {
    let (parts, s) = (file.parts, if file.parts == 1 { "" } else { "s" });
    match file.what {
        What::Filter => format!("filter with {parts} build{s}"),
        What::Media => format!("list of {parts} media"),
        What::Fittings => format!("list of {parts} fitting{s}"),
        What::Tank | What::Unknown => file.what.words().trim_start_matches("a ").to_owned(),
    }
}
