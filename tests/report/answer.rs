//! `cansift answer` through the real binary: what a reply says in each case, and that it says no more.

use std::fs;
use std::path::Path;
use std::process::Output;

use crate::binary::{self, ROOT};

const ROOM: &str = "demo-data/tanks/reading-room.ron";
const SHELF: &str = "demo-data/tanks/school-shelf.ron";
const CAFE: &str = "demo-data/tanks/cafe-window.ron";
const MARKET: &str = "demo-data/pelworth-1000-market.ron";
const ATTIC: &str = "demo-data/pelworth-1000-attic.ron";

fn cansift(args: &[&str]) -> Output {
    binary::run(ROOT, args)
}

fn answer(args: &[&str]) -> String {
    binary::told(ROOT, &[&["answer"][..], args].concat())
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn as_a_person_reads_it() {
    insta::assert_snapshot!("reading_room", answer(&["demo-data", "--tank", ROOM]));
    insta::assert_snapshot!("cafe_bbcode", answer(&["demo-data", "--tank", CAFE, "--format", "bbcode"]));
    insta::assert_snapshot!(
        "school_shelf_us",
        answer(&["demo-data", "--tank", SHELF, "--format", "markdown", "--units", "us"])
    );
    insta::assert_snapshot!("two_adverts", answer(&[ATTIC, MARKET, "--tank", ROOM]));
    insta::assert_snapshot!("one_unit", answer(&["demo-data/tamsin-1100.ron", "--tank", ROOM]));
    insta::assert_snapshot!("no_curve", answer(&["demo-data/hesper-two.ron", "--tank", ROOM]));
    insta::assert_snapshot!(
        "none_passes",
        answer(&["demo-data/dunlow-300.ron", "demo-data/selwick-1200-uv.ron", "--tank", ROOM])
    );
    insta::assert_snapshot!("two_without_doubt", answer(&[ATTIC, MARKET, "--tank", ROOM, "--samples", "0"]));
}

/// Without doubt there is less to say, and nothing that only draws can tell.
#[test]
fn without_doubt_it_says_less() {
    // Three questions: one without a verdict, one with a unit that always loses, one where taste has its part.
    let told = [ROOM, SHELF, CAFE].map(|tank| {
        let with = flat(&answer(&["demo-data", "--tank", tank]));
        let without = flat(&answer(&["demo-data", "--tank", tank, "--samples", "0"]));
        assert!(without.len() < with.len());
        (with, without)
    });
    for of_draws in
        ["of 100 cases", "always comes first", "never comes first", "draws", "measured at home", "priorities"]
    {
        let any = told.iter().any(|(with, _)| with.contains(of_draws));
        assert!(any || of_draws.contains("always"), "`{of_draws}` in {told:?}");
        for (_, without) in &told {
            assert!(!without.contains(of_draws), "`{of_draws}` in {without}");
        }
    }
    let [(with, without), (_, shelf), (_, cafe)] = told;
    assert!(with.contains("627 l/h ("), "{with}");
    assert!(!without.contains("627 l/h (") && without.contains("627 l/h really go through"), "{without}");
    assert!(without.starts_with("On paper the Tamsin 1100") && without.contains(" are level "), "{without}");
    assert!(shelf.starts_with("On paper, ") && cafe.starts_with("On paper, "), "{shelf}\n{cafe}");
    for without in [without, shelf, cafe] {
        assert!(without.contains("nominal figures, without their doubt"), "{without}");
    }
}

#[test]
fn what_cannot_be_told_apart_is_not_ranked() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(MARKET)).unwrap();
    fs::write(folder.path().join("one.ron"), &text).unwrap();
    // The same model again, a few cents dearer: another unit that no figure tells from the first.
    let twin = text.replace("asking: 55.0", "asking: 55.01").replace("(market)", "(market, second day)");
    fs::write(folder.path().join("two.ron"), twin).unwrap();
    let place = folder.path().to_str().unwrap();
    for samples in ["512", "0"] {
        let said = flat(&answer(&[place, "--tank", ROOM, "--samples", samples]));
        let head = said.split(" For 180 l").next().unwrap();
        assert!(!head.contains("I would take"), "{head}");
        assert!(head.contains("(market)") && head.contains("(market, second day)"), "{head}");
        let tie = if samples == "0" { "are level" } else { "cannot tell them apart" };
        assert!(head.contains(tie), "{head}");
        assert_eq!(said.matches("Stack it from the bottom").count(), 2, "both are told in full");
    }
}

#[test]
fn one_unit_is_never_on_the_list_twice() {
    let folder = tempfile::tempdir().unwrap();
    let saved = folder.path().join("saved.ron");
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/tamsin-1100.ron"));
    // A copy of the file with other names for its builds, as one that was saved with proposals.
    let again =
        text.unwrap().replace("\"as bought\"", "\"first\"").replace("\"restacked\"", "\"proposed 1\"");
    fs::write(&saved, again).unwrap();
    let said = flat(&answer(&["demo-data/tamsin-1100.ron", saved.to_str().unwrap(), MARKET, "--tank", ROOM]));
    let list = said.split("EUR to spend.").nth(1).unwrap().split("What puts").next().unwrap();
    assert_eq!(list.matches("The Tamsin 1100, ").count(), 1, "{list}");
    assert_eq!(list.matches("The Pelworth 1000 (market), ").count(), 1, "{list}");
}

