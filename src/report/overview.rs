//! The page of `report`: the tank, all builds, which comes first, the two best, each build with its pictures, what
//! could not be used, cautions and sources.

use super::builds::{self, unit_of};
use super::cautions::{CAUTIONS, LEFT_OUT};
use super::figures::{self, Units};
use super::page::{Cell, Column, Fact, Kind, List, Look, Page, Table};
use super::svg::{self, Embedding, Picture};
use super::{Sheet, helps, html, sources, tank, wording};
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::model::tank::Tank;

/// Figures shown large on a build's card.
const LARGE: [Measure; 6] = [
    Measure::FilteredFlow,
    Measure::Flow,
    Measure::Bypass,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::FullWeight,
];

/// What the page is made of.
#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    pub sheet: &'a Sheet,
    pub tank: Option<&'a Tank>,
    pub units: Units,
    /// Which comes first and how surely; left out while it is not worked out.
    pub ranking: Option<&'a Page>,
    /// The two best side by side, and why they differ; left out while it is not worked out.
    pub top_two: Option<&'a Page>,
}

/// The whole document.
pub fn document(report: &Report<'_>) -> String {
    let sheet = report.sheet;
    let title = match &sheet.tank {
        Some(tank) => format!("Canister filters compared for {tank}"),
        None => "Canister filters compared".to_owned(),
    };
    let foot = format!(
        "Made by {} {} from {} draws, seed {}. Estimates: test the water, and follow the maker's instructions.",
        env!("CARGO_PKG_NAME"),
        env!("CARGO_PKG_VERSION"),
        sheet.samples(),
        sheet.seed
    );
    let page = page(report);
    let document = html::Document { title: &title, lead: &lead(sheet), page: &page, foot: &foot };
    html::document(&document, Look { units: report.units, ..Look::default() })
}

/// What the figures hold for.
fn lead(sheet: &Sheet) -> String {
    let count = match sheet.rows.len() {
        1 => "One build".to_owned(),
        n => format!("{n} builds"),
    };
    let tank = if sheet.tank.is_none() { builds::NO_TANK } else { "" };
    let doubt = match sheet.samples() {
        0 => "Nominal figures; their doubt was not worked out.".to_owned(),
        n => format!("Below each figure: 5th to 95th percentile of {n} draws."),
    };
    format!("{count}. {tank}{doubt}")
}

fn page(report: &Report<'_>) -> Page {
    let Report { sheet, units, .. } = *report;
    let mut page = Page::default();
    let mut part = |id: &str, title: &str, inside: Page| page.section(Kind::Part, id, title, inside);
    part("tank", "The tank", report.tank.map_or_else(no_tank, |of| tank::page(of, units)));
    let mut all = Page::default();
    let links = (1..).map(|number| Some(format!("build-{number}")));
    let table = builds::table(sheet, &builds::USUAL, units, links);
    all.table(table.caption("One row a build; the name leads to its pictures"));
    all.list_of(List::Quiet, builds::below(sheet, &builds::USUAL));
    part("table", "All builds", all);
    if let Some(ranking) = report.ranking {
        part("ranking", "Which comes first", ranking.clone());
    }
    if let Some(two) = report.top_two {
        part("top-two", "The two best, side by side", two.clone());
    }
    let mut cards = Page::default();
    for (row, number) in sheet.rows.iter().zip(1..) {
        let id = format!("build-{number}");
        cards.section(Kind::Card, &id, &row.title(), card(sheet, row, &id, units));
    }
    part("builds", "Each build", cards);
    if !sheet.broken.is_empty() {
        part("broken", "Files that could not be used", broken(sheet));
    }
    let mut cautions = Page::default();
    cautions.list_of(List::Cautions, CAUTIONS.map(str::to_owned).to_vec());
    cautions.listed("What the model leaves out", List::Lines, LEFT_OUT.map(str::to_owned).to_vec());
    part("cautions", "Cautions", cautions);
    part("sources", "Sources", sources::behind_the_figures());
    page
}

fn no_tank() -> Page {
    let mut page = Page::default();
    page.paragraph("No tank was given: what needs one is a dash.");
    page
}

/// Files that could not be used, with what is wrong with them.
fn broken(sheet: &Sheet) -> Page {
    let mut page = Page::default();
    for file in &sheet.broken {
        let problem = |p: &super::BadSpot| {
            let help = p.help.as_ref().map(|h| format!(" ({h})")).unwrap_or_default();
            format!("line {}, column {}: {}{help}", p.line, p.column, p.message)
        };
        page.listed(&file.file, List::Lines, file.problems.iter().map(problem).collect());
    }
    page
}

