//! Every constant and assumption, media and fittings, the cautions, and what the model leaves out, as a page.

use super::catalogue;
use super::cautions::{CAUTIONS, LEFT_OUT};
use super::figures::Units;
use super::page::{Column, Page, Table};
use crate::assumptions::{Assumption, Kind, TABLE};
use crate::library::Library;
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::Quantity;

/// The whole page.
pub fn page() -> Page {
    let mut page = Page::default();
    page.paragraph(
        "Every constant and assumption behind the figures. A spread is two standard deviations for ± and ×/÷; \
         \"checked\" says whether the source was read or written down from memory.",
    );
    for (kind, title) in [
        (Kind::Published, "Published"),
        (Kind::Practice, "Common practice, no source"),
        (Kind::Ours, "Our own choice"),
    ] {
        page.heading(title);
        page.table(grid(TABLE.iter().filter(|row| row.kind == kind), "constant", false));
    }
    page.heading("How sure a figure in a file is");
    page.table(entries(catalogue::words(), "written", "spread"));
    let library = Library::shipped();
    page.heading("Media that ship");
    page.table(entries(
        library.media().map(|m| catalogue::medium(m, Units::Metric)),
        "medium",
        "role and bed",
    ));
    page.heading("Fittings that ship");
    page.table(entries(
        library.fittings().map(|f| catalogue::fitting(f, Units::Metric)),
        "fitting",
        "what water sees",
    ));
    page.heading("Cautions");
    page.list(CAUTIONS.map(str::to_owned).to_vec());
    page.heading("What the model leaves out");
    page.list(LEFT_OUT.map(str::to_owned).to_vec());
    page
}

/// Rows of other things behind the figures.
fn entries(of: impl IntoIterator<Item = catalogue::Entry>, head: &str, value: &str) -> Table {
    let columns = [head, "what", value, "kind", "source"].map(Column::words).to_vec();
    let row = |e: catalogue::Entry| vec![e.key, e.what, e.value, e.kind.word().to_owned(), e.source];
    Table { columns, rows: of.into_iter().map(row).collect() }
}

/// Rows of the table of assumptions; with `kinds`, who stands behind each.
pub fn grid<'a>(rows: impl Iterator<Item = &'a Assumption>, head: &str, kinds: bool) -> Table {
    let mut columns = vec![
        Column::words(head),
        Column::figures("value", ""),
        Column::words("unit"),
        Column::words("spread"),
        Column::words("checked"),
    ];
    if kinds {
        columns.push(Column::words("kind"));
    }
    columns.push(Column::words("source"));
    let rows = rows
        .map(|row| {
            let mut cells = vec![
                row.what.to_owned(),
                plain(row.value),
                row.unit.to_owned(),
                spread(row.spread),
                row.checked.words().to_owned(),
            ];
            if kinds {
                cells.push(row.kind.word().to_owned());
            }
            cells.push(row.source.to_owned());
            cells
        })
        .collect();
    Table { columns, rows }
}

/// A spread in words.
pub fn spread(spread: Spread) -> String {
    match spread {
        Spread::Exact => "none".to_owned(),
        Spread::Normal { sd } => format!("±{} %", plain(sd * 200.0)),
        Spread::Factor { factor } => format!("×/÷ {}", plain(factor)),
        Spread::Uniform { low, high } => format!("anywhere from {} to {}", plain(low), plain(high)),
        Spread::TriangularLog { low, high } => format!("{} to {}, this most likely", plain(low), plain(high)),
    }
}

/// The spread of a file's figure in words, where it is relative; bounds of a range are in SI and left out.
pub fn spread_relative<Q: Quantity>(figure: &Uncertain<Q>) -> Option<String> {
    match figure.spread {
        Spread::Normal { .. } | Spread::Factor { .. } => Some(spread(figure.spread)),
        Spread::Exact | Spread::Uniform { .. } | Spread::TriangularLog { .. } => None,
    }
}

/// A number as it stands in a table or file, without the tail of binary rounding.
pub fn plain(x: f64) -> String {
    let x = super::six_digits(x).unwrap_or(x);
    if x != 0.0 && x.abs() < 1e-3 { format!("{x:e}") } else { x.to_string() }
}

#[cfg(test)]
mod tests {
    use super::super::text;
    use super::*;

    #[test]
    fn every_assumption_and_caution_is_there() {
        let out = text::page(&page(), false);
        for row in &TABLE {
            assert!(out.contains(row.what) && out.contains(row.source), "{}", row.key);
        }
        let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
        for line in CAUTIONS.iter().chain(&LEFT_OUT) {
            assert!(flat.contains(line), "{line}");
        }
        for medium in Library::shipped().media() {
            assert!(out.contains(&medium.id) && out.contains(&medium.source), "{}", medium.id);
        }
        for fitting in Library::shipped().fittings() {
            assert!(out.contains(&fitting.id), "{}", fitting.id);
        }
        for word in catalogue::words() {
            assert!(out.contains(&word.what) && out.contains(&word.value), "{}", word.key);
        }
        assert_eq!(spread(Spread::Normal { sd: 0.015 }), "±3 %");
        assert_eq!(plain(1.5e-6), "1.5e-6");
    }
}
