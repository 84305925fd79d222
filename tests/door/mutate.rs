//! Changes by chance: of figures, of words, of lines, of bytes.

use std::path::Path;

/// Splitmix64 (Steele, Lea and Flood 2014), its own stream for each case.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64, case: u64) -> Self {
        let mut chance =
            Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ case.wrapping_mul(0xbf58_476d_1ce4_e5b9));
        chance.bits();
        chance
    }
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n.max(1) as u64) as usize
    }
    fn of<'t, T: ?Sized>(&mut self, all: &[&'t T]) -> &'t T {
        all[self.below(all.len())]
    }
}

/// Real files: filters, tanks, lists.
pub struct Sources([Vec<String>; 3]);

impl Sources {
    pub fn real() -> Self {
        let read = |folders: &[&str]| -> Vec<String> {
            let mut paths: Vec<_> = folders
                .iter()
                .flat_map(|folder| std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()))
                .filter(|p| p.extension().is_some_and(|e| e == "ron"))
                .collect();
            paths.sort();
            paths.iter().map(|p| text(p)).collect()
        };
        let mut filters = read(&["demo-data"]);
        filters.push(text(Path::new("tests/good_input/tamsin-1100.ron")));
        let mut tanks = read(&["demo-data/tanks"]);
        tanks.push(text(Path::new("tests/good_input/reading-room.ron")));
        // The shipped list is long; pieces of it travel better.
        Self([filters, tanks, vec![text(Path::new("tests/good_input/medium.ron"))]])
    }
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap()
}

const PIECES: [&str; 44] = [
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\"",
    "'",
    "/*",
    "*/",
    "//",
    "\\",
    "r#\"",
    "é",
    "五",
    "\u{202e}",
    "\u{1b}",
    "\u{2028}",
    "NaN",
    "inf",
    "1e999",
    "-",
    "-0.0",
    "16mm",
    "mm(16)",
    "between(mm(1), mm(2))",
    "guessed(",
    "measured(",
    "\n",
    "..",
    "#![",
    "0x1F",
    "None",
    "Some(",
    "rest",
    "guessed",
    "rising",
    "falling",
    "at_ports",
    "at_impeller",
    "\u{feff}",
    "\\u{1b}[2J",
];

const FIGURES: [&str; 16] = [
    "0", "-1", "1e-9", "1e-3", "0.001", "0.01", "0.5", "0.99", "1", "2", "3", "10", "100", "1e4", "1e9",
    "1e308",
];

/// A real file with one to four changes; and of which kind it is: 0 filter, 1 tank, 2 list.
pub fn mutated(sources: &Sources, chance: &mut Chance) -> (usize, String) {
    // Filters have the most to go wrong.
    let kind = [0, 0, 0, 1, 2][chance.below(5)];
    let texts = &sources.0[kind];
    let mut text = texts[chance.below(texts.len())].clone();
    for _ in 0..=chance.below(4) {
        text = match chance.below(10) {
            0..=5 => figure(&text, chance),
            6 => word(&text, chance),
            7 => line(&text, &texts[chance.below(texts.len())], chance),
            _ => bytes(&text, chance),
        };
        if text.is_empty() {
            text.push(' ');
        }
    }
    (kind, text)
}

/// Where numbers stand that are not part of a word.
fn numbers(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let part = |b: u8| b.is_ascii_digit() || b == b'.';
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let before = at.checked_sub(1).map_or(b' ', |i| bytes[i]);
        if bytes[at].is_ascii_digit() && !before.is_ascii_alphanumeric() && before != b'_' && before != b'-' {
            let end = (at..bytes.len()).find(|i| !part(bytes[*i])).unwrap_or(bytes.len());
            found.push((at, end));
            at = end;
        }
        at += 1;
    }
    found
}

/// Another number where one stands: near it as a rule, else far off.
fn figure(text: &str, chance: &mut Chance) -> String {
    let all = numbers(text);
    if all.is_empty() {
        return text.to_owned();
    }
    let (from, to) = all[chance.below(all.len())];
    let now: f64 = text[from..to].parse().unwrap_or(1.0);
    let new = match chance.below(4) {
        0 => chance.of(&FIGURES).to_owned(),
        1 => format!("{}", (now * [0.5, 0.8, 1.25, 2.0][chance.below(4)]).round()),
        _ => format!("{:.4}", now * (0.3 + 2.0 * chance.below(1000) as f64 / 1000.0)),
    };
    format!("{}{new}{}", &text[..from], &text[to..])
}

/// A word put for another of the same file.
fn word(text: &str, chance: &mut Chance) -> String {
    let words: Vec<&str> =
        text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').filter(|w| w.len() > 2).collect();
    if words.is_empty() {
        return text.to_owned();
    }
    let (old, new) = (words[chance.below(words.len())], words[chance.below(words.len())]);
    text.replacen(old, new, 1 + chance.below(2))
}

/// A line left out, doubled, moved, or taken from another file.
fn line(text: &str, other: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let at = chance.below(lines.len());
    match chance.below(4) {
        0 => drop(lines.remove(at.min(lines.len() - 1))),
        1 => lines.insert(at, lines[at]),
        2 => {
            let to = chance.below(lines.len());
            lines.swap(at, to);
        }
        _ => {
            let others: Vec<&str> = other.lines().collect();
            lines[at] = others[chance.below(others.len())];
        }
    }
    lines.join("\n")
}

/// Characters cut, doubled, swapped, cut off or put in.
fn bytes(text: &str, chance: &mut Chance) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    let at = chance.below(chars.len());
    let end = (at + chance.below(12)).min(chars.len());
    match chance.below(6) {
        0 => drop(chars.drain(at..end)),
        1 => {
            let piece: Vec<_> = chars[at..end].to_vec();
            chars.splice(at..at, piece);
        }
        2 => {
            let other = chance.below(chars.len());
            chars.swap(at, other);
        }
        3 if chance.below(4) == 0 => chars.truncate(at),
        _ => drop(chars.splice(at..at, chance.of(&PIECES).chars())),
    }
    chars.into_iter().collect()
}
