//! What to measure next of one build: how much of its leading figures' scatter each input explains.

use super::ranking::key_words;
use super::{Column, Page, Table, figures, spans, wording};
use crate::assess::Assessment;
use crate::compare::value_of_information::{Explains, explains};
use crate::measures::{Measure, Outcome};
use crate::uncertainty::field::NOT_AT_HOME;
use crate::uncertainty::{Band, Draws};
use crate::units::Units;

pub const LEADING: [Measure; 5] = [
    Measure::Clearing,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::FirstYearCost,
];
/// Figures that stand for the lot, and inputs told.
const FIGURES: usize = 5;
const INPUTS: usize = 5;
/// Share of a figure's variance from which an input is worth a line.
pub const WORTH: f64 = 0.02;

pub fn leading(row: &Assessment) -> Vec<Measure> {
    let told = |measure: &Measure| row.band(*measure).is_some_and(|band| band.high > band.low);
    LEADING.into_iter().chain([Measure::Flow, Measure::SuitsUpTo]).filter(told).take(FIGURES).collect()
}

/// One thing to measure, and what it would do for the figure that it does most for.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    pub what: String,
    pub how: &'static str,
    pub minutes: u32,
    pub measure: Measure,
    /// Low and high as they are, and about where they would be.
    pub now: (f64, f64),
    pub then: (f64, f64),
}

impl Advice {
    /// `clearing 0.9–1.8 → 1.1–1.6`
    pub fn narrows(&self, units: Units) -> String {
        let far = |(low, high): (f64, f64)| {
            let median = f64::midpoint(low, high);
            let band = Band { low, median, high };
            spans::figure(self.measure, Outcome::Value(median), Some(band), units).narrow()
        };
        format!("{} {} → {}", self.measure.row().head, far(self.now), far(self.then))
    }
}

/// What can be measured at home, most worth first.
pub fn advice(row: &Assessment, draws: &Draws, names: &[(String, String)]) -> Vec<Advice> {
    let Some(cases) = &row.simulated else { return Vec::new() };
    let leading = leading(row);
    let all = explains(cases, draws, &leading);
    all.iter().filter_map(|of| told(row, of, &leading, names)).take(INPUTS).collect()
}

fn told(row: &Assessment, of: &Explains, leading: &[Measure], names: &[(String, String)]) -> Option<Advice> {
    let how = of.key.measured_by()?;
    let (share, measure) = of
        .shares
        .iter()
        .copied()
        .zip(leading.iter().copied())
        .filter(|(share, _)| *share >= WORTH)
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (band, middle) = (row.band(measure)?, row.outcome(measure).number()?);
    // What is left of the scatter is the share of the variance that is left.
    let left = (1.0 - share.min(1.0)).sqrt();
    let near = |end: f64| middle + (end - middle) * left;
    Some(Advice {
        what: key_words(&of.key, names),
        how,
        minutes: super::sheet::minutes(how),
        measure,
        now: (band.low, band.high),
        then: (near(band.low), near(band.high)),
    })
}

/// The page; `names` are ids of filters, which start their keys, with their names.
pub fn page(row: &Assessment, draws: &Draws, names: &[(String, String)], units: Units) -> Page {
    let mut page = Page::default();
    page.heading(row.title());
    let Some(cases) = &row.simulated else {
        page.paragraph(wording::NO_CASES);
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
    columns.push(Column::figures("takes", "min"));
    columns.push(Column::prose("would narrow to about"));
    columns.push(Column::prose("how"));
    let line = |of: &&Explains| {
        let shares = of.shares.iter().map(|share| figures::share(*share).trim_end_matches(" %").to_owned());
        let how = of.key.measured_by().unwrap_or(NOT_AT_HOME).to_owned();
        let told = told(row, of, &leading, names);
        let minutes = told.as_ref().map_or(String::new(), |told| told.minutes.to_string());
        let narrows = told.map_or(String::new(), |told| told.narrows(units));
        std::iter::once(key_words(&of.key, names)).chain(shares).chain([minutes, narrows, how]).collect()
    };
    if home.is_empty() {
        page.paragraph("Nothing that can be measured at home would make its figures much surer.");
    }
    let table = Table::new(columns, home.iter().take(INPUTS).map(line));
    page.table(table.caption("Share of each figure's scatter that knowing the input would take away"));
    let beyond: Vec<String> = beyond.iter().take(3).map(|of| key_words(&of.key, names)).collect();
    if !beyond.is_empty() {
        page.paragraph(format!(
            "Share of each figure's scatter that knowing the input would take away. Cannot be measured at home, and matters as well: {}.",
            beyond.join(", ")
        ));
    }
    page
}
