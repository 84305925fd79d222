//! The door for foreign text: names, notes and paths come out of files and are made harmless and of a known
//! width here before they reach a cell.

use crate::hidden::is_hidden;
pub use crate::report::cells::{end, fit, left, pack, right, width, wrap};
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_drives_a_terminal_passes() {
        let foul = "a\u{1b}[31m\u{7}\u{9b}2J\u{202e}b\u{200b}\u{7f}\r\n\tc\u{feff}";
        let clean = clean(foul);
        assert!(clean.chars().all(|c| !c.is_control() && !is_hidden(c)), "{clean:?}");
        assert!(clean.contains("<1B>[31m") && clean.contains("<202E>b"));
    }
}
