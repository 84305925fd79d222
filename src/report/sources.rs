//! Every constant and assumption, media and fittings, the cautions, and what the model leaves out, as a page.

use super::catalogue;
use super::cautions::{CAUTIONS, LEFT_OUT, LEFT_OUT_HEAD};
use super::figures::Units;
use super::page::{Column, List, Page, Table};
use crate::assumptions::{Assumption, Kind, TABLE};
use crate::library::Library;
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::Quantity;

pub fn page() -> Page {
    let mut page = Page::default();
    page.paragraph(
        "Every constant and assumption behind the figures. A spread is two standard deviations to either side; \
         \"checked\" says whether the source was read or written down from memory.",
    );
    page.blocks.extend(behind_the_figures().blocks);
    page.listed("Cautions", List::Lines, CAUTIONS.map(str::to_owned).to_vec());
    page.listed(LEFT_OUT_HEAD, List::Lines, LEFT_OUT.map(str::to_owned).to_vec());
    page
}

/// Constants and assumptions, words of doubt, media and fittings.
pub fn behind_the_figures() -> Page {
    let mut page = Page::default();
    for (kind, title) in [
        (Kind::Published, "Published"),
        (Kind::Practice, "Common practice, no source"),
        (Kind::Ours, "Our own choice"),
    ] {
        page.heading(title);
        page.table(constants(TABLE.iter().filter(|row| row.kind == kind)));
    }
    let library = Library::shipped();
    let media = library.media().map(|m| catalogue::medium(m, Units::Metric)).collect();
    let fittings = library.fittings().map(|f| catalogue::fitting(f, Units::Metric)).collect();
    for (title, head, value, of) in [
        (catalogue::WORDS_HEAD, "written", "spread", catalogue::words()),
        ("Media that ship", "medium", "role and bed", media),
        ("Fittings that ship", "fitting", "what water sees", fittings),
    ] {
        page.heading(title);
        page.table(entries(of, head, value));
    }
    page
}

fn entries(of: Vec<catalogue::Entry>, head: &str, value: &str) -> Table {
    let mut columns = vec![Column::words(head)];
    columns.extend(["what", value, "kind", "source"].map(Column::prose));
    Table::new(
        columns,
        of.into_iter().map(|e| vec![e.key, e.what, e.value, e.kind.word().to_owned(), e.source]),
    )
}

fn constants<'a>(rows: impl Iterator<Item = &'a Assumption>) -> Table {
    let columns = vec![
        Column::prose("constant"),
        Column::figures("value", ""),
        Column::words("unit"),
        Column::prose("spread"),
        Column::words("checked"),
        Column::prose("source"),
    ];
    let row = |row: &Assumption| {
        let (checked, source) = (row.checked.words().to_owned(), row.source.to_owned());
        vec![row.what.to_owned(), plain(row.value), row.unit.to_owned(), spread(row.spread), checked, source]
    };
    Table::new(columns, rows.map(row))
}

pub fn spread(spread: Spread) -> String {
    match spread {
        Spread::Exact => "none".to_owned(),
        Spread::Normal { sd } => format!("{} % either way", plain(sd * 200.0)),
        Spread::Factor { factor } => format!("×/÷ {}", plain(factor)),
        // As far up as down about 1: a factor.
        Spread::TriangularLog { low, high } if (low * high - 1.0).abs() < 1e-12 => {
            format!("×/÷ {}", plain(high))
        }
        Spread::Uniform { low, high } => format!("anywhere from {} to {}", plain(low), plain(high)),
        // Gaps alone are drawn so: their unit is a metre.
        Spread::CutNormal { sd } => format!("sd {} mm, cut off at 0", plain(sd * 1e3)),
        Spread::TriangularLog { low, high } | Spread::Triangular { low, high } => {
            format!("{} to {}, this most likely", plain(low), plain(high))
        }
    }
}

/// The spread of a file's figure in words, where it is relative; bounds of a range are in SI and left out.
pub fn spread_relative<Q: Quantity>(figure: &Uncertain<Q>) -> Option<String> {
    match figure.spread {
        Spread::Normal { .. } | Spread::Factor { .. } | Spread::CutNormal { .. } => {
            Some(spread(figure.spread))
        }
        Spread::Exact | Spread::Uniform { .. } | Spread::TriangularLog { .. } | Spread::Triangular { .. } => {
            None
        }
    }
}

/// A number as it stands in a table or file, without the tail of binary rounding.
pub fn plain(x: f64) -> String {
    let x = super::six_digits(x).unwrap_or(x);
    if x != 0.0 && x.abs() < 1e-3 { format!("{x:e}") } else { x.to_string() }
}
