//! Where one value of a file ends and the next begins.
//!
//! This is no second grammar: `ron` has the last word on what is well formed. It only walks over text,
//! brackets, strings and comments, fast, so that a value can be marked, cut out or blanked.

use std::ops::Range;

/// Deepest nesting of brackets.
pub const MAX_DEPTH: usize = 48;

/// What `ron` takes for white space.
fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t'..='\r' | '\u{85}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}')
}

/// The text from `at` on; empty when that is no place in it.
fn rest(text: &str, at: usize) -> &str {
    text.get(at..).unwrap_or("")
}

/// The end of white space and comments that start at `at`.
pub fn skip_trivia(text: &str, at: usize) -> usize {
    let mut at = at;
    loop {
        let left = rest(text, at);
        let trimmed = left.trim_start_matches(is_blank);
        at += left.len() - trimmed.len();
        if trimmed.starts_with("//") {
            at += trimmed.find('\n').unwrap_or(trimmed.len());
        } else if trimmed.starts_with("/*") {
            at += block_comment(trimmed);
        } else {
            return at;
        }
    }
}

/// Length of the block comment that `text` starts with; comments nest.
fn block_comment(text: &str) -> usize {
    let (mut depth, mut at) = (0_usize, 0);
    let bytes = text.as_bytes();
    while let Some(pair) = bytes.get(at..at + 2) {
        match pair {
            b"/*" => (depth, at) = (depth + 1, at + 2),
            b"*/" => (depth, at) = (depth.saturating_sub(1), at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return at;
        }
    }
    text.len()
}

/// The end of the string or character literal that starts at `at`, if one does.
fn skip_literal(text: &str, at: usize) -> Option<usize> {
    let left = rest(text, at);
    if let Some(body) = left.strip_prefix('"') {
        let mut escaped = false;
        for (i, byte) in body.bytes().enumerate() {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => return Some(at + i + 2),
                _ => {}
            }
        }
        return Some(text.len());
    }
    if let Some(body) = left.strip_prefix('r') {
        let hashes = body.len() - body.trim_start_matches('#').len();
        let inner = body.trim_start_matches('#').strip_prefix('"')?;
        let close = format!("\"{}", "#".repeat(hashes));
        let end = inner.find(&close).map_or(text.len(), |i| at + 1 + hashes + 1 + i + close.len());
        return Some(end);
    }
    let body = left.strip_prefix('\'')?;
    let mut chars = body.char_indices();
    let (_, first) = chars.next()?;
    if first == '\\' {
        chars.next()?;
    }
    let (i, close) = chars.next()?;
    (close == '\'').then_some(at + 1 + i + 1)
}

/// The end of the value that starts at `at`: up to the comma, colon (behind a map's key) or
/// bracket that closes it, trivia left off.
pub fn value_end(text: &str, at: usize) -> usize {
    let bytes = text.as_bytes();
    let (mut at, mut end, mut depth, mut in_word) = (at, at, 0_usize, false);
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' | b',' | b':' if depth == 0 => break,
            b')' | b']' | b'}' => depth -= 1,
            b'/' if matches!(bytes.get(at + 1), Some(b'/' | b'*')) => {
                (at, in_word) = (skip_trivia(text, at), false);
                continue;
            }
            b'"' | b'\'' | b'r' if !in_word || *byte == b'"' => {
                if let Some(after) = skip_literal(text, at) {
                    (at, end, in_word) = (after, after, false);
                    continue;
                }
            }
            b' ' | b'\t'..=b'\r' => {
                (at, in_word) = (at + 1, false);
                continue;
            }
            _ => {}
        }
        in_word = byte.is_ascii_alphanumeric() || *byte == b'_' || !byte.is_ascii();
        at += 1;
        end = at;
    }
    end.min(text.len())
}

/// The word (identifier) that starts at `at`; empty when none does.
pub fn word(text: &str, at: usize) -> &str {
    let left = rest(text, at);
    let end = left.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(left.len());
    let word = left.get(..end).unwrap_or("");
    if word.starts_with(|c: char| c.is_ascii_digit()) { "" } else { word }
}

/// The place of the name and opening bracket of a structure, or of the first word or sign of a value.
pub fn head(text: &str, place: &Range<usize>) -> Range<usize> {
    let name = place.start + word(text, place.start).len();
    let open = skip_trivia(text, name);
    match text.as_bytes().get(open) {
        Some(b'(' | b'[' | b'{') if open < place.end => place.start..open + 1,
        _ => place.clone(),
    }
}

