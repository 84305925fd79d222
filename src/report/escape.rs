//! The door through which foreign text (names, notes, paths, arguments) leaves the program.
//!
//! A name in a profile may hold anything a file can hold. Sent raw to a terminal it could move the cursor,
//! set the clipboard or turn the reading order round; so control characters, the escape character, the C1
//! controls, marks that change the writing direction and marks that cannot be seen are written out as
//! `\u{1b}`. This is for reading, not for reading back: a backslash of the name itself stays as it is.

pub use crate::hidden::is_hidden;
use std::borrow::Cow;

/// Text for one line: every hidden character written out, line breaks and tabs too.
pub fn one_line(text: &str) -> Cow<'_, str> {
    rewrite(text, is_hidden, |c, out| out.extend(c.escape_unicode()))
}

/// Text of several lines: line breaks stay, a tab becomes four spaces, the rest as in [`one_line`].
pub fn lines(text: &str) -> Cow<'_, str> {
    rewrite(
        text,
        |c| c != '\n' && is_hidden(c),
        |c, out| {
            if c == '\t' {
                out.push_str("    ");
            } else {
                out.extend(c.escape_unicode());
            }
        },
    )
}

/// The same in plain ASCII: our own signs get a plain spelling, any other character is written out. Line
/// breaks stay.
pub fn ascii(text: &str) -> Cow<'_, str> {
    if text.contains("×/÷") {
        return Cow::Owned(ascii(&text.replace("×/÷", "x or /")).into_owned());
    }
    rewrite(
        text,
        |c| !c.is_ascii(),
        |c, out| match c {
            '–' | '−' | '·' | '—' => out.push('-'),
            '±' => out.push_str("+-"),
            '×' => out.push('x'),
            '÷' => out.push('/'),
            'µ' => out.push('u'),
            '°' => out.push_str("deg "),
            '…' => out.push_str("..."),
            '→' => out.push_str("->"),
            '█' => out.push('#'),
            '▲' => out.push('^'),
            '▼' => out.push('v'),
            '≈' => out.push('='),
            '●' => out.push('*'),
            '○' => out.push('.'),
            '≠' => out.push_str("!="),
            '≥' => out.push_str(">="),
            '≤' => out.push_str("<="),
            '²' => out.push('2'),
            '³' => out.push('3'),
            _ => out.extend(c.escape_unicode()),
        },
    )
}

/// JSON text with every hidden character inside its strings written as `\u001b`. JSON's own signs are all
/// ASCII, so whatever is found here stands inside a string; the line breaks of the layout stay.
pub fn json(text: &str) -> Cow<'_, str> {
    rewrite(
        text,
        |c| c != '\n' && is_hidden(c),
        |c, out| {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        },
    )
}

/// Text inside an SVG picture or an HTML page, between tags or in a quoted attribute: hidden characters are
/// written out, and what could be markup becomes a reference.
pub fn markup(text: &str) -> Cow<'_, str> {
    rewrite(
        text,
        |c| is_hidden(c) || matches!(c, '&' | '<' | '>' | '"' | '\'' | '`'),
        |c, out| match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '`' => out.push_str("&#96;"),
            _ => out.extend(c.escape_unicode()),
        },
    )
}

fn rewrite(text: &str, odd: impl Fn(char) -> bool, write: impl Fn(char, &mut String)) -> Cow<'_, str> {
    if !text.chars().any(&odd) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if odd(c) {
            write(c, &mut out);
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}
