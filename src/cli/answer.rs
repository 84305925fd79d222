//! `cansift answer`: a reply to paste for "what should I buy?".

use std::sync::Arc;

use super::args::Answer;
use super::console::{Failure, Status};
use super::context::{Context, Depth, Kept, status};
use super::rank::SETTLES;
use crate::model::filter::Filter;
use crate::report::answer::{self, Asked, Kind};

pub(super) fn run(context: &mut Context<'_, '_>, args: &Answer) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths)?;
    let status = status(&loaded, &args.paths)?;
    let tank = super::rank::weighing_tank(context, &args.run, "an answer")?;
    let cases = context.cases(&loaded);
    let wanted = (Depth::Whole, Kept::All);
    let judged = context.judge(&cases, &loaded.broken, Some(&tank), &args.run, wanted);
    let kind = if args.full { Kind::Full } else { Kind::Short };
    let builds: Vec<(Arc<Filter>, usize)> =
        cases.iter().map(|case| (Arc::clone(&case.filter), case.build)).collect();
    let asked = Asked {
        builds: &builds,
        sheet: &judged.sheet,
        draws: &judged.columns(),
        tank: &tank.tank,
        top: usize::from(args.top),
        units: context.units,
    };
    let page = context.telling(|| SETTLES.to_owned(), || answer::reply(asked, kind));
    context.page(&page, args.format)?;
    Ok(status)
}
