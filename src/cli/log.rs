//! `cansift log`: the model against a build's readings.

use super::args::{Format, Log};
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept};
use super::pick::pick;
use crate::measures::Measure;
use crate::report::{json, log};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Log) -> Result<Status, Failure> {
    let cases = pick(context, [&args.a])?;
    let tank = context.tank(&args.run)?;
    let sheet = context.judge(&cases, &[], tank.as_ref(), &args.run, (Depth::Data, Kept::Nothing)).sheet;
    if args.format == Format::Json {
        context.data(json::table(&sheet, &Measure::ALL))?;
        return Ok(Status::Fine);
    }
    for row in &sheet.rows {
        context.page(&log::page(row, context.units), args.format)?;
    }
    Ok(Status::Fine)
}
