//! The real binary, from the outside: what it prints, where, and with which exit status.

mod schema;

use std::path::Path;
use std::process::{Command, Output};

use assert_cmd::cargo::CommandCargoExt;
use cansift::measures::Measure;
use cansift::report::escape;
use serde_json::Value;

/// Runs the binary in `tests/cli` with no home, so that nobody's own profiles get in.
fn cansift(args: &[&str]) -> Output {
    command(args).output().expect("the binary runs")
}

fn command(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("cansift").expect("the binary is built");
    command
        .args(args)
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cli"))
        .env("HOME", "/nonexistent")
        .env_remove("XDG_DATA_HOME")
        .env_remove("XDG_STATE_HOME");
    command
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
        let wild: Vec<char> = text.chars().filter(|&c| c != '\n' && escape::is_hidden(c)).collect();
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
            assert!(!err(&output).is_empty());
        }
    }

    #[test]
    fn help_teaches_by_example() {
        let names =
            ["table", "diff", "restack", "explain", "check", "new", "media", "sources", "completions", "man"];
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
        let said = err(&cansift(&["table", "--sort", "-worked_flwo"]));
        assert!(said.contains("did you mean `worked_flow`?"), "{said}");
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
        for entry in &cansift::assumptions::TABLE {
            assert!(text.contains(entry.what) && text.contains(entry.source), "{}", entry.key);
        }
        for head in ["Published", "Common practice, no source", "Our own choice", "Cautions", "leaves out"] {
            assert!(text.contains(head), "{head}");
        }
        assert!(out(&cansift(&["sources", "--ascii"])).is_ascii());
        assert!(out(&cansift(&["--ascii", "sources"])).is_ascii(), "before the command as well");
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
        assert_eq!(out(&cansift(&["new", "-", "--trays", "4"])), text);
        let lost = cansift(&["new", folder.path().join("none/x.ron").to_str().unwrap()]);
        assert_eq!(status(&lost), 3);
    }

    #[test]
    fn shells_and_the_manual_get_their_pages() {
        for shell in ["bash", "fish", "zsh", "elvish", "powershell"] {
            let output = cansift(&["completions", shell]);
            assert_eq!(status(&output), 0);
            assert!(out(&output).contains("worked_flow") || out(&output).contains("columns"), "{shell}");
        }
        let page = out(&cansift(&["man"]));
        assert!(page.contains(".TH") && page.contains(".SH") && page.contains("Unplug"));
    }

    #[test]
    fn the_schema_catches_what_breaks_it() {
        let schema = schema_1();
        let good: Value = serde_json::from_str(
            r#"{"schema": 1, "program": "p", "samples": 0, "seed": 1, "tank": null, "broken": [], "builds": [
                {"file": "f", "filter": "n", "build": "b", "stages": ["coarse"], "head_budget": [], "leaks": [],
                 "staging_faults": [], "measures": {
                    "flow": {"unit": "l/h", "value": 1.5, "low": null, "high": null},
                    "fits": {"unit": "yes/no", "value": true, "low": null, "high": null},
                    "uv_dose": {"unit": "mJ/cm2", "value": null, "why": "it has no UV chamber"}}}]}"#,
        )
        .unwrap();
        assert_eq!(schema::breaches(&schema, &good), Vec::<String>::new());
        for (path, value) in [
            ("/schema", "2"),
            ("/samples", "-1"),
            ("/tank", "7"),
            ("/builds/0/stages/0", "\"coarser\""),
            ("/builds/0/measures/flow/value", "\"NaN\""),
            ("/builds/0/measures/flow/value", "null"),
            ("/builds/0/measures/fits/value", "1.0"),
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
        let keys: Vec<&String> = schema
            .pointer("/$defs/build/properties/measures/properties")
            .and_then(Value::as_object)
            .unwrap()
            .keys()
            .collect();
        assert_eq!(keys.len(), Measure::ALL.len());
        assert!(Measure::ALL.iter().all(|m| keys.iter().any(|k| *k == m.key())));
    }
}

fn schema_1() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/table.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// What needs the reader, the library and the judge.
mod with_files {
    use super::*;

