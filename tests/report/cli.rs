//! The real binary, from the outside: what it prints, where, and with which exit status.

// The lint's leave for tests covers only what stands inside a test function.
// Figures are compared as written: the same digits on both sides.

use crate::binary;
use crate::schema;
mod with_files;

use std::path::Path;
use std::process::{Command, Output};

use cansift::measures::Measure;
use cansift::model::filter::Bucket;
use serde_json::Value;

/// In `tests/cli`.
fn cansift(args: &[&str]) -> Output {
    command(args).output().expect("the binary runs")
}

fn command(args: &[&str]) -> Command {
    binary::command(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cli"), args)
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("standard output is UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("standard error is UTF-8")
}

fn status(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {}", err(output)))
}

/// Nothing on either stream may drive a terminal.
fn assert_tame(output: &Output) {
    for text in [out(output), err(output)] {
        let wild: Vec<char> = text.chars().filter(|&c| c != '\n' && cansift::hidden::is_hidden(c)).collect();
        assert!(wild.is_empty(), "{wild:?} in {text}");
    }
}

/// What needs no file.
mod on_its_own {
    use super::*;

    #[test]
    fn wrong_usage_is_2_and_said_on_standard_error() {
        for args in [
            &["--nonsense"][..],
            &["explain"],
            &["diff", "a.ron"],
            &["table", "--sort", "nonsense"],
            &["table", "--columns", "flow,"],
            &["table", "--format", "pdf"],
            &["table", "--samples", "-1"],
            &["table", "--threads", "0"],
            &["check"],
            &["completions", "tcl"],
            &["some/path", "table"],
            &["--seed", "3", "table"],
            &["media", "no-such-medium-at-all"],
        ] {
            let output = cansift(args);
            assert_eq!(status(&output), 2, "{args:?}: {}", err(&output));
            assert!(out(&output).is_empty() && !err(&output).is_empty(), "{args:?}");
            assert_tame(&output);
        }
    }

    /// A figure is held to the bounds of the field that would hold it in a file.
    #[test]
    fn arguments_obey_the_bounds_of_the_fields() {
        let filter = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/tamsin-1100.ron");
        let usual =
            [("--bucket", "10"), ("--seconds", "62"), ("--intake", "1"), ("--return", "1"), ("--bends", "2")];
        let rows = [Bucket::volume, Bucket::time, Bucket::intake, Bucket::return_side, Bucket::bends];
        for (i, row) in rows.into_iter().enumerate() {
            let with = |number: String| {
                let mut args =
                    vec!["wear".to_owned(), filter.to_owned(), "--samples".to_owned(), "0".to_owned()];
                for (j, (name, other)) in usual.into_iter().enumerate() {
                    args.push(format!("{name}={}", if i == j { &number } else { other }));
                }
                let args: Vec<&str> = args.iter().map(String::as_str).collect();
                let output = cansift(&args);
                (status(&output), err(&output))
            };
            for number in [row.low, row.high] {
                assert_eq!(with(number.to_string()).0, 0, "{} {number}", row.words);
            }
            for wrong in [row.low - 1e-6, row.high * 1.000_001, -row.high, f64::MAX, f64::NAN, f64::INFINITY]
            {
                let (status, told) = with(format!("{wrong:?}"));
                assert_eq!(status, 2, "{} {wrong}: {told}", row.words);
                assert!(
                    told.contains(&format!("expected {} to {}", row.low, row.high)) && told.len() < 600,
                    "{told}"
                );
            }
            assert_eq!(with("x".into()).0, 2);
        }
    }

    #[test]
    fn nothing_usable_is_3() {
        for args in [
            &["table", "no/such/file.ron"][..],
            &["no/such/file.ron"],
            &["explain", "no/such/file.ron", "flow"],
            &["check", "no/such/folder/at/all"],
            &["table", "--tank", "no/such/tank.ron"],
        ] {
            let output = cansift(args);
            assert_eq!(status(&output), 3, "{args:?}: {}", err(&output));
            assert!(!err(&output).is_empty() || args[0] == "check");
        }
    }

    #[test]
    fn help_teaches_by_example() {
        let names = [
            "table",
            "diff",
            "rank",
            "wear",
            "answer",
            "draw",
            "report",
            "restack",
            "explain",
            "check",
            "new",
            "media",
            "sources",
            "completions",
            "man",
        ];
        for name in names {
            let output = cansift(&[name, "--help"]);
            assert_eq!(status(&output), 0);
            assert!(name == "sources" || out(&output).contains("Example"), "{name}");
        }
        let overview = out(&cansift(&["--help"]));
        for said in ["Exit status", "Unplug", "UV-C", "static head", "Examples"] {
            assert!(overview.contains(said), "{said}");
        }
        let table = out(&cansift(&["table", "--help"]));
        for measure in Measure::ALL {
            assert!(table.contains(measure.key()), "{}", measure.key());
        }
    }

    #[test]
    fn a_slip_of_the_finger_is_understood() {
        let said = err(&cansift(&["table", "--sort", "-filtered_flwo"]));
        assert!(said.contains("did you mean `filtered_flow`?"), "{said}");
        let said = err(&cansift(&["table", "--columns", "bypass,nitrat"]));
        assert!(said.contains("did you mean `nitrate`?"), "{said}");
        let said = err(&cansift(&["tabel"]));
        assert!(said.contains("did you mean the command `cansift table`?"), "{said}");
    }

    #[test]
    fn a_closed_pipe_is_no_error() {
        for args in [&["sources"][..], &["--help"], &["man"], &["completions", "bash"]] {
            let (reader, writer) = std::io::pipe().unwrap();
            drop(reader);
            let output = command(args).stdout(writer).output().unwrap();
            assert_eq!(status(&output), 0, "{args:?}");
            assert_eq!(err(&output), "", "{args:?}");
        }
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_full_disk_is_told() {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = command(&["sources"]).stdout(full).output().unwrap();
        assert_eq!(status(&output), 3);
        assert!(err(&output).contains("could not be written"));
    }

    #[test]
    fn hostile_arguments_come_back_tame() {
        for args in [
            &["--\u{1b}[2J\u{7}"][..],
            &["table", "\u{1b}]52;c;eA==\u{7}\u{9b}\u{202e}.ron"],
            &["table", "--sort", "\u{1b}[31m"],
            &["explain", "\u{1b}[31m.ron", "flow"],
            &["media", "\u{202e}\r"],
            &["check", "\u{1b}[31m"],
            &["table", "--tank", "\u{1b}[31m"],
        ] {
            let output = cansift(args);
            assert_ne!(status(&output), 0, "{args:?}");
            assert_tame(&output);
        }
    }

    #[test]
    fn sources_tell_constants_cautions_and_gaps() {
        let output = cansift(&["sources"]);
        assert_eq!(status(&output), 0);
        let text = out(&output);
        let told = constants(&text);
        for entry in &cansift::assumptions::TABLE {
            let whole = |(what, source): &(String, String)| what == entry.what && source == entry.source;
            assert!(told.iter().any(whole), "{}", entry.key);
        }
        assert!(text.lines().all(|line| line.chars().count() <= 100), "into a pipe it is 100 columns");
        for head in ["Published", "Common practice, no source", "Our own choice", "Cautions", "leaves out"] {
            assert!(text.contains(head), "{head}");
        }
        assert!(out(&cansift(&["sources", "--ascii"])).is_ascii());
        assert!(out(&cansift(&["--ascii", "sources"])).is_ascii(), "before the command as well");
    }

    /// What each constant is called and where it comes from, put together again from the lines of their cells.
    fn constants(text: &str) -> Vec<(String, String)> {
        let mut out: Vec<(String, String)> = Vec::new();
        let mut head = None;
        for line in text.lines() {
            let starts = |word: &str| Some(line[..line.find(word)?].chars().count());
            if line.starts_with("constant ") {
                head = starts("value").zip(starts("source"));
                continue;
            }
            let Some((value, source)) = head.filter(|_| !line.is_empty()) else {
                head = None;
                continue;
            };
            let letters: Vec<char> = line.chars().collect();
            let what = line.split("  ").next().unwrap();
            let from: String = letters.iter().skip(source).collect();
            // Every constant has a value; a line without one goes on with the constant before.
            if letters.get(value + 4).is_some_and(|c| *c != ' ') {
                out.push((what.to_owned(), from.trim().to_owned()));
            } else if let Some((last, all)) = out.last_mut() {
                for (cell, more) in [(last, what), (all, from.trim())] {
                    cell.push_str(if more.is_empty() { "" } else { " " });
                    cell.push_str(more);
                }
            }
        }
        out
    }

    #[test]
    fn a_new_profile_is_never_written_over_an_old_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.ron");
        let name = path.to_str().unwrap();
        let first = cansift(&["new", name, "--trays", "4"]);
        assert_eq!(status(&first), 0, "{}", err(&first));
        let text = std::fs::read_to_string(&path).unwrap();
        let again = cansift(&["new", name]);
        assert_eq!(status(&again), 2);
        assert!(err(&again).contains("already"));
        assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        assert_eq!(out(&cansift(&["new", "-", "--trays", "4", "--name", "mine"])), text);
        let lost = cansift(&["new", folder.path().join("none/x.ron").to_str().unwrap()]);
        assert_eq!(status(&lost), 3);
    }

    #[test]
    fn shells_and_the_manual_get_their_pages() {
        for shell in ["bash", "fish", "zsh", "elvish", "powershell"] {
            let output = cansift(&["completions", shell]);
            assert_eq!(status(&output), 0);
            assert!(out(&output).contains("filtered_flow") || out(&output).contains("columns"), "{shell}");
        }
        let builds = out(&cansift(&["completions", "--builds", "tamsin-1100.ron"]));
        assert_eq!(builds, "tamsin-1100.ron#as bought\ntamsin-1100.ron#restacked\n");
        assert_eq!(status(&cansift(&["completions"])), 2);
        let page = out(&cansift(&["man"]));
        assert!(page.contains(".TH") && page.contains(".SH") && page.contains("Unplug"));
    }

    /// Behind `FILE#` bash is told the builds of the file, by the program itself.
    #[test]
    #[cfg(unix)]
    fn bash_completes_the_build_of_a_file() {
        let folder = tempfile::tempdir().unwrap();
        let script = folder.path().join("cansift.bash");
        std::fs::write(&script, out(&cansift(&["completions", "bash"]))).unwrap();
        let asked = |word: &str| {
            let run = format!(
                "cansift() {{ '{}' \"$@\"; }}; . '{}'; COMP_WORDS=(cansift explain '{word}'); COMP_CWORD=2; \
                 _cansift_builds cansift '{word}' explain; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
                env!("CARGO_BIN_EXE_cansift"),
                script.display()
            );
            match std::process::Command::new("bash").args(["-c", &run]).current_dir(binary::ROOT).output() {
                Ok(output) => Some(out(&output)),
                Err(why) => {
                    crate::skip::skipped("bash", &why.to_string());
                    None
                }
            }
        };
        let Some(said) = asked("demo-data/tamsin-1100.ron#re") else { return };
        assert_eq!(said, "demo-data/tamsin-1100.ron#restacked\n");
        let all = asked("demo-data/tamsin-1100.ron#").unwrap();
        assert_eq!(all, "demo-data/tamsin-1100.ron#as bought\ndemo-data/tamsin-1100.ron#restacked\n");
        assert!(asked("--ful").unwrap().is_empty() || !asked("rep").unwrap().contains('#'));
    }

    #[test]
    fn the_schema_catches_what_breaks_it() {
        let schema = schema::of("table");
        let good: Value = serde_json::from_str(
            r#"{"schema": 2, "program": "p", "samples": 0, "seed": 1, "tank": null, "broken": [], "builds": [
                {"file": "f", "filter": "n", "build": "b", "state": "as found", "known": {"measured": 0, "printed": 9, "guessed": 2, "assumed": 6}, "suits": [], "suits_limit": null,
                 "stages": ["coarse"], "head_budget": [], "leaks": [],
                 "order_faults": [], "measures": {
                    "flow": {"unit": "l/h", "value": 1.5, "median": null, "low": null, "high": null},
                    "fits_cabinet": {"unit": "yes/no", "value": true},
                    "uv_dose": {"unit": "mJ/cm2", "value": null, "why": "it has no UV chamber"}}}]}"#,
        )
        .unwrap();
        assert_eq!(schema::breaches(&schema, &good), Vec::<String>::new());
        for (path, value) in [
            ("/schema", "1"),
            ("/samples", "-1"),
            ("/tank", "7"),
            ("/builds/0/stages/0", "\"coarser\""),
            ("/builds/0/measures/flow/value", "\"NaN\""),
            ("/builds/0/measures/flow/value", "null"),
            ("/builds/0/measures/fits_cabinet/value", "1.0"),
            ("/builds/0/measures/uv_dose/why", "null"),
            ("/builds/0/leaks", "[{\"at\": \"tray 1 seal\"}]"),
            (
                "/broken",
                "[{\"file\": \"x\", \"problems\": [{\"line\": 1, \"message\": \"m\", \"help\": null}]}]",
            ),
        ] {
            let mut bad = good.clone();
            *bad.pointer_mut(path).unwrap() = serde_json::from_str(value).unwrap();
            assert!(!schema::breaches(&schema, &bad).is_empty(), "{path} as {value} must be refused");
        }
        let keys: Vec<&String> =
            schema.pointer("/$defs/Measures/properties").and_then(Value::as_object).unwrap().keys().collect();
        assert_eq!(keys.len(), Measure::ALL.len());
        assert!(Measure::ALL.iter().all(|m| keys.iter().any(|k| *k == m.key())));
    }
}

