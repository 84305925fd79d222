//! What is written into `docs/` from the table of fields: the page for people, and the JSON Schema.

use std::collections::BTreeMap;

use cansift::model::fields::{Brackets, Choice, Dimension, Kind, Row, Table as Form, exact_of};
use cansift::model::filter::Filter;
use cansift::model::hoses::NamedFitting;
use cansift::model::medium::Medium;
use cansift::model::tank::Tank;
use cansift::report::fields::{COUNTED, Thing, page, things};
use cansift::report::markdown;
use cansift::report::page::Look;
use cansift::units::KINDS;
use serde_json::{Map, Value as Json, json};

/// All of it as `docs/fields.md` has it.
pub fn markdown() -> String {
    let things = things();
    let all: Vec<&Thing> = things.iter().collect();
    let figures = "A figure is a number in its unit, `mm(16)`, and may say how it is known: `measured(…)`, \
                   `stated(…)`, `guessed(…)`, `between(low, high)`. A file begins with `format: 1`. This page is \
                   written from the program's own table of fields; `cansift fields` prints it.";
    let look = Look::default();
    format!("# Fields\n\n{figures}\n\n{}", markdown::page(&page(&all), look))
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
        let bare: Vec<&str> =
            choice.told().filter(|v| v.brackets == Brackets::None).map(|v| v.word).collect();
        let mut any: Vec<Json> = if bare.is_empty() { Vec::new() } else { vec![json!({"enum": bare})] };
        for variant in choice.told().filter(|variant| variant.brackets != Brackets::None) {
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
