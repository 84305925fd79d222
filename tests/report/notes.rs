//! Notes on builds: each one appears where it should, carries its figure, and is one sentence.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use cansift::assess::findings::Note;
use cansift::assess::judge;
use cansift::library::Library;
use cansift::measures::Measure;
use cansift::model::filter::Filter;
use cansift::model::tank::{Stock, Tank};
use cansift::model::tray::{Amount, Layer};
use cansift::profile::{read_filter, read_tank};
use cansift::report::figures::{self, Units};
use cansift::report::wording;
use cansift::units::{Length, Mass, Plain, Volume};

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(name)
}

fn filter(name: &str) -> Filter {
    let path = demo(name);
    let text = fs::read_to_string(&path).expect("readable");
    Filter::clone(&read_filter(&path, &text, Library::shipped()).expect("a sound profile").filter)
}

fn room() -> Tank {
    let path = demo("tanks/reading-room.ron");
    let text = fs::read_to_string(&path).expect("readable");
    Tank::clone(&read_tank(&path, &text, Library::shipped()).expect("a sound tank").tank)
}

fn metric(note: &Note) -> String {
    figures::said(&wording::notes::note(note), Units::Metric)
}

fn all(notes: &[Note]) -> Vec<String> {
    notes.iter().map(metric).collect()
}

fn notes(filter: &Filter, build: usize, tank: Option<&Tank>) -> Vec<Note> {
    judge(filter, build, tank).notes
}

/// Puts a medium of the library on top of the last tray of a build.
fn with(mut filter: Filter, build: usize, medium: &str, litres: f64) -> Filter {
    let mut layer = filter.builds[build].trays[0][0].clone();
    layer.medium = Arc::clone(Library::shipped().medium(medium).expect("in the library"));
    let key = cansift::uncertainty::key::Key::named("test");
    layer.amount =
        Amount::Volume(cansift::uncertainty::uncertain::Uncertain::exact(Volume::of(litres * 1e-3), key));
    let layer = Layer { slack: None, hole: None, squeezed: None, dimples: None, ..layer };
    filter.builds[build].trays.last_mut().unwrap().push(layer);
    filter
}

#[test]
fn a_build_as_bought_tells_what_matters() {
    let (tamsin, tank) = (filter("tamsin-1100.ron"), room());
    let told = all(&notes(&tamsin, 0, Some(&tank)));
    insta::assert_snapshot!("as_bought", told.join("\n"));
    let told = all(&notes(&tamsin, 1, Some(&tank)));
    insta::assert_snapshot!("restacked", told.join("\n"));
}

#[test]
fn every_note_of_the_demo_is_one_sentence() {
    let tank = room();
    let mut files: Vec<_> = fs::read_dir(demo("")).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "ron"));
    files.sort();
    let mut all = String::new();
    for path in files {
        let filter = filter(path.file_name().unwrap().to_str().unwrap());
        for build in 0..filter.builds.len() {
            for tank in [Some(&tank), None] {
                for note in notes(&filter, build, tank) {
                    let words = metric(&note);
                    assert!(
                        words.ends_with('.') && !words.contains("  ") && !words.contains("NaN"),
                        "{words}"
                    );
                    assert!(!words.trim_end_matches('.').contains(". "), "more than one sentence: {words}");
                    all += &words;
                }
            }
        }
    }
    assert!(
        all.contains("floor last") || all.contains("settle on the floor"),
        "the demo has a falling filter"
    );
}

#[test]
fn without_a_tank_it_says_what_is_assumed() {
    let words = metric(&notes(&filter("tamsin-1100.ron"), 0, None)[0]);
    assert!(words.contains("1.5 m") && words.contains("2 bends") && words.contains("25 °C"), "{words}");
}

#[test]
fn salt_water_is_said_and_so_is_a_medium_that_does_not_belong_there() {
    let mut tank = room();
    let build = with(filter("tamsin-1100.ron"), 0, "zeolite-5", 0.3);
    let fresh_only = |n: &Note| matches!(n, Note::FreshwaterOnly { medium } if medium.starts_with("zeolite"));
    assert!(!notes(&build, 0, Some(&tank)).iter().any(fresh_only));
    tank.water.salt = true;
    let found = notes(&build, 0, Some(&tank));
    assert!(found.contains(&Note::SaltAsFresh) && found.iter().any(fresh_only), "{found:?}");
}