/// One build: its figures, its pictures, its stages with their faults, where water slips past, what would help, and
/// what to know about it.
fn card(sheet: &Sheet, row: &Assessment, id: &str, units: Units) -> Page {
    let mut page = Page::default();
    page.list_of(List::Quiet, vec![row.file.clone()]);
    page.blocks.push(super::page::Block::Facts(LARGE.map(|m| fact(sheet, row, m, units)).to_vec()));
    let pictures = Picture::ALL.map(|what| {
        (what.word(), svg::draw(what, row, units, Embedding::Within(&format!("{id}-{}", what.word()))))
    });
    page.blocks.push(super::page::Block::Pictures(pictures.to_vec()));
    stages(&mut page, row, units);
    leaks(&mut page, row);
    let help = |h| helps::words(row, h, &sheet.currency, units);
    page.listed("What would help most", List::Numbered, row.helps.iter().map(help).collect());
    let notes = wording::notes::lines(&row.notes, units);
    page.listed("To know about it", List::Lines, notes);
    let mut every = Page::default();
    every.table(every_figure(sheet, row, units));
    page.section(Kind::Fold, "", "Every figure", every);
    page
}

fn fact(sheet: &Sheet, row: &Assessment, measure: Measure, units: Units) -> Fact {
    let outcome = row.outcome(measure);
    let say = |x| figures::show(measure, Outcome::Value(x), units);
    let note = match (outcome, row.band(measure)) {
        (Outcome::Missing(why), _) => why.words().to_owned(),
        (_, Some(band)) => format!("{} to {}", say(band.low), say(band.high)),
        _ => String::new(),
    };
    let value = format!("{} {}", figures::show(measure, outcome, units), unit_of(measure, sheet, units));
    Fact { name: measure.row().head.to_owned(), value: value.trim().to_owned(), note }
}

fn stages(page: &mut Page, judged: &Assessment, units: Units) {
    page.heading("Stages, in the order in which the water meets them");
    if judged.stages.is_empty() {
        page.paragraph("No media.");
    }
    let stages = judged.stages.iter().map(|r| format!("{} {}", r.letter(), r.word()));
    page.list_of(List::Stages, stages.collect());
    if judged.faults.is_empty() {
        page.paragraph("No rule of staging is broken.");
    }
    // What a fault costs may not be worked out; a column of nothing helps nobody.
    let mut columns =
        vec![Column::words("where"), Column::prose("what it does"), Column::prose("what it costs")];
    if judged.faults.iter().all(|f| f.costs.is_empty()) {
        columns.pop();
    }
    let rows =
        judged.faults.iter().map(|f| vec![f.at.clone(), f.says.clone(), figures::said(&f.costs, units)]);
    page.table(Table::new(columns, rows).caption("Rules of staging broken"));
}

fn leaks(page: &mut Page, judged: &Assessment) {
    if judged.leaks.is_empty() {
        return;
    }
    page.heading("Where water slips past the finest mechanical stage");
    let columns =
        vec![Column::words("where"), Column::figures("clean", ""), Column::figures("at service", "")];
    let rows = judged.leaks.iter().map(|leak| {
        let late = leak.share_at_service.map_or_else(|| figures::DASH.to_owned(), figures::share);
        vec![leak.at.clone(), figures::share(leak.share), late]
    });
    page.table(Table::new(columns, rows).caption("Share of the pumped water; the shares add to the bypass"));
}

fn every_figure(sheet: &Sheet, row: &Assessment, units: Units) -> Table {
    let line = |m: Measure| -> Vec<Cell> {
        let says = match row.outcome(m) {
            Outcome::Missing(why) => format!("{}; cannot be told: {}", m.row().says, why.words()),
            _ => m.row().says.to_owned(),
        };
        vec![m.key().into(), builds::cell(row, m), unit_of(m, sheet, units).into(), says.into()]
    };
    Table {
        caption: "Every measure of this build, below it its 5th to 95th percentile".to_owned(),
        columns: vec![
            Column::words("measure"),
            Column::figures("value", ""),
            Column::words("unit"),
            Column::prose("what it says"),
        ],
        rows: Measure::ALL.into_iter().map(line).collect(),
    }
}
