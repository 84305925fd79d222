//! Every field of every form of the files, from its row.

use super::sources::plain;
use super::{Column, Page, Table};
use crate::model::fields::{Brackets, Dimension, Kind, Row, Table as Form, exact_of};
use crate::model::hoses::NamedFitting;
use crate::model::{Filter, Medium, Tank};

/// The list that may be counted instead.
pub const COUNTED: &str = "`trays`";

/// A form of the files: a structure, or a word of a choice with fields of its own.
pub struct Thing {
    /// `Hose`, or `ribbed` of the wall of a hose.
    pub name: String,
    what: &'static str,
    like: &'static str,
    pub rows: Vec<&'static Row>,
}

/// Every form, each before those that stand in it.
pub fn things() -> Vec<Thing> {
    let mut all = Vec::new();
    for form in [Filter::TABLE, Tank::TABLE, Medium::TABLE, NamedFitting::TABLE] {
        add_form(&mut all, form);
    }
    all
}

fn add_form(all: &mut Vec<Thing>, form: &'static Form) {
    if form.name.is_empty() || all.iter().any(|thing| thing.name == form.name) {
        return;
    }
    let rows: Vec<&Row> = form.rows().collect();
    all.push(Thing { name: form.name.to_owned(), what: form.what, like: form.like, rows: rows.clone() });
    for row in rows {
        add_kind(all, row.kind);
    }
}

fn add_kind(all: &mut Vec<Thing>, kind: Kind) {
    match kind {
        Kind::Form(form) => add_form(all, form()),
        Kind::List(inner) => add_kind(all, *inner),
        Kind::Choice(choice) => {
            let choice = choice();
            for variant in choice.told().filter(|variant| !variant.rows.is_empty()) {
                let what = choice.what;
                if all.iter().any(|thing| thing.name == variant.word && thing.what == what) {
                    continue;
                }
                let rows: Vec<&Row> = variant.rows.iter().chain(choice.common).collect();
                let like = choice.like;
                all.push(Thing { name: variant.word.to_owned(), what, like, rows: rows.clone() });
                for row in rows {
                    add_kind(all, row.kind);
                }
            }
        }
        _ => {}
    }
}

pub fn page(things: &[&Thing]) -> Page {
    let mut page = Page::default();
    for thing in things {
        let title = match thing.name.chars().next() {
            Some(first) if first.is_uppercase() => thing.name.clone(),
            _ => format!("{}(…), {}", thing.name, thing.what),
        };
        page.heading(title);
        page.paragraph(format!("Written like `{}`.", thing.like));
        let heads = ["field", "holds", "left out", "meaning", "how to measure it", "example"];
        let columns = heads.map(Column::prose).to_vec();
        page.table(Table::new(columns, thing.rows.iter().map(|row| line(row))));
    }
    page
}

fn line(row: &Row) -> Vec<String> {
    let out = if row.is_needed() { "needed".to_owned() } else { row.left_out() };
    let says = if row.says.is_empty() { row.words } else { row.says };
    [row.name.to_owned(), holds(row), out, says.to_owned(), row.measure.to_owned(), row.like.to_owned()]
        .to_vec()
}

/// What a field holds, its units and range.
pub fn holds(row: &Row) -> String {
    let range = if row.high.is_finite() {
        let sign = row.read_in().or_else(|| exact_of(row).unit(row.unit)).map_or("", |unit| unit.sign);
        format!(", {} to {} {sign}", plain(row.low), plain(row.high)).trim_end().to_owned()
    } else {
        String::new()
    };
    let count = if row.words == COUNTED { " | count(n)" } else { "" };
    let none = if row.none { " | none" } else { "" };
    format!("{}{range}{count}{none}", kind(row.kind, row))
}

fn kind(kind: Kind, row: &Row) -> String {
    let figure = |of: Dimension| {
        let units: Vec<&str> = of.units.iter().map(|unit| unit.name).collect();
        if units.is_empty() { "number".to_owned() } else { format!("{} in {}", of.name, units.join(" ")) }
    };
    match kind {
        Kind::Figure(of) => figure(of),
        Kind::Exact(_) => format!("plain {}", figure(exact_of(row))),
        Kind::Count => "whole number".to_owned(),
        Kind::When => "date, or whole number of days".to_owned(),
        Kind::Text => "text".to_owned(),
        Kind::Flag => "true or false".to_owned(),
        Kind::Form(form) => format!("{}(…)", form().name),
        Kind::Choice(choice) => {
            let word = |variant: &crate::model::fields::Variant| match variant.brackets {
                Brackets::None => variant.word.to_owned(),
                _ => format!("{}(…)", variant.word),
            };
            choice().told().map(word).collect::<Vec<_>>().join(" | ")
        }
        Kind::List(inner) => format!("list of {}", self::kind(*inner, row)),
        Kind::Map => "measures with a number each".to_owned(),
        Kind::Flat(_) => String::new(),
    }
}
