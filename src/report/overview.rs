//! The page of `report`: which comes first, all builds, the two best, each build with its pictures, what could not be
//! used, cautions, sources and the tank.

use super::builds::{self, unit_of};
use super::figures::{self, Units};
use super::next::LEADING;
use super::page::{Fact, Kind, List};
use super::sources::{CAUTIONS, LEFT_OUT, LEFT_OUT_HEAD};
use super::svg::{self, Embedding};
use super::{
    Cell, Column, Look, Page, Picture, Sheet, Table, explained, html, sources, spans, suits, tank, wording,
};
use crate::assess::{Assessment, Costs};
use crate::measures::{Measure, Outcome};
use crate::model::Tank;

#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    pub sheet: &'a Sheet,
    pub tank: Option<&'a Tank>,
    pub units: Units,
    pub verdict: &'a str,
    /// Which comes first and how surely; left out while it is not worked out.
    pub ranking: Option<&'a Page>,
    /// The order in which builds stand, by their places in the sheet.
    pub order: &'a [usize],
    /// The two best side by side, and why they differ; left out while it is not worked out.
    pub top_two: Option<&'a Page>,
    pub words: &'a Words,
}

/// What somebody says of the page they publish.
#[derive(Clone, Debug)]
pub struct Words {
    pub title: Option<String>,
    pub author: Option<String>,
    pub date: Option<String>,
    pub introduction: Option<String>,
    /// Builds with pictures, the best placed ones.
    pub top: usize,
}

impl Default for Words {
    fn default() -> Self {
        Self { title: None, author: None, date: None, introduction: None, top: 6 }
    }
}

pub fn document(report: &Report<'_>) -> String {
    let Report { sheet, words, .. } = *report;
    let usual = || match &sheet.tank {
        Some(tank) => format!("Canister filters compared for {tank}"),
        None => "Canister filters compared".to_owned(),
    };
    let title = words.title.clone().unwrap_or_else(usual);
    let author = words.author.clone().unwrap_or_default();
    let foot = format!(
        "Made by {} {} from {} simulated cases, seed {}. Estimates: test the water, and follow the maker's instructions.",
        env!("CARGO_PKG_NAME"),
        env!("CARGO_PKG_VERSION"),
        sheet.samples(),
        sheet.seed
    );
    let signed: Vec<String> = words.author.iter().chain(&words.date).cloned().collect();
    let lead = [words.introduction.clone().unwrap_or_default(), report.verdict.to_owned(), lead(sheet)];
    let lead: Vec<String> =
        lead.into_iter().chain([signed.join(", ")]).filter(|line| !line.is_empty()).collect();
    let page = page(report);
    let document = html::Document { title: &title, author: &author, lead: &lead, page: &page, foot: &foot };
    html::document(&document, Look { units: report.units, ..Look::default() })
}

fn lead(sheet: &Sheet) -> String {
    let count = match sheet.rows.len() {
        1 => "One build".to_owned(),
        n => format!("{n} builds"),
    };
    let tank = if sheet.tank.is_none() { builds::NO_TANK } else { "" };
    let cases = match sheet.samples() {
        0 => builds::SINGLE.to_owned(),
        n => format!("Below each figure, low–high: 9 of 10 of {n} simulated cases lie between."),
    };
    format!("{count}. {tank}{cases}")
}

