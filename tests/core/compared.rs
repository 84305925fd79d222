//! Which of two is better, why, and how stacks and words align.

mod better {
    use cansift::compare::better::*;
    use cansift::measures::Better;

    #[test]
    fn the_same_draws_cannot_be_told_apart() {
        let a = [1.0, 2.0, 3.0];
        for way in [Better::More, Better::Less, Better::ToAim, Better::Yes] {
            assert_eq!(odds(&a, &a, way, Some(2.0)), Some(Odds { chance: 0.5, better: None, untold: 0 }));
        }
        let rounded = a.map(|x| x * (1.0 + 1e-13));
        assert_eq!(odds(&rounded, &a, Better::More, None).unwrap().chance, 0.5);
        assert_eq!(odds(&[], &[], Better::More, None), None);
    }

    #[test]
    fn eight_of_ten_is_the_bound() {
        let mut a = [1.0; 10];
        let b = [2.0, 2.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        let v = odds(&a, &b, Better::More, None).unwrap();
        assert_eq!((v.chance, v.better), (0.8, Some(Side::First)));
        let v = odds(&a, &b, Better::Less, None).unwrap();
        assert_eq!((v.chance, v.better), (0.2, Some(Side::Second)));
        assert_eq!(1.0 - v.chance, 0.8);
        a[9] = 0.0;
        let v = odds(&a, &b, Better::More, None).unwrap();
        assert_eq!((v.chance, v.better), (0.75, None));
    }

    #[test]
    fn beyond_the_aim_nothing_is_gained() {
        let v = odds(&[5.0; 4], &[9.0; 4], Better::ToAim, Some(4.0)).unwrap();
        assert_eq!((v.chance, v.better), (0.5, None));
        let v = odds(&[3.0; 4], &[9.0; 4], Better::ToAim, Some(4.0)).unwrap();
        assert_eq!((v.chance, v.better), (0.0, Some(Side::Second)));
        let v = odds(&[3.0; 4], &[9.0; 4], Better::ToAim, None).unwrap();
        assert_eq!(v.better, Some(Side::Second));
    }

    #[test]
    fn what_cannot_be_told_counts_half_and_is_counted() {
        let v = odds(&[f64::NAN, 1.0, 2.0, 3.0], &[0.0, f64::NAN, 0.0, 0.0], Better::More, None).unwrap();
        assert_eq!((v.chance, v.better, v.untold), (0.75, None, 2));
    }
}

mod utility {

    use cansift::compare::utility::*;
    use cansift::measures::{Better, Measure};
    use cansift::model::tank::Tank;
    use cansift::model::tank::{Food, Run, Water};

    use cansift::uncertainty::key::Key;
    use cansift::uncertainty::uncertain::Uncertain;
    use cansift::units::{Length, Plain, Temperature, Volume};

    fn tank(litres: Option<f64>, weights: &[(&str, f64)]) -> Tank {
        let key = || Key::named("tank/x");
        let plain = |x: f64| Uncertain::exact(Plain::of(x), key());
        let metres = |x: f64| Uncertain::exact(Length::of(x), key());
        let text = "Tank(format: 1, name: \"bare\")";
        let read = cansift::profile::read_tank(
            std::path::Path::new("bare.ron"),
            text,
            cansift::library::Library::shipped(),
        );
        let bare = (*read.unwrap().tank).clone();
        Tank {
            name: "reading-room tank".into(),
            volume: litres.map(|l| Uncertain::exact(Volume::of(l / 1000.0), key())),
            water: Water {
                temperature: Uncertain::exact(Temperature::of(298.15), key()),
                ph: None,
                tap_nitrate: plain(0.0),
                salt: false,
            },
            food: Food { daily: None, protein: plain(0.42) },
            plants: plain(0.0),
            hoses: Run {
                intake: metres(1.5),
                return_side: metres(1.5),
                bends: plain(2.0),
                outlet_above_water: metres(0.0),
            },
            budget: Some(100.0),
            currency: "EUR".into(),
            priorities: weights.iter().map(|(key, w)| ((*key).to_owned(), *w)).collect(),
            ..bare
        }
    }

