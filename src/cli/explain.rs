//! `cansift explain`: how one figure comes about.

use super::args::Explain;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept};
use super::pick::pick;
use crate::assess::explain::explain;
use crate::report::explained;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Explain) -> Result<Status, Failure> {
    let cases = pick(context, [&args.a])?;
    let tank = context.tank(&args.run)?;
    let wanted = (Depth::Whole, Kept::Nothing);
    let sheet = context.judge(&cases, &[], tank.as_ref(), &args.run, wanted).sheet;
    for (row, case) in sheet.rows.iter().zip(&cases) {
        let explanation = explain(&case.filter, case.build, tank.as_ref().map(|t| &*t.tank), args.measure);
        context.text(&explained::page(row, args.measure, &explanation, &sheet.currency, context.units))?;
    }
    Ok(Status::Fine)
}
