//! Narrowing a list by typing: plain substring, letters of either case.

/// Whether `text` holds every word of `wanted`, in any order; an empty wish holds everywhere.
pub fn holds(text: &str, wanted: &str) -> bool {
    if wanted.is_empty() {
        return true;
    }
    let text = text.to_lowercase();
    wanted.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

/// What of a pasted or typed text may enter a line: one line, no control characters, at most 200 characters.
pub fn one_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().chars().filter(|c| !c.is_control()).take(200).collect()
}
