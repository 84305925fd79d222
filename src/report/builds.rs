//! The table of builds as a page.

use super::figures::{self, Units};
use super::{Cell, Column, Page, Sheet, Table, spans};
use crate::assess::Assessment;
use crate::measures::{Measure, Missing, Outcome};
use crate::model::put_right::State;

/// Head over how many inputs were measured, printed, guessed and assumed; it stands where nobody asked for columns.
const KNOWN: &str = "known m p g a";
/// Where no case was simulated.
pub const SINGLE: &str = "Single figures; no cases were simulated.";
/// What is taken where no tank is given.
pub const NO_TANK: &str = "No tank given: 25 °C, 1.5 m of hose and 2 bends each way. ";

/// Columns shown when nobody asks for others: what decides first, then what it costs.
pub const USUAL: [Measure; 8] = [
    Measure::Clearing,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::FirstYearCost,
    Measure::SuitsUpTo,
    Measure::FilteredFlow,
    Measure::OrderFaults,
];

/// One row a build, and below it the reason of every dash.
pub fn page(sheet: &Sheet, measures: &[Measure], units: Units) -> Page {
    let mut page = Page::default();
    page.table(table(sheet, measures, units, std::iter::repeat(None)));
    page.paragraph(surroundings(sheet));
    page.list(super::log::remarks(sheet, units));
    page.list(legend(sheet, measures));
    page
}

/// One row a build; each may lead to a section of its own.
pub fn table(
    sheet: &Sheet,
    measures: &[Measure],
    units: Units,
    links: impl Iterator<Item = Option<String>>,
) -> Table {
    let usual = measures == USUAL;
    let columns = measures.iter().map(|&m| {
        let (head, below) = m.row().head_lines();
        let unit = format!("{below} {}", unit_of(m, sheet, units));
        Column::figures(head, unit.trim())
    });
    let row = |(row, to): (&Assessment, Option<String>)| {
        let title = called(sheet, row);
        let name = to.map_or_else(|| Cell::Words(title.clone()), |to| Cell::Link(title.clone(), to));
        let known = usual.then(|| Cell::Words(row.known.counts()));
        std::iter::once(name).chain(measures.iter().map(|&m| cell(row, m))).chain(known).collect()
    };
    Table {
        caption: String::new(),
        columns: std::iter::once(Column::names("build"))
            .chain(columns)
            .chain(usual.then(|| Column::words(KNOWN)))
            .collect(),
        rows: sheet.rows.iter().zip(links).map(row).collect(),
    }
}

/// What must be known of the table: what a cell holds, the reason of every dash, cases that failed, who leaks.
pub fn legend(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    let cell = match sheet.samples() {
        0 => Vec::new(),
        n => vec![format!("middle (low–high): 9 of 10 of {n} simulated cases lie between")],
    };
    let known = (measures == USUAL)
        .then(|| "known: so many inputs are measured (m), printed (p), guessed (g), assumed (a)".to_owned());
    let known = known.into_iter().collect();
    [cell, known, dashes(sheet, measures), unsolved(sheet), leaky(sheet, measures)].concat()
}

/// Its title, with its file where another row is called the same.
pub fn called(sheet: &Sheet, row: &Assessment) -> String {
    let title = row.title();
    let namesakes = sheet.rows.iter().filter(|other| other.filter == row.filter && other.build == row.build);
    if namesakes.count() > 1 { format!("{title} ({})", row.file) } else { title }
}

/// Cases that could not be worked out, one line a build that has any; marked where they are more than 5 of 100.
pub fn unsolved(sheet: &Sheet) -> Vec<String> {
    let told = sheet.rows.iter().filter_map(|row| {
        let cases = row.simulated.as_ref().filter(|cases| cases.failed > 0)?;
        let title = called(sheet, row);
        Some(match row.unsolved_of_100() {
            Some(of) => format!("! {of:.0} of 100 cases could not be worked out ({title})"),
            None => format!("{} of {} cases could not be worked out ({title})", cases.failed, cases.count),
        })
    });
    told.collect()
}

/// A leak must not earn praise for its long service: builds that most water passes are named below it.
pub fn leaky(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    let passes = sheet.rows.iter().filter(|row| row.most_passes());
    let titles: Vec<String> = passes.map(|row| called(sheet, row)).collect();
    if titles.is_empty() || !measures.contains(&Measure::OpeningInterval) {
        return Vec::new();
    }
    vec![format!("! open every: most water passes it from the first day ({})", titles.join("; "))]
}

pub fn cell(row: &Assessment, measure: Measure) -> Cell {
    Cell::Figure(measure, row.outcome(measure), row.band(measure))
}

/// The sign over a measure's column; money is in the tank's own.
pub fn unit_of(measure: Measure, sheet: &Sheet, units: Units) -> String {
    spans::unit(measure, units, &sheet.currency).to_owned()
}

pub fn surroundings(sheet: &Sheet) -> String {
    let tank = sheet.tank.as_ref().map_or_else(|| NO_TANK.to_owned(), |name| format!("For {name}. "));
    let state = sheet.rows.iter().map(|row| row.state).find(|state| *state != State::Whole);
    let state = state.map_or_else(String::new, |state| format!("Units {}. ", state.words()));
    let doubt = match sheet.samples() {
        0 => SINGLE.to_owned(),
        _ => String::new(),
    };
    format!("{tank}{state}{doubt}").trim_end().to_owned()
}

/// Why there are dashes: one line a measure and reason, naming the builds unless all of them share it.
pub fn dashes(sheet: &Sheet, measures: &[Measure]) -> Vec<String> {
    let mut lines = Vec::new();
    for &measure in measures {
        let mut reasons: Vec<(Missing, Vec<String>)> = Vec::new();
        for row in &sheet.rows {
            let Outcome::Missing(why) = row.outcome(measure) else { continue };
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, titles)) => titles.push(called(sheet, row)),
                None => reasons.push((why, vec![called(sheet, row)])),
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
