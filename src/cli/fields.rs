//! `cansift fields`: every field of the files, from the table of fields.

use super::args::Fields;
use super::console::{Failure, Status};
use super::context::Context;
use super::suggest;
use crate::report::fields::{page, things};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Fields) -> Result<Status, Failure> {
    let all = things();
    let wanted = |name: &str| args.thing.as_ref().is_none_or(|thing| thing.eq_ignore_ascii_case(name));
    let found: Vec<_> = all.iter().filter(|thing| wanted(&thing.name)).collect();
    if found.is_empty() {
        let thing = args.thing.as_deref().unwrap_or_default();
        let hint = suggest::hint(thing, all.iter().map(|thing| thing.name.as_str()));
        return Err(Failure::Usage(format!("there is no form `{thing}`{hint}; `cansift fields` lists them")));
    }
    context.text(&page(&found))?;
    Ok(Status::Fine)
}
