//! Logs through the program: what agrees narrows, what contradicts is loud, and without a log nothing changes.

use std::path::Path;

use crate::binary::{ROOT, said, told};

const TANK: &str = "demo-data/tanks/reading-room.ron";
const MARIT: &str = "demo-data/logs/marit-tamsin-1100.ron";
const JONNE: &str = "demo-data/logs/jonne-tamsin-1100.ron";

#[test]
fn readings_that_agree_say_when_to_open_it_again() {
    let text = told(ROOT, &["log", MARIT, "--tank", TANK]);
    insta::assert_snapshot!("log_marit", text);
    assert!(text.contains("Open it again by") && !text.contains('≠'), "{text}");
}

#[test]
fn readings_that_contradict_are_loud_and_get_no_place() {
    let text = told(ROOT, &["log", JONNE, "--tank", TANK]);
    insta::assert_snapshot!("log_jonne", text);
    assert!(text.starts_with("≠ "), "{text}");
    assert!(text.contains("all three buckets run"), "{text}");
    let table = told(ROOT, &["table", JONNE, MARIT, "--tank", TANK]);
    assert!(table.contains("≠ Jonne's Tamsin 1100"), "{table}");
    let rank = told(ROOT, &["rank", JONNE, MARIT, "--tank", TANK]);
    assert!(rank.contains("its readings contradict its figures"), "{rank}");
    let answer = told(ROOT, &["answer", JONNE, MARIT, "--tank", TANK]);
    assert!(answer.contains("Marit's") && !answer.contains("Jonne's"), "{answer}");
}

/// The same profile with its log as it is changed.
fn changed(folder: &Path, name: &str, of: impl Fn(&str) -> String) -> String {
    let text = std::fs::read_to_string(Path::new(ROOT).join(MARIT)).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, of(&text)).unwrap();
    path.display().to_string()
}

#[test]
fn without_a_log_every_byte_is_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let without = |text: &str| {
        let (from, to) = (text.find("            packed:").unwrap(), text.rfind("            ],\n").unwrap());
        // The last such bracket closes the log.
        format!("{}{}", &text[..from], &text[to + "            ],\n".len()..])
    };
    let untrusted = |text: &str| {
        let marked = text
            .replace("Bucket(on", "Bucket(trust: false, on")
            .replace("Opened(on", "Opened(trust: false, on");
        marked.replace("Weighed(on", "Weighed(trust: false, on").replace("Meter(on", "Meter(trust: false, on")
    };
    let plain = changed(folder.path(), "a.ron", without);
    for (command, more) in [("table", vec!["--format", "json"]), ("rank", vec![]), ("answer", vec!["--full"])]
    {
        let of = |file: &str, log: &str| {
            let mut args = vec![command, file, "demo-data/orrin-900.ron", "--tank", TANK, "--log", log];
            args.extend(&more);
            told(ROOT, &args)
        };
        let before = of(&plain, "all");
        std::fs::write(&plain, std::fs::read_to_string(changed(folder.path(), "b.txt", untrusted)).unwrap())
            .unwrap();
        assert_eq!(before, of(&plain, "all"), "{command}, nothing trusted");
        std::fs::write(
            &plain,
            std::fs::read_to_string(changed(folder.path(), "b.txt", str::to_owned)).unwrap(),
        )
        .unwrap();
        assert_eq!(before, of(&plain, "off"), "{command}, off");
        assert_ne!(before, of(&plain, "all"), "{command}, with its log");
        std::fs::write(&plain, std::fs::read_to_string(changed(folder.path(), "b.txt", without)).unwrap())
            .unwrap();
    }
}

#[test]
fn threads_and_order_never_change_a_byte() {
    let of = |files: &[&str], threads: &str| {
        let mut args = vec!["table"];
        args.extend(files);
        args.extend(["--tank", TANK, "--format", "json", "--threads", threads]);
        told(ROOT, &args)
    };
    let (a, b) = (&[MARIT, "demo-data/orrin-900.ron"][..], &["demo-data/orrin-900.ron", MARIT][..]);
    let one = of(a, "1");
    assert!(one == of(a, "2") && one == of(a, "8") && one == of(b, "2"));
    let json: serde_json::Value = serde_json::from_str(&one).unwrap();
    assert_eq!(json["logs"].as_array().unwrap().len(), 1);
    let trio = |b: usize| json["builds"][b]["measures"]["flow"].clone();
    // Files come in name order: the log's own build, then two of another filter, which it moves.
    let kept = (0..3).find(|b| json["builds"][*b]["build"] == "as kept").unwrap();
    let (was, now) = (&trio(kept), &trio(kept)["log"]);
    let width = |t: &serde_json::Value| t["high"].as_f64().unwrap() - t["low"].as_f64().unwrap();
    assert!(width(now) < 0.7 * width(was), "{was}");
}

#[test]
fn the_cut_moves_the_logged_build_alone() {
    let of = |log: &str| {
        let args = [
            "table",
            MARIT,
            "demo-data/orrin-900.ron",
            "--tank",
            TANK,
            "--format",
            "json",
            "--samples",
            "64",
            "--log",
            log,
        ];
        let json: serde_json::Value = serde_json::from_str(&told(ROOT, &args)).unwrap();
        json["builds"].as_array().unwrap().clone()
    };
    let (own, off, all) = (of("own"), of("off"), of("all"));
    let mut moved = 0;
    for ((own, off), all) in own.iter().zip(&off).zip(&all) {
        if own["build"] == "as kept" {
            assert_ne!(own, off);
        } else {
            assert_eq!(own, off);
            moved += usize::from(all != off);
        }
    }
    assert_eq!(moved, 2, "shared figures move others");
}

#[test]
fn the_log_is_drawn() {
    let args = ["draw", MARIT, "--what", "log", "--tank", TANK, "--to", "-", "--today", "2026-04-20"];
    let svg = told(ROOT, &args);
    assert!(
        svg.starts_with("<svg") && svg.contains("corrected by the log") && svg.contains("today"),
        "{svg}"
    );
    said(ROOT, &["draw", "demo-data/orrin-900.ron#restacked", "--what", "log", "--to", "-"], 3);
    assert!(told(ROOT, &["log", "demo-data/orrin-900.ron#restacked"]).contains("It has no log"));
}
