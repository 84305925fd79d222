//! Which to choose: `rank`, how the builds stand for a tank; `answer`, a reply to paste for "what should I buy?"; `next`,
//! what to measure next.

use std::sync::Arc;

use super::args::{Answer, Format, Next, Rank};
use super::context::{Case, Judged, Kept, status};
use super::{Context, Depth, Failure, Run, Status};
use crate::assess::Case as AtTank;
use crate::compare::{MeasureFirst, Standing, criteria};
use crate::model::{Filter, Tank};
use crate::profile::SoundTank;
use crate::report::answer::{self, Asked, Kind};
use crate::report::ranking::{self};
use crate::report::{Page, Ranked, grid, json, next};

/// Told while it takes long.
const SETTLES: &str = "looking at what would settle the choice";

pub(super) fn rank(context: &mut Context<'_, '_>, args: &Rank) -> Result<Status, Failure> {
    Context::fits(args.format, args.to.as_deref())?;
    let loaded = context.gather(&args.paths)?;
    let status = status(&loaded, &args.paths)?;
    let tank = weighing_tank(context, &args.run, "a rank")?;
    let cases = context.cases(&loaded);
    let wanted = (Depth::Measures, Kept::Ranking(&tank.tank));
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, wanted);
    let all: Vec<usize> = (0..cases.len()).collect();
    let (standing, first) =
        context.telling(|| SETTLES.to_owned(), || standing(&cases, &judged, &all, &tank.tank));
    let names = names(&cases);
    let ranked = Ranked { sheet: &judged.sheet, standing: &standing, first: &first, names: &names };
    match args.format {
        Format::Csv => context.console.result(&grid::rank(&ranked).csv())?,
        Format::Xlsx => {
            let sheets = [("ranking", grid::rank(&ranked)), ("about", grid::about(&judged.sheet))];
            context.book(args.to.as_deref(), &sheets)?;
        }
        Format::Json => context.data(json::rank::rank(&ranked))?,
        format => context.page(&ranking::page(&ranked, context.units), format)?,
    }
    Ok(status)
}

/// The tank asked for, which has to weigh something.
fn weighing_tank(context: &mut Context<'_, '_>, run: &Run, what: &str) -> Result<SoundTank, Failure> {
    let Some(tank) = context.tank(run)? else {
        return Err(Failure::Usage(format!("{what} holds for one tank: say which with --tank FILE")));
    };
    if criteria(&tank.tank).is_empty() {
        return Err(Failure::Nothing(format!(
            "every priority of the tank `{}` is 0, so there is nothing to rank by; leave `priorities` out for the usual seven",
            tank.path.display()
        )));
    }
    Ok(tank)
}

/// How those of the judged builds stand for a tank, and what to measure first.
pub(super) fn standing(
    cases: &[Case],
    judged: &Judged,
    which: &[usize],
    tank: &Tank,
) -> (Standing, MeasureFirst) {
    let builds: Vec<_> = which.iter().filter_map(|i| judged.sheet.rows.get(*i)).collect();
    let standing = Standing::new(&builds, tank, judged.draws.seed());
    let at_tank = |i: &usize| {
        let case = cases.get(*i)?;
        Some(AtTank::new(&case.filter, case.filter.builds.get(case.build)?, Some(tank)))
    };
    let at_tank: Vec<_> = which.iter().filter_map(at_tank).collect();
    let first = standing.measure_first(&judged.columns(), &at_tank);
    (standing, first)
}

pub(super) fn names(cases: &[Case]) -> Vec<(String, String)> {
    cases.iter().map(|case| (case.filter.id.clone(), case.filter.name.clone())).collect()
}

pub(super) fn answer(context: &mut Context<'_, '_>, args: &Answer) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths)?;
    let status = status(&loaded, &args.paths)?;
    let tank = weighing_tank(context, &args.run, "an answer")?;
    let cases = context.cases(&loaded);
    let wanted = (Depth::Whole, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, wanted);
    let kind = if args.full { Kind::Full } else { Kind::Short };
    let builds: Vec<(Arc<Filter>, usize)> =
        cases.iter().map(|case| (Arc::clone(&case.filter), case.build)).collect();
    let asked = Asked {
        builds: &builds,
        sheet: &judged.sheet,
        draws: &judged.columns(),
        tank: &tank.tank,
        top: usize::from(args.top),
        units: context.units,
    };
    let page = context.telling(|| SETTLES.to_owned(), || answer::reply(asked, kind));
    context.page(&page, args.format)?;
    Ok(status)
}

pub(super) fn next(context: &mut Context<'_, '_>, args: &Next) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths)?;
    let status = status(&loaded, &args.paths)?;
    let tank = context.tank(&args.run)?;
    let cases = context.cases(&loaded);
    let wanted = (Depth::Measures, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, tank.as_ref(), &args.run, wanted);
    let names = names(&cases);
    let mut page = Page::default();
    match tank.as_ref().map(|tank| &tank.tank).filter(|tank| !criteria(tank).is_empty()) {
        Some(tank) if cases.len() > 1 => {
            let all: Vec<usize> = (0..cases.len()).collect();
            let (standing, first) = standing(&cases, &judged, &all, tank);
            let ranked = Ranked { sheet: &judged.sheet, standing: &standing, first: &first, names: &names };
            ranking::measure_next(&ranked, &mut page);
        }
        _ => {
            let draws = judged.columns();
            for row in &judged.sheet.rows {
                page.blocks.extend(next::page(row, &draws, &names, context.units).blocks);
            }
        }
    }
    context.page(&page, args.format)?;
    Ok(status)
}