    fn table(args: &[&str]) -> Value {
        let mut all = vec!["table", "builds", "--format", "json"];
        all.extend(args);
        let output = cansift(&all);
        assert_eq!(status(&output), 0, "{}", err(&output));
        serde_json::from_slice(&output.stdout).unwrap()
    }

    fn column(table: &Value, key: &str) -> Vec<Option<f64>> {
        let builds = table["builds"].as_array().unwrap();
        builds.iter().map(|b| b["measures"][key]["value"].as_f64()).collect()
    }

    fn order(table: &Value) -> Vec<String> {
        let builds = table["builds"].as_array().unwrap();
        builds
            .iter()
            .map(|b| format!("{}#{}", b["file"].as_str().unwrap(), b["build"].as_str().unwrap()))
            .collect()
    }

    #[test]
    fn json_keeps_its_schema_with_and_without_a_tank() {
        for args in
            [&[][..], &["--tank", "tank.ron"], &["--samples", "0"], &["--tank", "tank.ron", "--samples", "0"]]
        {
            let json = table(args);
            assert_eq!(schema::breaches(&schema_1(), &json), Vec::<String>::new(), "{args:?}");
            assert_eq!(json["builds"].as_array().unwrap().len(), 4);
            for build in json["builds"].as_array().unwrap() {
                let measures = build["measures"].as_object().unwrap();
                assert_eq!(measures.len(), Measure::ALL.len());
                for measure in Measure::ALL {
                    assert_eq!(measures[measure.key()]["unit"], measure.row().unit.sign());
                }
            }
        }
        let json = table(&["--tank", "tank.ron", "--samples", "0"]);
        assert_eq!(json["tank"], "reading-room tank");
        assert_eq!(json["samples"], 0);
        let first = &json["builds"][0]["measures"];
        assert_eq!(first["flow"]["low"], Value::Null);
        assert_eq!(first["fits"]["value"], true);
        assert_eq!(first["uv_dose"]["why"], "the lamp is burnt out");
        assert_eq!(first["bypass_risk"]["value"], Value::Null);
        let strait = &json["builds"][3]["measures"];
        assert_eq!(strait["flow"]["why"], "the profile gives no pump curve");
        assert_eq!(table(&["--samples", "0"])["builds"][0]["measures"]["nitrate"]["why"], "no tank is given");
    }

    #[test]
    fn builds_stand_in_name_order_then_in_the_order_of_the_file() {
        let files: Vec<String> =
            order(&table(&[])).iter().map(|name| name.split_once('#').unwrap().0.to_owned()).collect();
        assert_eq!(files, ["1-harbour.ron", "1-harbour.ron", "2-quay.ron", "3-strait.ron"]);
        assert!(order(&table(&[]))[0].ends_with("as bought"));
        let turned = cansift(&["table", "builds/2-quay.ron", "builds/1-harbour.ron", "--format", "csv"]);
        assert!(
            out(&turned).lines().nth(1).unwrap().starts_with("2-quay.ron,"),
            "paths keep the order given"
        );
    }

    #[test]
    fn sorting_goes_by_value_and_what_cannot_be_told_stands_last() {
        for key in ["flow", "media", "bypass", "first_year"] {
            for down in [false, true] {
                let by = if down { format!("-{key}") } else { key.to_owned() };
                let values = column(&table(&["--tank", "tank.ron", "--sort", &by]), key);
                let told: Vec<f64> = values.iter().copied().flatten().collect();
                assert!(values.iter().take(told.len()).all(Option::is_some), "{by}: {values:?}");
                let rising = told.windows(2).all(|w| w[0] <= w[1]);
                let falling = told.windows(2).all(|w| w[0] >= w[1]);
                assert!(if down { falling } else { rising }, "{by}: {values:?}");
            }
        }
        let flows = column(&table(&["--sort", "flow"]), "flow");
        assert_eq!(flows.iter().filter(|v| v.is_some()).count(), 3, "one has no pump curve: {flows:?}");
        assert!(flows[3].is_none());
        assert!(flows[0] < flows[2], "figures differ, so the order says something: {flows:?}");
    }

    #[test]
    fn same_seed_same_bytes_whatever_the_threads() {
        let args =
            |threads| ["table", "builds", "--tank", "tank.ron", "--format", "json", "--threads", threads];
        let one = cansift(&args("1"));
        assert_eq!(status(&one), 0);
        for threads in ["2", "7"] {
            assert_eq!(out(&cansift(&args(threads))), out(&one));
        }
    }

