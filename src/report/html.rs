//! One page that holds everything: no script, nothing fetched, pictures inside. It reads on light and dark, on a
//! phone and on paper, and to those who listen to it.

mod card;
mod doc;
mod style;
mod tank;

use super::figures::Units;
use super::page::{Block, Page};
use super::{Sheet, builds, escape, sources, svg};
use crate::model::tank::Tank;
use doc::Doc;

/// What the page is made of.
#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    /// The builds, in the order to show.
    pub sheet: &'a Sheet,
    /// The tank they were judged for.
    pub tank: Option<&'a Tank>,
    /// What people read.
    pub units: Units,
    /// Which comes first and how surely; left out while it is not worked out.
    pub ranking: Option<&'a Page>,
    /// The two best side by side, and why they differ; left out while it is not worked out.
    pub top_two: Option<&'a Page>,
}

/// The page. The same builds give the same bytes.
pub fn page(report: &Report<'_>) -> String {
    let sheet = report.sheet;
    let title = match &sheet.tank {
        Some(tank) => format!("Canister filters compared for {tank}"),
        None => "Canister filters compared".to_owned(),
    };
    let mut doc = Doc::default();
    doc.raw("<!DOCTYPE html>\n");
    doc.within("html lang=\"en\"", |doc| {
        doc.within("head", |doc| {
            doc.raw("<meta charset=\"utf-8\">\n");
            // Should a name ever get through as markup, a browser still runs and fetches nothing.
            doc.raw(
                "<meta http-equiv=\"Content-Security-Policy\" \
                 content=\"default-src 'none'; style-src 'unsafe-inline'\">\n",
            );
            doc.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
            doc.raw("<meta name=\"color-scheme\" content=\"light dark\">\n");
            doc.line("title", &title);
            doc.raw(&format!("<style>\n{}{}\n</style>\n", style::STYLE, svg::style()));
        });
        doc.within("body", |doc| {
            doc.raw("<a class=\"skip\" href=\"#table\">To the table</a>\n");
            heading(doc, report, &title);
            doc.within("main", |doc| {
                tank_section(doc, report);
                table(doc, report);
                if let Some(page) = report.ranking {
                    section(doc, "ranking", "Which comes first", |doc| doc.blocks(page, 2, "Which comes first"));
                }
                if let Some(page) = report.top_two {
                    section(doc, "top-two", "The two best, side by side", |doc| {
                        doc.blocks(page, 2, "The two best, side by side");
                    });
                }
                section(doc, "builds", "Each build", |doc| {
                    for (row, number) in sheet.rows.iter().zip(0..) {
                        card::card(doc, sheet, row, number, report.units);
                    }
                });
                broken(doc, sheet);
                from_sources(doc);
            });
            doc.within("footer", |doc| {
                doc.line(
                    "p",
                    &format!(
                        "Made by {} {} from {} draws, seed {}. Estimates: test the water, and follow the maker's instructions.",
                        env!("CARGO_PKG_NAME"),
                        env!("CARGO_PKG_VERSION"),
                        sheet.samples(),
                        sheet.seed
                    ),
                );
            });
        });
    });
    doc.finish()
}

/// A section with its heading.
fn section(doc: &mut Doc, id: &str, title: &str, inside: impl FnOnce(&mut Doc)) {
    doc.within(&format!("section id=\"{id}\" aria-labelledby=\"{id}-head\""), |doc| {
        doc.line(&format!("h2 id=\"{id}-head\""), title);
        inside(doc);
    });
}

fn heading(doc: &mut Doc, report: &Report<'_>, title: &str) {
    let sheet = report.sheet;
    doc.within("header", |doc| {
        doc.within("h1", |doc| doc.name(title));
        let count = match sheet.rows.len() {
            1 => "One build".to_owned(),
            n => format!("{n} builds"),
        };
        doc.line("p class=\"lead\"", &format!("{count}. {}", surroundings(sheet)));
        doc.within("nav aria-label=\"Contents\"", |doc| {
            let mut links = vec![("tank", "The tank"), ("table", "All builds")];
            if report.ranking.is_some() {
                links.push(("ranking", "Which comes first"));
            }
            if report.top_two.is_some() {
                links.push(("top-two", "The two best"));
            }
            links.push(("builds", "Each build"));
            links.push(("cautions", "Cautions"));
            links.push(("sources", "Sources"));
            doc.within("ul", |doc| {
                for (id, name) in links {
                    doc.raw(&format!("<li><a href=\"#{id}\">{}</a></li>\n", escape::markup(name)));
                }
            });
        });
    });
}

/// What the figures hold for.
fn surroundings(sheet: &Sheet) -> String {
    let doubt = match sheet.samples() {
        0 => "Nominal figures; their doubt was not worked out.".to_owned(),
        n => format!("Below each figure: 5th to 95th percentile of {n} draws."),
    };
    match &sheet.tank {
        Some(_) => doubt,
        None => format!("No tank given: 25 °C, 1.5 m of hose and 2 bends each way. {doubt}"),
    }
}

fn tank_section(doc: &mut Doc, report: &Report<'_>) {
    section(doc, "tank", "The tank", |doc| match report.tank {
        Some(tank) => {
            doc.within("p class=\"lead\"", |doc| doc.name(&tank.name));
            tank::facts(doc, tank, report.units);
        }
        None => doc.line("p", "No tank was given: what needs one is a dash."),
    });
}

fn table(doc: &mut Doc, report: &Report<'_>) {
    let sheet = report.sheet;
    section(doc, "table", "All builds", |doc| {
        let links: Vec<String> = (0..sheet.rows.len()).map(card::id).collect();
        for block in builds::page(sheet, &builds::USUAL, report.units).blocks {
            match block {
                Block::Table(grid) => {
                    doc.table("One row a build; the name leads to its pictures", &grid, &links);
                }
                Block::Paragraph(_) => {}
                Block::List(lines) => doc.list("ul class=\"quiet\"", &lines),
                Block::Heading(text) => doc.line("h3", &text),
            }
        }
    });
}

/// Files that could not be used, with what is wrong with them.
fn broken(doc: &mut Doc, sheet: &Sheet) {
    if sheet.broken.is_empty() {
        return;
    }
    section(doc, "broken", "Files that could not be used", |doc| {
        for file in &sheet.broken {
            doc.within("h3", |doc| doc.name(&file.file));
            let problems: Vec<String> = file
                .problems
                .iter()
                .map(|p| {
                    let help = p.help.as_ref().map(|h| format!(" ({h})")).unwrap_or_default();
                    format!("line {}, column {}: {}{help}", p.line, p.column, p.message)
                })
                .collect();
            doc.list("ul", &problems);
        }
    });
}

/// Cautions, what is left out, and every constant with its source.
fn from_sources(doc: &mut Doc) {
    use super::cautions::{CAUTIONS, LEFT_OUT};
    section(doc, "cautions", "Cautions", |doc| {
        doc.list("ul class=\"cautions\"", &CAUTIONS.map(str::to_owned));
        doc.line("h3", "What the model leaves out");
        doc.list("ul", &LEFT_OUT.map(str::to_owned));
    });
    section(doc, "sources", "Sources", |doc| {
        let mut page = sources::page();
        // The cautions and what is left out stand above.
        if let Some(at) = page.blocks.iter().position(|b| *b == Block::Heading("Cautions".to_owned())) {
            page.blocks.truncate(at);
        }
        doc.blocks(&page, 2, "Constants and assumptions");
    });
}
