//! `draw` and `report` from the outside: what they write, where, and that they write over nothing.

use std::fs;

use crate::binary::{err, run};

#[test]
fn draw_writes_each_picture_and_never_over_a_file() {
    let place = tempfile::tempdir().unwrap();
    let build = "tamsin-1100.ron#as bought";
    for what in ["section", "curve", "timeline", "budget"] {
        let file = format!("{what}.svg");
        let args = ["draw", build, "--what", what, "--to", &file, "--samples", "8"];
        let output = run(place.path(), &args);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert!(output.stdout.is_empty());
        let text = fs::read_to_string(place.path().join(&file)).unwrap();
        roxmltree::Document::parse(&text).unwrap();
        let again = run(place.path(), &args);
        assert_eq!(again.status.code(), Some(2));
        assert!(err(&again).contains("already"), "{}", err(&again));
        assert_eq!(fs::read_to_string(place.path().join(&file)).unwrap(), text);
    }
    let printed = run(place.path(), &["draw", build, "--to", "-", "--samples", "8"]);
    assert_eq!(printed.stdout, fs::read(place.path().join("section.svg")).unwrap());
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let place = tempfile::tempdir().unwrap();
    let empty =
        "Filter(format: 1, name: \"x\", label: Label(flow: l_h(800)), builds: [Build(name: \"empty\")])";
    fs::write(place.path().join("empty.ron"), empty).unwrap();
    let output = run(place.path(), &["draw", "empty.ron", "--what", "timeline", "--to", "x.svg"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("no tank is given"), "{}", err(&output));
    assert!(!place.path().join("x.svg").exists());
    let section = run(place.path(), &["draw", "hesper-two.ron#as found", "--to", "x.svg"]);
    assert_eq!(section.status.code(), Some(0), "the vessel can be drawn: {}", err(&section));
}

#[test]
fn report_writes_three_files_the_same_on_any_number_of_threads() {
    let place = tempfile::tempdir().unwrap();
    for (folder, threads) in [("new/one", "1"), ("two", "2")] {
        let output = run(place.path(), &["report", "--to", folder, "--samples", "8", "--threads", threads]);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    }
    for name in ["report.html", "table.csv", "table.xlsx", "data.json"] {
        let [a, b] = ["new/one", "two"].map(|f| fs::read(place.path().join(f).join(name)).unwrap());
        assert!(a == b && !a.is_empty(), "{name}");
    }
    let data: serde_json::Value =
        serde_json::from_slice(&fs::read(place.path().join("two/data.json")).unwrap()).unwrap();
    assert_eq!(data["schema"], 2);
    let again = run(place.path(), &["report", "--to", "two", "--samples", "0"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(err(&again).contains("already"), "{}", err(&again));
}

#[test]
fn a_report_needs_a_tank_and_tells_of_broken_files() {
    let place = tempfile::tempdir().unwrap();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
    let [good, bad] = ["dunlow-300.ron", "broken"].map(|name| format!("{demo}/{name}"));
    let none = run(place.path(), &["report", &good, "--to", "r"]);
    assert_eq!(none.status.code(), Some(2));
    assert!(err(&none).contains("--tank") && !place.path().join("r").exists());
    let tank = format!("{demo}/tanks/reading-room.ron");
    let mixed = run(place.path(), &["report", &good, &bad, "--tank", &tank, "--to", "r", "--samples", "0"]);
    assert_eq!(mixed.status.code(), Some(1), "{}", err(&mixed));
    let page = fs::read_to_string(place.path().join("r/report.html")).unwrap();
    assert!(page.contains("Files that could not be used") && page.contains("wrong-unit.ron"));
}
