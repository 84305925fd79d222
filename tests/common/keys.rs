//! Keys written as one text.

use cansift::app::key::{Code, Key};

/// Reads a string of keys in which named ones stand in angle brackets: `/tam<enter><down>s`. A `<` that
/// opens no known name is itself.
pub fn list(text: &str) -> Vec<Key> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let named = rest
            .strip_prefix('<')
            .and_then(|r| r.split_once('>'))
            .and_then(|(name, after)| Key::named(name).map(|k| (k, after)));
        if let Some((key, after)) = named {
            out.push(key);
            rest = after;
        } else {
            out.push(Key::plain(Code::Char(c)));
            rest = rest.strip_prefix(c).unwrap_or_default();
        }
    }
    out
}
