//! `cansift table`: the builds, one row each.

use super::args::{Format, Table};
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept, status};
use crate::measures::Measure;
use crate::report::{builds, grid, json};

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
