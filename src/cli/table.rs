//! `cansift table`: the builds, one row each; `cansift compare`: two to four builds side by side.

use super::args::{Compare, Format, Table};
use super::context::{Case, Judged, Kept, status};
use super::pick::pick;
use super::{Context, Depth, Failure, Status};
use crate::assess::Assessment;
use crate::compare::Verdict;
use crate::compare::better::of_builds;
use crate::compare::reasons::reasons;
use crate::measures::Measure;
use crate::model::Tank;
use crate::report::figures::Units;
use crate::report::reasons::Because;
use crate::report::{Page, Reasoned, Sheet, builds, differences, grid, json};
use crate::uncertainty::Centre;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Table) -> Result<Status, Failure> {
    Context::fits(args.format, args.to.as_deref())?;
    let loaded = context.gather(&args.paths)?;
    let tank = context.tank(&args.run)?;
    let status = status(&loaded, &args.paths);
    if args.format != Format::Json && status.is_err() {
        return status;
    }
    // JSON tells of broken files too, so it is written even when there is nothing else.
    let depth = if args.format == Format::Json { Depth::Data } else { Depth::Measures };
    let wanted = (depth, Kept::Nothing);
    let mut sheet =
        context.judge(&context.cases(&loaded), &loaded.broken, tank.as_ref(), &args.run, wanted).sheet;
    if let Some(by) = args.sort {
        sheet.sort(by.measure, by.down);
    }
    let asked = |usual: &[Measure]| {
        if args.columns.is_empty() { usual.to_vec() } else { args.columns.clone() }
    };
    match args.format {
        Format::Csv => context.console.result(&grid::table(&sheet, &asked(&Measure::ALL)).csv())?,
        Format::Xlsx => {
            let sheets =
                [("builds", grid::table(&sheet, &asked(&Measure::ALL))), ("about", grid::about(&sheet))];
            context.book(args.to.as_deref(), &sheets)?;
        }
        Format::Json => context.data(json::table(&sheet, &asked(&Measure::ALL)))?,
        format => context.page(&builds::page(&sheet, &asked(&builds::USUAL), context.units), format)?,
    }
    status
}

pub(super) fn side_by_side(context: &mut Context<'_, '_>, args: &Compare) -> Result<Status, Failure> {
    Context::fits(args.format, args.to.as_deref())?;
    let named = [Some(&args.a), Some(&args.b), args.c.as_ref(), args.d.as_ref()];
    let cases = pick(context, named.into_iter().flatten())?;
    let tank = context.tank(&args.run)?;
    let judged = context.judge(&cases, &[], tank.as_ref(), &args.run, (Depth::Whole, Kept::All));
    let measures = args.measure.map_or_else(|| Measure::ALL.to_vec(), |only| vec![only]);
    let reasoned = reasoned(
        &cases,
        &judged.sheet.rows,
        &judged.learnt.centre(),
        tank.as_ref().map(|t| &*t.tank),
        args.measure,
    );
    let sheet = judged.sheet;
    match args.format {
        Format::Xlsx => {
            let builds = ("builds", grid::table(&sheet, &measures));
            let apart = ("differences", grid::differences(&sheet, &measures, &reasoned));
            context.book(args.to.as_deref(), &[builds, apart, ("about", grid::about(&sheet))])?;
        }
        Format::Json => context.data(json::compare(&sheet, &measures, &reasoned))?,
        format => context.page(&differences::page(&sheet, &measures, &reasoned, context.units), format)?,
    }
    Ok(Status::Fine)
}

/// The measures whose difference is shared out unless one is asked for.
const SHARED: [Measure; 4] =
    [Measure::FilteredFlow, Measure::BypassDirty, Measure::OpeningInterval, Measure::FirstYearCost];

/// Each further build against the first: which is better over the same draws, and why they differ.
fn reasoned(
    cases: &[Case],
    rows: &[Assessment],
    centre: &Centre,
    tank: Option<&Tank>,
    asked: Option<Measure>,
) -> Reasoned {
    let mut out = Reasoned::default();
    let aim = |measure: Measure| tank.filter(|_| measure == Measure::Turnover).map(|tank| tank.aims.turnover);
    for measure in Measure::ALL {
        let against = |other| of_builds(rows.first()?, other, measure, aim(measure));
        let all: Vec<Option<Verdict>> = rows.iter().skip(1).map(against).collect();
        if all.iter().any(Option::is_some) {
            out.verdicts.push((measure, all));
        }
    }
    let build = |case: &Case| case.filter.builds.get(case.build).cloned();
    let Some((first, stack)) = cases.first().and_then(|case| Some((case, build(case)?))) else { return out };
    for measure in asked.map_or(SHARED.to_vec(), |only| vec![only]) {
        for (further, case) in cases.iter().skip(1).enumerate() {
            let Some(other) = build(case) else { continue };
            let why = reasons((&first.filter, &stack), (&case.filter, &other), tank, measure, centre);
            // Asked for by name it says why there is none; unasked it would only be noise.
            if why.is_ok() || asked.is_some() {
                out.because.push(Because { further, measure, why });
            }
        }
    }
    out
}

/// The page of two of the builds judged, by their places.
pub(super) fn of_two(cases: &[Case], judged: &Judged, two: [usize; 2], tank: &Tank, units: Units) -> Page {
    let chosen: Vec<Case> = two.iter().filter_map(|i| cases.get(*i).cloned()).collect();
    let rows = two.iter().filter_map(|i| judged.sheet.rows.get(*i).cloned()).collect();
    let sheet = Sheet { rows, broken: Vec::new(), ..judged.sheet.clone() };
    let reasoned = reasoned(&chosen, &sheet.rows, &judged.learnt.centre(), Some(tank), None);
    differences::page(&sheet, &builds::USUAL, &reasoned, units)
}
