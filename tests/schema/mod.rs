//! Checks a document against the part of JSON Schema (draft 2020-12) that our schema uses. A keyword it
//! does not know is an error, so nothing in the schema can go unchecked.

use serde_json::Value;

/// Every breach, each with its place.
pub fn breaches(schema: &Value, document: &Value) -> Vec<String> {
    let mut found = Vec::new();
    check(schema, schema, document, "$", &mut found);
    found
}

fn check(root: &Value, schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    for (keyword, rule) in schema.as_object().expect("a schema is an object") {
        match keyword.as_str() {
            "$schema" | "title" | "$defs" => {}
            "$ref" => {
                let path = rule.as_str().unwrap().strip_prefix('#').unwrap();
                check(root, root.pointer(path).expect("a reference leads somewhere"), value, at, found);
            }
            "anyOf" => {
                let fits = |s: &Value| {
                    let mut inner = Vec::new();
                    check(root, s, value, at, &mut inner);
                    inner.is_empty()
                };
                if !rule.as_array().unwrap().iter().any(fits) {
                    found.push(format!("{at}: fits none of the choices: {value}"));
                }
            }
            "const" if rule == value => {}
            "enum" if rule.as_array().unwrap().contains(value) => {}
            "const" | "enum" => found.push(format!("{at}: {value} is not {rule}")),
            "type" => {
                let named = |name: &Value| is(name.as_str().unwrap(), value);
                if !(named_any(rule, &named)) {
                    found.push(format!("{at}: {value} is not {rule}"));
                }
            }
            "minimum" => {
                if value.as_f64().is_some_and(|x| x < rule.as_f64().unwrap()) {
                    found.push(format!("{at}: {value} is below {rule}"));
                }
            }
            "required" => {
                for name in rule.as_array().unwrap() {
                    if value.is_object() && value.get(name.as_str().unwrap()).is_none() {
                        found.push(format!("{at}: {name} is missing"));
                    }
                }
            }
            "properties" => {
                for (name, inner) in rule.as_object().unwrap() {
                    if let Some(value) = value.get(name) {
                        check(root, inner, value, &format!("{at}.{name}"), found);
                    }
                }
            }
            "additionalProperties" => {
                assert_eq!(rule, false, "only false is known here");
                for name in value.as_object().into_iter().flat_map(|o| o.keys()) {
                    if schema["properties"].get(name).is_none() {
                        found.push(format!("{at}: {name} is not known"));
                    }
                }
            }
            "items" => {
                for (i, value) in value.as_array().into_iter().flatten().enumerate() {
                    check(root, rule, value, &format!("{at}[{i}]"), found);
                }
            }
            unknown => panic!("keyword {unknown} is not checked"),
        }
    }
}

fn named_any(rule: &Value, is: &dyn Fn(&Value) -> bool) -> bool {
    rule.as_array().map_or_else(|| is(rule), |names| names.iter().any(is))
}

fn is(name: &str, value: &Value) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        unknown => panic!("type {unknown} is not checked"),
    }
}
