use super::change::{blank, travel};
use super::keys::{clear, nudged};
use super::*;
use crate::app::effect::Effect;
use crate::app::state::State;
use crate::app::tabs::Tab;
use crate::library::Library;
use crate::profile::{TANK_FIELDS, TankField, read_tank_texts};

fn state_with_tank() -> State {
    let tank = crate::library::demo_tanks().remove(0).tank;
    let mut state = State::new("demo", Some(tank));
    state.size = (80, 24);
    state.screen = Tab::Tank;
    sync(&mut state);
    state
}

fn at(path: &str) -> usize {
    TANK_FIELDS.iter().position(|f| f.path() == path).unwrap()
}

#[test]
fn a_name_becomes_a_file_name() {
    assert_eq!(choices::file_name("Reading-room tank!"), "reading-room-tank.ron");
    assert_eq!(choices::file_name("café / 窓"), "café-窓.ron");
    assert_eq!(choices::file_name("../.."), "tank.ron");
}

#[test]
fn every_head_is_that_of_a_field() {
    let heads = TANK_FIELDS.iter().filter_map(TankField::head).count();
    assert_eq!(heads, 9);
}

#[test]
fn what_is_said_of_a_field_left_out_is_what_the_reader_takes() {
    // Each default that the form names, against what a tank with nothing but a name reads to.
    let mut texts = blank();
    texts[0] = "bare".to_owned();
    let tank = read_tank_texts(&texts, Library::shipped()).unwrap();
    let without = |path: &str| TANK_FIELDS[at(path)].without();
    assert_eq!((without("water/temperature").as_str(), tank.water.temperature.value.get()), ("25 °C", 25.0));
    assert_eq!((without("water/tap_nitrate").as_str(), tank.water.tap_nitrate.value.get()), ("0 mg/l", 0.0));
    assert_eq!((without("water/salt").as_str(), tank.water.salt), ("fresh water", false));
    assert_eq!((without("feed/protein").as_str(), tank.food.protein.value.get()), ("0.42", 0.42));
    assert_eq!((without("plants").as_str(), tank.plants.value.get()), ("nothing", 0.0));
    assert_eq!((without("hoses/intake").as_str(), tank.hoses.suction.value.get()), ("1.5 m", 1.5));
    assert_eq!((without("hoses/return").as_str(), tank.hoses.delivery.value.get()), ("1.5 m", 1.5));
    assert_eq!((without("hoses/bends").as_str(), tank.hoses.bends.value.get()), ("2", 2.0));
    assert_eq!(tank.hoses.outlet_above_water.value.get(), 0.0);
    assert_eq!((without("aims/turnover").as_str(), tank.aims.turnover), ("4", 4.0));
    assert_eq!((without("aims/nitrate").as_str(), tank.aims.nitrate), ("25 mg/l", 25.0));
    assert_eq!(
        (without("aims/open_no_more_than_every").as_str(), tank.aims.open_no_more_than_every),
        ("6 weeks", 42.0)
    );
    assert_eq!((without("priorities").as_str(), tank.priorities.len()), ("the usual seven", 7));
    assert!(tank.water_change.is_none() && tank.on_hand.is_empty() && tank.requirements.is_empty());
}

#[test]
fn stocking_says_what_food_it_stands_for() {
    let mut state = state_with_tank();
    state.tank_form.cursor = at("stock");
    nudged(&mut state, 2);
    assert_eq!(reads_as(&state, at("stock")).unwrap(), "not used: food a day wins");
    state.tank_form.cursor = at("feed/daily");
    clear(&mut state);
    // 0.55 g a day for each 100 l of its 180 l.
    let said = reads_as(&state, at("stock")).unwrap();
    assert_eq!(said, "= 0.99 g a day, ×/÷ 2: assumed (common practice)");
    state.tank_form.cursor = at("volume");
    clear(&mut state);
    assert!(reads_as(&state, at("stock")).unwrap().contains("the volume is missing"));
}

#[test]
fn all_of_it_can_be_taken_back_and_made_again() {
    let mut state = state_with_tank();
    let first = state.tank.clone();
    state.tank_form.cursor = at("volume");
    assert_eq!(nudged(&mut state, 1), [Effect::Judge]);
    state.tank_form.chosen = 0;
    choices::start(&mut state);
    assert!(state.tank.is_none() && state.no_tank);
    assert_eq!(travel(&mut state, true), [Effect::Judge]);
    assert_eq!(state.tank_form.texts[1], "l(190)");
    travel(&mut state, true);
    assert_eq!(state.tank, first);
    assert!(!state.tank_form.changed() && !state.tank_form.can_undo());
    travel(&mut state, false);
    travel(&mut state, false);
    assert!(state.tank.is_none() && !state.tank_form.can_redo());
}
