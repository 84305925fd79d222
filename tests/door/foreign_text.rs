//! Text of strangers cannot drive the terminal: no foreign control character, escape sequence or mark of writing
//! direction comes out of any command or screen, whatever stands in names, notes, media, paths and arguments.
#![cfg(unix)]
#![allow(clippy::format_collect)]

use std::collections::BTreeSet;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::Write;
use std::os::unix::ffi::OsStrExt;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::binary;
use crate::session::Session;
use cansift::hidden::is_hidden;
use clap::CommandFactory;
use portable_pty::CommandBuilder;
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_cansift");
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");

/// ESC, a clipboard order (OSC 52), CR, BEL, backspace, C1, DEL, marks of direction, line separator, no joiner.
const FOUL: [&str; 12] = [
    "\u{1b}[31m",
    "\u{1b}]52;c;RVZJTA==\u{7}",
    "\r",
    "\u{7}",
    "\u{8}",
    "\u{9b}2J",
    "\u{85}",
    "\u{7f}",
    "\u{202e}",
    "\u{2066}",
    "\u{2028}",
    "\u{200f}",
];

fn all() -> String {
    FOUL.concat()
}

/// The same as escapes of the file format, which a text may hold.
fn spelt(text: &str) -> String {
    text.chars().map(|c| format!("\\u{{{:x}}}", c as u32)).collect()
}

/// A folder of profiles and a tank in which every text that a stranger writes is foul, spelt out and raw, one at a
/// time and all at once; some files are refused for it, and that has to be said in clean words, too.
struct Place {
    folder: TempDir,
    files: Vec<PathBuf>,
    tank: PathBuf,
    /// Own keys with foul names and keys.
    keys: PathBuf,
}

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let text = fs::read_to_string(format!("{DEMO}/tamsin-1100.ron")).unwrap();
        let medium = fs::read_to_string("tests/good_input/medium.ron").unwrap();
        let mut files = Vec::new();
        let mut put = |name: &[u8], text: &str| {
            let path = folder.path().join(OsStr::from_bytes(name));
            fs::write(&path, text).unwrap();
            files.push(path);
        };
        // Sound profiles with foul file names; a build's name with what a profile may hold.
        let file_name: Vec<u8> = format!("ev{}il.ron", all().replace('/', "")).into_bytes();
        put(&file_name, &text);
        put(b"not\xff\xfe\x9butf8.ron", &text);
        put(b"two\nlines.ron", &text);
        for (i, foul) in FOUL.into_iter().chain([all().as_str()]).enumerate() {
            for (how, foul) in [("raw", foul.to_owned()), ("spelt", spelt(foul))] {
                let with = |from: &str| text.replacen(from, &format!("{from}{foul}"), 1);
                put(format!("name-{how}-{i}.ron").as_bytes(), &with("name: \"Tamsin"));
                put(format!("notes-{how}-{i}.ron").as_bytes(), &with("notes: \""));
                put(format!("field-{how}-{i}.ron").as_bytes(), &with("hose: Hose("));
                put(
                    format!("media-{how}-{i}.ron").as_bytes(),
                    &medium.replacen("name: \"", &format!("name: \"{foul}"), 1),
                );
            }
        }
        let tank = folder.path().join(format!("tank{}.ron", all()));
        fs::copy(format!("{DEMO}/tanks/reading-room.ron"), &tank).unwrap();
        let keys = folder.path().join("own keys");
        let (raw, spelt) = (all(), spelt(&all()));
        let line = |name: &str, key: &str| format!("(\"{name}\", [\"{key}\"])");
        let lines = [line(&format!("mark{raw}"), "v"), line(&spelt, "v"), line("sort", &spelt)];
        fs::write(&keys, format!("[{}]", lines.join(", "))).unwrap();
        Self { folder, files, tank, keys }
    }

    fn run(&self, args: &[OsString]) -> std::process::Output {
        let folder = self.folder.path();
        binary::command(folder, args).env("HOME", folder.join("home")).output().unwrap()
    }
}

fn tame(bytes: &[u8], of: &[OsString]) {
    let text = std::str::from_utf8(bytes).unwrap_or_else(|_| panic!("not UTF-8 from {of:?}"));
    let wild = text.char_indices().find(|(_, c)| *c != '\n' && is_hidden(*c));
    if let Some((at, c)) = wild {
        let before: String =
            text[..at].chars().rev().take(60).collect::<Vec<_>>().into_iter().rev().collect();
        panic!("{c:?} after {before:?} from {of:?}");
    }
}

fn w(of: &[&str]) -> Vec<OsString> {
    of.iter().map(OsString::from).collect()
}

fn with(mut a: Vec<OsString>, b: &[&OsStr]) -> Vec<OsString> {
    a.extend(b.iter().map(|word| (*word).to_owned()));
    a
}

