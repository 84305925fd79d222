//! Text in cells of a terminal: wide letters take two, marks that sit on others none. Whoever cuts, fills or breaks
//! text for a width does it here.

use std::borrow::Cow;

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

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

/// Broken into lines of at most so many cells, between words where it can be; runs of spaces count as one.
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    indented(text, cells, "", "")
}

/// The same with something before the first line, and before those that follow.
pub fn indented(text: &str, cells: usize, first: &str, next: &str) -> Vec<String> {
    let options = Options::new(cells.max(1))
        .initial_indent(first)
        .subsequent_indent(next)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    let words = |line: &str| line.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
    let broken = |line: &str| {
        textwrap::wrap(&words(line), &options).into_iter().map(Cow::into_owned).collect::<Vec<_>>()
    };
    text.lines().flat_map(broken).collect()
}
