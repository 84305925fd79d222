//! Two to four builds side by side: measures, differences to the first, and what lies in each.

use super::builds::{cell, legend, surroundings};
use super::figures::{self, Units};
use super::reasons::{self};
use super::{Cell, Column, Page, Reasoned, Sheet, Table, spans, wording};
use crate::assess::assessment::Space;
use crate::assess::{Assessment, Slab};
use crate::measures::{Measure, Outcome};
use crate::model::Way;

/// Differences of each further build to the first; none where either cannot be told, or for a yes or no.
pub fn to_first(sheet: &Sheet, measure: Measure) -> Vec<Option<f64>> {
    let figure = |row: &Assessment| match row.outcome(measure) {
        Outcome::Value(x) => Some(x),
        _ => None,
    };
    let first = sheet.rows.first().and_then(figure);
    sheet.rows.iter().skip(1).map(|row| Some(figure(row)? - first?)).collect()
}

pub fn page(sheet: &Sheet, measures: &[Measure], reasoned: &Reasoned, units: Units) -> Page {
    let mut page = Page::default();
    page.list(
        sheet.rows.iter().zip('A'..).map(|(row, letter)| format!("{letter}  {}", row.title())).collect(),
    );
    page.table(figures_grid(sheet, measures, reasoned, units));
    let why = reasoned.lines(units);
    let none = why.is_empty();
    page.list(why);
    page.paragraph(surroundings(sheet));
    let mut below = legend(sheet, measures);
    if !none {
        below.push(reasons::AT_MIDDLE.to_owned());
    }
    page.list(below);
    if sheet.rows.iter().any(|row| row.section.way != Way::Rising) {
        let ways = sheet.rows.iter().zip('A'..).map(|(row, letter)| match row.section.way {
            Way::Rising => format!("{letter}: water rises"),
            Way::Falling => format!("{letter}: water falls"),
        });
        page.paragraph(ways.collect::<Vec<_>>().join("; "));
    }
    page.table(stack(sheet, units));
    page.list(to_know(sheet, units));
    page
}

/// Faults of staging, and what else there is to know, each with its build.
fn to_know(sheet: &Sheet, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    for (row, letter) in sheet.rows.iter().zip('A'..) {
        for fault in &row.faults {
            let costs = wording::mends::costs(&fault.costs, units);
            let costs = if costs.is_empty() { costs } else { format!(" ({costs})") };
            lines.push(format!("{letter}: {}: {}{costs}", fault.at, fault.says));
        }
        lines.extend(wording::notes::lines(&row.notes, units).iter().map(|note| format!("{letter}: {note}")));
    }
    lines
}

/// Each further build with how it stands to the first; of a pair by how much and how surely too.
fn figures_grid(sheet: &Sheet, measures: &[Measure], reasoned: &Reasoned, units: Units) -> Table {
    let pair = sheet.rows.len() == 2;
    let mut columns = vec![Column::words("measure"), Column::words("unit")];
    for letter in ('A'..).take(sheet.rows.len()) {
        columns.push(Column::figures(&letter.to_string(), ""));
        if letter != 'A' {
            columns.push(Column::words(&format!("{letter} is")));
        }
    }
    if pair {
        columns.extend([Column::figures("by", ""), Column::words("how sure")]);
    }
    let rows = measures
        .iter()
        .filter(|&&measure| sheet.rows.iter().any(|r| !matches!(r.outcome(measure), Outcome::Missing(_))))
        .map(|&measure| {
            let unit = spans::unit(measure, units, &sheet.currency);
            let mut line: Vec<Cell> = vec![measure.row().head.into(), unit.into()];
            for (i, row) in sheet.rows.iter().enumerate() {
                line.push(cell(row, measure));
                let Some(further) = i.checked_sub(1) else { continue };
                let said = reasoned.verdict(measure, further);
                line.push(said.map_or_else(String::new, |v| reasons::mark(v.call)).into());
                if pair {
                    line.push(said.map_or_else(String::new, |v| reasons::by(&v, measure, units)).into());
                    line.push(said.as_ref().map_or_else(String::new, reasons::sure).into());
                }
            }
            line
        })
        .collect();
    Table { columns, rows, ..Table::default() }
}

/// What lies in each place, counted from the bottom, in the order in which water meets it in the first.
fn stack(sheet: &Sheet, units: Units) -> Table {
    let mut columns = vec![Column::words("place")];
    columns.extend(('A'..).take(sheet.rows.len()).map(|letter| Column::prose(&letter.to_string())));
    columns.push(Column::words(""));
    let trays = sheet.rows.iter().map(|row| row.section.trays.len()).max().unwrap_or(0);
    let mut rows = Vec::new();
    for place in std::iter::once(None).chain((0..trays).map(Some)) {
        let name = crate::place::Space::of(place).to_string();
        let sections = sheet.rows.iter().map(|row| &row.section);
        let spaces: Vec<Option<&Space>> = sections
            .map(|section| place.map_or(section.floor.as_ref(), |tray| section.trays.get(tray)))
            .collect();
        if spaces.iter().all(Option::is_none) {
            continue;
        }
        let deep = spaces.iter().flatten().map(|s| s.layers.len()).max().unwrap_or(0).max(1);
        for layer in 0..deep {
            let cell = |space: Option<&Space>| match space {
                None => "none".to_owned(),
                Some(s) if s.layers.is_empty() && layer == 0 => "empty".to_owned(),
                Some(s) => s.layers.get(layer).map(|l| slab(l, units)).unwrap_or_default(),
            };
            let cells: Vec<String> = spaces.iter().copied().map(cell).collect();
            let same = cells.windows(2).all(|pair| pair.first() == pair.last());
            let at = if deep > 1 { format!("{name}, layer {}", layer + 1) } else { name.clone() };
            let mark = if same { "" } else { "≠" };
            rows.push(std::iter::once(at).chain(cells).chain([mark.to_owned()]).collect());
        }
    }
    if sheet.rows.first().is_some_and(|row| row.section.way == Way::Falling) {
        rows.reverse();
    }
    Table::new(columns, rows)
}

/// `M medium foam, 20 PPI 40 mm, slack 3 mm, hole 25 mm`.
fn slab(slab: &Slab, units: Units) -> String {
    let mut text = format!("{} {} {}", slab.role.letter(), slab.name, figures::length(slab.height_mm, units));
    if slab.slack_mm > 0.0 {
        text.push_str(&format!(", edge gap {}", figures::length(slab.slack_mm, units)));
    }
    if let Some(hole) = slab.hole_mm {
        text.push_str(&format!(", hole {}", figures::length(hole, units)));
    }
    text
}