/// What every command is asked, over the foul folder and its single files.
fn asked(place: &Place) -> Vec<Vec<OsString>> {
    let (dot, none) = (OsStr::new("."), OsString::from(all()));
    let tank: [&OsStr; 4] = ["--tank".as_ref(), place.tank.as_ref(), "--samples".as_ref(), "8".as_ref()];
    let build = {
        let mut path = place.files[0].clone().into_os_string();
        path.push("#as bought");
        path
    };
    let other = {
        let mut path = place.files[2].clone().into_os_string();
        path.push("#restacked");
        path
    };
    let mut all = Vec::new();
    for format in ["text", "markdown", "bbcode", "csv", "json"] {
        all.push(with(with(w(&["table", "--format", format]), &[dot]), &tank));
        all.push(with(with(w(&["rank", "--format", format]), &[dot]), &tank));
        if !matches!(format, "csv" | "json") {
            all.push(with(with(w(&["answer", "--format", format]), &[dot]), &tank));
        }
        if format != "csv" {
            all.push(with(with(w(&["compare", "--format", format]), &[&build, &other]), &tank));
        }
    }
    for picture in ["section", "curve", "timeline", "budget"] {
        all.push(with(with(w(&["draw", "--what", picture, "--to", "-"]), &[&build]), &tank));
    }
    all.push(with(w(&["check"]), &[dot]));
    all.push(with(
        with(w(&["wear", "--bucket", "10", "--seconds", "60"]), &[place.files[0].as_ref()]),
        &tank,
    ));
    all.push(with(with(w(&["restack"]), &[&build]), &tank));
    let mut saved = OsString::from("saved");
    saved.push(&none);
    all.push(with(with(w(&["restack", "--save"]), &[&saved, &build]), &tank));
    for measure in cansift::measures::Measure::ALL {
        all.push(with(with(w(&["explain"]), &[&build, measure.key().as_ref()]), &tank));
    }
    all.push(with(with(w(&["suits"]), &[&build]), &tank));
    all.push(with(with(w(&["log"]), &[&build]), &tank));
    all.push(with(with(w(&["next"]), &[dot]), &tank));
    let mut to = OsString::from("page");
    to.push(&none);
    all.push(with(with(w(&["report", "--to"]), &[&to, dot]), &tank));
    for alone in [&["media"][..], &["fields"], &["sources"], &["man"], &["completions", "bash"]] {
        all.push(w(alone));
    }
    let mut new = OsString::from("new");
    new.push(&none);
    all.push(with(w(&["new"]), &[&new]));
    all.push(with(w(&["sheet", "--to", "-"]), &[&build]));
    let csv = place.files[0].with_file_name("shop.csv");
    let foul = super_csv();
    std::fs::write(&csv, foul).unwrap();
    let mut to = OsString::from("imported");
    to.push(&none);
    all.push(with(w(&["import", "--to"]), &[&to, csv.as_ref()]));
    // Own keys, told line by line where they are wrong.
    all.push(with(w(&["keys"]), &["--keys".as_ref(), place.keys.as_ref()]));
    all.push(w(&["keys"]));
    for command in commands() {
        all.push(w(&["help", &command]));
    }
    all.push(with(Vec::new(), &[dot, "--samples".as_ref(), "8".as_ref()]));
    all
}

/// A spreadsheet with foreign text in its heads and cells.
fn super_csv() -> String {
    let foul = all().replace(['"', '\n', '\r'], "");
    format!("Model,Flow (l/h),\"{foul}\",Price\n\"{foul}\",900,\"{foul}\",\"{foul}\"\n")
}

/// Every command of the program, from the very table that its help is printed from.
fn commands() -> Vec<String> {
    let mut args = cansift::cli::args::Args::command();
    args.build();
    args.get_subcommands().map(|command| command.get_name().to_owned()).collect()
}

/// Foul arguments, in every place of every command that takes a word.
fn foully_asked(place: &Place) -> Vec<Vec<OsString>> {
    let (none, mut all) = (OsString::from(all()), Vec::new());
    let mut build = place.files[0].clone().into_os_string();
    build.push("#as bought");
    for command in cansift::cli::args::Args::command().get_subcommands() {
        let name = command.get_name();
        all.push(with(w(&[name]), &[&none]));
        all.push(with(w(&[name]), &[&none, &none]));
        for option in command.get_opts().filter_map(clap::Arg::get_long) {
            let long = OsString::from(format!("--{option}"));
            all.push(with(w(&[name]), &[&long, &none, &build]));
        }
    }
    all.push(with(Vec::new(), &[&none]));
    let mut wrong = OsString::from("--");
    wrong.push(&none);
    all.push(vec![wrong]);
    all
}

