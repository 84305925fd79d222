//! Checks a document against a JSON Schema (draft 2020-12) with the `jsonschema` library.

use serde_json::Value;

/// Every breach, each with its place.
pub fn breaches(schema: &Value, document: &Value) -> Vec<String> {
    let validator = jsonschema::validator_for(schema).expect("the schema itself is sound");
    validator.iter_errors(document).map(|error| format!("{}: {error}", error.instance_path())).collect()
}
