//! The page of fields and the JSON Schema of the forms are those of the table, and what ships keeps to the schema.

use std::path::Path;

use serde_json::{Map, Value as Json, json};

use crate::forms::{markdown, schema as forms};
use crate::schema;
use cansift::library::{Library, demo, demo_tanks, start_tanks};
use cansift::model::fields::{Brackets, Field, Given, Kind, Row, Silence, Value, exact_of, row};
use cansift::report::fields::{holds, things};
use cansift::uncertainty::uncertain::{Provenance, Spread};

/// With `INSTA_UPDATE=always` the files are written, as snapshots are.
#[test]
fn the_page_of_fields_and_the_schema_are_those_of_the_table() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/fields.md");
    for (path, text) in [(page, markdown()), (schema::path("forms"), forms())] {
        if std::env::var("INSTA_UPDATE").is_ok_and(|how| how == "always") {
            std::fs::write(&path, &text).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), text, "{}", path.display());
    }
}

/// A value as the schema's description says RON becomes JSON; what is assumed is left out, as files leave it out.
fn json_of(value: &Value, of: &Row) -> Option<Json> {
    Some(match value {
        Value::Figure(f) if f.known == Provenance::Assumed => return None,
        made if matches!(of.silence, Silence::Made(_)) && made.is_assumed() => return None,
        Value::Figure(f) => {
            let unit = f.of.unit(of.unit).or(f.of.units.first());
            let one = |si: f64| unit.map_or(json!(si), |unit| json!({unit.name: unit.from_si(si)}));
            match (f.known, f.spread) {
                (Provenance::Between, Spread::Uniform { low, high }) => {
                    json!({"between": [one(low), one(high)]})
                }
                (Provenance::Measured | Provenance::Guessed, _) => json!({f.known.word(): one(f.si)}),
                _ => one(f.si),
            }
        }
        Value::Number(x) => exact_of(of).unit(of.unit).map_or_else(
            || if x.fract() == 0.0 { json!(*x as i64) } else { json!(x) },
            |unit| json!({unit.name: x}),
        ),
        Value::Flag(is) => json!(is),
        Value::Text(text) => json!(text),
        Value::Form(form, given) if form.by_place => by_place(given),
        Value::Form(_, given) => by_name(given),
        Value::Word(variant, given) => match variant.brackets {
            Brackets::None => json!(variant.word),
            Brackets::Named => json!({variant.word: by_name(given)}),
            Brackets::ByPlace => json!({variant.word: by_place(given)}),
        },
        Value::List(items) => Json::Array(items.iter().filter_map(|item| json_of(item, of)).collect()),
        Value::Map(pairs) => {
            pairs.iter().map(|(key, x)| (key.clone(), json!(x))).collect::<Map<_, _>>().into()
        }
    })
}

fn by_name(given: &Given) -> Json {
    let field = |(row, value): &(&Row, Value)| Some((row.name.to_owned(), json_of(value, row)?));
    Json::Object(given.iter().filter_map(field).collect())
}

fn by_place(given: &Given) -> Json {
    given.iter().filter_map(|(row, value)| json_of(value, row)).collect()
}

#[test]
fn what_ships_keeps_to_the_schema_of_the_forms() {
    static ANY: Row = row("anything");
    let schema = serde_json::from_str::<Json>(&forms()).unwrap();
    let filters = demo().filters;
    let tanks: Vec<_> = demo_tanks().into_iter().chain(start_tanks()).collect();
    assert!(filters.len() > 8 && tanks.len() > 4);
    for value in filters
        .iter()
        .map(|sound| sound.filter.value(&ANY))
        .chain(tanks.iter().map(|sound| sound.tank.value(&ANY)))
    {
        let document = json_of(&value.unwrap(), &ANY).unwrap();
        assert_eq!(schema::breaches(&schema, &document), Vec::<String>::new(), "{document:#}");
    }
    let mut bad = json_of(&tanks[0].tank.value(&ANY).unwrap(), &ANY).unwrap();
    bad["water"]["temperature"] = json!({"mm": 3});
    assert_ne!(schema::breaches(&schema, &bad), Vec::<String>::new());
    assert!(Library::shipped().media().count() > 0);
}

/// Every field says what it is, how it is written, and what is so when it is left out.
#[test]
fn no_field_is_left_without_its_words() {
    for thing in things() {
        for row in &thing.rows {
            let name = format!("{} {}", thing.name, row.name);
            assert!(!row.words.is_empty() && !holds(row).is_empty(), "{name}");
            assert!(
                row.is_needed() || !row.left_out().is_empty() || matches!(row.kind, Kind::Form(_)),
                "{name}: left out"
            );
        }
    }
}
