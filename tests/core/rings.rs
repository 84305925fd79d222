//! Files that use each other stand at most two in a ring; and whoever draws or talks reads the state of the
//! screens, but only messages change it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use crate::layers::{program_text, read, sources, test_files};

/// Paths that a text's `use` lines name, groups in braces opened up.
fn used(code: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (at, _) in code.match_indices("use ") {
        let starts = code[..at].chars().next_back().is_none_or(char::is_whitespace);
        let Some(end) = code[at..].find(';').filter(|_| starts) else { continue };
        let text: String = code[at + 4..at + end].chars().filter(|c| !c.is_whitespace()).collect();
        open(&text, "", &mut out);
    }
    out
}

fn open(text: &str, before: &str, out: &mut Vec<String>) {
    let Some((head, group)) = text.split_once('{') else {
        out.push(format!("{before}{text}"));
        return;
    };
    let group = group.strip_suffix('}').unwrap_or(group);
    let (mut depth, mut from) = (0, 0);
    for (i, c) in group.char_indices().chain([(group.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                open(&group[from..i], &format!("{before}{head}"), out);
                from = i + 1;
            }
            _ => {}
        }
    }
}

/// The module of a file below `src`: `app::screens::restack` of `app/screens/restack/mod.rs`.
fn module(file: &str) -> Vec<String> {
    let mut parts: Vec<String> = file.trim_end_matches(".rs").split('/').map(str::to_owned).collect();
    if parts.last().is_some_and(|last| last == "mod" || last == "lib") {
        parts.pop();
    }
    parts
}

/// Names that a module passes on (`pub use`), each with the path that it stands for there.
type Passed = BTreeMap<(Vec<String>, String), String>;

fn passed_on(code: &str) -> Vec<String> {
    let lines = code.split("pub use ").skip(1).filter_map(|rest| rest.split_once(';'));
    lines.flat_map(|(line, _)| used(&format!("use {line};"))).collect()
}

/// The file that a path leads to: that of the longest part of it that is a module, or where what that passes on
/// comes from.
fn leads_to(
    path: &str,
    from: &[String],
    files: &BTreeMap<Vec<String>, String>,
    passed: &Passed,
) -> Option<String> {
    let mut at: Vec<String> = from.to_vec();
    let mut words = path.split("::").peekable();
    match *words.peek()? {
        "crate" | "cansift" => {
            words.next();
            at.clear();
        }
        "super" => {
            while words.next_if_eq(&"super").is_some() {
                at.pop();
            }
        }
        "self" => drop(words.next()),
        // A child by its name, or another crate.
        first => {
            let mut child = at.clone();
            child.push(first.to_owned());
            files.get(&child)?;
        }
    }
    at.extend(words.map(str::to_owned));
    let mut name = String::new();
    while !at.is_empty() {
        if let Some(file) = files.get(&at) {
            let further = passed.get(&(at.clone(), name)).filter(|_| at != from);
            return further.map_or(Some(file.clone()), |path| leads_to(path, &at, files, passed));
        }
        name = at.pop()?;
    }
    None
}

/// Files that reach each other, where more than two do.
fn rings(sees: &BTreeMap<String, BTreeSet<String>>) -> Vec<BTreeSet<String>> {
    let reached = |from: &String| {
        let mut seen = BTreeSet::new();
        let mut open = vec![from];
        while let Some(now) = open.pop() {
            open.extend(sees.get(now).into_iter().flatten().filter(|next| seen.insert((*next).clone())));
        }
        seen
    };
    let all: BTreeMap<&String, BTreeSet<String>> = sees.keys().map(|file| (file, reached(file))).collect();
    let mut out: Vec<BTreeSet<String>> = Vec::new();
    for (file, there) in &all {
        let back = |to: &&String| all.get(*to).is_some_and(|theirs| theirs.contains(*file));
        let ring: BTreeSet<String> = there.iter().filter(back).cloned().collect();
        if ring.len() > 2 && !out.contains(&ring) {
            out.push(ring);
        }
    }
    out
}

/// The program by its files, without tests.
fn files() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    sources(&root, &mut paths);
    let all: Vec<_> = paths.into_iter().map(|p| (p.clone(), fs::read_to_string(p).unwrap())).collect();
    let skip: BTreeSet<_> = all.iter().flat_map(|(p, text)| test_files(p, text)).collect();
    let name = |path: &Path| {
        let parts = path.strip_prefix(&root).unwrap().components();
        parts.map(|c| c.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
    };
    all.into_iter().filter(|(path, _)| !skip.contains(path)).map(|(path, text)| (name(&path), text)).collect()
}

