//! What tank a build suits, by stocking and by limit, as a page.

use super::figures::{self, Units};
use super::{Cell, Column, Page, Table};
use crate::assess::suits::Limit;
use crate::assess::{Assessment, Stocking};
use crate::measures::{Measure, Outcome};

const MEANING: &str = "Largest tank, clean: ammonia by the filter alone, kept as low as keepers aim for; clearing 0.5 to 2 times an hour with the food. The lesser of the two counts. Turnover and the full cycle (porous media) are keepers' rules of thumb, common practice without a source, and never count.";
/// Where the tank's own surfaces may do.
const LIGHT: &str =
    "A lightly stocked tank may need no filter for its ammonia: glass, sand and wood do as much.";
/// Added where the column of dirt is asked for.
const DIRT: &str = "Monthly: opened every four weeks or less often, at nominal values.";

/// The head of a limit's column.
pub fn head(limit: Limit) -> String {
    if limit == Limit::Dirt { "monthly".to_owned() } else { limit.word().replace('_', " ") }
}

/// One row a stocking, one column a limit. `dirt` tells, where it is worked out, the tank that is opened monthly.
pub fn table(row: &Assessment, dirt: Option<&dyn Fn(Stocking) -> Option<f64>>, units: Units) -> Table {
    let unit = figures::sign(Measure::SuitsUpTo, units);
    let limits = Limit::TOLD.into_iter().chain(dirt.map(|_| Limit::Dirt));
    let columns = limits.clone().map(|limit| Column::figures(&head(limit), unit));
    let told: Vec<_> = row.suits().collect();
    let line = |stocking: Stocking| -> Option<Vec<Cell>> {
        told.iter().find(|of| of.stocking == stocking)?;
        let cell = |limit: Limit| {
            let of = told.iter().find(|of| of.stocking == stocking && of.limit == limit);
            let by_dirt = dirt.filter(|_| limit == Limit::Dirt).and_then(|dirt| dirt(stocking));
            match of.map(|of| (of.litres, of.band)).or(by_dirt.map(|litres| (litres, None))) {
                Some((litres, band)) => Cell::Figure(Measure::SuitsUpTo, Outcome::Value(litres), band),
                None => figures::DASH.into(),
            }
        };
        Some(std::iter::once(stocking.word().into()).chain(limits.clone().map(cell)).collect())
    };
    let rows = Stocking::ALL.into_iter().filter_map(line).collect();
    Table {
        columns: std::iter::once(Column::words("stocking")).chain(columns).collect(),
        rows,
        caption: "Largest tank by stocking and by limit".to_owned(),
    }
}

/// `Suits up to 281 l (240–330) by clearing, normal stocking.`
pub fn sentence(row: &Assessment, units: Units) -> String {
    let counted = row.suits().find(|of| of.counted);
    match (row.outcome(Measure::SuitsUpTo), row.suits_limit(), counted) {
        (Outcome::Missing(why), ..) => format!("What tank it suits cannot be told: {}.", why.words()),
        (outcome, Some(limit), Some(counted)) => {
            let figure =
                super::spans::figure(Measure::SuitsUpTo, outcome, row.band(Measure::SuitsUpTo), units);
            let unit = figures::sign(Measure::SuitsUpTo, units);
            let span = figure.span.map_or_else(String::new, |span| format!(" ({span})"));
            let how = match counted.stocking {
                Stocking::SoFed => "as this tank is fed".to_owned(),
                Stocking::Word(_) => format!("{} stocking", counted.stocking.word()),
            };
            format!("Suits up to {} {unit}{span}, by {}, {how}.", figure.middle, limit.word())
        }
        _ => String::new(),
    }
}

pub fn page(row: &Assessment, dirt: Option<&dyn Fn(Stocking) -> Option<f64>>, units: Units) -> Page {
    let mut page = Page::default();
    page.paragraph(sentence(row, units));
    page.table(table(row, dirt, units));
    if !row.suits.is_empty() {
        page.paragraph(MEANING);
        page.paragraph(if dirt.is_some() { format!("{DIRT} {LIGHT}") } else { LIGHT.to_owned() });
    }
    page
}