    /// Half way between the ends of the model's table, for 180 l and the usual aims (4 volumes an hour, 25 mg/l,
    /// 42 days, a budget of 100), by hand.
    #[test]
    fn half_way_is_worth_a_half() {
        let tank = tank(Some(180.0), &[]);
        for (measure, half) in [
            (Measure::FilteredFlow, 405.0),
            (Measure::Flow, 450.0),
            (Measure::Turnover, 2.5),
            (Measure::Bypass, 0.25),
            (Measure::BypassDirty, 0.25),
            (Measure::BypassChance, 0.5),
            (Measure::AmmoniaCapacity, 1.25),
            (Measure::Nitrate, 50.0),
            (Measure::RuleOfThumbTank, 90.0),
            (Measure::OpeningInterval, 24.5),
            (Measure::UvDose, 5.5),
            (Measure::RepairCost, 125.0),
            (Measure::FirstYearCost, 125.0),
            (Measure::OrderFaults, 1.5),
            (Measure::FullWeight, 15.0),
        ] {
            let ends = Ends::of(measure, &tank).unwrap();
            assert!((ends.worth(half) - 0.5).abs() < 1e-12, "{measure:?} {}", ends.worth(half));
            let (few, many) = if measure.row().better == Better::Less { (1.0, 0.0) } else { (0.0, 1.0) };
            assert_eq!((ends.worth(-1e9), ends.worth(1e9), ends.worth(f64::NAN)), (few, many, 0.0));
        }
        for measure in
            [Measure::TraySpace, Measure::Media, Measure::Power, Measure::OxygenOut, Measure::FitsCabinet]
        {
            assert_eq!(Ends::of(measure, &tank), None);
        }
        assert_eq!(Ends::of(Measure::FilteredFlow, &self::tank(None, &[])), None);
    }

    #[test]
    fn aims_that_turn_the_line_round_make_a_step() {
        let mut tank = tank(Some(180.0), &[]);
        tank.aims.open_no_more_than_every = 5.0;
        let ends = Ends::of(Measure::OpeningInterval, &tank).unwrap();
        assert_eq!((ends.worth(4.9), ends.worth(5.0), ends.worth(7.0)), (0.0, 1.0, 1.0));
        tank.budget = Some(0.0);
        let ends = Ends::of(Measure::RepairCost, &tank).unwrap();
        assert_eq!((ends.worth(0.0), ends.worth(0.01)), (1.0, 0.0));
    }

    #[test]
    fn other_measures_run_from_the_worst_to_the_best_of_those_compared() {
        let weights =
            [("power", 1.0), ("tray_space", 2.0), ("flow", 0.0), ("nonsense", 1.0), ("media", f64::NAN)];
        let criteria = criteria(&tank(Some(180.0), &weights));
        let keys: Vec<_> = criteria.iter().map(|c| (c.measure.key(), c.weight)).collect();
        assert_eq!(keys, [("power", 1.0), ("tray_space", 2.0)]);
        let nominal = [vec![10.0, 6.0], vec![30.0, 6.0], vec![f64::NAN, f64::NAN]];
        let drawn = [10.0, 20.0, 30.0, 40.0];
        let six = [6.0];
        let untold = [f64::NAN];
        let draws: [Vec<&[f64]>; 3] = [vec![&drawn, &six], vec![&drawn[..2], &six], vec![&untold, &untold]];
        let worth = Worth::new(&criteria, &nominal, &draws);
        assert_eq!(worth.nominal, [[1.0, 1.0], [0.0, 1.0], [0.0, 0.0]]);
        assert_eq!(worth.samples, 4);
        assert_eq!(worth.draws[0][0], [1.0, 0.5, 0.0, 0.0]);
        // A column too short cannot be told from there on.
        assert_eq!(worth.draws[1][0], [1.0, 0.5, 0.0, 0.0]);
        assert_eq!(worth.draws[1][1], [1.0; 4]);
        assert_eq!(worth.draws[2], [[0.0; 4], [0.0; 4]]);
    }

    #[test]
    fn a_build_no_better_anywhere_and_worse_somewhere_is_dominated() {
        let criteria = criteria(&tank(Some(180.0), &[("turnover", 1.0), ("nitrate", 1.0), ("uv_dose", 1.0)]));
        let nominal = [
            vec![6.0, 50.0, f64::NAN],
            vec![4.0, 60.0, f64::NAN], // the aim is 4: no worse in turnover, worse in nitrate
            vec![4.0, 70.0, 3.0],      // the only one with a lamp
            vec![5.0, 50.0, f64::NAN], // as good as the first
        ];
        assert_eq!(dominated(&criteria, &nominal), [None, Some(0), None, None]);
    }
}

mod align {

