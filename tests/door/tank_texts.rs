//! A tank as the texts of a form.

use cansift::library::Library;
use cansift::library::{DEMO_TANKS, demo_tanks};
use cansift::profile::read_tank;
use cansift::profile::tank::TANK_FIELDS;
use cansift::profile::tank_form::*;
use cansift::profile::{tank_texts, write_tank, write_tank_texts};
use std::path::Path;

fn texts() -> Vec<String> {
    tank_texts(&demo_tanks().remove(0).tank)
}

fn at(path: &str) -> usize {
    TANK_FIELDS.iter().position(|f| f.path() == path).unwrap()
}

/// The problem of one field of an otherwise sound form.
fn refused(path: &str, text: &str) -> FieldProblem {
    let mut texts = texts();
    texts[at(path)] = text.to_owned();
    let mut problems = read_tank_texts(&texts, Library::shipped()).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.remove(0)
}

#[test]
fn every_tank_that_ships_is_written_and_read_back_equal() {
    for sound in demo_tanks().into_iter().chain(cansift::library::start_tanks()) {
        let again = read_tank(&sound.path, &write_tank(&sound.tank), Library::shipped());
        assert_eq!(again.unwrap().tank, sound.tank);
        assert_eq!(read_tank_texts(&tank_texts(&sound.tank), Library::shipped()), Ok((*sound.tank).clone()));
    }
    assert_eq!(demo_tanks().len(), DEMO_TANKS.len());
}

#[test]
fn a_file_reads_well() {
    let file = write_tank(&demo_tanks().remove(0).tank);
    for line in [
        "    name: \"reading-room tank\",\n    volume: l(180),\n",
        "    water: Water(temperature: degc(25), ph: 7.4, tap_nitrate: 10, salt: false),\n",
        "    feed: Feed(daily: g_day(3.5), protein: 0.42),\n",
        "    cabinet: (width: mm(400), depth: mm(350), height: mm(600)),\n",
        "open_no_more_than_every: week(6)",
        "    on_hand: [(\"ceramic-ring-12\", l(2))],\n",
    ] {
        assert!(file.contains(line), "{line} in\n{file}");
    }
}

#[test]
fn the_example_of_every_field_is_read() {
    let texts: Vec<String> = TANK_FIELDS.iter().map(|f| f.row.like.to_owned()).collect();
    let tank = read_tank_texts(&texts, Library::shipped()).unwrap();
    assert_eq!(tank.name, "reading-room tank");
    let again = read_tank(Path::new("t.ron"), &write_tank_texts(&texts), Library::shipped());
    assert_eq!(*again.unwrap().tank, tank);
}

#[test]
fn a_problem_comes_back_to_its_field_and_spot() {
    let bare = refused("volume", " 180");
    assert_eq!((bare.field, bare.problem.column), (at("volume"), 2));
    assert!(bare.problem.message.contains("no unit") && bare.problem.help.unwrap().contains("l(180)"));
    let unit = refused("hoses/intake", "l(2)");
    assert!(unit.problem.message.contains("unit of volume"), "{unit:?}");
    let word = refused("stock", "hevy");
    assert!(word.problem.help.unwrap().contains("heavy"));
    let far = refused("water/temperature", "between(degc(20), degc(90))");
    assert!(far.problem.message.contains("expected 1 to 40"), "{far:?}");
    let medium = refused("on_hand", "[(\"foam-21\", l(2))]");
    assert!(medium.problem.help.unwrap().contains("foam-2"));
    let key = refused("requirements", "[at_least(\"turnovr\", 3)]");
    assert!(key.problem.help.unwrap().contains("turnover"));
    assert!(refused("name", "").problem.message.contains("name is missing"));
    assert_eq!(refused("water_change/every", "").field, at("water_change/every"));
    assert!(refused("name", "a\u{202e}b").problem.message.contains("invisible"));
}

#[test]
fn a_field_cannot_reach_into_the_next() {
    for text in [
        "0.5, budget: 3",
        "0.5)",
        "0.5 // all",
        "(0.5",
        "0.5 /* x",
        "\"",
        "0.5 0.6",
        "/* x */ 0.5",
        ")",
        ",",
        "0.5\nhz: 60",
    ] {
        let told = refused("plants", text);
        assert_eq!(told.field, at("plants"), "{text}");
    }
    // What is put in quotes stays in them.
    let mut texts = texts();
    texts[0] = "say \"tank\", budget: 1 \\".to_owned();
    assert_eq!(read_tank_texts(&texts, Library::shipped()).unwrap().name, texts[0]);
}

#[test]
fn what_is_left_out_is_as_if_a_file_left_it_out() {
    let mut texts = vec![String::new(); TANK_FIELDS.len()];
    texts[0] = "bare".to_owned();
    let tank = read_tank_texts(&texts, Library::shipped()).unwrap();
    let file = read_tank(Path::new("t.ron"), "Tank(format: 1, name: \"bare\")", Library::shipped()).unwrap();
    assert_eq!(tank, *file.tank);
    assert_eq!(*read_tank(Path::new("t.ron"), &write_tank(&tank), Library::shipped()).unwrap().tank, tank);
}
