//! `cansift explain`: how one figure comes about.

use super::args::Explain;
use super::console::{Failure, Status};
use super::context::Context;
use super::pick::pick;
use crate::report::explained;

pub(super) fn run(context: &mut Context<'_, '_>, args: &Explain) -> Result<Status, Failure> {
    let tank = context.tank(&args.run)?;
    let case = pick(context, &args.a)?;
    let sheet = context.judge(std::slice::from_ref(&case), &[], tank.as_ref(), &args.run)?;
    let explanation = context.explain(&case, tank.as_ref(), args.measure);
    for row in &sheet.rows {
        context.text(&explained::page(row, args.measure, &explanation, context.units))?;
    }
    Ok(Status::Fine)
}