#[test]
fn mains_that_differ_are_said_with_the_affinity_laws() {
    let (tamsin, mut tank) = (filter("tamsin-1100.ron"), room());
    assert!(!notes(&tamsin, 0, Some(&tank)).iter().any(|n| matches!(n, Note::MainsDiffer { .. })));
    tank.hz.as_mut().unwrap().value = Plain::of(60.0);
    let found = notes(&tamsin, 0, Some(&tank));
    let words = metric(found.iter().find(|n| matches!(n, Note::MainsDiffer { .. })).unwrap());
    // 60/50 = 1.2, squared 1.44, cubed 1.728.
    assert!(words.contains("× 1.2,") && words.contains("× 1.44") && words.contains("× 1.73"), "{words}");
}

#[test]
fn food_from_stocking_is_said_to_be_a_guess() {
    let (tamsin, mut tank) = (filter("tamsin-1100.ron"), room());
    tank.stock = Some(Stock::Normal);
    tank.food.daily = None;
    let found = notes(&tamsin, 0, Some(&tank));
    // 0.55 g per 100 l a day in 180 l.
    let note = Note::FeedFromStock { stock: Stock::Normal, grams: 0.99 };
    let words = metric(&note);
    assert!(found.iter().any(|n| metric(n) == words), "{found:?}");
    assert!(words.contains("common practice") && words.contains("0.99 g"), "{words}");
}

#[test]
fn chemical_media_that_are_spent_before_service() {
    let mut tank = room();
    tank.stock = Some(Stock::Light);
    tank.food.daily = None;
    let build = with(filter("tamsin-1100.ron"), 1, "carbon-3", 0.2);
    let service = judge(&build, 1, Some(&tank)).outcome(Measure::OpeningInterval).number().unwrap();
    let lasts = Library::shipped().medium("carbon-3").unwrap().life.as_ref().unwrap().si() / 86_400.0;
    let said = notes(&build, 1, Some(&tank)).iter().any(|n| matches!(n, Note::SpentBeforeService { .. }));
    assert_eq!(said, lasts < service, "lasts {lasts}, service {service}");
}

#[test]
fn a_heavy_vessel_is_lifted_with_care() {
    let (mut tamsin, tank) = (filter("tamsin-1100.ron"), room());
    // With its water and media it weighs about 8 kg more than dry; from 20 kg on it is a lift for two.
    for dry in [4.2, 11.0] {
        tamsin.body.dry_mass.as_mut().unwrap().value = Mass::of(dry);
        assert!(!notes(&tamsin, 0, Some(&tank)).iter().any(|n| matches!(n, Note::Heavy { .. })), "{dry}");
    }
    tamsin.body.dry_mass.as_mut().unwrap().value = Mass::of(13.0);
    let found = notes(&tamsin, 0, Some(&tank));
    let words = metric(found.iter().find(|n| matches!(n, Note::Heavy { .. })).unwrap());
    assert!(words.contains("lift it with care"), "{words}");
}

#[test]
fn a_stopped_pump_and_media_that_are_never_cleaned_all_at_once() {
    let (tamsin, tank) = (filter("tamsin-1100.ron"), room());
    let found = notes(&tamsin, 1, Some(&tank));
    let hours =
        found.iter().find_map(|n| if let Note::PumpStops { hours } = n { Some(*hours) } else { None });
    assert!(hours.is_some_and(|h| h > 0.1 && h < 24.0), "{found:?}");
    let litres = judge(&tamsin, 1, Some(&tank)).outcome(Measure::BioMedia).number().unwrap();
    assert!(found.contains(&Note::NeverAllAtOnce { litres }), "{found:?}");
    assert!(!notes(&tamsin, 0, Some(&tank)).iter().any(|n| matches!(n, Note::NeverAllAtOnce { .. })));
}

#[test]
fn a_medium_that_may_float_is_named_with_its_place() {
    let floats = Library::shipped().media().find(|m| m.floats).expect("one that floats").id.clone();
    let build = with(filter("tamsin-1100.ron"), 0, &floats, 0.3);
    let found = notes(&build, 0, Some(&room()));
    assert!(
        found.iter().any(|n| matches!(n, Note::Floats { at, .. } if at == "tray 3, layer 2")),
        "{found:?}"
    );
}

#[test]
fn an_outlet_the_pump_cannot_reach_leaves_no_word_of_flow() {
    let (tamsin, mut tank) = (filter("tamsin-1100.ron"), room());
    tank.hoses.outlet_above_water.value = Length::of(3.0);
    for note in notes(&tamsin, 0, Some(&tank)) {
        let of_flow = matches!(
            note,
            Note::LabelAbove { .. }
                | Note::LittleTurnover { .. }
                | Note::MostPasses { .. }
                | Note::ByTheCalendar
        );
        assert!(!of_flow, "{note:?}");
    }
}
