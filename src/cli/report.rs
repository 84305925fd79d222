//! `cansift report`: one page with everything, and beside it the table and the data; `cansift sheet`: what to measure, in
//! order, to print.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::{self, Report, Sheet};
use super::context::{Case, Kept, Known, status};
use super::pick::pick;
use super::{Console, Context, Depth, Failure, Run, Status};
use crate::app::state::form::given;
use crate::app::{Entry, ReportAsk};
use crate::compare::value_of_information::explains;
use crate::library::Library;
use crate::measures::Measure;
use crate::model::{Filter, Way};
use crate::profile::store::{self, NotSaved};
use crate::profile::write::write;
use crate::profile::{Broken, SoundTank, read_filter, starter};
use crate::report::html::{Document, document};
use crate::report::overview::Words;
use crate::report::{Block, Look, Ranked, grid, json, markdown, next, overview, ranking, sheet};

/// A file of the report: its name, and what it holds.
type Page = (&'static str, Vec<u8>);

pub(super) fn run(context: &mut Context<'_, '_>, args: &Report) -> Result<Status, Failure> {
    let loaded = context.gather(&args.paths)?;
    let Some(tank) = context.tank(&args.run)? else {
        return Err(Failure::Usage("a report is written for a tank: give one with --tank FILE".to_owned()));
    };
    let status = status(&loaded, &args.paths)?;
    let cases = context.cases(&loaded);
    let words = Words {
        title: args.title.clone(),
        author: args.by.clone(),
        date: args.date.clone(),
        introduction: args.introduction.clone(),
        top: usize::from(args.top),
    };
    let texts = texts(context, (&cases, &loaded.broken), &tank, (&args.run, &words), &|_| None)?;
    save(&args.to, &texts).map_err(|error| match error {
        NotSaved::Exists(_) => Failure::Usage(error.to_string()),
        _ => Failure::Nothing(error.to_string()),
    })?;
    context.console.remark(&format!("cansift: wrote {} to `{}`", named(&texts), args.to.display()));
    Ok(status)
}

fn texts(
    context: &Context<'_, '_>,
    (cases, broken): (&[Case], &[Broken]),
    tank: &SoundTank,
    (run, words): (&Run, &Words),
    known: &Known<'_>,
) -> Result<Vec<Page>, Failure> {
    let wanted = (Depth::Whole, Kept::All);
    let judged = context.judge_rest(cases, broken, Some(tank), run, wanted, known);
    let all: Vec<usize> = (0..cases.len()).collect();
    let weighs = !crate::compare::utility::criteria(&tank.tank).is_empty();
    let ranking = weighs.then(|| super::rank::standing(cases, &judged, &all, &tank.tank));
    let names = super::rank::names(cases);
    let ranked_page = ranking.as_ref().map(|(standing, first)| {
        let ranked = Ranked { sheet: &judged.sheet, standing, first, names: &names };
        let (mut page, verdict) = (ranking::page(&ranked, context.units), ranking::summary(&ranked));
        // The page begins with it.
        page.blocks.retain(|block| !matches!(block, Block::Paragraph(said) if *said == verdict));
        (page, verdict)
    });
    let order = ranking.as_ref().map(|(standing, _)| standing.order()).unwrap_or_default();
    let top_two = ranking.as_ref().and_then(|(standing, _)| match standing.order().as_slice() {
        [one, two, ..] => Some(super::table::of_two(cases, &judged, [*one, *two], &tank.tank, context.units)),
        _ => None,
    });
    let sheet = judged.sheet;
    let page = overview::document(&overview::Report {
        sheet: &sheet,
        tank: Some(&tank.tank),
        units: context.units,
        verdict: ranked_page.as_ref().map_or("", |(_, verdict)| verdict),
        ranking: ranked_page.as_ref().map(|(page, _)| page),
        order: &order,
        words,
        top_two: top_two.as_ref(),
    });
    let table = grid::table(&sheet, &Measure::ALL).csv();
    let data = json::table(&sheet, &Measure::ALL).map_err(std::io::Error::other)?;
    let sheets = [("builds", grid::table(&sheet, &Measure::ALL)), ("about", grid::about(&sheet))];
    let mut out = vec![("report.html", page.into_bytes()), ("table.csv", table.into_bytes())];
    // It is no more than the table once again: the page does without it where no thread is to be had for it.
    out.extend(grid::book(&sheets).ok().map(|book| ("table.xlsx", book)));
    out.push(("data.json", data.into_bytes()));
    Ok(out)
}

fn named(pages: &[Page]) -> String {
    pages.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
}

fn save(folder: &Path, texts: &[Page]) -> Result<(), NotSaved> {
    let files: Vec<(&str, &Vec<u8>)> = texts.iter().map(|(name, text)| (*name, text)).collect();
    store::save_folder(folder, &files)
}

pub(super) fn from_screens(library: &'static Library, run: &Run, ask: &ReportAsk) -> String {
    let (mut out, mut err) = (std::io::sink(), std::io::sink());
    let mut console = Console::new(&mut out, &mut err, false);
    let mut context = Context::new(&mut console, args::Look::default());
    context.library = library;
    context.units = ask.units;
    let case = |e: &Entry| Case { path: e.path.clone(), filter: Arc::clone(&e.filter), build: e.build };
    let cases: Vec<Case> = ask.builds.iter().map(case).collect();
    let known = |i: usize| ask.builds.get(i).filter(|entry| entry.is_whole())?.judged.as_deref().cloned();
    let tank = SoundTank { path: PathBuf::new(), tank: Arc::clone(&ask.tank), hints: Vec::new() };
    let folder = super::screens::tanks::at_home(&ask.folder);
    let done = texts(&context, (&cases, &ask.broken), &tank, (run, &Words::default()), &known)
        .map_err(|failure| failure.to_string())
        .and_then(|texts| save(&folder, &texts).map_err(|error| error.to_string()).map(|()| named(&texts)));
    match done {
        Ok(names) => format!("the report is written: {names} in {}", folder.display()),
        Err(why) => format!("no report was written: {why}"),
    }
}

pub(super) fn sheet(context: &mut Context<'_, '_>, args: &Sheet) -> Result<Status, Failure> {
    let case = match &args.a {
        Some(a) => pick(context, [a])?.into_iter().next(),
        None => unknown(),
    };
    let Some(case) = case else {
        return Err(Failure::Nothing("there is no filter to write a sheet of".to_owned()));
    };
    let tank = context.tank(&args.run)?;
    let judged = context.judge(
        std::slice::from_ref(&case),
        &[],
        tank.as_ref(),
        &args.run,
        (Depth::Measures, Kept::All),
    );
    let row = judged.sheet.rows.first();
    let leading = row.map(next::leading).unwrap_or_default();
    let worth = row
        .and_then(|row| row.simulated.as_ref())
        .map(|cases| explains(cases, &judged.columns(), &leading))
        .unwrap_or_default();
    let kept = case.filter.to_keep();
    let builds: Vec<_> = kept.builds.get(case.build).cloned().into_iter().collect();
    let one = Filter { builds, ..kept };
    let text = write(&one, &one.builds, "");
    let name = if args.a.is_some() { one.name.clone() } else { "a filter".to_owned() };
    let page = sheet::page(&name, (&text, Filter::TABLE, &given(&one)), (&worth, &leading), context.units);
    let look = Look { units: context.units, ascii: false, width: Look::default().width };
    let html = args
        .to
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("html") || end.eq_ignore_ascii_case("htm"));
    let out = if html {
        let title = format!("To measure: {name}");
        document(
            &Document {
                title: &title,
                author: "",
                lead: &[],
                page: &page,
                foot: "Estimates; unplug before opening.",
            },
            look,
        )
    } else {
        markdown::page(&page, look)
    };
    if args.to.as_os_str() == "-" {
        context.console.result(&out)?;
        return Ok(Status::Fine);
    }
    context.save_new(&args.to, &out)?;
    context.console.remark(&format!("cansift: wrote what to measure to `{}`", args.to.display()));
    Ok(Status::Fine)
}

/// A filter of which three numbers are known, and these are guesses.
fn unknown() -> Option<Case> {
    let [flow, _, outside] = starter::FILTER.map(|asked| asked.guess());
    let text = starter::filter("a filter", [&flow, "count(3)", &outside], Way::Rising).ok()?;
    let sound = read_filter(Path::new("a-filter.ron"), &text, Library::shipped()).ok()?;
    Some(Case { path: sound.path, filter: sound.filter, build: 0 })
}
