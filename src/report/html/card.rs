//! The card of one build: its figures, its pictures, its stages with their faults, where water slips past, where
//! the head goes, what would help, and what to know about it.

use super::super::Sheet;
use super::super::builds::{self, cell};
use super::super::figures::{self, Units};
use super::super::helps;
use super::super::page::{Column, Table};
use super::super::svg::{self, Embedding, Picture};
use super::doc::Doc;
use crate::assess::Assessment;
use crate::measures::{Measure, Outcome};
use crate::report::escape;

/// Figures shown large.
const LARGE: [Measure; 6] = [
    Measure::FilteredFlow,
    Measure::Flow,
    Measure::Bypass,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::FullWeight,
];

/// The id of a build's card.
pub fn id(number: usize) -> String {
    format!("build-{}", number + 1)
}

/// The card.
pub fn card(doc: &mut Doc, sheet: &Sheet, row: &Assessment, number: usize, units: Units) {
    let id = id(number);
    doc.within(&format!("article class=\"card\" id=\"{id}\" aria-labelledby=\"{id}-name\""), |doc| {
        doc.within(&format!("h3 id=\"{id}-name\""), |doc| doc.name(&row.title()));
        doc.within("p class=\"quiet\"", |doc| doc.name(&row.file));
        facts(doc, sheet, row, units);
        doc.within("div class=\"pictures\"", |doc| {
            picture(doc, row, Picture::Section, &id, units);
            picture(doc, row, Picture::Curve, &id, units);
            picture(doc, row, Picture::Timeline, &id, units);
            picture(doc, row, Picture::Budget, &id, units);
        });
        stages(doc, row, units);
        leaks(doc, row);
        let helps: Vec<String> =
            row.helps.iter().map(|h| helps::words(row, h, &sheet.currency, units)).collect();
        if !helps.is_empty() {
            doc.line("h4", "What would help most");
            doc.list("ol", &helps);
        }
        if !row.notes.is_empty() {
            doc.line("h4", "To know about it");
            let notes: Vec<String> = row.notes.iter().map(|note| figures::said(note, units)).collect();
            doc.list("ul", &notes);
        }
        doc.within("details", |doc| {
            doc.line("summary", "Every figure");
            every_figure(doc, sheet, row, units);
        });
    });
}

fn facts(doc: &mut Doc, sheet: &Sheet, row: &Assessment, units: Units) {
    doc.within("dl class=\"facts\"", |doc| {
        for measure in LARGE {
            let outcome = row.outcome(measure);
            let unit = builds::unit_of(measure, sheet, units);
            let shown = format!("{} {unit}", figures::show(measure, outcome, units));
            let small = match (outcome, row.band(measure)) {
                (Outcome::Missing(why), _) => why.words().to_owned(),
                (_, Some(band)) => {
                    let say = |x| figures::show(measure, Outcome::Value(x), units);
                    format!("{} to {}", say(band.low), say(band.high))
                }
                _ => String::new(),
            };
            doc.within("div", |doc| {
                doc.line("dt", measure.row().head);
                doc.raw(&format!("<dd>{}", escape::markup(shown.trim())));
                if !small.is_empty() {
                    doc.line("small", &small);
                }
                doc.raw("</dd>\n");
            });
        }
    });
}

fn picture(doc: &mut Doc, row: &Assessment, what: Picture, id: &str, units: Units) {
    let lead = format!("{id}-{}", what.word());
    let tall = if what == Picture::Section { " class=\"tall\"" } else { "" };
    doc.within(&format!("figure{tall}"), |doc| match svg::draw(what, row, units, Embedding::Within(&lead)) {
        Ok(drawn) => {
            let label = format!("{}, can be scrolled", what.word());
            doc.within(
                &format!("div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{label}\""),
                |doc| doc.raw(&drawn),
            );
        }
        Err(why) => doc.line("figcaption", &format!("No {} to draw: {why}.", what.word())),
    });
}

fn stages(doc: &mut Doc, judged: &Assessment, units: Units) {
    doc.line("h4", "Stages, in the order in which the water meets them");
    if judged.stages.is_empty() {
        doc.line("p", "No media.");
    } else {
        let stages: Vec<String> =
            judged.stages.iter().map(|r| format!("{} {}", r.letter(), r.word())).collect();
        doc.list("ol class=\"stages\"", &stages);
    }
    if judged.faults.is_empty() {
        doc.line("p", "No rule of staging is broken.");
        return;
    }
    // What a fault costs may not be worked out; a column of nothing helps nobody.
    let told = judged.faults.iter().any(|f| !f.costs.is_empty());
    let mut columns = vec![Column::words("where"), Column::words("what it does")];
    if told {
        columns.push(Column::words("what it costs"));
    }
    let rows = judged
        .faults
        .iter()
        .map(|f| vec![f.at.clone(), f.says.clone(), figures::said(&f.costs, units)])
        .collect();
    doc.within("div class=\"fault\"", |doc| {
        doc.table("Rules of staging broken", &Table { columns, rows }, &[]);
    });
}

fn leaks(doc: &mut Doc, row: &Assessment) {
    if row.leaks.is_empty() {
        return;
    }
    doc.line("h4", "Where water slips past the finest mechanical stage");
    doc.table(
        "Share of the pumped water; the shares add to the bypass",
        &Table {
            columns: vec![
                Column::words("where"),
                Column::figures("clean", ""),
                Column::figures("at service", ""),
            ],
            rows: row
                .leaks
                .iter()
                .map(|leak| {
                    let late = leak.share_at_service.map_or_else(|| figures::DASH.to_owned(), figures::share);
                    vec![leak.at.clone(), figures::share(leak.share), late]
                })
                .collect(),
        },
        &[],
    );
}

fn every_figure(doc: &mut Doc, sheet: &Sheet, row: &Assessment, units: Units) {
    let rows = Measure::ALL
        .into_iter()
        .map(|m| {
            let says = match row.outcome(m) {
                Outcome::Missing(why) => format!("{}; cannot be told: {}", m.row().says, why.words()),
                _ => m.row().says.to_owned(),
            };
            vec![m.key().to_owned(), cell(row, m, units), builds::unit_of(m, sheet, units), says]
        })
        .collect();
    doc.table(
        "Every measure of this build, below it its 5th to 95th percentile",
        &Table {
            columns: vec![
                Column::words("measure"),
                Column::figures("value", ""),
                Column::words("unit"),
                Column::words("what it says"),
            ],
            rows,
        },
        &[],
    );
}