#[test]
fn nothing_foreign_comes_out_of_any_command() {
    let place = Place::new();
    // A command that got nowhere over the foul files has shown nothing of them.
    let mut answered = BTreeSet::new();
    for args in asked(&place) {
        let output = place.run(&args);
        let code = output.status.code();
        assert!(code.is_some_and(|code| code < 2), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
        answered.extend(args.first().and_then(|first| first.to_str()).map(str::to_owned));
        tame(&output.stdout, &args);
        tame(&output.stderr, &args);
    }
    for command in commands() {
        assert!(answered.contains(&command), "{command} is not asked");
    }
    for args in foully_asked(&place) {
        let output = place.run(&args);
        assert!(output.status.code().is_some_and(|code| code < 4), "{args:?}: {:?}", output.status);
        tame(&output.stdout, &args);
        tame(&output.stderr, &args);
    }
    // What was saved for others holds none either.
    let mut read = 0;
    let folders = fs::read_dir(place.folder.path()).unwrap().map(|e| e.unwrap().path());
    let (folders, files): (Vec<_>, Vec<_>) = folders.partition(|p| p.is_dir());
    let inside = folders.iter().flat_map(|f| fs::read_dir(f).unwrap().map(|e| e.unwrap().path()));
    let sheet = place.files[0].with_file_name("shop.csv");
    let ours = |p: &PathBuf| !place.files.contains(p) && ![&place.tank, &place.keys, &sheet].contains(&p);
    // A spreadsheet is packed; it holds the texts of the CSV beside it, to which tests of the formats hold it.
    let packed = |p: &PathBuf| p.extension().is_some_and(|e| e == "xlsx");
    for path in files.into_iter().filter(ours).chain(inside).filter(|p| !packed(p)) {
        tame(&fs::read(&path).unwrap(), &[path.into_os_string()]);
        read += 1;
    }
    assert!(read >= 5, "{read} saved files");
}

/// The dialogue of lines says names as well, its own commands too where they are not understood.
#[test]
fn nothing_foreign_comes_out_of_the_dialogue() {
    let place = Place::new();
    let mut command = Command::new(PROGRAM);
    command.args(["--plain", ".", "--samples", "8", "--tank"]).arg(&place.tank);
    command.env_clear().env("HOME", place.folder.path().join("home")).current_dir(place.folder.path());
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let wrong = all().replace('\n', "");
    let commands = format!(
        "show 1\nsection 1\ncurve 1\nweeks 1\nhead 1\nstaging 1\ndiff 1 2\nrank\nexplain 1 flow\nbroken\n\
         where\n{wrong}\nnarrow {wrong}\nlist\nhelp {wrong}\nquit\n"
    );
    child.stdin.take().unwrap().write_all(commands.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(said.contains("A is "), "{said}");
    tame(&output.stdout, &w(&["--plain"]));
    tame(&output.stderr, &w(&["--plain"]));
}

/// On the screens the program writes escapes of its own; none of the stranger's is among them.
#[test]
fn nothing_foreign_comes_out_of_the_screens() {
    let place = Place::new();
    let mut command = CommandBuilder::new(PROGRAM);
    command.arg(".");
    command.arg("--tank");
    command.arg(&place.tank);
    command.args(["--samples", "8"]);
    command.cwd(place.folder.path());
    command.env("HOME", place.folder.path().join("home"));
    let mut s = Session::start(command);
    s.until("Tamsin 1100");
    for screen in 1..=cansift::app::tabs::Tab::ALL.len() {
        for keys in ["\u{1b}", &screen.to_string(), "p", "p", "\u{1b}[F", "e", "\u{1b}", "?", "\u{1b}", " j "]
        {
            s.press(keys);
            std::thread::sleep(std::time::Duration::from_millis(30));
        }
    }
    s.press("\u{1b}1y");
    s.until("clipboard");
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    s.until_gone("Tamsin");
    let bytes = s.screen.lock().unwrap().1.clone();
    assert!(!s.sent("\u{1b}]52;c;RVZJTA"), "the clipboard's order got through");
    let text = String::from_utf8_lossy(&bytes);
    // Every escape sequence of our own starts with one of these; BEL and ST end the copy.
    let foreign = |c: char| is_hidden(c) && !matches!(c, '\u{1b}' | '\n' | '\r');
    let wild: Vec<char> = text.chars().filter(|c| foreign(*c)).collect();
    assert!(wild.iter().all(|c| *c == '\u{7}') && wild.len() <= 1, "{wild:?}");
    for start in text.split('\u{1b}').skip(1) {
        assert!(
            start.starts_with(['[', ']', '\\', '(', '=', '>', '7', '8', 'M']),
            "ESC {:?}",
            start.get(..5)
        );
    }
    assert!(!text.contains("\u{1b}[31m") || !text.contains("\u{1b}[31mil"), "a colour of the file's name");
}
