//! `cansift suits`: the largest tank a build suits.

use super::args::{Format, Suits};
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept};
use super::pick::pick;
use crate::assess::case::Case as AtTank;
use crate::assess::suits::{Stocking, by_dirt};
use crate::measures::Measure;
use crate::report::{json, suits};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Suits) -> Result<Status, Failure> {
    let cases = pick(context, [&args.a])?;
    let tank = context.tank(&args.run)?;
    let wanted = (Depth::Data, Kept::Nothing);
    let sheet = context.judge(&cases, &[], tank.as_ref(), &args.run, wanted).sheet;
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
