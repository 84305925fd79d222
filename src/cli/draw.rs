//! `cansift draw`: one picture of one build, as an SVG file.

use super::args::Draw;
use super::console::{Failure, Status};
use super::context::{Case, Context, Depth, Judged, Kept};
use super::pick::pick;
use crate::assess::Assessment;
use crate::learn::picture::picture;
use crate::model::day::Day;
use crate::model::tank::Tank;
use crate::profile::today;
use crate::report::figures::Units;
use crate::report::svg::{self, Embedding, Picture};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Draw) -> Result<Status, Failure> {
    let cases = pick(context, [&args.a])?;
    let tank = context.tank(&args.run)?;
    let wanted = (Depth::Whole, Kept::Nothing);
    let judged = context.judge(&cases, &[], tank.as_ref(), &args.run, wanted);
    let what = args.what;
    for (at, (row, case)) in judged.sheet.rows.iter().zip(&cases).enumerate() {
        let drawn = if what == Picture::Log {
            log(row, case, tank.as_ref().map(|t| &*t.tank), &judged, at, context.units)
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

fn log(
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
        .map(|picture| svg::log::draw(row, &picture, units, Embedding::Alone))
        .ok_or("the model tells no flow over the weeks: a tank that is fed is needed")
}
