//! `cansift import`: a spreadsheet's rows as profiles.

use super::args::Import;
use super::console::{Failure, Status};
use super::context::Context;
use crate::profile::import::{import, map_text, mapped, propose};
use crate::profile::store::{self, sheet_rows};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Import) -> Result<Status, Failure> {
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
