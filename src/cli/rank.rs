//! `cansift rank`: how the builds stand for a tank.

use super::args::{Format, Rank};
use super::console::{Failure, Status};
use super::context::{Context, Judged, cases, status};
use crate::compare::standing::Standing;
use crate::report::ranking::{self, Ranked};
use crate::report::{bbcode, markdown, ranking_data, text};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Rank) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths);
    let status = status(&loaded, &args.paths)?;
    let Some(tank) = context.tank(&args.run)? else {
        return Err(Failure::Usage("a rank holds for one tank: say which with --tank FILE".to_owned()));
    };
    if crate::compare::utility::criteria(&tank.tank).is_empty() {
        return Err(Failure::Nothing(format!(
            "the tank `{}` gives no weights, so there is nothing to rank by; add `weights: {{\"worked_flow\": 1.0}}`",
            tank.path.display()
        )));
    }
    let cases = cases(&loaded);
    let Judged { sheet, drawn, draws } =
        context.judge_and_keep(&cases, &loaded.broken, Some(&tank), &args.run)?;
    let builds: Vec<_> =
        sheet.rows.iter().zip(&drawn).map(|(row, many)| (&row.judgement, many.as_ref())).collect();
    let standing = Standing::new(&builds, &tank.tank, args.run.seed());
    let first = standing.measure_first(&draws);
    let names: Vec<(String, String)> =
        cases.iter().map(|case| (case.filter.id.clone(), case.filter.name.clone())).collect();
    let ranked = Ranked { sheet: &sheet, standing: &standing, first: &first, names: &names };
    let page = || ranking::page(&ranked, context.units);
    let ascii = context.console.ascii;
    let written = match args.format {
        Format::Text => text::page(&page(), ascii),
        Format::Markdown => markdown::page(&page(), ascii),
        Format::Bbcode => bbcode::page(&page(), ascii),
        Format::Csv => ranking_data::csv(&ranked).map_err(std::io::Error::other)?,
        Format::Json => ranking_data::json(&ranked).map_err(std::io::Error::other)?,
    };
    context.console.result(&written)?;
    Ok(status)
}
