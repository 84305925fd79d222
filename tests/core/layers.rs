//! Who may see whom: reads the paths in `src` outside its tests and fails on a breach of the direction told in
//! the head of `src/lib.rs`, and on what the core, the files and the escapes must not do.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// From the ground up. A module sees its own row and every row below it.
const ROWS: [&[&str]; 11] = [
    &["simd", "units", "message", "parallel", "place", "order", "hidden", "ways"],
    &["assumptions", "uncertainty"],
    &["model"],
    &["hydraulics"],
    &["clogging", "biology", "media_order", "uv", "cost", "space"],
    &["measures", "assess"],
    &["compare", "propose", "learn"],
    &["profile", "library"],
    &["report"],
    &["app"],
    &["ui"],
];
/// They stand beside the rows: each sees everything, no row sees them.
const SEE_ALL: [&str; 4] = ["cli", "terminal", "main", "lib"];
/// No serde, screen, file, clock, environment, printing or global randomness up to here.
const LAST_CORE_ROW: usize = 6;
/// The catalogue of measures sees no more than this row, whatever row it stands in.
const MEASURES_SEE: usize = 0;
/// Physics, which the screens may only read through what was judged.
const NOT_FOR_UI: [&str; 6] = ["hydraulics", "biology", "clogging", "uv", "cost", "space"];
/// Two pairs may see each other (the door looks things up on the shelf, the shelf is read through the door);
/// in every other row sight goes one way.
const MUTUAL: [&str; 4] = ["assumptions", "uncertainty", "profile", "library"];
const NOT_IN_CORE: [&str; 15] = [
    "serde",
    "serde_json",
    "ron",
    "ratatui",
    "crossterm",
    "rand",
    "chrono",
    "println",
    "print",
    "eprintln",
    "eprint",
    "dbg",
    "include_str",
    "Instant",
    "SystemTime",
];
const NOT_IN_CORE_OF_STD: [&str; 6] = ["fs", "env", "time", "io", "net", "process"];
const OPEN_FILES: [&str; 5] = [
    "profile/state_file.rs",
    "profile/store.rs",
    "profile/store/beside.rs",
    "profile/store/save.rs",
    "profile/store/sheets.rs",
];
const WRITES_ESCAPES: &str = "terminal";
/// They make control characters harmless, and may have to name one.
const ESCAPING_DOORS: [&str; 2] = ["ui/text.rs", "report/escape.rs"];

fn row(module: &str) -> Option<usize> {
    ROWS.iter().position(|row| row.contains(&module))
}

/// Why `from` may not see `to`; none when it may.
fn forbidden(from: &str, to: &str) -> Option<String> {
    if from == to || SEE_ALL.contains(&from) {
        return None;
    }
    if SEE_ALL.contains(&to) {
        return Some(format!("nothing but the door sees `{to}`"));
    }
    let (Some(here), Some(there)) = (row(from), row(to)) else {
        return Some(format!("`{from}` or `{to}` stands in no row of the table"));
    };
    if from == "measures" && there > MEASURES_SEE {
        return Some("the catalogue of measures sees nothing above `units`".into());
    }
    if from == "ui" && NOT_FOR_UI.contains(&to) {
        return Some("the screens hold no physics".into());
    }
    (there > here).then(|| format!("`{to}` stands above `{from}`"))
}

/// A source text without comments, with the insides of strings and characters taken out and kept apart.
pub struct Read {
    pub code: String,
    pub literals: Vec<(usize, String)>,
}

