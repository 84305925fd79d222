//! Words of a reply: lists, times, chances, names, and how many words there are.

use crate::assumptions::A;

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

/// `less than a day`, `5 days`, `8 weeks`, `half a year or more`.
pub fn days(x: f64) -> String {
    if x >= A::Horizon.value() {
        "half a year or more".to_owned()
    } else if x < 1.0 {
        "less than a day".to_owned()
    } else if x.round() < 14.0 {
        format!("{:.0} day{}", x.round(), if x.round() < 1.5 { "" } else { "s" })
    } else {
        format!("{:.0} weeks", x / 7.0)
    }
}

/// `3 of 10 cases`, `23 of 100 cases`, `every case`; never sure of what is not.
pub fn cases(chance: f64) -> String {
    let of_100 = (chance * 100.0).round().clamp(1.0, 99.0);
    if chance >= 1.0 {
        "every case".to_owned()
    } else if chance <= 0.0 {
        "no case".to_owned()
    } else if of_100 % 10.0 == 0.0 {
        format!("{:.0} of 10 cases", of_100 / 10.0)
    } else {
        format!("{of_100:.0} of 100 cases")
    }
}

/// A name of a file in a sentence: no longer than so many words.
pub fn short_name(name: &str, most: usize) -> String {
    match name.split_whitespace().nth(most) {
        Some(_) => format!("{}…", name.split_whitespace().take(most).collect::<Vec<_>>().join(" ")),
        None => name.to_owned(),
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

pub fn of(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}
