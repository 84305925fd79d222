//! Every field of every form of the files, from its row: the page for people, and the JSON Schema.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::page::{Column, Look, Page, Table};
use super::sources::plain;
use crate::model::fields::{Brackets, Choice, Dimension, Kind, Row, Table as Form, exact_of};
use crate::model::filter::Filter;
use crate::model::hoses::NamedFitting;
use crate::model::medium::Medium;
use crate::model::tank::Tank;
use crate::units::KINDS;

/// The list that may be counted instead.
const COUNTED: &str = "`trays`";

/// A form of the files: a structure, or a word of a choice with fields of its own.
pub struct Thing {
    /// `Hose`, or `ribbed` of the wall of a hose.
    pub name: String,
    what: &'static str,
    like: &'static str,
    rows: Vec<&'static Row>,
}

impl Thing {
    pub fn rows(&self) -> &[&'static Row] {
        &self.rows
    }
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
            for variant in told(choice).filter(|variant| !variant.rows.is_empty()) {
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

/// The words that a file may say.
fn told(choice: &'static Choice) -> impl Iterator<Item = &'static crate::model::fields::Variant> {
    choice.variants.iter().filter(|variant| !variant.word.is_empty())
}

/// The page of those things.
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
            told(choice()).map(word).collect::<Vec<_>>().join(" | ")
        }
        Kind::List(inner) => format!("list of {}", self::kind(*inner, row)),
        Kind::Map => "measures with a number each".to_owned(),
        Kind::Flat(_) => String::new(),
    }
}

/// All of it as `docs/fields.md` has it.
pub fn markdown() -> String {
    let things = things();
    let all: Vec<&Thing> = things.iter().collect();
    let figures = "A figure is a number in its unit, `mm(16)`, and may say how it is known: `measured(…)`, \
                   `stated(…)`, `guessed(…)`, `between(low, high)`. A file begins with `format: 1`. This page is \
                   written from the program's own table of fields; `cansift fields` prints it.";
    let look = Look::default();
    format!("# Fields\n\n{figures}\n\n{}", super::markdown::page(&page(&all), look))
}

/// The JSON Schema of the forms, as `docs/schema/forms.schema.json` has it.
pub fn schema() -> String {
    let mut defs = BTreeMap::new();
    for (name, units) in KINDS.iter().filter(|(_, units)| !units.is_empty()) {
        let one: Map<String, Json> =
            units.iter().map(|unit| (unit.name.to_owned(), json!({"type": "number"}))).collect();
        let value = json!({"type": "object", "properties": one, "additionalProperties": false,
            "minProperties": 1, "maxProperties": 1});
        defs.insert((*name).to_owned(), value);
    }
    for form in [Filter::TABLE, Tank::TABLE, Medium::TABLE, NamedFitting::TABLE] {
        define(&mut defs, form);
    }
    let root = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Forms of Cansift's files",
        "description": "RON as JSON: a structure is an object, `mm(16)` is {\"mm\": 16}, a word that stands alone is a \
            text, `word(a: 1)` is {\"word\": {\"a\": 1}}, and what is written by place is an array.",
        "oneOf": [{"$ref": "#/$defs/Filter"}, {"$ref": "#/$defs/Tank"}],
        "$defs": defs,
    });
    format!("{root:#}\n")
}

fn define(defs: &mut BTreeMap<String, Json>, form: &'static Form) {
    if defs.contains_key(form.name) {
        return;
    }
    defs.insert(form.name.to_owned(), Json::Null);
    let rows: Vec<&Row> = form.rows().collect();
    let mut shape = object(defs, &rows, form.by_place);
    if let (true, Some(fields)) =
        (matches!(form.name, "Filter" | "Tank"), shape.get_mut("properties").and_then(Json::as_object_mut))
    {
        fields.insert("format".to_owned(), json!({"const": 1}));
    }
    defs.insert(form.name.to_owned(), shape);
}

