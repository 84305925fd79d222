//! The form of the tank.

use crate::demo::{at, form, text};
use cansift::app::effect::Effect;
use cansift::app::form as keys;
use cansift::app::tank_form;
use cansift::library::Library;
use cansift::model::fields::{Kind, Row, Table};
use cansift::model::tank::Tank;
use cansift::profile::read_tank;

#[test]
fn a_name_becomes_a_file_name() {
    assert_eq!(tank_form::file_name("Reading-room tank!"), "reading-room-tank.ron");
    assert_eq!(tank_form::file_name("café / 窓"), "café-窓.ron");
    assert_eq!(tank_form::file_name("../.."), "tank.ron");
}

/// What the form says of a field that is left out.
fn without(path: &str) -> String {
    fn find(table: &'static Table, path: &[&str]) -> &'static Row {
        let row = table.rows().find(|row| row.name == path[0]).unwrap();
        match (row.kind, path.get(1)) {
            (Kind::Form(inner), Some(_)) => find(inner(), &path[1..]),
            _ => row,
        }
    }
    find(Tank::TABLE, &path.split('/').collect::<Vec<_>>()).left_out()
}

#[test]
fn what_is_said_of_a_field_left_out_is_what_the_reader_takes() {
    // Each default that the form names, against what a tank with nothing but a name reads to.
    let tank =
        read_tank("t.ron".as_ref(), "Tank(format: 1, name: \"bare\")", Library::shipped()).unwrap().tank;
    assert_eq!((without("water/temperature").as_str(), tank.water.temperature.value.get()), ("25 °C", 25.0));
    assert_eq!((without("water/tap_nitrate").as_str(), tank.water.tap_nitrate.value.get()), ("0 mg/l", 0.0));
    assert_eq!((without("water/salt").as_str(), tank.water.salt), ("fresh water", false));
    assert_eq!((without("feed/protein").as_str(), tank.food.protein.value.get()), ("0.42", 0.42));
    assert_eq!((without("plants").as_str(), tank.plants.value.get()), ("nothing", 0.0));
    assert_eq!((without("hoses/intake").as_str(), tank.hoses.intake.value.get()), ("1.5 m", 1.5));
    assert_eq!((without("hoses/return").as_str(), tank.hoses.return_side.value.get()), ("1.5 m", 1.5));
    assert_eq!((without("hoses/bends").as_str(), tank.hoses.bends.value.get()), ("2", 2.0));
    assert_eq!(tank.hoses.outlet_above_water.value.get(), 0.0);
    assert_eq!((without("aims/turnover").as_str(), tank.aims.turnover), ("4", 4.0));
    assert_eq!((without("aims/nitrate").as_str(), tank.aims.nitrate), ("25 mg/l", 25.0));
    let weeks = tank.aims.open_no_more_than_every;
    assert_eq!((without("aims/open_no_more_than_every").as_str(), weeks), ("6 weeks", 42.0));
    assert_eq!((without("priorities").as_str(), tank.priorities.len()), ("the usual seven", 7));
    assert!(tank.water_change.is_none() && tank.on_hand.is_empty() && tank.requirements.is_empty());
}

#[test]
fn all_of_it_can_be_taken_back_and_made_again() {
    let mut state = form((80, 24));
    let first = state.tank.clone();
    let volume = at(&state, "volume");
    state.tank_form.form.as_mut().unwrap().list.cursor = volume;
    state.effects.clear();
    keys::step(&mut state, 1);
    assert_eq!(std::mem::take(&mut state.effects), [Effect::Judge]);
    state.tank_form.chosen = 0;
    tank_form::start(&mut state);
    assert!(state.tank.is_none() && state.no_tank);
    state.effects.clear();
    keys::travel(&mut state, true);
    assert_eq!(state.effects, [Effect::Judge]);
    assert_eq!(text(&state, "volume"), "l(190)");
    keys::travel(&mut state, true);
    assert_eq!(state.tank, first);
    assert!(!state.tank_form.changed() && keys::undoes(&state).is_err());
    keys::travel(&mut state, false);
    keys::travel(&mut state, false);
    assert!(state.tank.is_none() && keys::redoes(&state).is_err());
}
