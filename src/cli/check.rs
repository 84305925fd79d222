//! `cansift check`: reads files, says what each is, and tells every problem.

use super::args::Check;
use super::console::{Failure, Status};
use super::context::Context;
use crate::report::escape;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Check) -> Result<Status, Failure> {
    let checked = context.check(&args.paths);
    if checked.is_empty() {
        return Err(Failure::Nothing("no file to check under the paths given".to_owned()));
    }
    let (mut text, mut status) = (String::new(), Status::Fine);
    for (path, found) in &checked {
        let path = path.display().to_string();
        match found {
            Ok(what) => text.push_str(&format!("{}: {}\n", escape::one_line(&path), escape::one_line(what))),
            Err(problems) => {
                status = Status::SomeBroken;
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
