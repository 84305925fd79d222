//! The tank by its table: reading it, its fields as the form on screen holds them, and writing it.

use std::sync::LazyLock;

use super::reader::{self, Read};
use super::write::figures::{text, value};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::fields::{Given, Kind, Row, Table, Value, row};
use crate::model::tank::Tank;
use crate::uncertainty::key::Source;
use crate::units::UnitOf;

/// What counts in the ranking where the tank does not say.
pub const DEFAULT_PRIORITIES: [(Measure, f64); 7] = [
    (Measure::Clearing, 1.0),
    (Measure::BypassChance, 1.0),
    (Measure::OpeningInterval, 1.0),
    (Measure::AmmoniaCapacity, 1.0),
    (Measure::RuleOfThumbTank, 1.0),
    (Measure::FirstYearCost, 1.0),
    (Measure::OrderFaults, 1.0),
];

/// Reads and checks a tank.
pub fn read(source: &str, library: &Library) -> Read<Tank> {
    static TANK: Row = row("a tank").file("tank");
    let mut read = reader::read(source, library, Source::Tank, &TANK);
    // Food that was weighed wins over how the tank is stocked.
    if let Some(tank) = read.thing.as_mut().filter(|tank: &&mut Tank| tank.food.daily.is_some()) {
        tank.stock = None;
    }
    read
}

/// One field of a tank as the form on screen shows it.
#[derive(Clone, Copy, Debug)]
pub struct TankField {
    /// The structure it stands in, none for the tank itself.
    pub group: Option<(&'static Row, &'static Table)>,
    pub row: &'static Row,
}

/// How a field is filled in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// Words of one's own, which the program puts in quotes.
    Text,
    /// One of these words.
    Words,
    Figure,
    /// A list between these brackets.
    List(&'static str),
}

/// Every field of a tank, in the order of the file.
pub static TANK_FIELDS: LazyLock<Vec<TankField>> = LazyLock::new(|| {
    let inside = |group: &'static Row| match group.kind {
        Kind::Form(table) => {
            let of = table();
            of.rows.iter().map(|row| TankField { group: Some((group, of)), row }).collect()
        }
        _ => vec![TankField { group: None, row: group }],
    };
    Tank::TABLE.rows.iter().flat_map(inside).collect()
});

impl TankField {
    /// Where it stands: `water/ph`.
    pub fn path(&self) -> String {
        match self.group {
            None => self.row.name.to_owned(),
            Some((group, _)) => format!("{}/{}", group.name, self.row.name),
        }
    }
    /// The name of its structure in files, empty for the tank itself.
    pub fn group_name(&self) -> &'static str {
        self.group.map_or("", |(group, _)| group.name)
    }
    /// What it is called on screen.
    pub fn label(&self) -> String {
        match self.group {
            // The sides of a box are called after the box.
            Some((group, of)) if of.name == "Outside" => format!("{} {}", group.label, self.row.label),
            _ => self.row.label.to_owned(),
        }
    }
    /// What happens when it is left out.
    pub fn without(&self) -> String {
        match self.group {
            Some((group, _)) if self.row.without.is_empty() => {
                format!("with the two others: {}", group.without)
            }
            _ => self.row.left_out(),
        }
    }
    /// The part of the form that begins with it.
    pub fn head(&self) -> Option<&'static str> {
        let first = |of: &Table| of.rows.first().is_some_and(|first| std::ptr::eq(first, self.row));
        let group = self.group.filter(|(_, of)| first(of)).map_or("", |(group, _)| group.head);
        [self.row.head, group].into_iter().find(|head| !head.is_empty())
    }
    /// How it is filled in.
    pub fn entry(&self) -> Entry {
        match self.row.kind {
            Kind::Text => Entry::Text,
            Kind::Choice(_) | Kind::Flag => Entry::Words,
            Kind::List(_) => Entry::List("[]"),
            Kind::Map => Entry::List("{}"),
            _ => Entry::Figure,
        }
    }
    /// The words that may stand there.
    pub fn words(&self) -> Vec<&'static str> {
        match self.row.kind {
            Kind::Choice(choice) => choice().variants.iter().map(|variant| variant.word).collect(),
            Kind::Flag => vec!["false", "true"],
            _ => Vec::new(),
        }
    }
    /// It is put in quotes by the program, so that a person need not.
    pub fn is_quoted(&self) -> bool {
        self.entry() == Entry::Text
    }
    /// The units it may be written in; none for a bare number or words.
    pub fn units(&self) -> &'static [UnitOf] {
        match self.row.kind {
            Kind::Figure(of) => of.units,
            Kind::Exact(_) => crate::model::fields::exact_of(self.row).units,
            _ => &[],
        }
    }
    /// A field's text as it stands in a file.
    pub fn in_file(&self, typed: &str) -> String {
        if self.is_quoted() { text(typed.trim()) } else { typed.trim().to_owned() }
    }
    /// How its structure begins in a file: `water: Water(`.
    pub fn opening(&self) -> Option<String> {
        let (group, of) = self.group?;
        let name = if of.like.starts_with('(') { "" } else { of.name };
        Some(format!("{}: {name}(", group.name))
    }
    /// Its text in a tank; empty where it is left out.
    fn written(&self, tank: &Given) -> String {
        let find = |given: &Given, row: &Row| {
            given.iter().find(|(other, _)| other.name == row.name).map(|(_, value)| value.clone())
        };
        let found = match self.group {
            None => find(tank, self.row),
            Some((group, _)) => find(tank, group).and_then(|value| match value {
                Value::Form(_, given) => find(&given, self.row),
                _ => None,
            }),
        };
        match found {
            Some(Value::Text(text)) => text,
            Some(found) => value(&found, self.row).unwrap_or_default(),
            None => String::new(),
        }
    }
}

/// The text of every field, in the order of [`TANK_FIELDS`]; empty where it is left out.
pub fn tank_texts(tank: &Tank) -> Vec<String> {
    static TANK: Row = row("a tank");
    let given = match crate::model::fields::Field::value(tank, &TANK) {
        Some(Value::Form(_, given)) => given,
        _ => Vec::new(),
    };
    TANK_FIELDS.iter().map(|field| field.written(&given)).collect()
}

/// The tank as a file. Reading it gives an equal tank.
pub fn write_tank(tank: &Tank) -> String {
    write_tank_texts(&tank_texts(tank))
}

/// A file of fields as they were typed, in the order of [`TANK_FIELDS`]; empty ones are left out.
pub fn write_tank_texts(texts: &[String]) -> String {
    let mut out = String::from("Tank(\n    format: 1,\n");
    let given: Vec<(&TankField, String)> = TANK_FIELDS
        .iter()
        .zip(texts)
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(field, text)| (field, field.in_file(text)))
        .collect();
    for group in given.chunk_by(|(a, _), (b, _)| a.group.is_some() && a.group_name() == b.group_name()) {
        let inside: Vec<String> =
            group.iter().map(|(field, text)| format!("{}: {text}", field.row.name)).collect();
        let inside = inside.join(", ");
        let line = match group.first().and_then(|(field, _)| field.opening()) {
            None => inside,
            Some(opening) => format!("{opening}{inside})"),
        };
        out.extend(["    ", &line, ",\n"]);
    }
    out.push_str(")\n");
    out
}
