//! `cansift restack`: stacks that would suit the tank better.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::args::Restack;
use super::context::Case;
use super::pick::pick;
use super::{Context, Failure, Run, Status, suggest};
use crate::assess::{Case as Judged, judge};
use crate::model::{Build, Medium, Tank};
use crate::profile::write::write;
use crate::propose::allowed::{self, Allowed};
use crate::propose::{Options, propose};
use crate::report::restack::{Told, page};

/// The word for what lies in the build and what the tank's keeper has.
const ON_HAND: &str = "on-hand";

pub(super) fn run(context: &mut Context<'_, '_>, args: &Restack) -> Result<Status, Failure> {
    let case = pick(context, [&args.a])?.into_iter().next();
    let case = case.ok_or_else(|| Failure::Usage("name the build to restack".to_owned()))?;
    let tank = context.tank(&args.run)?;
    let Some(tank) = tank.map(|t| t.tank) else {
        return Err(Failure::Usage("restack needs the tank it is for: add `--tank FILE`".to_owned()));
    };
    let filter = Arc::clone(&case.filter);
    let Some(build) = filter.builds.get(case.build) else {
        return Err(Failure::Nothing("the build is not there".to_owned()));
    };
    let media = media(context, &case, build, &tank, &args.with)?;
    let options = options(media, build, &args.run, (usize::from(args.top), args.foam_only));
    let judged = Judged::new(&filter, build, Some(&tank));
    let never = AtomicBool::new(false);
    let done = AtomicUsize::new(0);
    let proposals = context.telling(
        || format!("{} % of the stacks looked at", done.load(Ordering::Relaxed)),
        || propose(&judged, &options, &never, |x| done.store((x * 100.0) as usize, Ordering::Relaxed)),
    );
    if proposals.is_empty() {
        return Err(Failure::Nothing(
            "no stack of these media beats the one as it is: a coarse or medium pad must come first, and biological media stay (`--foam-only` lets them go)"
                .to_owned(),
        ));
    }
    let before = judge(&filter, case.build, Some(&tank));
    let title = format!("{} · {}", filter.name, build.name);
    let told = Told {
        title: &title,
        filter: &filter,
        tank: &tank,
        before: &before,
        samples: options.samples,
        units: context.units,
    };
    let page = page(told, &proposals);
    if let Some(path) = &args.save {
        let mut builds: Vec<Build> = filter.builds.clone();
        builds.extend(proposals.iter().map(|p| p.build.clone()));
        let from = case.path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let note = format!(
            "{}, with stacks proposed by cansift for {}.\nWritten from {from}, build \"{}\"; comments of that file are not in here.\nUnplug the filter before you open it. The figures are estimates.",
            filter.name, tank.name, build.name
        );
        context.save_new(path, write(&filter, &builds, &note))?;
        context.console.remark(&format!("cansift: wrote `{}`", path.display()));
    }
    context.text(&page)?;
    Ok(Status::Fine)
}

pub(super) fn options(
    media: Vec<Allowed>,
    build: &Build,
    run: &Run,
    (top, foam_only): (usize, bool),
) -> Options {
    let usual = Options::new(media).as_fine_as(build);
    // The order of twenty stacks needs fewer draws than a published figure.
    let samples = (run.samples() as usize).min(usual.samples);
    Options { top, seed: run.seed(), threads: run.threads(), foam_only, samples, ..usual }
}

/// The media to work with: all that are known, those named, or what is on hand.
fn media(
    context: &Context<'_, '_>,
    case: &Case,
    build: &Build,
    tank: &Tank,
    with: &[String],
) -> Result<Vec<Allowed>, Failure> {
    let library = context.library;
    // A profile's own media stand in its builds alone.
    let own: Vec<Arc<Medium>> = case
        .filter
        .builds
        .iter()
        .flat_map(|b| b.floor.iter().chain(b.trays.iter().flatten()))
        .map(|layer| Arc::clone(&layer.medium))
        .collect();
    let find = |id: &str| own.iter().find(|m| m.id == id).or_else(|| library.medium(id)).map(Arc::clone);
    if with.is_empty() {
        let known = own.iter().chain(library.media()).map(Arc::clone);
        return Ok(allowed::all(known, &case.filter, build, tank));
    }
    let mut out = Vec::new();
    for id in with {
        if id == ON_HAND {
            out.extend(allowed::on_hand(find, &case.filter, build, tank));
        } else if let Some(medium) = find(id) {
            out.push(Allowed { medium, amount: None });
        } else {
            let known = library.media().map(|m| m.id.as_str()).chain(own.iter().map(|m| m.id.as_str()));
            return Err(Failure::Usage(format!(
                "no medium is called `{id}`{}; `cansift media` lists them, `{ON_HAND}` is what you have",
                suggest::hint(id, known.chain([ON_HAND]))
            )));
        }
    }
    Ok(out)
}