    #[test]
    fn one_broken_file_hides_no_good_one() {
        let output = cansift(&["table", "builds", "broken", "--format", "json"]);
        assert_eq!(status(&output), 1, "{}", err(&output));
        let json: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(schema::breaches(&schema_1(), &json), Vec::<String>::new());
        assert_eq!(json["builds"].as_array().unwrap().len(), 4);
        let broken = &json["broken"][0];
        assert_eq!(broken["file"], "4-reef.ron");
        let lines: Vec<u64> =
            broken["problems"].as_array().unwrap().iter().map(|p| p["line"].as_u64().unwrap()).collect();
        assert!(lines.contains(&5) && lines.contains(&7), "all problems at once: {lines:?}");
        let told = err(&output);
        assert!(told.contains("4-reef.ron") && told.contains("hose"), "{told}");

        let text = cansift(&["table", "builds", "broken"]);
        assert_eq!(status(&text), 1);
        assert!(out(&text).contains("Harbour 900 · restacked") && !out(&text).contains("Reef"));

        let alone = cansift(&["table", "broken", "--format", "json"]);
        assert_eq!(status(&alone), 3, "nothing usable");
        let json: Value = serde_json::from_slice(&alone.stdout).unwrap();
        assert_eq!(json["broken"][0]["file"], "4-reef.ron", "but JSON still tells why");
        assert_eq!(status(&cansift(&["table", "broken"])), 3);
        assert_eq!(status(&cansift(&["table", "builds", "--tank", "broken/4-reef.ron"])), 3);
    }

    #[test]
    fn check_says_what_each_file_is() {
        let good = cansift(&["check", "builds", "tank.ron"]);
        assert_eq!(status(&good), 0, "{}{}", out(&good), err(&good));
        assert!(out(&good).contains("1-harbour.ron: filter with 2 builds"), "{}", out(&good));
        assert!(out(&good).contains("tank.ron: tank"), "{}", out(&good));
        let bad = cansift(&["check", "broken"]);
        assert_eq!(status(&bad), 1);
        assert!(out(&bad).contains("4-reef.ron:7") && out(&bad).contains("broken, "), "{}", out(&bad));
        assert!(err(&bad).is_empty());
    }

    #[test]
    fn a_name_cannot_mark_anything_up() {
        for format in ["text", "markdown", "bbcode", "csv", "json"] {
            let output = cansift(&["table", "builds", "--format", format]);
            assert_tame(&output);
            let text = out(&output);
            assert!(text.contains("Strait"), "{format}");
            match format {
                "markdown" => {
                    assert!(text.contains("=Strait\\|\\[b\\]") && text.contains("\\<i\\>"), "{text}")
                }
                "bbcode" => assert!(text.contains("=Strait|(b)"), "{text}"),
                "csv" => assert!(text.contains("'=Strait|[b]"), "{text}"),
                _ => {}
            }
        }
    }

    #[test]
    fn what_would_drive_a_terminal_is_told_but_never_sent() {
        let folder = tempfile::tempdir().unwrap();
        let good = std::fs::read_to_string(
            Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/builds/3-strait.ron"),
        )
        .unwrap();
        let raw = "\u{1b}]52;c;eA==\u{7}\u{9b}31m\u{202e}\r";
        for (file, from, to) in [
            ("1-name.ron", "=Strait", format!("x{raw}")),
            ("2-build.ron", "<i>", "\\u{1b}[2J\\u{202e}".to_owned()),
            ("3-field.ron", "way: rising", format!("way{raw}: rising")),
            ("4-comment.ron", "way: rising", format!("/* {raw} */ wya: rising")),
            ("5-medium.ron", "foam-20", format!("foam{raw}")),
        ] {
            std::fs::write(folder.path().join(file), good.replace(from, &to)).unwrap();
        }
        #[cfg(unix)]
        std::fs::write(folder.path().join("6-\u{1b}[31m\u{202e}.ron"), &good).unwrap();
        #[cfg(unix)]
        std::fs::write(folder.path().join("7-\u{1b}[31m\u{202e}.ron"), "Filter(").unwrap();
        let path = folder.path().to_str().unwrap();
        for format in ["text", "markdown", "bbcode", "csv", "json"] {
            assert_tame(&cansift(&["table", path, "--format", format]));
        }
        let check = cansift(&["check", path]);
        assert_eq!(status(&check), 1);
        assert_tame(&check);
        assert!(out(&check).contains("7-\\u{1b}[31m"), "{}", out(&check));
        for file in std::fs::read_dir(folder.path()).unwrap() {
            let file = file.unwrap().path();
            let name = file.to_str().unwrap();
            assert_tame(&cansift(&["explain", name, "media"]));
            assert_tame(&cansift(&["explain", &format!("{name}#\u{1b}[31m"), "media"]));
            assert_tame(&cansift(&["diff", name, "builds/2-quay.ron"]));
            assert_tame(&cansift(&["table", "builds", "--tank", name]));
        }
    }

