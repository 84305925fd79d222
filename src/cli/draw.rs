//! `cansift draw`: one picture of one build, as an SVG file.

use super::args::Draw;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept};
use super::pick::pick;
use crate::report::svg::{self, Embedding};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Draw) -> Result<Status, Failure> {
    let cases = pick(context, [&args.a])?;
    let tank = context.tank(&args.run)?;
    let wanted = (Depth::Whole, Kept::Nothing);
    let sheet = context.judge(&cases, &[], tank.as_ref(), &args.run, wanted).sheet;
    let what = args.what;
    for row in &sheet.rows {
        let picture = svg::draw(what, row, context.units, Embedding::Alone).map_err(|why| {
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
