//! `cansift answer`: a reply to paste for "what should I buy?".

use std::sync::Arc;

use super::args::Answer;
use super::console::{Failure, Status};
use super::context::{Case, Context, Depth, Judged, Kept, cases, status};
use crate::assess::assessment::Assessment;
use crate::assess::case::Case as AtTank;
use crate::compare::candidates::{Candidate, candidates};
use crate::compare::ranking::Standing;
use crate::compare::value_of_information::MeasureFirst;
use crate::model::filter::Filter;
use crate::model::tank::Tank;
use crate::report::answer;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Answer) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths);
    let status = status(&loaded, &args.paths)?;
    let tank = super::rank::weighing_tank(context, &args.run, "an answer")?;
    let cases = cases(&loaded);
    let wanted = (Depth::Whole, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, wanted)?;
    let (candidates, standing, first) = chosen(&cases, &judged, &tank.tank, args.run.seed());
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

/// The units to choose from, each by its best build, and how they stand among themselves.
fn chosen(
    cases: &[Case],
    judged: &Judged,
    tank: &Tank,
    seed: u64,
) -> (Vec<Candidate>, Standing, MeasureFirst) {
    let filters: Vec<&Filter> = cases.iter().map(|case| &*case.filter).collect();
    let builds: Vec<&Assessment> = judged.sheet.rows.iter().collect();
    let candidates = candidates(&filters, &builds, tank, seed);
    let best: Vec<_> = candidates.iter().filter_map(|c| builds.get(c.best).copied()).collect();
    let standing = Standing::new(&best, tank, seed);
    let at_tank: Vec<AtTank<'_>> = candidates
        .iter()
        .filter_map(|c| {
            let case = cases.get(c.best)?;
            Some(AtTank::new(&case.filter, case.filter.builds.get(case.build)?, Some(tank)))
        })
        .collect();
    let first = standing.measure_first(&judged.draws, &at_tank);
    (candidates, standing, first)
}
