//! What a filter says, for telling whether two say the same.

use cansift::model::filter::Filter;

/// All of it, keys aside: they follow the file's name. Figures of the program's own are named `Assumed` here as there.
pub fn said(filter: &Filter) -> String {
    let text = format!("{filter:?}");
    let mut out = String::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("key: Key { name: \"") {
        out.push_str(before);
        rest = after.split_once(" }").map_or("", |(_, rest)| rest);
    }
    out + rest
}

/// The same filter as it would be read from a file of any name.
pub fn without_id(mut filter: Filter) -> Filter {
    filter.id.clear();
    filter
}
