//! The table of builds as a page.

use super::figures::{self, Units};
use super::page::{Cell, Column, Page, Table};
use super::{Sheet, wording};
use crate::assess::Assessment;
use crate::measures::{Measure, Missing, Outcome};

/// Columns shown when nobody asks for others: what really works first, what slips past beside it.
pub const USUAL: [Measure; 8] = [
    Measure::FilteredFlow,
    Measure::Flow,
    Measure::Bypass,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::Nitrate,
    Measure::OrderFaults,
    Measure::FirstYearCost,
];

/// What is taken where no tank is given.
pub const NO_TANK: &str = "No tank given: 25 °C, 1.5 m of hose and 2 bends each way. ";

/// One row a build, and below it the reason of every dash.
pub fn page(sheet: &Sheet, measures: &[Measure], units: Units) -> Page {
    let mut page = Page::default();
    page.table(table(sheet, measures, units, std::iter::repeat(None)));
    page.paragraph(surroundings(sheet));
    page.list(below(sheet, measures));
    page
}

/// One row a build; each may lead to a section of its own.
pub fn table(
    sheet: &Sheet,
    measures: &[Measure],
    units: Units,
    links: impl Iterator<Item = Option<String>>,
) -> Table {
    let columns = measures.iter().map(|&m| Column::figures(m.row().head, &unit_of(m, sheet, units)));
    let row = |(row, to): (&Assessment, Option<String>)| {
        let name = to.map_or_else(|| Cell::Words(row.title()), |to| Cell::Link(row.title(), to));
        std::iter::once(name).chain(measures.iter().map(|&m| cell(row, m))).collect()
    };
    Table {
        caption: String::new(),
        columns: std::iter::once(Column::words("build")).chain(columns).collect(),
        rows: sheet.rows.iter().zip(links).map(row).collect(),
    }
}

/// What must be known of the table: cases that failed, the reason of every dash, who leaks.
pub fn below(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    [failed_draws(sheet), dashes(sheet, measures), leaky(sheet, measures)].concat()
}

/// Draws that could not be solved, one line a build that has any.
pub fn failed_draws(sheet: &Sheet) -> Vec<String> {
    let told = sheet.rows.iter().filter_map(|row| {
        let cases = row.simulated.as_ref().filter(|cases| cases.failed > 0)?;
        Some(format!("{} of {} draws could not be solved ({})", cases.failed, cases.count, row.title()))
    });
    told.collect()
}

/// A leak must not earn praise for its long service: builds that most water passes are named below it.
pub fn leaky(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    let passes = sheet.rows.iter().filter(|row| row.most_passes());
    let titles: Vec<String> = passes.map(Assessment::title).collect();
    if titles.is_empty() || !measures.contains(&Measure::OpeningInterval) {
        return Vec::new();
    }
    vec![format!("! service: most water passes it from the first day ({})", titles.join("; "))]
}

/// A figure with its doubt.
pub fn cell(row: &Assessment, measure: Measure) -> Cell {
    Cell::Figure(measure, row.outcome(measure), row.band(measure))
}

/// The sign over a measure's column; money is in the tank's own.
pub fn unit_of(measure: Measure, sheet: &Sheet, units: Units) -> String {
    wording::sign(measure, &sheet.currency, units)
}

/// What the figures hold for.
pub fn surroundings(sheet: &Sheet) -> String {
    let tank = sheet.tank.as_ref().map_or_else(|| NO_TANK.to_owned(), |name| format!("For {name}. "));
    let doubt = match sheet.samples() {
        0 => "Nominal figures; their doubt was not worked out.".to_owned(),
        n => format!("±: half the way from the 5th to the 95th percentile of {n} draws."),
    };
    format!("{tank}{doubt}")
}

/// Why there are dashes: one line a measure and reason, naming the builds unless all of them share it.
pub fn dashes(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    let mut lines = Vec::new();
    for &measure in measures {
        let mut reasons: Vec<(Missing, Vec<String>)> = Vec::new();
        for row in &sheet.rows {
            let Outcome::Missing(why) = row.outcome(measure) else { continue };
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, titles)) => titles.push(row.title()),
                None => reasons.push((why, vec![row.title()])),
            }
        }
        for (why, titles) in reasons {
            let whose = if titles.len() == sheet.rows.len() {
                String::new()
            } else {
                format!(" ({})", titles.join("; "))
            };
            lines.push(format!("{} {}: {}{whose}", figures::DASH, measure.row().head, why.words()));
        }
    }
    lines
}