pub fn read(text: &str) -> Read {
    let chars: Vec<char> = text.chars().collect();
    let at = |i: usize| chars.get(i).copied().unwrap_or('\0');
    let (mut code, mut literals) = (String::new(), Vec::new());
    let (mut i, mut line) = (0, 1);
    while i < chars.len() {
        let start = i;
        let before = if i == 0 { '\0' } else { at(i - 1) };
        let word_before = before.is_alphanumeric() || before == '_';
        let mut hashes = 0;
        if at(i) == '/' && at(i + 1) == '/' {
            while i < chars.len() && at(i) != '\n' {
                i += 1;
            }
        } else if at(i) == '/' && at(i + 1) == '*' {
            let mut depth = 0;
            loop {
                if at(i) == '/' && at(i + 1) == '*' {
                    depth += 1;
                    i += 2;
                } else if at(i) == '*' && at(i + 1) == '/' {
                    depth -= 1;
                    i += 2;
                } else {
                    i += 1;
                }
                if depth == 0 || i >= chars.len() {
                    break;
                }
            }
        } else if at(i) == 'r' && (!word_before || before == 'b') && {
            while at(i + 1 + hashes) == '#' {
                hashes += 1;
            }
            at(i + 1 + hashes) == '"'
        } {
            i += hashes + 2;
            let inside = i;
            let closes = |i: usize| at(i) == '"' && (1..=hashes).all(|h| at(i + h) == '#');
            while i < chars.len() && !closes(i) {
                i += 1;
            }
            // a raw string holds the byte itself or nothing: `\x1b` in it is four letters
            literals.push((line, chars[inside..i.min(chars.len())].iter().filter(|c| **c != '\\').collect()));
            i += hashes + 1;
            code.push_str("\"\"");
        } else if at(i) == '"' || (at(i) == '\'' && (at(i + 1) == '\\' || at(i + 2) == '\'')) {
            let end = at(i);
            i += 1;
            while i < chars.len() && at(i) != end {
                i += if at(i) == '\\' { 2 } else { 1 };
            }
            literals.push((line, chars[start + 1..i.min(chars.len())].iter().collect()));
            i += 1;
            code.push_str("\"\"");
        } else {
            code.push(at(i));
            i += 1;
            line += usize::from(at(start) == '\n');
            continue;
        }
        let lines = chars[start..i.min(chars.len())].iter().filter(|c| **c == '\n').count();
        line += lines;
        code.push_str(&"\n".repeat(lines));
    }
    Read { code, literals }
}

/// The lines that stand under `#[cfg(test)]`, and the names of test modules that lie in files of their own.
fn tests_in(code: &str) -> (BTreeSet<usize>, Vec<String>) {
    let (mut lines, mut files) = (BTreeSet::new(), Vec::new());
    for (at, mark) in code.match_indices("#[cfg(test)]") {
        let rest = &code[at..];
        let mut depth = 0;
        let mut end = rest.len();
        for (i, c) in rest.char_indices().skip(mark.len()) {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => {}
            }
            if depth == 0 && (c == '}' || c == ';') {
                end = i + 1;
                break;
            }
        }
        let item = &rest[..end];
        let from = code[..at].matches('\n').count() + 1;
        lines.extend(from..=from + item.matches('\n').count());
        if let Some(name) = item.rsplit("mod ").next().and_then(|name| name.strip_suffix(';')) {
            files.push(name.trim().to_owned());
        }
    }
    (lines, files)
}

/// A text without its tests; lines keep their numbers.
pub fn program_text(code: &str) -> String {
    let (tests, _) = tests_in(code);
    let line = |(i, line): (usize, &str)| {
        if tests.contains(&(i + 1)) { "\n".to_owned() } else { format!("{line}\n") }
    };
    code.lines().enumerate().map(line).collect()
}

/// First names after `root` (such as `crate::`), groups in braces opened up, each with its line.
fn heads(code: &str, root: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices(root) {
        let before = code[..at].chars().next_back().unwrap_or(' ');
        if before.is_alphanumeric() || before == '_' || (before == ':' && root != "std::") {
            continue;
        }
        let line = code[..at].matches('\n').count() + 1;
        let rest = code[at + root.len()..].trim_start();
        let Some(group) = rest.strip_prefix('{') else {
            found.push((line, name(rest)));
            continue;
        };
        let mut depth = 0;
        let mut fresh = true;
        for (i, c) in group.char_indices() {
            match c {
                '}' if depth == 0 => break,
                '{' => depth += 1,
                '}' => depth -= 1,
                ',' if depth == 0 => fresh = true,
                c if fresh && !c.is_whitespace() => {
                    found.push((line, name(&group[i..])));
                    fresh = false;
                }
                _ => {}
            }
        }
    }
    found.retain(|(_, name)| name != "self");
    found
}