#[test]
fn units_of_one_name_are_told_apart_by_their_files() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(MARKET)).unwrap();
    let text = text.replace("Pelworth 1000 (market)", "Pelworth 1000");
    fs::write(folder.path().join("near.ron"), &text).unwrap();
    let with_far = |asking: &str| {
        let far = text.replace("asking: 55.0", asking);
        assert_ne!(far, text);
        fs::write(folder.path().join("far.ron"), far).unwrap();
        flat(&answer(&[folder.path().to_str().unwrap(), "--tank", ROOM]))
    };
    let said = with_far("asking: 125.0");
    assert!(said.starts_with("I would take the Pelworth 1000 (near.ron), "), "{said}");
    assert!(said.contains("The Pelworth 1000 (far.ron), "));
    // Less far apart in price the fit of a pad would settle it: whose is said.
    let said = with_far("asking: 95.0");
    let first = said.split("Measure first: ").nth(1).unwrap_or_else(|| panic!("{said}"));
    for file in ["near", "far"] {
        assert!(
            first.contains(&format!("Pelworth 1000 ({file}.ron): restacked with what came along, tray 2")),
            "{said}"
        );
    }
    assert!(!said.contains("Pelworth 1000: "), "{said}");
}

#[test]
fn the_list_is_no_longer_than_asked() {
    let said = answer(&["demo-data", "--tank", ROOM, "--top", "1", "--samples", "64"]);
    let list = flat(&said);
    assert!(list.contains("Further down the list: ") && !list.contains("What puts"), "{list}");
    assert_eq!(list.matches("To buy: ").count(), 1);
}

#[test]
fn what_is_broken_or_missing_ends_as_it_should() {
    let broken = cansift(&["answer", "demo-data", "demo-data/broken", "--tank", CAFE, "--samples", "8"]);
    assert_eq!(broken.status.code(), Some(1), "some files are broken: the rest is answered");
    assert!(String::from_utf8_lossy(&broken.stdout).starts_with("I would take"));
    assert!(!String::from_utf8_lossy(&broken.stderr).is_empty());
    let none = cansift(&["answer", "demo-data/broken", "--tank", ROOM]);
    assert_eq!(none.status.code(), Some(3));
    assert!(none.stdout.is_empty());
    let no_tank = cansift(&["answer", MARKET]);
    assert_eq!(no_tank.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&no_tank.stderr).contains("--tank"));
    assert_eq!(cansift(&["answer", MARKET, "--tank", "no/such.ron"]).status.code(), Some(3));
    assert_eq!(cansift(&["answer", MARKET, "--tank", ROOM, "--top", "0"]).status.code(), Some(2));
    // Without a path it answers for the demo and its own tank.
    let demo = cansift(&["answer", "--samples", "8"]);
    assert_eq!(demo.status.code(), Some(0));
}

#[test]
fn the_same_seed_gives_the_same_bytes_whatever_the_threads() {
    let one = answer(&["demo-data", "--tank", ROOM, "--samples", "64", "--threads", "1"]);
    assert_eq!(answer(&["demo-data", "--tank", ROOM, "--samples", "64", "--threads", "2"]), one);
}

/// A pump that nobody has seen run decides between units whose flow is all that counts: measure it. The bucket is
/// what the trade does (common practice, no source).
#[test]
fn what_would_settle_it_is_named_with_how_to_measure_it() {
    let folder = tempfile::tempdir().unwrap();
    let tank = folder.path().join("flow.ron");
    fs::write(
        &tank,
        "Tank(format: 1, name: \"flow alone\", volume: l(180), feed: Feed(daily: g_day(3.5)), hoses: Run(intake: \
         m(1.3), return: m(1.5), bends: 2), priorities: {\"filtered_flow\": 1.0, \"opening_interval\": 0.2})",
    )
    .unwrap();
    let said =
        flat(&answer(&[MARKET, ATTIC, "demo-data/selwick-1200-uv.ron", "--tank", tank.to_str().unwrap()]));
    assert!(said.contains("the figures cannot tell them apart"), "{said}");
    assert!(said.contains("which is no verdict"), "{said}");
    assert!(said.contains("Bought and put right, the Pelworth 1000 (market) is the cheapest of them (61)"));
    let first = said.split("Measure first: ").nth(1).unwrap_or_else(|| panic!("{said}"));
    let first = first.split(". ").next().unwrap();
    assert!(first.contains("Selwick 1200 UV: impeller (bucket and watch"), "{first}");
    // Once measured, in a bucket, the same figure is no longer what to measure.
    assert!(!first.contains("(market): impeller"), "that one was tested already: {first}");
    // What was not said of the tank is said to be assumed.
    assert!(said.contains("Nobody said, so I take 25 °C") && said.contains("I don't know the water changes"));
}
