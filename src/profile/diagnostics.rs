//! ron's errors in the words of a person who fills in a profile.

use std::ops::Range;

use ron::error::Error;

use super::lexer::{self, Unclosed};
use super::message::Diagnostic;
use crate::hidden::visible;
use crate::units::{kind_of_unit, trimmed};

/// Of a number such as `5,3`.
pub const COMMA: &str = "a comma stands inside this number";
/// Where two say the same.
pub const KEEP_ONE: &str = "keep one of the two";
/// Of a number that cannot be.
pub const DIGITS: &str = "check the digits and the unit";

/// Of a word that stands without its brackets.
pub fn bracketed(word: &str) -> String {
    format!("brackets belong to it: `{word}(…)`, or `{word}()` with nothing to say")
}

pub fn written_like(like: &str) -> String {
    format!("write it like this: `{like}`")
}

/// The word of `all` nearest to `word`, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, all: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    all.into_iter()
        .map(|known| (strsim::damerau_levenshtein(&lower, &known.to_lowercase()), known))
        .filter(|(distance, known)| *distance <= 1 + known.chars().count() / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, known)| known)
}

/// "did you mean", or else the whole list under `lead`.
pub fn suggest<'a>(word: &str, all: impl IntoIterator<Item = &'a str> + Clone, lead: &str) -> String {
    near_or(nearest(word, all.clone()), &format!("{lead} {}", ticked(all)))
}

/// "did you mean", or else that.
pub fn near_or(near: Option<&str>, or: &str) -> String {
    near.map_or_else(|| or.to_owned(), |near| format!("did you mean `{near}`?"))
}

/// Words in code ticks, with commas.
pub fn ticked<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

/// What a piece of text is, in a few words: `the text "16 mm"`, `a list`, `the number 16`.
pub fn describe(text: &str) -> String {
    let name = lexer::word(text, 0);
    let short: String = text.chars().take_while(|c| *c != '\n').take(24).collect();
    let short = visible(&short);
    match text.chars().next() {
        None => "nothing".into(),
        Some('"') => format!("the text {short}"),
        Some('[') => "a list".into(),
        Some('{') => "a map in `{…}`".into(),
        Some('(') => "something in `(…)`".into(),
        Some(c) if c.is_ascii_digit() || matches!(c, '-' | '+' | '.') => format!("the number {short}"),
        Some(_) if !name.is_empty() && name.len() < text.len() => format!("`{}(…)`", visible(name)),
        Some(_) => format!("`{short}`"),
    }
}

pub fn unknown_field(key: &str, known: &[&str], what: &str, place: Range<usize>) -> Diagnostic {
    let message = format!("unknown field `{}` in {what}", visible(key));
    let elsewhere = ELSEWHERE.iter().find(|(field, _)| *field == key).map(|(_, home)| (*home).to_owned());
    let help = elsewhere.unwrap_or_else(|| suggest(key, known.iter().copied(), "its fields are"));
    Diagnostic::new(place, message, help)
}

/// Fields that people look for in the wrong place, and where they stand.
const ELSEWHERE: [(&str, &str); 14] = [
    ("stock", "`stock` stands in the tank itself: `Tank(stock: normal, …)`"),
    ("protein", "`protein` stands in `Feed(…)`"),
    ("daily", "`daily` stands in `Feed(…)`"),
    ("temperature", "`temperature` stands in `Water(…)`"),
    ("tap_nitrate", "`tap_nitrate` stands in `Water(…)`"),
    ("gap", "`gap` stands in the seal: `seal: lip(gap: mm(0.1))`"),
    ("curve", "`curve` stands in `Pump(…)`"),
    ("bore", "`bore` stands in `Hose(…)`, in a fitting or in an outlet"),
    ("slack", "`slack` stands in `Layer(…)`"),
    ("dimples", "`dimples` stands in `Layer(…)`"),
    ("squeezed", "`squeezed` stands in `Layer(…)`"),
    ("impeller", "`impeller` stands in `Unit(…)`"),
    ("asking", "`asking` stands in `Unit(…)`"),
    ("outlet", "the outlet is the last entry of `return`: `outlet(open)`"),
];

/// A bracket, text or comment that does not close as it should.
pub fn unclosed(source: &str, found: &Unclosed) -> Diagnostic {
    if let Unclosed::Text(at) = *found
        && let Some(fault) = text_over_lines(source, at)
    {
        return fault;
    }
    let sign = |at: usize| source.get(at..).and_then(|rest| rest.chars().next()).unwrap_or(' ');
    let line = |at: usize| source.get(..at).unwrap_or("").matches('\n').count() + 1;
    let (at, message, help) = match *found {
        Unclosed::Comment(at) => {
            (at, "a comment that starts with `/*` is never closed".into(), "close it with `*/`")
        }
        Unclosed::Text(at) => (
            at,
            "a text that starts with a quote is never closed".into(),
            "close it with `\"`; a quote inside is written `\\\"`",
        ),
        Unclosed::Open { at, depth } => {
            let others = match depth {
                1 => String::new(),
                2 => ", nor is one more before it".into(),
                _ => format!(", nor are {} more before it", depth - 1),
            };
            (
                at,
                format!("the `{}` opened here is never closed{others}", sign(at)),
                "is the file whole? Otherwise look for the missing bracket from here on",
            )
        }
        Unclosed::Mismatch { at, open: Some(open) } => (
            at,
            format!(
                "this `{}` cannot close the `{}` that was opened in line {}",
                sign(at),
                sign(open),
                line(open)
            ),
            "look between the two for a bracket that is missing or too many",
        ),
        Unclosed::Mismatch { at, open: None } => (
            at,
            format!("this `{}` closes nothing: everything before it is closed already", sign(at)),
            "look for a bracket too many before it, or one that closes too early",
        ),
    };
    let width = if matches!(found, Unclosed::Comment(_)) { 2 } else { 1 };
    Diagnostic::new(at..(at + width).min(source.len()), message, help)
}

