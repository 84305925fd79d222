//! `cansift answer`: a reply to paste for "what should I buy?".

use std::sync::Arc;

use super::args::Answer;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept, cases, status};
use crate::assess::assessment::Assessment;
use crate::compare::candidates::candidates;
use crate::model::filter::Filter;
use crate::report::answer;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Answer) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths);
    let status = status(&loaded, &args.paths)?;
    let tank = super::rank::weighing_tank(context, &args.run, "an answer")?;
    let cases = cases(&loaded);
    let wanted = (Depth::Whole, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, wanted);
    // Each unit by its best build.
    let filters: Vec<&Filter> = cases.iter().map(|case| &*case.filter).collect();
    let rows: Vec<&Assessment> = judged.sheet.rows.iter().collect();
    let candidates = candidates(&filters, &rows, &tank.tank, args.run.seed());
    let best: Vec<usize> = candidates.iter().map(|c| c.best).collect();
    let (standing, first) = super::rank::standing(&cases, &judged, &best, &tank.tank);
    let builds: Vec<(Arc<Filter>, usize)> =
        cases.iter().map(|case| (Arc::clone(&case.filter), case.build)).collect();
    let page = answer::page(answer::Answer {
        sheet: &judged.sheet,
        builds: &builds,
        tank: &tank.tank,
        candidates: &candidates,
        standing: &standing,
        first: &first,
        top: usize::from(args.top),
        units: context.units,
    });
    context.page(&page, args.format)?;
    Ok(status)
}