    use cansift::compare::align::*;

    fn stack(names: &[(&str, &str)]) -> Vec<Step> {
        names
            .iter()
            .map(|(place, medium)| Step {
                place: (*place).to_owned(),
                medium: (*medium).to_owned(),
                says: (*medium).to_owned(),
            })
            .collect()
    }

    fn aligned(stacks: &[&[(&str, &str)]]) -> Vec<String> {
        let mut rows = Vec::new();
        for (n, names) in stacks.iter().enumerate() {
            rows = merge(rows, stack(names), n);
        }
        rows.iter()
            .map(|row| {
                assert_eq!(row.steps.len(), stacks.len());
                let cells: Vec<&str> =
                    row.steps.iter().map(|s| s.as_ref().map_or("-", |s| s.medium.as_str())).collect();
                cells.join(" ")
            })
            .collect()
    }

    #[test]
    fn the_same_media_stand_side_by_side() {
        let bought = [("tray 1", "foam-20"), ("tray 2", ""), ("tray 3", "floss")];
        let restacked =
            [("floor", "rings"), ("tray 1", "foam-10"), ("tray 1", "foam-20"), ("tray 2", "sintered")];
        assert_eq!(
            aligned(&[&bought, &restacked]),
            ["- rings", "- foam-10", "foam-20 foam-20", " sintered", "floss -"]
        );
    }

    #[test]
    fn like_stacks_have_no_differing_row() {
        let one = [("floor", "rings"), ("tray 1", "foam-20")];
        let rows = merge(merge(Vec::new(), stack(&one), 0), stack(&one), 1);
        assert!(rows.iter().all(|r| !r.differs()));
        let moved = [("floor", "rings"), ("tray 2", "foam-20")];
        let rows = merge(merge(Vec::new(), stack(&one), 0), stack(&moved), 1);
        assert_eq!(rows.iter().filter(|r| r.differs()).count(), 1);
    }

    #[test]
    fn every_step_of_every_build_appears_once_and_in_order() {
        // Whatever the stacks, reading down one column gives that build's own stack.
        let media = ["a", "b", "c", ""];
        let mut seed = 7_u32;
        let mut next = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 16) as usize
        };
        for _ in 0..200 {
            let stacks: Vec<Vec<Step>> = (0..4)
                .map(|_| {
                    let names: Vec<(&str, &str)> =
                        (0..next() % 6).map(|_| ("tray 1", media[next() % media.len()])).collect();
                    stack(&names)
                })
                .collect();
            let rows = stacks.iter().enumerate().fold(Vec::new(), |rows, (n, s)| merge(rows, s.clone(), n));
            for (n, s) in stacks.iter().enumerate() {
                let column: Vec<Step> = rows.iter().filter_map(|r| r.steps[n].clone()).collect();
                assert_eq!(&column, s);
            }
        }
    }
}

mod shapley {
    use cansift::compare::shapley::*;

    fn amounts(why: &Why) -> Vec<f64> {
        why.shares.iter().map(|s| s.amount).collect()
    }

    #[test]
    fn a_group_that_does_not_differ_gets_nothing_and_costs_no_run() {
        let groups = vec![Group::new("pump", 1), Group::new("hoses", 0), Group::new("stack", 4)];
        let mut asked = Vec::new();
        let told = why(groups, |bits| {
            asked.push(bits);
            100.0 + 0.1 * f64::from(bits) + if bits == 5 { 0.3 } else { 0.0 }
        })
        .unwrap();
        assert_eq!(asked, [0, 1, 4, 5]);
        assert_eq!(told.shares[1].amount, 0.0);
        assert!((told.second - told.first - amounts(&told).iter().sum::<f64>()).abs() < 1e-12);
        // By hand: each alone, and half of what only both give.
        assert!((told.shares[0].amount - 0.25).abs() < 1e-12 && (told.shares[2].amount - 0.55).abs() < 1e-12);
    }

