//! The door for foreign text: names, notes and paths come out of files and are made harmless and of a known
//! width here before they reach a cell.

use crate::hidden::is_hidden;
pub use crate::report::cells::{end, fit, left, right, width, wrap};
use std::fmt::Write as _;

/// Makes foreign text harmless: control characters, C1, marks that turn the writing direction, and other
/// characters that draw nothing are written out; tabs and line ends become spaces.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\t' | '\n' | '\r' => out.push(' '),
            c if is_hidden(c) => {
                let _ = write!(out, "<{:X}>", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out
}

/// The same for text of several lines, whose line ends stay.
pub fn clean_lines(text: &str) -> Vec<String> {
    text.lines().map(|l| clean(&l.replace('\t', "    "))).collect()
}
