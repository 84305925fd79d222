//! Checks a document against a JSON Schema (draft 2020-12) with the `boon` library.

use std::path::{Path, PathBuf};

use boon::{Compiler, Schemas};
use serde_json::Value;

/// Every breach, each with its place.
pub fn breaches(schema: &Value, document: &Value) -> Vec<String> {
    let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
    compiler.add_resource("schema.json", schema.clone()).unwrap();
    let schema = compiler.compile("schema.json", &mut schemas).expect("the schema itself is sound");
    schemas.validate(document, schema).err().iter().map(ToString::to_string).collect()
}

/// Where the schema of that name stands.
pub fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/schema").join(format!("{name}.schema.json"))
}

/// The schema of that name.
pub fn of(name: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(path(name)).unwrap()).unwrap()
}
