//! `cansift diff`: two to four builds side by side.

use super::args::{Diff, PageFormat};
use super::console::{Failure, Status};
use super::context::Context;
use super::pick::pick;
use crate::measures::Measure;
use crate::report::{bbcode, differences, json, markdown, text};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Diff) -> Result<Status, Failure> {
    let named = [Some(&args.a), Some(&args.b), args.c.as_ref(), args.d.as_ref()];
    let cases = pick(context, named.into_iter().flatten())?;
    let tank = context.tank(&args.run)?;
    let sheet = context.judge(&cases, &[], tank.as_ref(), &args.run)?;
    let measures = args.measure.map_or_else(|| Measure::ALL.to_vec(), |only| vec![only]);
    let page = || differences::page(&sheet, &measures, context.units);
    let ascii = context.console.ascii;
    let written = match args.format {
        PageFormat::Text => text::page(&page(), ascii),
        PageFormat::Markdown => markdown::page(&page(), ascii),
        PageFormat::Bbcode => bbcode::page(&page(), ascii),
        PageFormat::Json => json::diff(&sheet, &measures).map_err(std::io::Error::other)?,
    };
    context.console.result(&written)?;
    Ok(Status::Fine)
}