/// The name a text begins with; a macro's keeps its mark.
fn name(text: &str) -> String {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
    let macro_call = text[end..].starts_with('!') && !text[end..].starts_with("!=");
    format!("{}{}", &text[..end], if macro_call { "!" } else { "" })
}

fn has_word(line: &str, word: &str) -> bool {
    line.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|w| w == word)
}

fn is_escape(literal: &str) -> bool {
    let low = literal.to_lowercase().replace('_', "");
    low.contains('\u{1b}')
        || low.contains('\u{9b}')
        || low.contains("\\x1b")
        || low.contains("\\e[")
        || ["1b", "9b"]
            .iter()
            .any(|code| (0..=4).any(|zeros| low.contains(&format!("\\u{{{}{code}}}", "0".repeat(zeros)))))
}

/// What one file does wrong, one line each; whom it sees goes to `sees`.
fn breaches(file: &str, text: &str, sees: &mut BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let Read { code, literals } = read(text);
    let (tests, _) = tests_in(&code);
    let code = program_text(&code);
    let parts: Vec<&str> = file.trim_end_matches(".rs").split('/').collect();
    let module = parts[0];
    let depth = parts.len() - usize::from(parts.last() == Some(&"mod") && parts.len() > 1);
    let core = row(module).is_some_and(|row| row <= LAST_CORE_ROW);
    let mut found = Vec::new();
    let mut tell = |line: usize, what: String| found.push(format!("src/{file}:{line}: {what}"));

    if row(module).is_none() && !SEE_ALL.contains(&module) {
        tell(1, format!("`{module}` stands in no row of the table"));
    }
    let climb = "super::".repeat(depth);
    for root in ["crate::", "cansift::", climb.as_str()] {
        for (line, to) in heads(&code, root) {
            // `super` may stand in a module written inside this file and mean the file itself
            let inside = root == climb && row(&to).is_none() && !SEE_ALL.contains(&to.as_str());
            if inside || to.ends_with('!') || SEE_ALL.contains(&module) {
                continue;
            }
            sees.entry(module.to_owned()).or_default().insert(to.clone());
            if let Some(why) = forbidden(module, &to) {
                tell(line, format!("`{module}` sees `{to}`: {why}"));
            }
        }
    }
    let of_std = heads(&code, "std::");
    let may_escape = module == WRITES_ESCAPES || ESCAPING_DOORS.contains(&file);
    for (i, line) in code.lines().enumerate() {
        if core && let Some(word) = NOT_IN_CORE.iter().find(|word| has_word(line, word)) {
            tell(i + 1, format!("`{word}` in the core"));
        }
        if !OPEN_FILES.contains(&file) && ["File::", "OpenOptions::"].iter().any(|word| line.contains(word)) {
            tell(i + 1, format!("a file is opened outside {OPEN_FILES:?}"));
        }
        if !may_escape && has_word(&line.to_lowercase(), "0x1b") {
            tell(i + 1, format!("an escape outside `{WRITES_ESCAPES}`"));
        }
    }
    for (line, to) in of_std {
        if core && NOT_IN_CORE_OF_STD.contains(&to.as_str()) {
            tell(line, format!("`std::{to}` in the core"));
        } else if to == "fs" && !OPEN_FILES.contains(&file) {
            tell(line, format!("`std::fs` outside {OPEN_FILES:?}"));
        }
    }
    if !may_escape {
        for (line, _) in literals.iter().filter(|(line, text)| !tests.contains(line) && is_escape(text)) {
            tell(*line, format!("an escape outside `{WRITES_ESCAPES}`"));
        }
    }
    found
}

/// Modules of one row that see each other in a ring.
fn rings(sees: &BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let beside = |from: &str| -> Vec<&String> {
        let mates = sees.get(from).into_iter().flatten();
        mates.filter(|to| *to != from && row(to) == row(from) && !MUTUAL.contains(&to.as_str())).collect()
    };
    let mut found = Vec::new();
    for start in sees.keys().filter(|name| row(name).is_some()) {
        let mut open = beside(start);
        let mut seen = BTreeSet::new();
        while let Some(next) = open.pop() {
            if next == start {
                found.push(format!(
                    "`{start}` sees itself by way of its neighbours: let one of them go first"
                ));
                break;
            }
            if seen.insert(next) {
                open.extend(beside(next));
            }
        }
    }
    found
}

