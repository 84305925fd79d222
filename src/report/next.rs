//! What to measure next of one build: how much of its leading figures' scatter each input explains.

use super::figures;
use super::page::{Column, Page, Table};
use super::ranking::key_words;
use crate::assess::Assessment;
use crate::compare::value_of_information::{Explains, explains};
use crate::measures::Measure;
use crate::uncertainty::field::NOT_AT_HOME;
use crate::uncertainty::sampling::Draws;

/// The figures that lead; of them those that can be told.
const LEADING: [Measure; 7] = [
    Measure::Clearing,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::FirstYearCost,
    Measure::Flow,
    Measure::SuitsUpTo,
];
/// Figures that stand for the lot, and inputs told.
const FIGURES: usize = 5;
const INPUTS: usize = 5;
/// Share of a figure's variance from which an input is worth a line.
const WORTH: f64 = 0.02;

/// The figures of a build that scatter and lead.
fn leading(row: &Assessment) -> Vec<Measure> {
    let told = |measure: &Measure| row.band(*measure).is_some_and(|band| band.high > band.low);
    LEADING.into_iter().filter(told).take(FIGURES).collect()
}

/// The page; `names` are ids of filters, which start their keys, with their names.
pub fn page(row: &Assessment, draws: &Draws, names: &[(String, String)]) -> Page {
    let mut page = Page::default();
    page.heading(row.title());
    let Some(cases) = &row.simulated else {
        page.paragraph("Not told without simulated cases: ask for --samples above 0.");
        return page;
    };
    let leading = leading(row);
    let all = explains(cases, draws, &leading);
    let (home, beyond): (Vec<&Explains>, Vec<&Explains>) = all
        .iter()
        .filter(|of| of.shares.iter().any(|share| *share >= WORTH))
        .partition(|of| of.key.measured_by().is_some());
    let mut columns = vec![Column::names("measure next")];
    columns.extend(leading.iter().map(|measure| {
        let (head, below) = measure.row().head_lines();
        Column::figures(head, format!("{below} %").trim())
    }));
    columns.push(Column::prose("how"));
    let line = |of: &&Explains| {
        let shares = of.shares.iter().map(|share| figures::share(*share).trim_end_matches(" %").to_owned());
        let how = of.key.measured_by().unwrap_or(NOT_AT_HOME).to_owned();
        std::iter::once(key_words(&of.key, names)).chain(shares).chain([how]).collect()
    };
    if home.is_empty() {
        page.paragraph("Nothing that can be measured at home would make its figures much surer.");
    }
    let table = Table::new(columns, home.iter().take(INPUTS).map(line));
    page.table(table.caption("Share of each figure's scatter that knowing the input would take away"));
    let beyond: Vec<String> = beyond.iter().take(3).map(|of| key_words(&of.key, names)).collect();
    if !beyond.is_empty() {
        page.paragraph(format!(
            "Share of each figure's scatter that knowing the input would take away. Cannot be measured at home, and \
             matters as well: {}.",
            beyond.join(", ")
        ));
    }
    page
}
