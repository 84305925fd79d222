//! `cansift answer`: what a reply says in each case, that it is no longer than allowed, and that it never denies itself.

use std::fs;
use std::path::Path;
use std::process::Output;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::assess::case::Case;
use cansift::assess::judge;
use cansift::assess::monte_carlo::simulate;
use cansift::compare::requirements::Limit;
use cansift::library::{demo, demo_tanks};
use cansift::model::filter::Filter;
use cansift::model::tank::{Requirement, Stock, Tank};
use cansift::report::answer::{Asked, Kind, reply, say};
use cansift::report::figures::Units;
use cansift::report::page::{Block, Look, Page, Run};
use cansift::report::{Sheet, bbcode, markdown, text};
use cansift::uncertainty::sampling::Draws;

use crate::binary::{self, ROOT};
use crate::filters::{Chance, any_filter, fig};

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
    insta::assert_snapshot!("reading_room_full", answer(&["demo-data", "--tank", ROOM, "--full"]));
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

/// Without cases nothing is said that only cases can tell.
#[test]
fn without_cases_there_are_no_chances() {
    for tank in [ROOM, SHELF, CAFE] {
        let without = flat(&answer(&["demo-data", "--tank", tank, "--samples", "0"]));
        for of_cases in ["of 100", "of 10 cases", "is possible", "simulated"] {
            assert!(!without.contains(of_cases), "`{of_cases}` in {without}");
        }
    }
}

#[test]
fn what_cannot_be_told_apart_is_between_the_two() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(MARKET)).unwrap();
    fs::write(folder.path().join("one.ron"), &text).unwrap();
    // The same model again, a few cents dearer: another unit that no figure tells from the first.
    let twin = text.replace("asking: 55.0", "asking: 55.01").replace("(market)", "(market, second day)");
    fs::write(folder.path().join("two.ron"), twin).unwrap();
    let asked = tempfile::tempdir().unwrap();
    let tank = asked.path().join("asked.ron");
    fs::write(&tank, "Tank(format: 1, name: \"asked\", volume: l(100), stock: normal)").unwrap();
    let place = folder.path().to_str().unwrap();
    for samples in ["512", "0"] {
        let said = flat(&answer(&[place, "--tank", tank.to_str().unwrap(), "--samples", samples]));
        assert!(said.contains("it is between the Pelworth 1000 (market"), "{said}");
        assert!(said.contains("(market, second day)") && said.contains("no figure parts them"), "{said}");
    }
}

#[test]
fn one_unit_is_never_told_of_twice() {
    let folder = tempfile::tempdir().unwrap();
    let saved = folder.path().join("saved.ron");
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/tamsin-1100.ron"));
    // A copy of the file with other names for its builds, as one that was saved with proposals.
    let again =
        text.unwrap().replace("\"as bought\"", "\"first\"").replace("\"restacked\"", "\"proposed 1\"");
    fs::write(&saved, again).unwrap();
    let files = ["demo-data/tamsin-1100.ron", saved.to_str().unwrap(), MARKET];
    let asked = ["--tank", ROOM, "--full", "--format", "markdown"];
    let table = answer(&[&files[..], &asked].concat());
    assert_eq!(table.matches("Tamsin 1100 · ").count(), 1, "{table}");
    assert_eq!(table.matches("Pelworth 1000 (market) · ").count(), 1, "{table}");
}

#[test]
fn units_of_one_name_are_told_apart_by_their_files() {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(MARKET)).unwrap();
    let text = text.replace("Pelworth 1000 (market)", "Pelworth 1000");
    fs::write(folder.path().join("near.ron"), &text).unwrap();
    let far = text.replace("asking: 55.0", "asking: 110.0");
    assert_ne!(far, text);
    fs::write(folder.path().join("far.ron"), far).unwrap();
    let said = flat(&answer(&[folder.path().to_str().unwrap(), "--tank", ROOM]));
    assert!(said.contains("the Pelworth 1000 (near.ron), restacked"), "{said}");
    let said = flat(&answer(&[folder.path().to_str().unwrap(), "--tank", ROOM, "--full"]));
    assert!(said.contains("Pelworth 1000 (far.ron), restacked"), "{said}");
}

