//! `cansift report`: one page with everything, and beside it the table and the data.

use super::args::Report;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept, cases, status};
use crate::measures::Measure;
use crate::profile::store::{self, NotSaved};
use crate::report::ranking::Ranked;
use crate::report::{csv, html, json, ranking};

/// The page's file, and those beside it.
const NAMES: [&str; 3] = ["report.html", "table.csv", "data.json"];

pub(super) fn run(context: &mut Context<'_, '_>, args: &Report) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths);
    let Some(tank) = context.tank(&args.run)? else {
        return Err(Failure::Usage("a report is written for a tank: give one with --tank FILE".to_owned()));
    };
    let status = status(&loaded, &args.paths)?;
    let cases = cases(&loaded);
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, (Depth::Whole, Kept::All))?;
    let ranking = super::rank::standing(&cases, &judged, &tank.tank, args.run.seed());
    let names = super::rank::names(&cases);
    let ranked_page = ranking.as_ref().map(|(standing, first)| {
        let ranked = Ranked { sheet: &judged.sheet, standing, first, names: &names };
        ranking::page(&ranked, context.units)
    });
    let top_two = ranking.as_ref().and_then(|(standing, _)| match standing.order().as_slice() {
        [one, two, ..] => Some(super::diff::of_two(&cases, &judged, [*one, *two], &tank.tank, context.units)),
        _ => None,
    });
    let sheet = judged.sheet;
    let page = html::page(&html::Report {
        sheet: &sheet,
        tank: Some(&tank.tank),
        units: context.units,
        ranking: ranked_page.as_ref(),
        top_two: top_two.as_ref(),
    });
    let table = csv::table(&sheet, &Measure::ALL).map_err(std::io::Error::other)?;
    let data = json::table(&sheet, &Measure::ALL).map_err(std::io::Error::other)?;
    let texts = [page, table, data];
    let files: Vec<(&str, &str)> = NAMES.into_iter().zip(texts.iter().map(String::as_str)).collect();
    store::save_folder(&args.to, &files).map_err(|error| match error {
        NotSaved::Exists(_) => Failure::Usage(error.to_string()),
        _ => Failure::Nothing(error.to_string()),
    })?;
    context.console.remark(&format!("cansift: wrote {} to `{}`", NAMES.join(", "), args.to.display()));
    Ok(status)
}