    #[test]
    fn merged_groups_are_swapped_together_and_say_so() {
        let both = Group::merged(&[Group::new("trays", 2), Group::new("seals", 0), Group::new("stack", 8)]);
        assert_eq!(both.label(), "trays, seals and stack");
        assert_eq!(Group::merged(&[Group::new("pump", 1)]).label(), "pump");
        let mut asked = Vec::new();
        let told = why(vec![both], |bits| {
            asked.push(bits);
            f64::from(bits)
        })
        .unwrap();
        assert_eq!(asked, [0, 10]);
        assert_eq!(amounts(&told), [10.0]);
    }

    #[test]
    fn what_cannot_be_told_is_said() {
        let groups = || vec![Group::new("pump", 1), Group::new("stack", 2)];
        assert_eq!(why(groups(), |bits| if bits == 2 { f64::NAN } else { 1.0 }), Err(Untold::NoFigure(2)));
        let many = (0..9).map(|i| Group::new("g", 1 << i)).collect();
        assert_eq!(why(many, |_| 0.0), Err(Untold::TooManyGroups(9)));
        let alike = why(vec![Group::new("pump", 0)], |_| 3.0).unwrap();
        assert_eq!((alike.first, alike.second, amounts(&alike)), (3.0, 3.0, vec![0.0]));
    }
}

mod words {
    use cansift::compare::align::words::{figure, number};
    use cansift::compare::align::{Field, fields};
    use cansift::library::demo;
    use cansift::model::fields::{Dimension, Known, row};
    use cansift::uncertainty::uncertain::{Provenance, Spread};
    use cansift::units::{Flow, Length, Plain, Quantity, Time};

    fn said<Q: Quantity>(si: f64, known: Provenance, spread: Spread, unit: &'static str) -> String {
        let known = Known { si, known, spread, of: Dimension::of::<Q>() };
        figure(&known, &row("a figure").range(0.0, if unit.is_empty() { 1.0 } else { 1e9 }, unit))
    }

    #[test]
    fn figures_read_as_a_person_writes_them() {
        let exact = Spread::Exact;
        assert_eq!(said::<Length>(0.016, Provenance::Stated, exact, "mm"), "16 mm");
        assert_eq!(said::<Length>(0.0125, Provenance::Measured, exact, "mm"), "12.5 mm (measured)");
        assert_eq!(said::<Length>(0.00005, Provenance::Stated, exact, "mm"), "0.05 mm");
        let between = Spread::Uniform { low: 0.0005, high: 0.002 };
        assert_eq!(said::<Length>(0.00125, Provenance::Between, between, "mm"), "0.5 to 2 mm");
        assert_eq!(said::<Flow>(1100.0 / 3.6e6, Provenance::Stated, exact, "l_h"), "1100 l/h");
        assert_eq!(said::<Time>(62.0, Provenance::Guessed, exact, "s"), "62 s (guessed)");
        assert_eq!(said::<Plain>(0.45, Provenance::Stated, exact, ""), "45 %");
        assert_eq!(number(-0.000_001), "0");
    }

    #[test]
    fn the_table_of_fields_words_every_input_but_the_layers() {
        let told: Vec<Vec<Field>> = demo().filters.iter().map(|f| fields(&[(&f.filter, 0)])).collect();
        let of = |name: &str, path: &str| -> Option<&str> {
            let mine = told.iter().find(|fields| fields[0].values[0].as_deref() == Some(name)).unwrap();
            mine.iter().find(|field| field.path == path).and_then(|field| field.values[0].as_deref())
        };
        for (path, says) in [
            ("build", "school stack"),
            ("label, flow", "1400 l/h"),
            ("pump, curve", "between its ends, flow without head 1400 l/h, head without flow 2 m"),
            ("hose, wall", "ribbed, pitch 4 mm (measured)"),
            ("intake 1", "strainer, diameter 28 mm, length 90 mm, open 30 %"),
            ("return 3", "outlet jet, bore 12 mm"),
            ("body, floor, outline", "round, diameter 225 mm, less round, diameter 32 mm"),
            ("tray 3, seal", "worn, gap 0.6 mm (guessed)"),
            ("handling, priming", "by a push button"),
        ] {
            assert_eq!(of("Bramtoft 1400", path), Some(says), "{path}");
        }
        assert_eq!(of("Dunlow 300", "unit, impeller"), None);
        assert!(
            told.iter()
                .flatten()
                .all(|field| !field.path.is_empty() && field.values[0] != Some(String::new()))
        );
    }
}

