//! Checks a document against a JSON Schema (draft 2020-12) with the `jsonschema` library.

use std::path::{Path, PathBuf};

use serde_json::Value;

/// Every breach, each with its place.
pub fn breaches(schema: &Value, document: &Value) -> Vec<String> {
    let validator = jsonschema::validator_for(schema).expect("the schema itself is sound");
    validator.iter_errors(document).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// Where the schema of that name stands.
pub fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/schema").join(format!("{name}.schema.json"))
}

/// The schema of that name.
pub fn of(name: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(path(name)).unwrap()).unwrap()
}