/// A text before `until` that runs over the end of its line: most likely its quote was forgotten.
fn text_over_lines(source: &str, until: usize) -> Option<Diagnostic> {
    let place = lexer::text_over_lines(source, until)?;
    let lines = source.get(place.clone()).unwrap_or("").matches('\n').count() + 1;
    Some(Diagnostic::new(
        place,
        format!("this text runs over {lines} lines, and what follows it cannot be read"),
        "is its closing quote missing?",
    ))
}

/// Something behind the end of the one value.
pub fn left_over(place: Range<usize>) -> Diagnostic {
    Diagnostic::new(
        place,
        "something stands behind the end of the file's one value",
        "keep one `Filter(…)` or `Tank(…)` a file",
    )
}

/// Text that is not RON, though its brackets match. The rest of the file cannot be read past it.
pub fn syntax(error: &Error, source: &str, spot: Range<usize>) -> Diagnostic {
    let before = source.get(..spot.start).unwrap_or("");
    let after = source.get(spot.start..).unwrap_or("");
    if let Some(fault) = unit_behind(before, after) {
        return fault;
    }
    if let Some(fault) = as_typed(before, after, spot.start) {
        return fault;
    }
    // `5,3` where a number and then a field were expected.
    if decimal_comma(before, after) {
        return Diagnostic::new(spot, COMMA, "write a decimal point: `5.3`, not `5,3`");
    }
    let told =
        matches!(error, Error::ExceededRecursionLimit | Error::InvalidEscape(_) | Error::NoSuchExtension(_));
    if matches!(error, Error::TrailingCharacters) {
        let start = lexer::skip_trivia(source, spot.start);
        let width = lexer::word(source, start).len();
        return left_over(start..start + width);
    }
    if let Some(fault) = text_over_lines(source, spot.start).filter(|_| !told) {
        return fault;
    }
    let (message, help) = match error {
        Error::ExceededRecursionLimit => (
            format!("brackets nest deeper than {} levels", lexer::MAX_DEPTH),
            "no profile needs that: look for a bracket too many",
        ),
        Error::InvalidEscape(_) => {
            ("a backslash in this text starts no known escape".into(), "write a backslash itself as `\\\\`")
        }
        Error::NoSuchExtension(name) => {
            (format!("`{}` is no extension of RON", visible(name)), "no header is needed: leave the line out")
        }
        Error::ExpectedComma
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedArrayEnd
        | Error::ExpectedMapEnd => ("a comma is missing before this".into(), "entries are separated by `,`"),
        Error::ExpectedMapColon => {
            ("a `:` is missing after the field's name".into(), "fields are written `name: value`")
        }
        _ => ("this cannot be read".into(), "expected `field: value` pairs, separated by commas"),
    };
    Diagnostic::new(spot, message, help)
}

/// Does a decimal comma stand right here: `5` `,` `3`?
fn decimal_comma(before: &str, after: &str) -> bool {
    let digits = |text: &str| text.ends_with(|c: char| c.is_ascii_digit());
    let next_digit = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    before.strip_suffix(',').is_some_and(digits) && next_digit(after)
        || digits(before) && after.strip_prefix(',').is_some_and(next_digit)
}

/// What people type as they speak: a share in per cent, a text in curly quotes.
fn as_typed(before: &str, after: &str, at: usize) -> Option<Diagnostic> {
    let text = after.trim_start();
    let (sign, at) = (text.chars().next()?, at + after.len() - text.len());
    let place = at..at + sign.len_utf8();
    if sign == '%' {
        let start = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').len();
        let number = before.get(start..)?;
        let share = number.parse::<f64>().ok()? / 100.0;
        let help = format!("write `{}` for {number} %", digits(share));
        return Some(Diagnostic::new(start..place.end, "a share is written from 0 to 1", help));
    }
    let curly = ['\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}', '\u{2018}', '\u{2019}', '\u{ab}', '\u{bb}'];
    curly.contains(&sign).then(|| {
        Diagnostic::new(
            place,
            "a text stands in straight quotes, not in curly ones",
            "write `\"` before and after it; an editor for plain text leaves quotes as they are typed",
        )
    })
}

/// `16` and `mm` where the unit was written behind its number.
fn unit_behind(before: &str, after: &str) -> Option<Diagnostic> {
    let unit = lexer::word(after, 0);
    kind_of_unit(unit)?;
    let number = before.trim_end();
    let start = number.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').len();
    let shown = number.get(start..).filter(|text| !text.is_empty())?;
    let place = start..before.len() + unit.len();
    let gap = before.get(number.len()..).unwrap_or("");
    Some(Diagnostic::new(
        place,
        format!("`{shown}{}{unit}` is no quantity", if gap.is_empty() { "" } else { " " }),
        format!("the unit stands in front, the number in brackets: `{unit}({shown})`"),
    ))
}

/// A number with at most six significant digits and no zeros at its end.
pub fn digits(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return "0".into();
    }
    let places = (5.0 - number.abs().log10().floor()).clamp(0.0, 12.0) as usize;
    trimmed(&format!("{number:.places$}")).to_owned()
}
