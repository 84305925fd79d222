//! The README keeps its word: its commands run, print what stands below them, its files load, and its pictures are
//! what the program draws now.

use std::fs;
use std::path::Path;

use crate::binary::run;

/// With the page of files by example, which its commands and files stand beside.
const README: &str = concat!(include_str!("../../README.md"), "\n", include_str!("../../docs/files.md"));

/// The demo, in a folder that commands may write to.
fn desk() -> tempfile::TempDir {
    fn copy(from: &Path, to: &Path) {
        fs::create_dir_all(to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            let to = to.join(path.file_name().unwrap());
            if path.is_dir() { copy(&path, &to) } else { fs::copy(&path, &to).map(|_| ()).unwrap() }
        }
    }
    let desk = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data"), &desk.path().join("demo-data"));
    desk
}

/// The fenced blocks of a language.
fn blocks(language: &str) -> Vec<&'static str> {
    let open = format!("```{language}\n");
    README.split(open.as_str()).skip(1).map(|rest| rest.split("```").next().unwrap()).collect()
}

/// Words apart by spaces, what stands in quotes being one.
fn words(line: &str) -> Vec<String> {
    line.split('"')
        .enumerate()
        .flat_map(|(i, part)| {
            if i % 2 == 1 {
                vec![part.to_owned()]
            } else {
                part.split_whitespace().map(str::to_owned).collect()
            }
        })
        .collect()
}

#[test]
fn commands_run_and_print_what_is_shown() {
    let desk = desk();
    let mut ran = 0;
    for block in blocks("console") {
        let mut commands: Vec<(&str, Vec<&str>)> = Vec::new();
        for line in block.lines() {
            match line.strip_prefix("$ cansift ") {
                Some(command) => commands.push((command, Vec::new())),
                None => commands.last_mut().expect("a command first").1.push(line),
            }
        }
        for (command, shown) in commands {
            let output = run(desk.path(), &words(command));
            let told = String::from_utf8(output.stdout).unwrap();
            let said = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(0), "{command}: {said}");
            let told: Vec<&str> = told.lines().map(str::trim_end).collect();
            let mut from = 0;
            for run in shown.split(|line| *line == "...").filter(|run| !run.is_empty()) {
                let at = told.get(from..).unwrap().windows(run.len()).position(|lines| lines == run);
                from += at.unwrap_or_else(|| panic!("{command}: not printed now: {run:#?} in {told:#?}"));
                from += run.len();
            }
            ran += 1;
        }
    }
    assert!(ran > 15, "{ran}");
}

#[test]
fn its_files_load() {
    let folder = tempfile::tempdir().unwrap();
    let mut kinds = Vec::new();
    for (i, block) in blocks("ron").into_iter().enumerate() {
        let kind = block.split('(').next().unwrap();
        kinds.push(kind);
        let text = match kind {
            "Medium" => format!("[\n{block}]\n"),
            _ => block.to_owned(),
        };
        let name = format!("{i}.ron");
        fs::write(folder.path().join(&name), text).unwrap();
        let output = run(folder.path(), &["check", &name]);
        assert_eq!(output.status.code(), Some(0), "{kind}: {}", String::from_utf8_lossy(&output.stdout));
    }
    assert_eq!(kinds, ["Filter", "Filter", "Tank", "Medium"]);
}

#[test]
fn its_pictures_are_what_the_program_draws_now() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let desk = desk();
    let mut shown: Vec<&str> = README
        .split("](demo-data/pictures/")
        .skip(1)
        .map(|rest| rest.split(".svg)").next().unwrap())
        .collect();
    let mut kept: Vec<String> = fs::read_dir(root.join("demo-data/pictures"))
        .unwrap()
        .map(|e| e.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    shown.sort_unstable();
    kept.sort();
    assert_eq!(shown, kept, "every picture kept is shown, and none other");
    for name in shown {
        let (build, what) = name.strip_prefix("tamsin-").unwrap().rsplit_once('-').unwrap();
        let build = format!("demo-data/tamsin-1100.ron#{}", build.replace('-', " "));
        let to = format!("{name}.svg");
        let tank = "demo-data/tanks/reading-room.ron";
        let args = ["draw", &build, "--as-found", "--what", what, "--tank", tank, "--to", &to];
        let output = run(desk.path(), &args);
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        let (now, kept) = (desk.path().join(&to), root.join("demo-data/pictures").join(&to));
        assert!(
            fs::read(now).unwrap() == fs::read(kept).unwrap(),
            "{name} is no longer what the program draws: draw it again with `cansift {}`",
            args.join(" ")
        );
    }
}