/// Proposals, printed and saved.
mod restacked {
    use super::*;

    const MEDIA: &str = "foam-10,foam-20,foam-30,floss,sintered-lump-12,ceramic-ring-12";

    #[test]
    fn the_worst_build_gets_a_better_one_and_a_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tamsin-restacked.ron");
        let name = path.to_str().unwrap();
        let plain = [
            "restack",
            "tamsin-1100.ron#as bought",
            "--tank",
            "reading-room.ron",
            "--with",
            MEDIA,
            "--samples",
            "16",
            "--top",
            "2",
        ];
        let args = [&plain[..], &["--save", name]].concat();
        let output = cansift(&args);
        assert_eq!(status(&output), 0, "{}", err(&output));
        assert_tame(&output);
        let text = out(&output);
        for said in
            ["Tamsin 1100 · as bought", "proposed 1", "gains:", "buy:", "Unplug", "tray 1", "difference"]
        {
            assert!(text.contains(said), "{said}\n{text}");
        }
        assert!(!text.contains("proposed 3"));
        let saved = std::fs::read_to_string(&path).unwrap();
        assert!(saved.starts_with("// Tamsin 1100, with stacks proposed"), "{saved}");
        let again = cansift(&args);
        assert_eq!(status(&again), 2, "a file that is there is never written over");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), saved);
        assert_eq!(status(&cansift(&["check", name])), 0);
        let table = cansift(&["table", name, "--tank", "tank.ron", "--samples", "0", "--format", "csv"]);
        assert_eq!(out(&table).lines().count(), 5, "{}", out(&table));
        // The same seed, the same bytes, whatever the threads.
        let one = cansift(&[&plain[..], &["--threads", "1"]].concat());
        assert_eq!(out(&one), text);
    }

    #[test]
    fn what_cannot_be_restacked_is_told() {
        for (args, wanted) in [
            (&["restack", "tamsin-1100.ron", "--tank", "reading-room.ron"][..], 2),
            (&["restack", "builds", "--with", "foam-20"], 2),
            (&["restack", "tamsin-1100.ron#as bought", "--with", "foam-21"], 2),
            (&["restack", "tamsin-1100.ron#as bought", "--with", "pumice-12"], 3),
            (&["restack", "tamsin-1100.ron#as bought", "--top", "0"], 2),
        ] {
            let output = cansift(args);
            assert_eq!(status(&output), wanted, "{args:?}: {}", err(&output));
            assert!(out(&output).is_empty() && !err(&output).is_empty());
        }
    }
}