/// The verdict and the ranking first, then the table, the builds in their order, and the tank last.
fn page(report: &Report<'_>) -> Page {
    let Report { sheet, units, words, .. } = *report;
    let mut order: Vec<usize> = report.order.to_vec();
    order.extend((0..sheet.rows.len()).filter(|row| !report.order.contains(row)));
    let sheet = &Sheet {
        rows: order.iter().filter_map(|row| sheet.rows.get(*row).cloned()).collect(),
        ..sheet.clone()
    };
    let mut page = Page::default();
    let mut part = |id: &str, title: &str, inside: Page| page.section(Kind::Part, id, title, inside);
    if let Some(ranking) = report.ranking {
        part("ranking", "Which comes first", ranking.clone());
    }
    let mut all = Page::default();
    let links = (1..).map(|number| (number <= words.top).then(|| format!("build-{number}")));
    let table = builds::table(sheet, &builds::USUAL, units, links);
    all.table(table.caption("One row a build; the name leads to its pictures"));
    all.list_of(List::Quiet, super::log::remarks(sheet, units));
    all.list_of(List::Quiet, builds::legend(sheet, &builds::USUAL));
    part("table", "All builds", all);
    if let Some(two) = report.top_two {
        part("top-two", "The two best, side by side", two.clone());
    }
    let mut cards = Page::default();
    for (row, number) in sheet.rows.iter().zip(1..) {
        let id = format!("build-{number}");
        if number <= words.top {
            cards.section(Kind::Card, &id, &builds::called(sheet, row), card(sheet, row, &id, units));
        } else {
            cards.section(Kind::Fold, "", &builds::called(sheet, row), in_words(sheet, row, units));
        }
    }
    part("builds", "Each build", cards);
    if !sheet.broken.is_empty() {
        part("broken", "Files that could not be used", broken(sheet));
    }
    let mut cautions = Page::default();
    cautions.list_of(List::Cautions, CAUTIONS.map(str::to_owned).to_vec());
    let mut left_out = Page::default();
    left_out.list(LEFT_OUT.map(str::to_owned).to_vec());
    cautions.section(Kind::Fold, "", LEFT_OUT_HEAD, left_out);
    part("cautions", "Cautions", cautions);
    let mut behind = Page::default();
    behind.section(Kind::Fold, "", "Every constant with its source", sources::behind_the_figures());
    part("sources", "Sources", behind);
    part("tank", "The tank", report.tank.map_or_else(no_tank, |of| tank::page(of, units)));
    page
}

fn no_tank() -> Page {
    let mut page = Page::default();
    page.paragraph("No tank was given: what needs one is a dash.");
    page
}

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

/// One build: its figures, its pictures, and what can be said of it.
fn card(sheet: &Sheet, row: &Assessment, id: &str, units: Units) -> Page {
    let mut page = Page::default();
    page.list_of(List::Quiet, vec![row.file.clone()]);
    page.blocks.push(super::page::Block::Facts(
        LEADING.into_iter().chain([Measure::FullWeight]).map(|m| fact(sheet, row, m, units)).collect(),
    ));
    let pictures = Picture::ALL.map(|what| {
        (what.word(), svg::draw(what, row, units, Embedding::Within(&format!("{id}-{}", what.word()))))
    });
    page.blocks.push(super::page::Block::Pictures(pictures.to_vec()));
    page.blocks.extend(in_words(sheet, row, units).blocks);
    page
}

/// What tank it suits, its stages with their faults, where water slips past, what would help, what to know about it, and
/// every figure.
fn in_words(sheet: &Sheet, row: &Assessment, units: Units) -> Page {
    let mut page = Page::default();
    page.paragraph(suits::sentence(row, units));
    page.table(suits::table(row, None, units));
    stages(&mut page, row, units);
    leaks(&mut page, row);
    let help = |h| explained::helped(row, h, &sheet.currency, units);
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
    let figure = spans::figure(measure, outcome, row.band(measure), units);
    let note = match (outcome, figure.span.clone()) {
        (Outcome::Missing(why), _) => why.words().to_owned(),
        (_, span) => span.unwrap_or_default(),
    };
    let unit =
        if matches!(outcome, Outcome::Value(_)) { unit_of(measure, sheet, units) } else { String::new() };
    let value = format!("{} {unit}", figure.middle_alone());
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
        page.paragraph("No rule of media order is broken.");
    }
    // What a fault costs may not be worked out; a column of nothing helps nobody.
    let mut columns =
        vec![Column::words("where"), Column::prose("what it does"), Column::prose("what it costs")];
    if judged.faults.iter().all(|f| f.costs == Costs::Untold) {
        columns.pop();
    }
    let rows = judged
        .faults
        .iter()
        .map(|f| vec![f.at.clone(), f.says.clone(), wording::mends::costs(&f.costs, units)]);
    page.table(Table::new(columns, rows).caption("Rules of media order broken"));
}

fn leaks(page: &mut Page, judged: &Assessment) {
    if judged.leaks.is_empty() {
        return;
    }
    page.heading("Where water slips past the finest mechanical stage");
    let columns =
        vec![Column::words("where"), Column::figures("clean", ""), Column::figures("when dirty", "")];
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
        caption: "Every measure of this build, below it low–high".to_owned(),
        columns: vec![
            Column::words("measure"),
            Column::figures("value", ""),
            Column::words("unit"),
            Column::prose("what it says"),
        ],
        rows: Measure::ALL.into_iter().map(line).collect(),
    }
}