    #[test]
    fn csv_has_a_column_a_measure_and_every_row_the_same_count() {
        let output = cansift(&["table", "builds", "--tank", "tank.ron", "--format", "csv", "--samples", "0"]);
        let text = out(&output);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let head: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let expected: Vec<String> = ["file", "filter", "build"]
            .into_iter()
            .chain(Measure::ALL.map(Measure::key))
            .map(str::to_owned)
            .collect();
        assert_eq!(head, expected);
        let json = table(&["--tank", "tank.ron", "--samples", "0"]);
        for (record, build) in reader.records().zip(json["builds"].as_array().unwrap()) {
            let record = record.unwrap();
            for (field, key) in record.iter().zip(&head).skip(3) {
                let value = &build["measures"][key]["value"];
                match value.as_f64() {
                    Some(x) => assert_eq!(field.parse::<f64>().unwrap(), x, "{key}"),
                    None => assert!(field.is_empty() || value.to_string() == field, "{key}: {field}"),
                }
            }
        }
        let imperial = cansift(&[
            "table",
            "builds",
            "--tank",
            "tank.ron",
            "--format",
            "csv",
            "--samples",
            "0",
            "--units",
            "us",
        ]);
        assert_eq!(out(&imperial), text, "units change what people read, never CSV");
    }

    #[test]
    fn columns_are_those_asked_for_and_dashes_give_their_reason() {
        let output = cansift(&["table", "builds", "--columns", "capacity,nitrate"]);
        let text = out(&output);
        let head: Vec<&str> = text.lines().next().unwrap().split_whitespace().collect();
        assert_eq!(head, ["build", "capacity", "nitrate"]);
        assert!(text.contains("– nitrate: no tank is given"), "{text}");
        let us = out(&cansift(&["table", "builds", "--columns", "capacity", "--units", "us"]));
        assert!(us.contains("US gal"), "{us}");
        assert!(out(&cansift(&["table", "builds", "--ascii"])).is_ascii());
    }

    #[test]
    fn without_a_terminal_the_bare_program_prints_the_table() {
        let bare = cansift(&["builds", "--tank", "tank.ron"]);
        assert_eq!(status(&bare), 0);
        assert!(err(&bare).contains("not a terminal"));
        let asked = cansift(&["table", "builds", "--tank", "tank.ron"]);
        assert_eq!(out(&bare), out(&asked));
        assert!(err(&asked).is_empty());
    }

    #[test]
    fn without_a_path_the_demo_is_shown() {
        let output = cansift(&["table"]);
        assert_eq!(status(&output), 0, "{}", err(&output));
        assert!(err(&output).contains("built-in demo"));
        assert!(err(&output).contains("no --tank given"), "{}", err(&output));
        assert!(out(&output).lines().count() > 8);
        // What the demo shows can be named without a file of that name.
        let csv = out(&cansift(&["table", "--format", "csv"]));
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let first = reader.records().next().unwrap().unwrap();
        let name = format!("{}#{}", &first[0], &first[2]);
        let explained = cansift(&["explain", &name, "nitrate"]);
        assert_eq!(status(&explained), 0, "{}", err(&explained));
        assert!(err(&explained).contains("no --tank given"), "{}", err(&explained));
    }