pub fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
    into.sort();
}

/// Where the files of test modules lie that `path` declares by name.
pub fn test_files(path: &Path, text: &str) -> Vec<PathBuf> {
    let stem = path.file_stem().unwrap();
    let beside = path.parent().unwrap();
    let folder = if ["mod", "lib", "main"].iter().any(|own| stem == *own) {
        beside.to_owned()
    } else {
        beside.join(stem)
    };
    let (_, names) = tests_in(&read(text).code);
    names.iter().flat_map(|n| [folder.join(format!("{n}.rs")), folder.join(n).join("mod.rs")]).collect()
}

#[test]
fn nothing_looks_up_from_below() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    sources(&root, &mut paths);
    let texts: Vec<(PathBuf, String)> =
        paths.into_iter().map(|p| (p.clone(), fs::read_to_string(p).unwrap())).collect();
    let skip: BTreeSet<PathBuf> = texts.iter().flat_map(|(p, text)| test_files(p, text)).collect();

    let mut sees = BTreeMap::new();
    let mut found = Vec::new();
    for (path, text) in texts.iter().filter(|(path, _)| !skip.contains(path)) {
        let file = path.strip_prefix(&root).unwrap().components();
        let file = file.map(|c| c.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
        found.extend(breaches(&file, text, &mut sees));
    }
    found.extend(rings(&sees));
    assert!(found.is_empty(), "{} breaches of direction:\n{}", found.len(), found.join("\n"));
    assert!(sees.len() > 3, "the reader found next to no paths: {sees:?}");
}

#[test]
fn every_row_of_the_table_is_a_module() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for name in ROWS.iter().copied().flatten().chain(&SEE_ALL) {
        let there = root.join(format!("{name}.rs")).exists() || root.join(name).join("mod.rs").exists();
        assert!(there, "`{name}` is in the table but not in src");
    }
}

fn told(file: &str, text: &str) -> Vec<String> {
    breaches(file, text, &mut BTreeMap::new())
}

#[test]
fn a_breach_is_found_wherever_it_hides() {
    let cases = [
        ("hydraulics/beds.rs", "use crate::assess::assessment::Leak;\n", "`hydraulics` sees `assess`"),
        (
            "hydraulics/beds.rs",
            "use crate::{\n    simd::Real,\n    compare::{shapley, rank},\n};\n",
            "sees `compare`",
        ),
        ("hydraulics/beds.rs", "use super::super::clogging;\n", "sees `clogging`"),
        ("hydraulics/mod.rs", "use super::clogging;\n", "sees `clogging`"),
        ("clogging.rs", "use super::assess;\n", "sees `assess`"),
        ("units.rs", "fn f() -> crate::model::pump::Pump { todo() }\n", "sees `model`"),
        ("measures.rs", "use crate::model::medium::Role;\n", "nothing above `units`"),
        ("ui/view.rs", "use crate::hydraulics::water;\n", "no physics"),
        ("report/json.rs", "use crate::app::state;\n", "stands above"),
        ("app/update.rs", "use crate::terminal::write;\n", "nothing but the door"),
        ("model/tray.rs", "use crate::newcomer::X;\n", "no row"),
        ("newcomer.rs", "fn f() {}\n", "no row"),
        ("model/tray.rs", "use serde::Deserialize;\n", "`serde` in the core"),
        ("compare/rank.rs", "fn f() { println!(\"x\"); }\n", "`println` in the core"),
        ("uv.rs", "use std::{fmt, time::Instant};\n", "`std::time` in the core"),
        ("uv.rs", "fn f() { let _ = ::std::env::args(); }\n", "`std::env` in the core"),
        ("app/state.rs", "fn f() { let _ = std::fs::read(\"x\"); }\n", "`std::fs` outside"),
        ("library.rs", "use std::fs;\n", "`std::fs` outside"),
        ("report/html.rs", "fn f() { let _ = File::open(\"x\"); }\n", "a file is opened"),
        ("report/text.rs", "const RED: &str = \"\\x1b[31m\";\n", "an escape"),
        ("ui/theme.rs", "const ESC: u8 = 0x1B;\n", "an escape"),
        ("ui/theme.rs", "const ESC: char = '\\u{1B}';\n", "an escape"),
        ("ui/theme.rs", "const ESC: &str = \"\\u{001b}[0m\";\n", "an escape"),
        ("ui/theme.rs", "const ESC: &[u8] = b\"\\x1B[0m\";\n", "an escape"),
    ];
    for (file, text, says) in cases {
        let found = told(file, text);
        assert!(
            found.iter().any(|line| line.contains(says)),
            "{file}: {text:?} gave {found:?}, not {says:?}"
        );
    }
    let at = told("model/tray.rs", "/* two\nlines */\nconst A: &str = \"a\nb\";\nuse crate::assess;\n");
    assert!(at[0].starts_with("src/model/tray.rs:5:"), "{at:?}");
    // After a character, a lifetime and a raw string the reader is still in step.
    let text = "fn f<'a>(x: &'a str) -> char { let _ = r#\"a \" b\"#; '\"' }\nuse crate::assess;\n";
    assert_eq!(told("model/tray.rs", text).len(), 1);
}

