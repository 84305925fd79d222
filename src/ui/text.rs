//! The door for foreign text: names, notes and paths come out of files and are made harmless and of a known
//! width here before they reach a cell.

use std::fmt::Write as _;
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Makes foreign text harmless: control characters, C1, marks that turn the writing direction, and other
/// characters that draw nothing are written out; tabs and line ends become spaces.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\t' | '\n' | '\r' => out.push(' '),
            c if is_unseen(c) => {
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

fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
            | '\u{3164}' | '\u{feff}' | '\u{fff0}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// Cells that text takes.
pub fn width(text: &str) -> usize {
    text.width()
}

/// Cut to so many cells, with `…` where something was cut.
pub fn fit(text: &str, cells: usize) -> String {
    if width(text) <= cells {
        return text.to_owned();
    }
    if cells == 0 {
        return String::new();
    }
    let mut out = String::new();
    let mut used = 0;
    for g in text.graphemes(true) {
        let w = width(g);
        if used + w + 1 > cells {
            break;
        }
        out.push_str(g);
        used += w;
    }
    out.push('…');
    out
}

/// The end of a text in so many cells, with `…` before it where something was cut.
pub fn end(text: &str, cells: usize) -> String {
    if width(text) <= cells {
        return text.to_owned();
    }
    let mut out: Vec<&str> = Vec::new();
    let mut used = 1;
    for g in text.graphemes(true).rev() {
        used += width(g);
        if used > cells {
            break;
        }
        out.push(g);
    }
    out.push(if cells == 0 { "" } else { "…" });
    out.into_iter().rev().collect()
}

/// Cut or filled to exactly so many cells, text on the left.
pub fn left(text: &str, cells: usize) -> String {
    let text = fit(text, cells);
    let room = cells.saturating_sub(width(&text));
    text + &" ".repeat(room)
}

/// Cut or filled to exactly so many cells, text on the right.
pub fn right(text: &str, cells: usize) -> String {
    let text = fit(text, cells);
    " ".repeat(cells.saturating_sub(width(&text))) + &text
}

/// Broken into lines of at most so many cells, between words where it can be.
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    let cells = cells.max(1);
    let mut out = Vec::new();
    for line in text.lines() {
        let mut now = String::new();
        for word in line.split(' ').filter(|w| !w.is_empty()) {
            let gap = usize::from(!now.is_empty());
            if width(&now) + gap + width(word) <= cells {
                now.push_str(if gap == 1 { " " } else { "" });
                now.push_str(word);
                continue;
            }
            if !now.is_empty() {
                out.push(std::mem::take(&mut now));
            }
            // A word longer than a line is broken where the line ends.
            for g in word.graphemes(true).filter(|g| width(g) <= cells) {
                if width(&now) + width(g) > cells {
                    out.push(std::mem::take(&mut now));
                }
                now.push_str(g);
            }
        }
        out.push(now);
    }
    out
}

/// Whole items, a gap of two between them, as many on a line as there is room for.
pub fn pack(items: &[String], cells: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for item in items {
        match out.last_mut() {
            Some(line) if width(line) + 2 + width(item) <= cells => {
                line.push_str("  ");
                line.push_str(item);
            }
            _ => out.push(fit(item, cells)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_drives_a_terminal_passes() {
        let foul = "a\u{1b}[31m\u{7}\u{9b}2J\u{202e}b\u{200b}\u{7f}\r\n\tc\u{feff}";
        let clean = clean(foul);
        assert!(clean.chars().all(|c| !c.is_control() && !is_unseen(c)), "{clean:?}");
        assert!(clean.contains("<1B>[31m") && clean.contains("<202E>b"));
    }

    #[test]
    fn widths_are_cells_not_letters() {
        assert_eq!(fit("濾過器の箱", 7), "濾過器…");
        assert_eq!(width(&left("濾過器", 4)), 4);
        assert_eq!(right("612 ±48", 9), "  612 ±48");
        assert_eq!(fit("abc", 0), "");
        assert_eq!(
            (end("abcdef", 4), end("濾過器", 4), end("abc", 0)),
            ("…def".into(), "…器".into(), String::new())
        );
    }

    #[test]
    fn wrapping_loses_no_letter_and_keeps_to_the_width() {
        let text = "nothing catches coarse dirt before the floss, and averyveryverylongword ends it";
        for cells in 1..40 {
            let lines = wrap(text, cells);
            assert!(lines.iter().all(|l| width(l) <= cells), "{cells}: {lines:?}");
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert_eq!(wrap("one two", 3), ["one", "two"]);
        assert_eq!(wrap("ab cd e", 5), ["ab cd", "e"]);
        assert_eq!(pack(&["C coarse".to_owned(), "M medium".to_owned()], 12), ["C coarse", "M medium"]);
    }
}