/// Verdicts by the rule: the same where nine of ten differences are what a keeper calls the same; better or worse where
/// nine of ten lie on that side and the middle one is more than that.
mod verdicts {
    use cansift::compare::better::{Call, verdict};
    use cansift::measures::Measure;

    fn call(first: &[f64], second: &[f64], measure: Measure) -> Call {
        verdict(first, second, measure, None).unwrap().call
    }

    #[test]
    fn what_no_keeper_feels_is_the_same() {
        // 679 and 678 l/h: within 5 %, however sure the cases are of the one.
        assert_eq!(call(&[679.0; 10], &[678.0; 10], Measure::Flow), Call::Same);
        assert_eq!(call(&[679.0; 10], &[600.0; 10], Measure::Flow), Call::Worse);
        assert_eq!(call(&[600.0; 10], &[679.0; 10], Measure::Flow), Call::Better);
        // 2 days or 20 %, whichever is more.
        assert_eq!(call(&[5.0; 10], &[6.9; 10], Measure::OpeningInterval), Call::Same);
        assert_eq!(call(&[50.0; 10], &[59.0; 10], Measure::OpeningInterval), Call::Same);
        assert_eq!(call(&[50.0; 10], &[70.0; 10], Measure::OpeningInterval), Call::Better);
        // Points of bypass: less is better.
        assert_eq!(call(&[0.02; 10], &[0.04; 10], Measure::Bypass), Call::Same);
        assert_eq!(call(&[0.02; 10], &[0.30; 10], Measure::Bypass), Call::Worse);
    }

    #[test]
    fn nine_in_ten_make_a_verdict_and_eight_do_not() {
        let first = [1.0; 10];
        let with = |worse: usize| {
            let mut second = [2.0; 10];
            second[..worse].fill(0.2);
            verdict(&first, &second, Measure::Clearing, None).unwrap()
        };
        assert_eq!((with(1).call, with(1).of_100), (Call::Better, 90.0));
        assert_eq!((with(2).call, with(2).of_100), (Call::Unsure, 80.0));
        let unsure = with(2);
        assert!(unsure.low < 0.0 && unsure.high > 0.0 && unsure.middle == 1.0, "{unsure:?}");
        // On one side in every case, but the middle one is nothing to a keeper.
        let mut second = [1.05; 10];
        second[..3].fill(1.5);
        assert_eq!(call(&first, &second, Measure::Clearing), Call::Unsure);
    }

    #[test]
    fn beyond_the_aim_two_are_the_same_and_what_cannot_be_told_counts_for_neither() {
        let told = verdict(&[5.0; 4], &[9.0; 4], Measure::Turnover, Some(4.0)).unwrap();
        assert_eq!((told.call, told.cases), (Call::Same, 4));
        let told = verdict(&[f64::NAN, 1.0, 1.0], &[1.0, 3.0, 3.0], Measure::Clearing, None).unwrap();
        assert_eq!((told.call, told.cases, told.untold), (Call::Better, 2, 1));
        assert_eq!(verdict(&[f64::NAN], &[1.0], Measure::Clearing, None), None);
    }

    #[test]
    fn sure_of_the_side_alone_is_by_little_and_ties_make_nothing_sure() {
        let told = verdict(&[1.0; 10], &[1.05; 10], Measure::Clearing, None).unwrap();
        assert!(told.call == Call::Same && !told.little);
        let mut second = [1.05; 10];
        second[..3].fill(1.5);
        let told = verdict(&[1.0; 10], &second, Measure::Clearing, None).unwrap();
        assert!(told.call == Call::Unsure && told.little, "{told:?}");
        // Eight of ten far below, two alike at the end of the horizon: the side is in doubt, not the size.
        let mut second = [60.0; 10];
        second[..2].fill(182.0);
        let told = verdict(&[182.0; 10], &second, Measure::OpeningInterval, None).unwrap();
        assert!(told.call == Call::Unsure && !told.little && told.of_100 == 80.0, "{told:?}");
    }

    #[test]
    fn where_every_digit_counts_a_great_difference_is_sure_too() {
        let told = verdict(&[1.0; 512], &[7.0; 512], Measure::OrderFaults, None).unwrap();
        assert_eq!((told.call, told.of_100), (Call::Worse, 100.0));
    }
}
