//! Two to four builds side by side: measures, differences to the first, and what lies in each.

use super::builds::{cell, dashes, surroundings, unit_of};
use super::figures::{self, Units};
use super::page::{Column, Grid, Page};
use super::{Row, Sheet};
use crate::filter::filter::Way;
use crate::judge::result::{Slab, Space};
use crate::measures::{Measure, Outcome, Unit};

/// Differences of each further build to the first; none where either cannot be told, or for a yes or no.
pub fn to_first(sheet: &Sheet, measure: Measure) -> Vec<Option<f64>> {
    let figure = |row: &Row| match row.outcome(measure) {
        Outcome::Value(x) => Some(x),
        _ => None,
    };
    let first = sheet.rows.first().and_then(figure);
    sheet.rows.iter().skip(1).map(|row| Some(figure(row)? - first?)).collect()
}

/// The page.
pub fn page(sheet: &Sheet, measures: &[Measure], units: Units) -> Page {
    let mut page = Page::default();
    page.list(
        sheet.rows.iter().zip('A'..).map(|(row, letter)| format!("{letter}  {}", row.title())).collect(),
    );
    page.grid(figures_grid(sheet, measures, units));
    page.prose(surroundings(sheet));
    page.list(dashes(sheet, measures));
    if sheet.rows.iter().any(|row| row.judgement.section.way != Way::Rising) {
        let ways = sheet.rows.iter().zip('A'..).map(|(row, letter)| match row.judgement.section.way {
            Way::Rising => format!("{letter}: water rises"),
            Way::Falling => format!("{letter}: water falls"),
        });
        page.prose(ways.collect::<Vec<_>>().join("; "));
    }
    page.grid(stack(sheet, units));
    page
}

fn figures_grid(sheet: &Sheet, measures: &[Measure], units: Units) -> Grid {
    let mut columns = vec![Column::words("measure"), Column::words("unit")];
    for letter in ('A'..).take(sheet.rows.len()) {
        columns.push(Column::figures(&letter.to_string(), ""));
        if letter != 'A' {
            columns.push(Column::figures(&format!("{letter} − A"), ""));
        }
    }
    let rows = measures
        .iter()
        .map(|&measure| {
            let mut line = vec![measure.row().head.to_owned(), unit_of(measure, sheet, units)];
            let mut apart = to_first(sheet, measure).into_iter();
            for (i, row) in sheet.rows.iter().enumerate() {
                line.push(cell(row, measure, units));
                if i > 0 {
                    line.push(apart.next().flatten().map(|d| signed(measure, d, units)).unwrap_or_default());
                }
            }
            line
        })
        .collect();
    Grid { columns, rows }
}

/// `+299`, `−53 points`, `0`.
fn signed(measure: Measure, apart: f64, units: Units) -> String {
    let size = match measure.row().unit {
        Unit::Share | Unit::Probability => format!("{:.0} points", apart.abs() * 100.0),
        // Days stay days: "+ < 1 d" or "> 26 wk" would say nothing of a difference.
        Unit::Days => format!("{} d", figures::number(apart.abs())),
        _ => figures::show(measure, Outcome::Value(apart.abs()), units),
    };
    let nothing = !size.chars().any(|c| ('1'..='9').contains(&c));
    match (nothing, apart < 0.0) {
        (true, _) => "0".to_owned(),
        (false, true) => format!("−{size}"),
        (false, false) => format!("+{size}"),
    }
}

/// What lies in each place, counted from the bottom, in the order in which water meets it in the first.
fn stack(sheet: &Sheet, units: Units) -> Grid {
    let mut columns = vec![Column::words("place")];
    columns.extend(('A'..).take(sheet.rows.len()).map(|letter| Column::words(&letter.to_string())));
    columns.push(Column::words(""));
    let section = |row: &'_ Row| row.judgement.section.clone();
    let trays = sheet.rows.iter().map(|row| row.judgement.section.trays.len()).max().unwrap_or(0);
    let mut rows = Vec::new();
    for place in std::iter::once(None).chain((0..trays).map(Some)) {
        let name = place.map_or_else(|| "floor".to_owned(), |tray| format!("tray {}", tray + 1));
        let spaces: Vec<Option<Space>> = sheet
            .rows
            .iter()
            .map(|row| match place {
                None => section(row).floor,
                Some(tray) => section(row).trays.into_iter().nth(tray),
            })
            .collect();
        let deep = spaces.iter().flatten().map(|s| s.layers.len()).max().unwrap_or(0).max(1);
        for layer in 0..deep {
            let cells: Vec<String> = spaces
                .iter()
                .map(|space| match space {
                    None => "none".to_owned(),
                    Some(s) if s.layers.is_empty() && layer == 0 => "empty".to_owned(),
                    Some(s) => s.layers.get(layer).map(|l| slab(l, units)).unwrap_or_default(),
                })
                .collect();
            if cells.iter().all(|c| c == "none") {
                continue;
            }
            let same = cells.windows(2).all(|pair| pair.first() == pair.last());
            let at = if deep > 1 { format!("{name}, layer {}", layer + 1) } else { name.clone() };
            let mark = if same { "" } else { "≠" };
            rows.push(std::iter::once(at).chain(cells).chain([mark.to_owned()]).collect());
        }
    }
    if sheet.rows.first().is_some_and(|row| row.judgement.section.way == Way::Falling) {
        rows.reverse();
    }
    Grid { columns, rows }
}

/// `M medium foam, 20 PPI 40 mm, slack 3 mm, hole 25 mm`.
fn slab(slab: &Slab, units: Units) -> String {
    let mut text = format!("{} {} {}", slab.role.letter(), slab.name, figures::length(slab.height_mm, units));
    if slab.slack_mm > 0.0 {
        text.push_str(&format!(", slack {}", figures::length(slab.slack_mm, units)));
    }
    if let Some(hole) = slab.hole_mm {
        text.push_str(&format!(", hole {}", figures::length(hole, units)));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::{samples, text};
    use super::*;

    #[test]
    fn differences_are_to_the_first_and_signed() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("Tamsin", "as bought", Some(339.0)));
        sheet.rows.push(samples::row("Tamsin", "restacked", Some(638.0)));
        sheet.rows.push(samples::row("Orrin", "new", None));
        assert_eq!(to_first(&sheet, Measure::Flow), [Some(299.0), None]);
        let out = text::page(&page(&sheet, &[Measure::Flow, Measure::Bypass], Units::Metric), false);
        let flow = out.lines().find(|l| l.starts_with("flow")).unwrap();
        assert_eq!(flow.split_whitespace().collect::<Vec<_>>(), ["flow", "l/h", "339", "638", "+299", "–"]);
        let bypass = out.lines().find(|l| l.starts_with("bypass")).unwrap();
        assert!(bypass.contains(" 0 "), "{bypass}");
        assert!(out.contains("tray 1  M medium foam, 20 PPI 40 mm, slack 3 mm"), "{out}");
        assert_eq!(signed(Measure::Bypass, -0.53, Units::Metric), "−53 points");
        assert_eq!(signed(Measure::Service, 25.0, Units::Metric), "+25 d");
        assert_eq!(signed(Measure::Flow, 0.001, Units::Metric), "+1.0e-3");
    }
}