/// Their code, without what stands in quotes.
fn texts() -> Vec<(String, String)> {
    files().into_iter().map(|(file, text)| (file, program_text(&read(&text).code))).collect()
}

/// A sentence of five words or more is worded in one file; rows of the table of fields may say the same of several
/// fields, and the reader knows some of their words.
#[test]
fn a_sentence_is_worded_in_one_file() {
    let mut seen: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (file, text) in files() {
        for (_, said) in read(&text).literals {
            let words = said.split(|c: char| !c.is_ascii_alphabetic()).filter(|word| word.len() > 1);
            if words.count() >= 5 && !text.contains(&format!("reason = \"{said}\"")) {
                seen.entry(said).or_default().insert(file.clone());
            }
        }
    }
    assert!(seen.len() > 500, "next to nothing was read");
    let row = |file: &String| file.starts_with("model/");
    seen.retain(|_, files| files.len() > 1 && !files.iter().any(row));
    assert!(seen.is_empty(), "sentences worded in several files: {seen:#?}");
}

#[test]
fn no_file_is_longer_than_five_hundred_lines() {
    let long = |(file, text): (String, String)| (text.lines().count() > 500).then_some(file);
    assert_eq!(files().into_iter().filter_map(long).collect::<Vec<_>>(), [""; 0]);
}

#[test]
fn no_ring_of_files_is_longer_than_two() {
    let texts = texts();
    let files: BTreeMap<Vec<String>, String> =
        texts.iter().map(|(file, _)| (module(file), file.clone())).collect();
    let mut passed = Passed::new();
    for (file, code) in &texts {
        for path in passed_on(code) {
            let name = path.rsplit("::").next().unwrap().to_owned();
            passed.insert((module(file), name), path);
        }
    }
    let mut sees: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (file, code) in &texts {
        let mine = sees.entry(file.clone()).or_default();
        // What is only passed on is seen by whoever takes it.
        let on = passed_on(code);
        let own = used(code).into_iter().filter(|path| !on.contains(path));
        let to = own.filter_map(|path| leads_to(&path, &module(file), &files, &passed));
        mine.extend(to.filter(|to| to != file));
    }
    assert!(sees.values().map(BTreeSet::len).sum::<usize>() > 500, "next to nothing was read");
    let found = rings(&sees);
    assert!(found.is_empty(), "files that use each other in a ring: {found:#?}");
}

#[test]
fn a_ring_of_three_is_found() {
    let sees = |pairs: &[(&str, &str)]| {
        let mut out: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for (from, to) in pairs {
            out.entry((*from).to_owned()).or_default().insert((*to).to_owned());
        }
        rings(&out).len()
    };
    assert_eq!(sees(&[("a", "b"), ("b", "a"), ("b", "c")]), 0);
    assert_eq!(sees(&[("a", "b"), ("b", "c"), ("c", "a"), ("d", "a")]), 1);
    assert_eq!(used("use a::{b, c::{self, d}};\npub use e;"), ["a::b", "a::c::self", "a::c::d", "e"]);
    assert_eq!(passed_on("use a::b;\npub use c::{d, e};\nuse f;"), ["c::d", "c::e"]);
    let way = |parts: &[&str]| parts.iter().map(|part| (*part).to_owned()).collect::<Vec<_>>();
    let files = [(way(&["a"]), "a/mod.rs".to_owned()), (way(&["a", "b"]), "a/b.rs".to_owned())].into();
    let passed = [((way(&["a"]), "Thing".to_owned()), "b::Thing".to_owned())].into();
    let to = |path: &str| leads_to(path, &way(&["c"]), &files, &passed);
    assert_eq!(to("crate::a::Thing").as_deref(), Some("a/b.rs"));
    assert_eq!(to("crate::a::other").as_deref(), Some("a/mod.rs"));
}

/// The terminal and the dialogue of lines hold an `App`, which lends the state for reading only; the state is made
/// before the screens open.
#[test]
fn only_update_changes_the_state() {
    const MADE_IN: &str = "cli/screens.rs";
    for (file, code) in texts() {
        if file.starts_with("app/") || file == MADE_IN {
            continue;
        }
        for way in ["&mut State", "mut state: State", "DerefMut", "State::new("] {
            assert!(!code.contains(way), "{file} could change the state: {way}");
        }
    }
    let app = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/app/update.rs")).unwrap();
    assert!(app.contains("pub struct App(State);") && !app.contains("DerefMut"));
}