/// The fields of a form or word, by name or by place.
fn object(defs: &mut BTreeMap<String, Json>, rows: &[&'static Row], by_place: bool) -> Json {
    let fields: Vec<(&str, Json)> = rows.iter().map(|row| (row.name, either(defs, row))).collect();
    if by_place {
        let items: Vec<Json> = fields.into_iter().map(|(_, field)| field).collect();
        return json!({"type": "array", "prefixItems": items, "items": false, "minItems": rows.len()});
    }
    let needed: Vec<&str> = rows.iter().filter(|row| row.is_needed()).map(|row| row.name).collect();
    let fields: Map<String, Json> =
        fields.into_iter().map(|(name, field)| (name.to_owned(), field)).collect();
    json!({"type": "object", "properties": fields, "required": needed, "additionalProperties": false})
}

/// What a field holds, or that there is none, or how many.
fn either(defs: &mut BTreeMap<String, Json>, row: &'static Row) -> Json {
    let told = typed(defs, row.kind, row);
    if row.none {
        return json!({"anyOf": [told, {"const": "none"}]});
    }
    if row.words == COUNTED {
        let count = json!({"type": "array", "items": {"type": "integer", "minimum": 1, "maximum": row.most},
            "minItems": 1, "maxItems": 1});
        return json!({"anyOf": [told, {"type": "object", "properties": {"count": count},
            "required": ["count"], "additionalProperties": false}]});
    }
    told
}

fn typed(defs: &mut BTreeMap<String, Json>, kind: Kind, row: &'static Row) -> Json {
    match kind {
        Kind::Figure(of) if of.units.is_empty() => known(&quantity(of, row)),
        Kind::Figure(of) => {
            let name = format!("{}, known", of.name);
            defs.entry(name.clone()).or_insert_with(|| known(&quantity(of, row)));
            json!({"$ref": reference(&name)})
        }
        Kind::Exact(_) => quantity(exact_of(row), row),
        Kind::Count => json!({"type": "integer", "minimum": row.low, "maximum": row.high}),
        Kind::Text => json!({"type": "string", "description": row.says}),
        Kind::When => json!({"type": ["string", "integer"], "description": row.says}),
        Kind::Flag => json!({"type": "boolean"}),
        Kind::Form(form) => {
            let form = form();
            if form.name.is_empty() {
                return object(defs, &form.rows().collect::<Vec<_>>(), form.by_place);
            }
            define(defs, form);
            json!({"$ref": reference(form.name)})
        }
        Kind::Choice(choice) => chosen(defs, choice()),
        Kind::List(inner) => {
            let items = typed(defs, *inner, row);
            if row.most == usize::MAX {
                json!({"type": "array", "items": items})
            } else {
                json!({"type": "array", "items": items, "maxItems": row.most})
            }
        }
        Kind::Map => json!({"type": "object", "additionalProperties": quantity(exact_of(row), row)}),
        Kind::Flat(_) => json!({}),
    }
}

fn chosen(defs: &mut BTreeMap<String, Json>, choice: &'static Choice) -> Json {
    let name = choice.what.to_owned();
    if !defs.contains_key(&name) {
        defs.insert(name.clone(), Json::Null);
        let bare: Vec<&str> = told(choice).filter(|v| v.brackets == Brackets::None).map(|v| v.word).collect();
        let mut any: Vec<Json> = if bare.is_empty() { Vec::new() } else { vec![json!({"enum": bare})] };
        for variant in told(choice).filter(|variant| variant.brackets != Brackets::None) {
            let rows: Vec<&Row> = variant.rows.iter().chain(choice.common).collect();
            let inside = object(defs, &rows, variant.brackets == Brackets::ByPlace);
            let word: Map<String, Json> = [(variant.word.to_owned(), inside)].into_iter().collect();
            any.push(json!({"type": "object", "properties": word, "required": [variant.word],
                "additionalProperties": false}));
        }
        defs.insert(name.clone(), json!({"anyOf": any}));
    }
    json!({"$ref": reference(&name)})
}

/// A value, bare or wrapped in how it is known.
fn known(one: &Json) -> Json {
    let between = json!({"type": "array", "prefixItems": [one, one], "items": false, "minItems": 2});
    let words = json!({"measured": one, "stated": one, "guessed": one, "between": between});
    let wrapped = json!({"type": "object", "properties": words, "additionalProperties": false,
        "minProperties": 1, "maxProperties": 1});
    json!({"anyOf": [one, wrapped]})
}

fn reference(name: &str) -> String {
    format!("#/$defs/{}", name.replace(' ', "%20"))
}

/// A bare number within the row's bounds, or a number in a unit.
fn quantity(of: Dimension, row: &Row) -> Json {
    if of.units.is_empty() {
        return json!({"type": "number", "minimum": row.low, "maximum": row.high});
    }
    json!({"$ref": reference(of.name)})
}