#[test]
fn what_is_allowed_passes() {
    let cases = [
        ("assess/mod.rs", "use crate::measures::Measure;\nuse crate::{clogging, hydraulics::network};\n"),
        ("assumptions.rs", "use crate::uncertainty::key::Key;\n"),
        ("hydraulics/beds.rs", "use super::Loss;\nuse super::super::simd::Real;\npub(crate) fn f() {}\n"),
        ("report/json.rs", "use crate::profile::Broken;\nuse crate::compare::rank;\n"),
        ("units.rs", "pub struct A;\nmod inner {\n    use super::A;\n}\n"),
        ("cli/args.rs", "use crate::{terminal, ui, hydraulics};\nfn f() { println!(\"x\"); }\n"),
        ("profile/store.rs", "use std::fs::File;\nfn f() { let _ = File::open(\"x\"); }\n"),
        ("terminal.rs", "const HOME: &str = \"\\x1b[H\";\n"),
        (
            "model/tray.rs",
            "// use crate::assess;\n/* crate::ui \\x1b */\nconst S: &str = \"crate::assess println!\";\n",
        ),
        (
            "model/tray.rs",
            "fn f() {}\n#[cfg(test)]\nmod tests {\n    use crate::assess;\n    fn g() { println!(\"\\x1b\"); }\n}\n",
        ),
        ("model/tray.rs", "#[cfg(test)]\nuse crate::assess;\nfn operands() {}\n"),
    ];
    for (file, text) in cases {
        assert_eq!(told(file, text), Vec::<String>::new(), "{file}: {text}");
    }
    assert_eq!(told("model/tray.rs", "#[cfg(test)]\nmod tests { }\nuse crate::assess;\n").len(), 1);
}

#[test]
fn a_test_module_in_a_file_of_its_own_is_left_out() {
    let text = "#[cfg(test)]\nmod samples;\nmod real;\n";
    let files = test_files(Path::new("src/report/mod.rs"), text);
    assert!(files.contains(&PathBuf::from("src/report/samples.rs")), "{files:?}");
    assert!(!files.contains(&PathBuf::from("src/report/real.rs")));
    let files = test_files(Path::new("src/propose.rs"), text);
    assert!(files.contains(&PathBuf::from("src/propose/samples.rs")), "{files:?}");
}

#[test]
fn neighbours_may_not_lean_on_each_other_in_a_ring() {
    let mut sees = BTreeMap::new();
    breaches("media_order.rs", "use crate::space;\n", &mut sees);
    breaches("space.rs", "use crate::cost;\n", &mut sees);
    assert!(rings(&sees).is_empty());
    breaches("cost.rs", "use crate::media_order;\n", &mut sees);
    assert_eq!(rings(&sees).len(), 3);

    let mut sees = BTreeMap::new();
    breaches("assumptions.rs", "use crate::uncertainty;\n", &mut sees);
    breaches("uncertainty/mod.rs", "use crate::assumptions;\n", &mut sees);
    assert!(rings(&sees).is_empty(), "these two may see each other");
}
