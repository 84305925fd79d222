//! `cansift next`: what to measure next.

use super::args::Next;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept, status};
use crate::compare::utility::criteria;
use crate::report::next;
use crate::report::page::Page;
use crate::report::ranking::{self, Ranked};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Next) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths)?;
    let status = status(&loaded, &args.paths)?;
    let tank = context.tank(&args.run)?;
    let cases = context.cases(&loaded);
    let wanted = (Depth::Measures, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, tank.as_ref(), &args.run, wanted);
    let names = super::rank::names(&cases);
    let mut page = Page::default();
    match tank.as_ref().map(|tank| &tank.tank).filter(|tank| !criteria(tank).is_empty()) {
        Some(tank) if cases.len() > 1 => {
            let all: Vec<usize> = (0..cases.len()).collect();
            let (standing, first) = super::rank::standing(&cases, &judged, &all, tank);
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
