//! A tank as a file that the program writes.

use cansift::library::{DEMO_TANKS, Library, demo_tanks};
use cansift::model::fields::{Kind, Row};
use cansift::model::tank::Tank;
use cansift::profile::{read_tank, write_tank};
use std::path::Path;

#[test]
fn every_tank_that_ships_is_written_and_read_back_equal() {
    for sound in demo_tanks().into_iter().chain(cansift::library::start_tanks()) {
        let again = read_tank(&sound.path, &write_tank(&sound.tank), Library::shipped());
        assert_eq!(again.unwrap().tank, sound.tank);
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

/// A tank with the example of each of its fields.
fn examples() -> String {
    let example = |row: &Row| {
        let value = match row.kind {
            Kind::Text if !row.like.starts_with('"') => format!("\"{}\"", row.like),
            Kind::Form(table) => {
                let inner: Vec<String> = table().rows().map(|r| format!("{}: {}", r.name, r.like)).collect();
                format!("({})", inner.join(", "))
            }
            _ => row.like.to_owned(),
        };
        format!("{}: {value},\n", row.name)
    };
    let rows: Vec<String> = Tank::TABLE.rows().filter(|row| !row.like.contains('…')).map(example).collect();
    format!("Tank(format: 1,\n{})", rows.concat())
}

#[test]
fn the_example_of_every_field_is_read() {
    let tank = read_tank(Path::new("t.ron"), &examples(), Library::shipped()).unwrap().tank;
    assert_eq!(tank.name, "reading-room tank");
    let again = read_tank(Path::new("t.ron"), &write_tank(&tank), Library::shipped());
    assert_eq!(again.unwrap().tank, tank);
}

#[test]
fn what_is_left_out_is_as_if_a_file_left_it_out() {
    let file = read_tank(Path::new("t.ron"), "Tank(format: 1, name: \"bare\")", Library::shipped()).unwrap();
    let again = read_tank(Path::new("t.ron"), &write_tank(&file.tank), Library::shipped()).unwrap();
    assert_eq!(again.tank, file.tank);
}

#[test]
fn what_is_typed_cannot_reach_into_the_next_field() {
    use cansift::profile::plain::understand;
    use cansift::units::Units;
    for typed in [
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
        assert!(understand(&Tank::plants, typed, Units::Metric).is_err(), "{typed}");
    }
    // What is put in quotes stays in them.
    let name = "say \"tank\", budget: 1 \\";
    let read = understand(&Tank::name, name, Units::Metric).unwrap();
    let text = format!("Tank(format: 1, name: {})", read.ron);
    assert_eq!(read_tank(Path::new("t.ron"), &text, Library::shipped()).unwrap().tank.name, name);
}