/// One `key: value,` of a structure.
#[derive(Debug)]
pub struct Entry {
    pub key: Range<usize>,
    pub value: Range<usize>,
    /// From the key to behind the comma.
    pub whole: Range<usize>,
}

/// The entries of the structure that stands at `place`.
pub fn entries(text: &str, place: &Range<usize>) -> Vec<Entry> {
    let mut found = Vec::new();
    let mut at = head(text, place).end;
    while at < place.end {
        let start = skip_trivia(text, at);
        let key = start..start + word(text, start).len();
        let colon = skip_trivia(text, key.end);
        if key.is_empty() || text.as_bytes().get(colon) != Some(&b':') {
            break;
        }
        let value = skip_trivia(text, colon + 1);
        let value = value..value_end(text, value);
        let end = skip_trivia(text, value.end);
        at = if text.as_bytes().get(end) == Some(&b',') { end + 1 } else { end };
        found.push(Entry { whole: key.start..at, key, value });
    }
    found
}

/// The items between the brackets of the list or tuple at `place`.
pub fn items(text: &str, place: &Range<usize>) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut at = head(text, place).end;
    let close = place.end.saturating_sub(1);
    loop {
        let start = skip_trivia(text, at);
        if start >= close {
            return found;
        }
        let end = value_end(text, start);
        found.push(start..end);
        at = skip_trivia(text, end);
        if text.as_bytes().get(at) != Some(&b',') {
            return found;
        }
        at += 1;
    }
}

/// Something opened that does not close as it should.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unclosed {
    // A comment that starts here and never ends.
    Comment(usize),
    // A text that starts here and never ends.
    Text(usize),
    // The innermost of so many brackets still open at the end.
    Open { at: usize, depth: usize },
    // A closing bracket here, where the one opened there must close first; none when nothing is open.
    Mismatch { at: usize, open: Option<usize> },
}

/// The first comment, text or bracket that does not close as it should.
pub fn unclosed(text: &str) -> Option<Unclosed> {
    let bytes = text.as_bytes();
    let mut open: Vec<(usize, u8)> = Vec::new();
    let (mut at, mut in_word) = (0, false);
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'/' if bytes.get(at + 1) == Some(&b'/') => {
                at += rest(text, at).find('\n').unwrap_or(text.len() - at);
                continue;
            }
            b'/' if bytes.get(at + 1) == Some(&b'*') => {
                let end = at + block_comment(rest(text, at));
                if end >= text.len() && !text.ends_with("*/") {
                    return Some(Unclosed::Comment(at));
                }
                (at, in_word) = (end, false);
                continue;
            }
            b'"' | b'\'' | b'r' if !in_word || *byte == b'"' => {
                if let Some(end) = skip_literal(text, at) {
                    if end >= text.len() && !rest(text, at + 1).ends_with(['"', '\'', '#']) {
                        return Some(Unclosed::Text(at));
                    }
                    (at, in_word) = (end, false);
                    continue;
                }
            }
            b'(' => open.push((at, b')')),
            b'[' => open.push((at, b']')),
            b'{' => open.push((at, b'}')),
            b')' | b']' | b'}' => match open.pop() {
                Some((_, closes)) if closes == *byte => {}
                other => return Some(Unclosed::Mismatch { at, open: other.map(|(at, _)| at) }),
            },
            _ => {}
        }
        in_word = byte.is_ascii_alphanumeric() || *byte == b'_' || !byte.is_ascii();
        at += 1;
    }
    let depth = open.len();
    open.pop().map(|(at, _)| Unclosed::Open { at, depth })
}

/// The first text in quotes before `until` that runs over the end of its line.
pub fn text_over_lines(text: &str, until: usize) -> Option<Range<usize>> {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < until {
        match bytes.get(at)? {
            b'/' if matches!(bytes.get(at + 1), Some(b'/' | b'*')) => at = skip_trivia(text, at),
            b'"' => {
                let end = skip_literal(text, at)?;
                if text.get(at..end).is_some_and(|literal| literal.contains('\n')) {
                    return Some(at..end);
                }
                at = end;
            }
            _ => at += 1,
        }
    }
    None
}
