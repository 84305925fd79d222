//! How wide a line of text may come out, so that labels can be laid before anyone's font is known.
//!
//! Advance widths rounded up from a wide sans-serif face, from memory: a reader's own font is as a rule narrower.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Marks a letter may carry before the rest are dropped: stacks of them would run over other lines.
const MARKS: usize = 2;
/// Bold letters are wider by this factor.
const BOLD: f64 = 1.1;

/// Width of a line, in px, at a font size in px.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let em: f64 = text.graphemes(true).map(of).sum();
    em * size * if bold { BOLD } else { 1.0 }
}

/// Width of one letter with its marks, in em.
fn of(letter: &str) -> f64 {
    match letter.chars().next() {
        Some(c) if c.is_ascii() => ascii(c),
        Some('·' | '’' | '‘') => 0.32,
        Some('–' | '°' | '…' | '±' | '×' | '→' | '←') => 1.0,
        // Scripts without a row here: two cells are one em, one cell rather more than half.
        _ => letter.width() as f64 * if letter.width() > 1 { 0.52 } else { 0.8 },
    }
}

fn ascii(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' => 0.28,
        ' ' | '.' | ',' | ':' | ';' | 'I' | 'J' | '|' | '!' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '/' | '\\' | '-' => 0.42,
        's' | 'z' | 'c' | 'k' | 'v' | 'x' | 'y' | '"' => 0.59,
        'm' | 'W' | '%' | '@' => 1.0,
        'w' | 'M' | '<' | '>' | '=' | '+' | '#' | '~' | '^' => 0.86,
        'C' | 'D' | 'G' | 'H' | 'N' | 'O' | 'Q' | '&' => 0.79,
        'A'..='Z' => 0.73,
        _ => 0.64,
    }
}

/// The text cut to a width, with an ellipsis where something was left out.
pub fn fit(text: &str, room: f64, size: f64, bold: bool) -> String {
    let text = lean(text);
    if width(&text, size, bold) <= room {
        return text;
    }
    let room = room - width("…", size, bold);
    let mut out = String::new();
    let mut used = 0.0;
    for letter in text.graphemes(true) {
        used += width(letter, size, bold);
        if used > room {
            break;
        }
        out.push_str(letter);
    }
    if out.is_empty() && room < 0.0 { String::new() } else { format!("{}…", out.trim_end()) }
}

/// Lines no wider than the room, broken between words; a word that is too long is cut.
pub fn wrap(text: &str, room: f64, size: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line)
                if width(line, size, false) + width(" ", size, false) + width(word, size, false) <= room =>
            {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fit(word, room, size, false)),
        }
    }
    lines
}

/// Hidden characters written out, so that they count, and no more marks on a letter than it can bear.
fn lean(text: &str) -> String {
    let shown = super::super::escape::one_line(text);
    if shown.is_ascii() {
        return shown.into_owned();
    }
    let mut out = String::with_capacity(shown.len());
    for letter in shown.graphemes(true) {
        if letter.width() <= 1 {
            out.extend(letter.chars().take(1 + MARKS));
        } else {
            out.push_str(letter);
        }
    }
    out
}