/// A cabinet and a budget are asked for by being given: nobody has to repeat them.
#[test]
fn a_budget_given_is_a_requirement() {
    let folder = tempfile::tempdir().unwrap();
    let tank = folder.path().join("asked.ron");
    let asked = |budget: &str| {
        let text = format!(
            "Tank(format: 1, name: \"asked\", volume: l(100), stock: light, budget: {budget}, currency: \"EUR\")"
        );
        fs::write(&tank, text).unwrap();
        flat(&answer(&[MARKET, "--tank", tank.to_str().unwrap()]))
    };
    // 55 asked and 6 for its seals.
    let said = asked("50.0");
    assert!(said.contains("does not surely do"), "{said}");
    assert!(said.contains("takes 61 EUR to buy and put right, over the 50 EUR"), "{said}");
    let said = asked("70.0");
    assert!(said.contains("meets all you asked"), "{said}");
    // What nobody told is said to be assumed, in one clause.
    assert!(said.contains("of food a day") && said.contains("1.5 m of hose each way"), "{said}");
    assert!(said.contains("without knowing water changes and the power price"), "{said}");
}

/// Where none fits, the closest is not the one that is far too small and so fits the cabinet.
#[test]
fn the_closest_is_close() {
    let folder = tempfile::tempdir().unwrap();
    let tank = folder.path().join("asked.ron");
    let asked = "Tank(format: 1, name: \"asked\", volume: l(450), stock: heavy, budget: 80.0, currency: \"EUR\", \
        cabinet: (width: mm(300), depth: mm(300), height: mm(400)))";
    fs::write(&tank, asked).unwrap();
    let tank = tank.to_str().unwrap();
    let said = flat(&answer(&["demo-data", "--tank", tank]));
    let suits: f64 =
        said.split("suits tanks up to ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(said.contains("surely does. Closest is") && suits > 150.0, "{said}");
    // The same budget rules out in a ranking what it rules out in a reply.
    let ranked = binary::told(ROOT, &["rank", MARKET, "demo-data/selwick-1200-uv.ron", "--tank", tank]);
    assert!(flat(&ranked).contains("price and repair"), "{ranked}");
}

#[test]
fn what_is_broken_or_missing_ends_as_it_should() {
    let broken = cansift(&["answer", "demo-data", "demo-data/broken", "--tank", CAFE, "--samples", "8"]);
    assert_eq!(broken.status.code(), Some(1), "some files are broken: the rest is answered");
    assert!(String::from_utf8_lossy(&broken.stdout).starts_with("For 320 l, heavily stocked,"));
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

/// A pump that nobody has seen run decides between units whose flow is all that counts: time a bucket. The bucket is
/// what the trade does (common practice, no source).
#[test]
fn what_would_settle_it_is_named_with_the_figure_to_expect() {
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
    let first = said.split("Before paying, ").nth(1).unwrap_or_else(|| panic!("{said}"));
    assert!(first.starts_with("time 10 l at the hose end"), "{said}");
    assert!(first.contains(" s is right."), "{said}");
}

/// The reply of builds judged in few cases.
fn replies(
    builds: &[(Arc<Filter>, usize)],
    tank: &Tank,
    samples: usize,
) -> ([Page; 2], Vec<cansift::assess::Assessment>) {
    let draws = Draws::new(samples, 1);
    let rows = builds.iter().map(|(filter, build)| {
        let case = Case::new(filter, &filter.builds[*build], Some(tank));
        let cases = (samples > 0).then(|| simulate(&case, &draws, &AtomicBool::new(false)).unwrap().into());
        let mut row = judge(filter, *build, Some(tank)).with(cases);
        row.file = format!("{}.ron", filter.id);
        row
    });
    let sheet = Sheet { rows: rows.collect(), currency: tank.currency.clone(), seed: 1, ..Sheet::default() };
    let asked = Asked { builds, sheet: &sheet, draws: &draws, tank, top: 3, units: Units::Metric };
    ([Kind::Short, Kind::Full].map(|kind| reply(asked, kind)), sheet.rows.clone())
}

/// The words of a page but its tables.
fn prose(page: &Page) -> String {
    let words = |block: &Block| match block {
        Block::Paragraph(text) | Block::Heading(text) => text.clone(),
        Block::Said(runs) => Run::plain(runs),
        Block::List(kind, lines) if *kind != cansift::report::page::List::Quiet => lines.join(" "),
        _ => String::new(),
    };
    flat(&page.blocks.iter().map(words).collect::<Vec<_>>().join(" "))
}

/// Sentences of a text; a number's point or a name's ends none.
fn sentences(text: &str) -> Vec<&str> {
    text.split(". ").map(str::trim).filter(|sentence| say::of(sentence) > 2).collect()
}

/// Nothing is said that something beside it denies, and nothing twice.
#[track_caller]
fn sound(page: &Page, tank: &Tank, most: usize) {
    let said = prose(page);
    assert!(say::of(&said) <= most, "{} words: {said}", say::of(&said));
    let mut seen = Vec::new();
    for sentence in sentences(&said) {
        assert!(!seen.contains(&sentence), "twice: {sentence}\n{said}");
        seen.push(sentence);
    }
    if said.contains("meets all you asked") {
        for denied in ["The catch", "surely do", "can't be told.", "too little", "not known"] {
            assert!(!said.contains(denied), "`{denied}`: {said}");
        }
    }
    let told = ["it suits tanks up to", "What tank it suits can't be told"];
    let useful = !said.contains("Nothing useful can be said") && !said.contains("nothing to choose from");
    assert!(!useful || told.iter().any(|word| said.contains(word)), "{said}");
    for word in ["±", "100 %", "draws", "doubt", "worked flow"] {
        assert!(!said.contains(word) || tank.name.contains(word), "`{word}`: {said}");
    }
}

fn any_tank(c: &mut Chance) -> Tank {
    let tanks = demo_tanks();
    let mut tank = (*tanks[c.below(tanks.len())].tank).clone();
    tank.volume = c.chance(0.95).then(|| fig(c.log(0.02, 0.9), "tank/volume"));
    if c.chance(0.5) {
        tank.food.daily = None;
        tank.stock = match c.below(4) {
            0 => Some(Stock::Light),
            1 => Some(Stock::Normal),
            2 => Some(Stock::Heavy),
            _ => None,
        };
    }
    tank.budget = c.chance(0.6).then(|| c.between(20.0, 300.0));
    if c.chance(0.4) {
        tank.cabinet = None;
    }
    if c.chance(0.3) {
        tank.water_change = None;
        tank.power_price = None;
    }
    tank.water.salt = c.chance(0.2);
    tank.requirements.retain(|_| c.chance(0.6));
    if c.chance(0.3) {
        let (measure, limit) = [("clearing", 1.0), ("suits_up_to", 100.0), ("uv_dose", 5.0)][c.below(3)];
        tank.requirements.push(Requirement::AtLeast { measure: measure.to_owned(), limit });
    }
    tank
}

#[test]
fn two_thousand_questions_get_replies_that_never_deny_themselves() {
    let demo = demo().filters;
    let mut c = Chance(0x5eed_0a5c);
    let made: Vec<Arc<Filter>> = (0..40)
        .map(|i| {
            let mut filter = any_filter(&mut c);
            filter.id = format!("made-{i}");
            filter.name = format!("Made {i}");
            Arc::new(filter)
        })
        .collect();
    let (mut meets, mut none) = (0, 0);
    for round in 0..2000 {
        let tank = any_tank(&mut c);
        let count = 1 + c.below(if round % 50 == 0 { 12 } else { 3 });
        let filters = (0..count).map(|_| {
            if c.chance(0.7) {
                Arc::clone(&demo[c.below(demo.len())].filter)
            } else {
                Arc::clone(&made[c.below(made.len())])
            }
        });
        let mut builds: Vec<(Arc<Filter>, usize)> = Vec::new();
        for filter in filters {
            if !builds.iter().any(|(known, _)| known.id == filter.id) {
                builds.extend((0..filter.builds.len()).map(|b| (Arc::clone(&filter), b)));
            }
        }
        let samples = if round % 10 == 0 { 0 } else { 16 };
        let ([short, full], rows) = replies(&builds, &tank, samples);
        sound(&short, &tank, 120);
        let units = builds.iter().map(|(filter, _)| &filter.id).collect::<std::collections::BTreeSet<_>>();
        sound(&full, &tank, if units.len() <= 4 { 350 } else { 350 + 20 * (units.len() - 4) });
        let said = prose(&short);
        meets += usize::from(said.contains("meets all"));
        // By the figures themselves, not by words: what is told to meet all does.
        let passes = |row: &cansift::assess::Assessment| {
            Limit::all(&tank)
                .iter()
                .all(|limit| limit.passes(limit.figure(row).number().unwrap_or(f64::NAN)) == Some(true))
        };
        let named = |row: &&cansift::assess::Assessment| said.contains(&row.filter);
        assert!(!said.contains("meets all") || rows.iter().filter(named).any(passes), "{said}");
        none += usize::from(said.contains("surely do"));
        if round % 40 == 0 {
            let look = Look::default();
            for written in
                [text::page(&short, look), markdown::page(&short, look), bbcode::page(&short, look)]
            {
                assert!(say::of(&written) <= 120, "{written}");
            }
        }
    }
    assert!(meets > 40 && none > 200, "each case came up: {meets} {none}");
}