    #[test]
    fn a_build_is_named_by_file_and_name() {
        let both = cansift(&["explain", "builds/1-harbour.ron", "flow"]);
        assert_eq!(status(&both), 2);
        assert!(err(&both).contains("1-harbour.ron#as bought") && err(&both).contains("#restacked"));
        let slip = cansift(&["explain", "builds/1-harbour.ron#restaked", "flow"]);
        assert_eq!(status(&slip), 2);
        assert!(err(&slip).contains("did you mean `restacked`?"), "{}", err(&slip));
        let only = cansift(&["explain", "builds/2-quay.ron", "turnover", "--tank", "tank.ron"]);
        assert_eq!(status(&only), 0, "{}", err(&only));
        let text = out(&only);
        assert!(text.contains("Quay 400 · as sold: turnover") && text.contains("formula"), "{text}");
        let broken = cansift(&["explain", "broken/4-reef.ron", "flow"]);
        assert_eq!(status(&broken), 3);
        assert!(err(&broken).contains("4-reef.ron"));
    }

    #[test]
    fn diff_sets_builds_side_by_side() {
        let (a, b) = ("builds/1-harbour.ron#as bought", "builds/1-harbour.ron#restacked");
        let output = cansift(&["diff", a, b, "--tank", "tank.ron", "--format", "json"]);
        assert_eq!(status(&output), 0, "{}", err(&output));
        let json: Value = serde_json::from_slice(&output.stdout).unwrap();
        let value = |i: usize, key: &str| json["builds"][i]["measures"][key]["value"].as_f64().unwrap();
        let rows = json["differences"].as_array().unwrap();
        assert_eq!(rows.len(), Measure::ALL.len());
        let worked = rows.iter().find(|r| r["measure"] == "worked_flow").unwrap();
        let apart = worked["to_first"][0].as_f64().unwrap();
        assert!((apart - (value(1, "worked_flow") - value(0, "worked_flow"))).abs() < 0.01);
        assert!(apart > 0.0, "restacked and with its pads cut to size, more water is worked");
        let text = out(&cansift(&["diff", a, b, "--tank", "tank.ron"]));
        assert!(text.contains("B − A") && text.contains("tray 2") && text.contains("empty"), "{text}");
        let same = out(&cansift(&["diff", a, a, "--measure", "flow", "--format", "json"]));
        let same: Value = serde_json::from_str(&same).unwrap();
        assert_eq!(same["differences"][0]["to_first"][0], 0.0);
    }

    #[test]
    fn the_media_library_is_listed_and_a_slip_understood() {
        let all = cansift(&["media"]);
        assert_eq!(status(&all), 0);
        assert!(out(&all).contains("foam-20"));
        let one = cansift(&["media", "foam-20"]);
        assert!(out(&one).contains("Source ("), "{}", out(&one));
        let slip = cansift(&["media", "foam20"]);
        assert_eq!(status(&slip), 2);
        assert!(err(&slip).contains("did you mean `foam-20`?"), "{}", err(&slip));
    }

    #[test]
    fn a_new_profile_passes_the_check_and_has_no_staging_fault() {
        let folder = tempfile::tempdir().unwrap();
        for way in ["rising", "falling"] {
            for trays in ["1", "3", "6"] {
                let path = folder.path().join(format!("{way}-{trays}.ron"));
                let name = path.to_str().unwrap();
                assert_eq!(status(&cansift(&["new", name, "--trays", trays, "--way", way])), 0);
                let check = cansift(&["check", name]);
                assert_eq!(status(&check), 0, "{}", out(&check));
                let json = cansift(&["table", name, "--format", "json"]);
                let json: Value = serde_json::from_slice(&json.stdout).unwrap();
                let build = &json["builds"][0];
                assert_eq!(build["staging_faults"], serde_json::json!([]), "{way} {trays}");
                assert!(build["measures"]["worked_flow"]["value"].as_f64().unwrap() > 0.0);
            }
        }
    }

    #[test]
    fn a_closed_pipe_is_no_error_for_a_table_either() {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = command(&["table", "builds"]).stdout(writer).output().unwrap();
        assert_eq!(status(&output), 0);
        assert_eq!(err(&output), "");
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
        let args = [
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
            "--save",
            name,
        ];
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
