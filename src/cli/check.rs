//! `cansift check` reads files, says what each is, and tells every problem; `cansift import` makes profiles of a spreadsheet's rows.

use super::args::{Check, Format, Import};
use super::{Context, Failure, Status};
use crate::profile::import::{import, map_text, mapped, propose};
use crate::profile::store::{self, sheet_rows};
use crate::profile::{Checked, What};
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

pub(super) fn import_rows(context: &mut Context<'_, '_>, args: &Import) -> Result<Status, Failure> {
    let name = args.file.display();
    let rows = sheet_rows(&args.file).map_err(|why| Failure::Nothing(format!("{name}: {why}")))?;
    let Some(heads) = rows.first() else {
        return Err(Failure::Nothing(format!("{name} holds no row: the first has to name the columns")));
    };
    let proposed = propose(heads);
    let columns = match &args.map {
        Some(map) if map.exists() => {
            let text = store::read_text(map)
                .map_err(|problem| Failure::Nothing(format!("{}: {}", map.display(), problem.message)))?;
            mapped(&text, heads).map_err(|why| Failure::Usage(format!("{}: {why}", map.display())))?
        }
        Some(map) => {
            context.save_new(map, map_text(&proposed))?;
            let said = format!(
                "cansift: wrote `{}`, which column is which field; change it where it is wrong, and import again",
                map.display()
            );
            context.console.remark(&said);
            return Ok(Status::Fine);
        }
        None => proposed,
    };
    for column in columns.iter().filter(|column| !column.head.trim().is_empty()) {
        let said = if column.field.is_empty() { "not read" } else { &column.field };
        context.console.remark(&format!("cansift: column {}: {said}", column.head));
    }
    let done = import(&rows, &columns);
    let files: Vec<(&str, &str)> =
        done.files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    if !files.is_empty() {
        let to = &args.to;
        store::save_folder(to, &files).map_err(|why| Failure::Usage(why.to_string()))?;
    }
    for said in &done.told {
        context.console.remark(&format!("cansift: {said}"));
    }
    let said = format!("{} of {} rows became profiles in {}\n", files.len(), done.rows, args.to.display());
    context.console.result(&crate::report::escape::lines(&said))?;
    Ok(match (files.is_empty(), done.told.is_empty()) {
        (true, _) => Status::NothingUsable,
        (false, true) => Status::Fine,
        (false, false) => Status::SomeBroken,
    })
}
