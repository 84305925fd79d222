//! Same in, same out: the bytes hang on files, flags and seed alone, not on threads, time zone, language, where
//! it is run from, or how often.

use crate::binary::{ROOT, command};

fn bytes(args: &[&str], surroundings: &[(&str, &str)], threads: &str) -> (Vec<u8>, Vec<u8>) {
    let mut command = command(ROOT, args);
    if args.contains(&"--tank") {
        command.args(["--threads", threads]);
    }
    let output = command.envs(surroundings.iter().copied()).output().unwrap();
    assert!(output.status.success() || output.status.code() == Some(1), "{args:?}: {output:?}");
    (output.stdout, output.stderr)
}

#[test]
fn threads_time_zone_and_language_change_no_byte() {
    let tank = ["--tank", "demo-data/tanks/reading-room.ron", "--samples", "40", "--seed", "3"];
    let on = |words: &[&'static str]| [words, &tank[..]].concat();
    let tamsin = "demo-data/tamsin-1100.ron#as bought";
    let asked = [
        on(&["table", "demo-data", "--format", "json"]),
        on(&["table", "demo-data", "--format", "csv"]),
        on(&["table", "demo-data"]),
        on(&["rank", "demo-data", "--format", "json"]),
        on(&["rank", "demo-data"]),
        on(&["diff", tamsin, "demo-data/orrin-900.ron#as sold"]),
        on(&["restack", tamsin, "--top", "2"]),
        on(&["explain", tamsin, "opening_interval"]),
        on(&["draw", tamsin, "--to", "-"]),
        vec!["check", "demo-data"],
        vec!["media"],
        vec!["sources"],
        vec!["man"],
    ];
    for args in asked {
        let first = bytes(&args, &[], "1");
        assert!(!first.0.is_empty() || !first.1.is_empty(), "{args:?}");
        for (surroundings, threads) in [
            (&[("TZ", "Asia/Kathmandu"), ("LANG", "de_DE.UTF-8"), ("LC_ALL", "de_DE.UTF-8")][..], "2"),
            (&[("TZ", "America/St_Johns"), ("LC_NUMERIC", "fr_FR.UTF-8"), ("LANGUAGE", "tr")], "7"),
            (&[("LC_ALL", "C"), ("COLUMNS", "40"), ("TERM", "dumb")], "1"),
            (&[("RAYON_NUM_THREADS", "100000"), ("NO_COLOR", "1")], "5"),
        ] {
            assert!(
                bytes(&args, surroundings, threads) == first,
                "{args:?} with {surroundings:?}, {threads} threads"
            );
        }
    }
}

/// A report is written with nothing of the hour or the machine in it.
#[test]
fn a_report_is_the_same_twice() {
    let place = tempfile::tempdir().unwrap();
    let report = |name: &str, threads: &str| {
        let to = place.path().join(name);
        let tank = "demo-data/tanks/reading-room.ron";
        let to_word = to.to_str().unwrap();
        bytes(
            &["report", "demo-data", "--tank", tank, "--samples", "16", "--to", to_word],
            &[("TZ", name)],
            threads,
        );
        ["report.html", "table.csv", "data.json"].map(|file| std::fs::read(to.join(file)).unwrap())
    };
    assert!(report("UTC", "1") == report("JST-9", "4"));
}
