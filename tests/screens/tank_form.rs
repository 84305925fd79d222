//! The form of the tank.

mod form {
    use cansift::app::tank_form::change::{blank, travel};
    use cansift::app::tank_form::keys::{clear, nudged};
    use cansift::app::tank_form::*;

    use cansift::app::effect::Effect;
    use cansift::app::state::State;
    use cansift::app::tabs::Tab;
    use cansift::library::Library;
    use cansift::profile::{TANK_FIELDS, TankField, read_tank_texts};

    fn state_with_tank() -> State {
        let tank = cansift::library::demo_tanks().remove(0).tank;
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
        assert_eq!(heads, 10);
    }

    #[test]
    fn what_is_said_of_a_field_left_out_is_what_the_reader_takes() {
        // Each default that the form names, against what a tank with nothing but a name reads to.
        let mut texts = blank();
        texts[0] = "bare".to_owned();
        let tank = read_tank_texts(&texts, Library::shipped()).unwrap();
        let without = |path: &str| TANK_FIELDS[at(path)].without();
        assert_eq!(
            (without("water/temperature").as_str(), tank.water.temperature.value.get()),
            ("25 °C", 25.0)
        );
        assert_eq!(
            (without("water/tap_nitrate").as_str(), tank.water.tap_nitrate.value.get()),
            ("0 mg/l", 0.0)
        );
        assert_eq!((without("water/salt").as_str(), tank.water.salt), ("fresh water", false));
        assert_eq!((without("feed/protein").as_str(), tank.food.protein.value.get()), ("0.42", 0.42));
        assert_eq!((without("plants").as_str(), tank.plants.value.get()), ("nothing", 0.0));
        assert_eq!((without("hoses/intake").as_str(), tank.hoses.intake.value.get()), ("1.5 m", 1.5));
        assert_eq!((without("hoses/return").as_str(), tank.hoses.return_side.value.get()), ("1.5 m", 1.5));
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
        assert_eq!(state.tank_form.texts[at("volume")], "l(190)");
        travel(&mut state, true);
        assert_eq!(state.tank, first);
        assert!(!state.tank_form.changed() && !state.tank_form.can_undo());
        travel(&mut state, false);
        travel(&mut state, false);
        assert!(state.tank.is_none() && !state.tank_form.can_redo());
    }
}

mod lists {
    use cansift::app::line::{Goal, Line as Typed};
    use cansift::app::tank_form::lists::*;
    use cansift::library::Library;

    use cansift::profile::TANK_FIELDS;

    fn at(name: &str) -> usize {
        TANK_FIELDS.iter().position(|f| f.row.name == name).unwrap()
    }

    fn completed(name: &str, before: &str) -> String {
        let mut line = Typed::new(Goal::Field(at(name)), before);
        complete(&mut line);
        line.text()
    }

    #[test]
    fn words_of_lists_complete() {
        assert_eq!(completed("requirements", "[fi"), "[fits_cabinet()");
        assert_eq!(completed("requirements", "[at_l"), "[at_least(\"");
        assert_eq!(completed("requirements", "[at_least(\"turn"), "[at_least(\"turnover\"");
        assert_eq!(completed("requirements", "[at_most(\"byp"), "[at_most(\"bypass");
        assert_eq!(completed("requirements", "[at_most(\"_year"), "[at_most(\"first_year_cost\"");
        assert_eq!(completed("on_hand", "[(\"lava"), "[(\"lava-15\"");
        assert_eq!(completed("volume", "l(1"), "l(1");
        assert_eq!(completed("name", "fi"), "fi");
    }

    #[test]
    fn what_fits_is_offered() {
        let line = Typed::new(Goal::Field(at("requirements")), "[at_most(\"bypass_");
        assert_eq!(fits_here(&line), ["bypass_dirty", "bypass_chance"]);
        let line = Typed::new(Goal::Field(at("on_hand")), "[(\"");
        assert_eq!(fits_here(&line).len(), Library::shipped().media().count());
        assert!(fits_here(&Typed::new(Goal::Field(at("volume")), "l(")).is_empty());
    }
}

mod nudge {
    use cansift::app::tank_form::nudge::*;
    use cansift::library::Library;
    use cansift::profile::TankField;
    use cansift::profile::{TANK_FIELDS, read_tank_texts};

    fn field(path: &str) -> &'static TankField {
        TANK_FIELDS.iter().find(|f| f.path() == path).unwrap()
    }

    fn up(path: &str, text: &str) -> String {
        nudged(field(path), text, 1).unwrap()
    }

    #[test]
    fn figures_go_to_the_next_round_one_in_their_own_unit() {
        assert_eq!(up("volume", "l(180)"), "l(190)");
        assert_eq!(up("volume", "l(183)"), "l(190)");
        assert_eq!(nudged(field("volume"), "l(183)", -1).unwrap(), "l(180)");
        assert_eq!(up("volume", "measured( gal_us(40) )"), "measured( gal_us(42) )");
        assert_eq!(up("hoses/intake", "m(1.3)"), "m(1.4)");
        assert_eq!(up("hoses/intake", "cm(130)"), "cm(140)");
        assert_eq!(up("hoses/intake", "ft(4)"), "ft(4.2)");
        assert_eq!(up("water/temperature", "degf(77)"), "degf(78)");
        assert_eq!(up("water/ph", "7.4"), "7.5");
        assert_eq!(up("feed/protein", "0.42"), "0.43");
        assert_eq!(nudged(field("hoses/bends"), "0", -1).unwrap(), "0");
        assert_eq!(up("volume", ""), "l(180)");
    }

    #[test]
    fn words_are_stepped_and_left_out_stands_before_them() {
        assert_eq!(
            (up("stock", ""), up("stock", "light"), up("stock", "heavy")),
            ("light".into(), "normal".into(), "heavy".into())
        );
        assert_eq!(nudged(field("stock"), "light", -1).unwrap(), "");
        assert_eq!(up("water/salt", "false"), "true");
    }

    #[test]
    fn what_is_no_single_figure_is_left_to_typing() {
        for text in ["between(l(100), l(200))", "l()", "1e3", "-4", "l(1,5)", "x"] {
            assert!(nudged(field("volume"), text, 1).is_err(), "{text}");
        }
        assert!(
            nudged(field("name"), "7", 1).is_err()
                && nudged(field("requirements"), "[fits_cabinet()]", 1).is_err()
        );
    }

    #[test]
    fn a_step_from_every_example_is_read() {
        let texts: Vec<String> = TANK_FIELDS.iter().map(|f| f.row.like.to_owned()).collect();
        for (i, f) in TANK_FIELDS.iter().enumerate() {
            for by in [-1, 1] {
                let Ok(next) = nudged(f, f.row.like, by) else { continue };
                let mut texts = texts.clone();
                texts[i] = next;
                assert!(read_tank_texts(&texts, Library::shipped()).is_ok(), "{}: {}", f.label(), texts[i]);
            }
        }
    }
}
