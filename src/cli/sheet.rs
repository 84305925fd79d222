//! `cansift sheet`: what to measure, in order, to print.

use std::path::Path;

use super::args::Sheet;
use super::context::{Case, Kept};
use super::pick::pick;
use super::{Context, Depth, Failure, Status};
use crate::app::state::form::given;
use crate::compare::value_of_information::explains;
use crate::library::Library;
use crate::model::{Filter, Way};
use crate::profile::write::write;
use crate::profile::{read_filter, starter};
use crate::report::html::{Document, document};
use crate::report::{Look, markdown, next, sheet};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Sheet) -> Result<Status, Failure> {
    let case = match &args.a {
        Some(a) => pick(context, [a])?.into_iter().next(),
        None => unknown(),
    };
    let Some(case) = case else {
        return Err(Failure::Nothing("there is no filter to write a sheet of".to_owned()));
    };
    let tank = context.tank(&args.run)?;
    let judged = context.judge(
        std::slice::from_ref(&case),
        &[],
        tank.as_ref(),
        &args.run,
        (Depth::Measures, Kept::All),
    );
    let row = judged.sheet.rows.first();
    let leading = row.map(next::leading).unwrap_or_default();
    let worth = row
        .and_then(|row| row.simulated.as_ref())
        .map(|cases| explains(cases, &judged.columns(), &leading))
        .unwrap_or_default();
    let kept = case.filter.to_keep();
    let builds: Vec<_> = kept.builds.get(case.build).cloned().into_iter().collect();
    let one = Filter { builds, ..kept };
    let text = write(&one, &one.builds, "");
    let name = if args.a.is_some() { one.name.clone() } else { "a filter".to_owned() };
    let page = sheet::page(&name, (&text, Filter::TABLE, &given(&one)), (&worth, &leading), context.units);
    let look = Look { units: context.units, ascii: false, width: Look::default().width };
    let html = args
        .to
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("html") || end.eq_ignore_ascii_case("htm"));
    let out = if html {
        let title = format!("To measure: {name}");
        document(
            &Document {
                title: &title,
                author: "",
                lead: &[],
                page: &page,
                foot: "Estimates; unplug before opening.",
            },
            look,
        )
    } else {
        markdown::page(&page, look)
    };
    if args.to.as_os_str() == "-" {
        context.console.result(&out)?;
        return Ok(Status::Fine);
    }
    context.save_new(&args.to, &out)?;
    context.console.remark(&format!("cansift: wrote what to measure to `{}`", args.to.display()));
    Ok(Status::Fine)
}

/// A filter of which three numbers are known, and these are guesses.
fn unknown() -> Option<Case> {
    let [flow, _, outside] = starter::FILTER.map(|asked| asked.guess());
    let text = starter::filter("a filter", [&flow, "count(3)", &outside], Way::Rising).ok()?;
    let sound = read_filter(Path::new("a-filter.ron"), &text, Library::shipped()).ok()?;
    Some(Case { path: sound.path, filter: sound.filter, build: 0 })
}
