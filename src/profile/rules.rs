//! Rules across fields: what no single row can say.

use std::any::Any;

use super::reader::Reader;
use crate::model::fields::{Door, Place};
use crate::model::tank::OnHand;

/// Whether what was built may stand; what may not is told.
pub fn check(reader: &mut Reader<'_>, what: &dyn Any, at: &[Place]) -> bool {
    if let Some(items) = what.downcast_ref::<Vec<OnHand>>() {
        let ids = items.iter().map(|item| item.medium.as_str());
        return once(reader, ids, at, |id| {
            (format!("`{id}` is listed twice"), "add the two volumes up in one entry".to_owned())
        });
    }
    if let Some(pairs) = what.downcast_ref::<Vec<(String, f64)>>() {
        let keys = pairs.iter().map(|(key, _)| key.as_str());
        return once(reader, keys, at, |key| {
            (format!("`{key}` is weighted twice"), "keep one of the two".to_owned())
        });
    }
    true
}

/// Each name stands once in a list; a second is told at its item.
fn once<'a>(
    reader: &mut Reader<'_>,
    names: impl Iterator<Item = &'a str>,
    at: &[Place],
    said: impl Fn(&str) -> (String, String),
) -> bool {
    let mut seen: Vec<&str> = Vec::new();
    let mut sound = true;
    for (name, place) in names.zip(at) {
        if seen.contains(&name) {
            let (message, help) = said(name);
            reader.fault(place, message, &help);
            sound = false;
        }
        seen.push(name);
    }
    sound
}
