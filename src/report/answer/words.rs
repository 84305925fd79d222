//! Words of a reply: lists, chances, names, and how many words there are.

/// `a`, `a and b`, `a, b and c`.
pub fn list(parts: &[String]) -> String {
    match parts.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
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

/// How many words a text has.
pub fn of(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}
