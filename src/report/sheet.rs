//! A page to measure by: what is not known yet of a filter, in the order in which it is done at the bench, with boxes to
//! fill. It follows from the table of fields, which says how each is measured.

use super::page::List;
use super::sources::CAUTIONS;
use super::{Column, Page, Table, figures, next};
use crate::compare::value_of_information::Explains;
use crate::measures::Measure;
use crate::model::fields::{Given, Table as Fields, Value};
use crate::profile::form::{Line, Trail, What, lines, range};
use crate::profile::plain;
use crate::units::Units;

/// What is done one after the other, known by the tools of it, and how many minutes one of it takes (ours, no source); the
/// first whose tool is named takes a field.
const GROUPS: [(&str, &[&str], u32); 8] = [
    (
        "Running, both hose ends level: flow, lift, power",
        &["bucket", "raise the", "power meter", "stop watch"],
        5,
    ),
    ("Weight", &["scales"], 3),
    ("Filled with water from a jug", &["jug", "fill "], 5),
    ("Gaps, at four places each", &["feeler"], 5),
    ("Hoses off: bores", &["drill"], 3),
    ("Outside", &["tape"], 2),
    ("Read, count and ask", &["read", "print", "count", "ask", "look up", "days"], 1),
    ("Open and empty: trays, floor, layers", &["ruler", "calliper", "coin", "protractor", "string"], 2),
];
/// The order at the bench: what needs no water first, what needs the filter whole again last.
const ORDER: [usize; 8] = [6, 5, 4, 7, 3, 2, 1, 0];
const BOX: &str = "__________";

struct Item {
    what: String,
    how: &'static str,
    now: String,
    unit: String,
    worth: Option<(f64, Measure)>,
}

/// The page of a filter's text; `worth` is how much of each leading figure's scatter its inputs explain.
pub fn page(
    name: &str,
    (text, table, sound): (&str, &'static Fields, &Given),
    (worth, leading): (&[Explains], &[Measure]),
    units: Units,
) -> Page {
    let mut page = Page::default();
    page.heading(format!("To measure: {name}"));
    page.paragraph(
        "What is not known yet, in the order in which it is done. A box takes the figure with its unit; behind it stands what is assumed so far. Half an hour with a ruler, a feeler gauge, drill shanks and a bucket does most of it.",
    );
    page.list_of(List::Cautions, CAUTIONS.iter().take(6).map(ToString::to_string).collect());
    let all = unfolded(text, table, sound);
    for group in ORDER {
        let Some((title, ..)) = GROUPS.get(group) else { continue };
        let items: Vec<Item> = all
            .iter()
            .filter(|line| group_of(line.row.measure) == Some(group))
            .filter_map(|line| item(line, &all, text, (worth, leading), units))
            .collect();
        if items.is_empty() {
            continue;
        }
        page.heading(*title);
        let columns = vec![
            Column::names("what"),
            Column::prose("how"),
            Column::names("yours"),
            Column::names("assumed so far"),
            Column::names("worth"),
        ];
        let row = |item: &Item| {
            let worth = item.worth.map_or(String::new(), |(share, measure)| {
                format!("{} of {}", figures::share(share), measure.row().head)
            });
            vec![
                item.what.clone(),
                item.how.to_owned(),
                format!("{BOX} {}", item.unit),
                item.now.clone(),
                worth,
            ]
        };
        page.table(Table::new(columns, items.iter().map(row)));
    }
    page.paragraph(
        "Worth: the share of a figure's scatter that knowing it would take away. Who measured, when and with what goes into `measured: (by: …, on: …, with: …)`.",
    );
    page.paragraph(
        "Measured by ____________________   on ______________   with ______________________________",
    );
    page
}

pub fn minutes(measure: &str) -> u32 {
    group_of(measure).and_then(|group| GROUPS.get(group)).map_or(0, |(_, _, minutes)| *minutes)
}

fn group_of(measure: &str) -> Option<usize> {
    if measure.is_empty() {
        return None;
    }
    GROUPS.iter().position(|(_, tools, _)| tools.iter().any(|tool| measure.contains(tool))).or(Some(7))
}

fn unfolded(text: &str, table: &'static Fields, sound: &Given) -> Vec<Line> {
    let mut open: Vec<Trail> = Vec::new();
    loop {
        let all = lines(text, table, sound, &open);
        let more: Vec<Trail> =
            all.iter().filter(|l| l.folds && !open.contains(&l.trail)).map(|l| l.trail.clone()).collect();
        if more.is_empty() {
            return all;
        }
        open.extend(more);
    }
}

/// A field of which nobody told a sure figure.
fn item(
    line: &Line,
    all: &[Line],
    text: &str,
    (worth, leading): (&[Explains], &[Measure]),
    units: Units,
) -> Option<Item> {
    let Value::Figure(known) = line.value.as_ref()? else { return None };
    if !matches!(line.what, What::Typed) {
        return None;
    }
    let doubtful =
        line.given(text).is_none_or(|said| said.starts_with("guessed") || said.starts_with("between"));
    let far = range(known, line.row, units).filter(|_| doubtful)?;
    let said = plain::value(known.si, line.row, known.of, units);
    let unit = said.trim_start_matches(|c: char| !c.is_whitespace()).trim().to_owned();
    // Called after all that it stands in.
    let above = all.iter().filter(|other| {
        other.trail.len() < line.trail.len()
            && line.trail.starts_with(&other.trail)
            && !matches!(other.what, What::List | What::Typed)
    });
    let names: Vec<&str> = above.chain([line]).map(|line| line.label.as_str()).collect();
    let best = worth
        .iter()
        .filter(|of| of.key.field().name == line.row.words)
        .flat_map(|of| of.shares.iter().copied().zip(leading.iter().copied()))
        .filter(|(share, _)| *share >= next::WORTH)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    Some(Item {
        what: names.join(", "),
        how: line.row.measure,
        now: format!("{far} {unit}"),
        unit,
        worth: best,
    })
}
