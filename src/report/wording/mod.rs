//! The only prose of results: steps, values and findings turned into sentences, in the units that are read. Here: words
//! that several pages use, each worded once.

pub mod mends;
pub mod notes;
pub mod pictures;
pub mod steps;
pub mod values;

use super::figures::{self, Units};
use super::sources::plain;
use crate::compare::{Bound, Limit};
use crate::measures::{Measure, Missing, Outcome, Unit};

/// Where chances were asked for and no case was simulated.
pub const NO_CASES: &str = "Not told without simulated cases: ask for --samples above 0.";
/// Of a cabinet that is too small.
pub const NO_ROOM: &str = "does not fit the cabinet";

/// A word that names nothing by itself.
pub fn is_article(word: &str) -> bool {
    ["the", "a", "an", "my", "our"].iter().any(|article| word.eq_ignore_ascii_case(article))
}

/// `the Tamsin 1100`; a name that has its article keeps it, and one that says whose it is needs none.
pub fn with_article(name: &str) -> String {
    let first = name.split_whitespace().next().unwrap_or_default();
    let whose = ["'s", "’s", "s'", "s’"].iter().any(|end| first.ends_with(end));
    if is_article(first) || whose { name.to_owned() } else { format!("the {name}") }
}

/// Why a figure is a dash, as a sentence.
pub fn cannot(why: Missing) -> String {
    format!("It cannot be told: {}.", why.words())
}

pub fn spread(low: &str, high: &str) -> String {
    format!("{low} to {high}, 5th to 95th percentile")
}

/// A requirement: `first year at most 150`.
pub fn requirement(limit: Limit, units: Units) -> String {
    let head = limit.measure.row().head;
    let figure = |x: f64| figures::show_with_sign(limit.measure, Outcome::Value(x), units);
    match limit.bound {
        Bound::Yes => "fits the cabinet".to_owned(),
        Bound::AtLeast(x) => format!("{head} at least {}", figure(x)),
        Bound::AtMost(x) => format!("{head} at most {}", figure(x)),
        Bound::ToSpend(x) => format!("price and repair at most {}", figure(x)),
    }
}

/// The sign of a measure's unit; money is in the tank's own.
pub fn sign(measure: Measure, currency: &str, units: Units) -> String {
    if measure.row().unit == Unit::Money {
        currency.to_owned()
    } else {
        figures::sign(measure, units).to_owned()
    }
}

pub fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Us => format!("{} °F", plain(celsius * 9.0 / 5.0 + 32.0)),
        Units::Metric | Units::Uk => format!("{} °C", plain(celsius)),
    }
}

/// Two values that read the same once rounded, with enough digits to see which is the greater.
pub fn told_apart(measure: Measure, x: f64, bound: f64) -> (String, String) {
    let percent = matches!(measure.row().unit, Unit::Share | Unit::Probability);
    let (scale, unit) = if percent { (100.0, " %") } else { (1.0, "") };
    let apart = (x - bound).abs() * scale;
    let decimals = (1 + (-apart.log10()).max(0.0).floor() as usize).min(6);
    (format!("{}{unit}", figures::rounded(x * scale, decimals)), format!("{}{unit}", plain(bound * scale)))
}

/// The first letter large, for the start of a sentence.
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// Several as running text.
pub fn sentences(lines: &[String]) -> String {
    lines.iter().map(|line| format!("{}.", sentence(line))).collect::<Vec<_>>().join(" ")
}

/// `a`, `a and b`, `a, b and c`. Parts that hold commas themselves are kept apart by more than one.
pub fn list(parts: &[String]) -> String {
    let commas = parts.iter().any(|part| part.contains(", "));
    match (parts.split_last(), commas) {
        (Some((last, [])), _) => last.clone(),
        (Some((last, [first])), true) => format!("{first}, and {last}"),
        (Some((last, rest)), true) => format!("{}; and {last}", rest.join("; ")),
        (Some((last, rest)), false) => format!("{} and {last}", rest.join(", ")),
        (None, _) => String::new(),
    }
}

/// `0` to `12` in words, as a count stands in a sentence.
pub fn count(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}
