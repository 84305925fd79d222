//! ron's errors in the words of a person who fills in a profile.

use std::ops::Range;

use ron::error::Error;

use super::message::{Fault, visible};
use super::scan;
use super::spanned::{Form, MAX_DEPTH};
use crate::units::kind_of_unit;

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
    match nearest(word, all.clone()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("{lead} {}", ticked(all)),
    }
}

/// Words in code ticks, with commas.
pub fn ticked<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

/// What a piece of text is, in a few words: `the text "16 mm"`, `a list`, `the number 16`.
pub fn describe(text: &str) -> String {
    let name = scan::word(text, 0);
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

/// A field that the structure does not have.
pub fn unknown_field<T: Form>(key: &str, known: &[&str], place: Range<usize>) -> Fault {
    let message = format!("unknown field `{}` in {}", visible(key), T::WHAT);
    Fault { place, message, help: Some(suggest(key, known.iter().copied(), "its fields are")) }
}

/// A well-formed value that is not what stands here.
pub fn shape<T: Form>(error: &Error, source: &str, place: &Range<usize>, spot: &Range<usize>) -> Fault {
    let text = source.get(place.clone()).unwrap_or("");
    let like = || Some(format!("write it like this: `{}`", T::LIKE));
    let head = scan::head(source, place);
    match error {
        Error::NoSuchEnumVariant { expected, found, .. } => Fault {
            place: place.start..place.start + scan::word(source, place.start).len(),
            message: format!("expected {}, found `{}`", T::WHAT, visible(found)),
            help: Some(suggest(found, expected.iter().copied(), "use one of")),
        },
        Error::ExpectedDifferentStructName { expected, found } => Fault {
            place: place.start..place.start + found.len().min(place.len()),
            message: format!("expected {}, found `{}(…)`", T::WHAT, visible(found)),
            help: Some(format!("write `{expected}(…)`, or leave the name out: `(…)`")),
        },
        Error::InvalidEscape(_) => Fault {
            place: spot.clone(),
            message: "this text holds a backslash that starts no known escape".into(),
            help: Some("write a backslash as `\\\\`".into()),
        },
        Error::ExpectedString | Error::ExpectedBoolean | Error::ExpectedIdentifier | Error::ExpectedArray => {
            Fault {
                place: head,
                message: format!("expected {}, found {}", T::WHAT, describe(text)),
                help: like(),
            }
        }
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) if !text.contains('(') => Fault {
            place: head,
            message: format!("expected {}, found {}", T::WHAT, describe(text)),
            help: like(),
        },
        _ => Fault {
            place: head,
            message: format!("this does not have the form of {}", T::WHAT),
            help: like(),
        },
    }
}

/// Text that is not RON at all. The rest of the file cannot be read past it.
pub fn syntax(error: &Error, source: &str, spot: Range<usize>) -> Fault {
    let before = source.get(..spot.start).unwrap_or("");
    let after = source.get(spot.start..).unwrap_or("");
    let note = |message: &str, help: &str| Fault {
        place: spot.clone(),
        message: message.to_owned(),
        help: Some(help.to_owned()),
    };
    match error {
        Error::ExceededRecursionLimit => note(
            &format!("brackets nest deeper than {MAX_DEPTH} levels"),
            "no profile needs that: look for a bracket too many",
        ),
        Error::UnclosedBlockComment => {
            note("a comment that starts with `/*` is never closed", "close it with `*/`")
        }
        Error::ExpectedStringEnd => note(
            "a text that starts with a quote is never closed",
            "close it with `\"`; a quote inside is written `\\\"`",
        ),
        Error::NoSuchExtension(name) => note(
            &format!("`{}` is no extension of RON", visible(name)),
            "no header is needed: leave the line out",
        ),
        _ if after.trim_start().is_empty() => note(
            "the file ends before everything that was opened is closed",
            "look for a missing `)` or `]`; the editor can show which bracket has no partner",
        ),
        // `5,3` where a number and then a field were expected.
        _ if decimal_comma(before, after) => {
            note("a comma stands inside this number", "write a decimal point: `5.3`, not `5,3`")
        }
        _ if number_then_unit(before, after).is_some() => {
            let (number, unit) = number_then_unit(before, after).unwrap_or_default();
            Fault {
                place: spot.start.saturating_sub(number.len())..spot.start + unit.len(),
                message: format!("`{number}{unit}` is no quantity"),
                help: Some(format!("the unit stands in front, the number in brackets: `{unit}({number})`")),
            }
        }
        Error::ExpectedComma | Error::ExpectedStructLikeEnd | Error::ExpectedArrayEnd
            if after.starts_with([')', ']', '}']) =>
        {
            note(
                "this closing bracket does not match the one that was opened",
                "`(` closes with `)`, `[` with `]`",
            )
        }
        Error::ExpectedComma
        | Error::ExpectedStructLikeEnd
        | Error::ExpectedArrayEnd
        | Error::ExpectedMapEnd => note("a comma is missing before this", "entries are separated by `,`"),
        Error::ExpectedMapColon => {
            note("a `:` is missing after the field's name", "fields are written `name: value`")
        }
        Error::TrailingCharacters => note(
            "something stands after the end of the file's one value",
            "look for a `)` too many before this, or keep one `Filter(…)` a file",
        ),
        _ => note("this cannot be read", "expected `field: value` pairs, separated by commas"),
    }
}

/// Does a decimal comma stand right here: `5` `,` `3`?
fn decimal_comma(before: &str, after: &str) -> bool {
    let digits = |text: &str| text.ends_with(|c: char| c.is_ascii_digit());
    let next_digit = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    before.strip_suffix(',').is_some_and(digits) && next_digit(after)
        || digits(before) && after.strip_prefix(',').is_some_and(next_digit)
}

/// `16` and `mm` where the unit was written behind its number.
fn number_then_unit<'a>(before: &'a str, after: &'a str) -> Option<(&'a str, &'a str)> {
    let number = before.trim_start_matches(|_| false);
    let start = number
        .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
        .map_or(0, |i| i + number.get(i..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8));
    let number = number.get(start..).filter(|n| n.starts_with(|c: char| c.is_ascii_digit()))?;
    let unit = scan::word(after, 0);
    kind_of_unit(unit)?;
    Some((number, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_suggested_and_far_ones_not() {
        let fields = ["bore", "wall", "pitch"];
        assert_eq!(nearest("boer", fields), Some("bore"));
        assert_eq!(nearest("Wall", fields), Some("wall"));
        assert_eq!(nearest("colour", fields), None);
    }

    #[test]
    fn text_is_described_as_what_it_is() {
        assert_eq!(describe("\"16 mm\""), "the text \"16 mm\"");
        assert_eq!(describe("[1, 2]"), "a list");
        assert_eq!(describe("mm(3)"), "`mm(…)`");
        assert_eq!(describe("-4"), "the number -4");
    }
}
