//! The commands of one build: `draw`, `explain`, `log` and `suits`.

use std::ffi::OsString;

use super::args::{Draw, Explain, Format, Log, Suits};
use super::context::{Case, Judged, Kept};
use super::pick::pick;
use super::{Context, Depth, Failure, Run, Status};
use crate::assess::suits::by_dirt;
use crate::assess::{Assessment, Case as AtTank, Stocking, explain};
use crate::learn::picture::picture;
use crate::measures::Measure;
use crate::model::{Day, Tank};
use crate::profile::{SoundTank, today};
use crate::report::figures::Units;
use crate::report::svg::{self, Embedding};
use crate::report::{Picture, explained, json, log, suits};

/// The build that is named, judged for the tank asked for.
fn judged(
    context: &mut Context<'_, '_>,
    build: &OsString,
    run: &Run,
    depth: Depth,
) -> Result<(Vec<Case>, Option<SoundTank>, Judged), Failure> {
    let cases = pick(context, [build])?;
    let tank = context.tank(run)?;
    let judged = context.judge(&cases, &[], tank.as_ref(), run, (depth, Kept::Nothing));
    Ok((cases, tank, judged))
}

pub(super) fn draw(context: &mut Context<'_, '_>, args: &Draw) -> Result<Status, Failure> {
    let (cases, tank, judged) = judged(context, &args.a, &args.run, Depth::Whole)?;
    let what = args.what;
    for (at, (row, case)) in judged.sheet.rows.iter().zip(&cases).enumerate() {
        let drawn = if what == Picture::Log {
            readings(row, case, tank.as_ref().map(|t| &*t.tank), &judged, at, context.units)
        } else {
            svg::draw(what, row, context.units, Embedding::Alone)
        };
        let picture = drawn.map_err(|why| {
            Failure::Nothing(format!("there is no {} to draw of {}: {why}", what.word(), row.title()))
        })?;
        if args.to.as_os_str() == "-" {
            context.console.result(&picture)?;
            continue;
        }
        context.save_new(&args.to, &picture)?;
        context.console.remark(&format!("cansift: drew the {} to `{}`", what.word(), args.to.display()));
    }
    Ok(Status::Fine)
}

fn readings(
    row: &Assessment,
    case: &Case,
    tank: Option<&Tank>,
    judged: &Judged,
    at: usize,
    units: Units,
) -> Result<String, &'static str> {
    let build = case
        .filter
        .builds
        .get(case.build)
        .filter(|build| !build.kept.log.is_empty())
        .ok_or("it has no log")?;
    let Day(today) = today::get();
    let since = build.kept.packed.map_or(-1, |Day(packed)| today - packed);
    picture((&*case.filter, build), tank, &judged.draws, &judged.learnt, at, since as f64)
        .map(|picture| svg::plots::log(row, &picture, units, Embedding::Alone))
        .ok_or("the model tells no flow over the weeks: a tank that is fed is needed")
}

pub(super) fn explain(context: &mut Context<'_, '_>, args: &Explain) -> Result<Status, Failure> {
    let (cases, tank, Judged { sheet, .. }) = judged(context, &args.a, &args.run, Depth::Whole)?;
    for (row, case) in sheet.rows.iter().zip(&cases) {
        let explanation =
            explain::explain(&case.filter, case.build, tank.as_ref().map(|t| &*t.tank), args.measure);
        context.text(&explained::page(row, args.measure, &explanation, &sheet.currency, context.units))?;
    }
    Ok(Status::Fine)
}

pub(super) fn log(context: &mut Context<'_, '_>, args: &Log) -> Result<Status, Failure> {
    let (_, _, Judged { sheet, .. }) = judged(context, &args.a, &args.run, Depth::Data)?;
    if args.format == Format::Json {
        context.data(json::table(&sheet, &Measure::ALL))?;
        return Ok(Status::Fine);
    }
    for row in &sheet.rows {
        context.page(&log::page(row, context.units), args.format)?;
    }
    Ok(Status::Fine)
}

pub(super) fn suits(context: &mut Context<'_, '_>, args: &Suits) -> Result<Status, Failure> {
    let (cases, tank, Judged { sheet, .. }) = judged(context, &args.a, &args.run, Depth::Data)?;
    if args.format == Format::Json {
        context.data(json::table(&sheet, &[Measure::SuitsUpTo]))?;
        return Ok(Status::Fine);
    }
    for (row, case) in sheet.rows.iter().zip(&cases) {
        let at_tank = case.filter.builds.get(case.build);
        let at_tank = at_tank.map(|b| AtTank::new(&case.filter, b, tank.as_ref().map(|t| &*t.tank)));
        let dirt = |stocking: Stocking| by_dirt(at_tank.as_ref()?, stocking);
        let dirt: Option<&dyn Fn(Stocking) -> Option<f64>> = if args.dirt { Some(&dirt) } else { None };
        context.page(&suits::page(row, dirt, context.units), args.format)?;
    }
    Ok(Status::Fine)
}
