//! Ranks, requirements, rivals, and what to measure first.

mod rank {
    use cansift::compare::rank::*;

    use cansift::uncertainty::generator::Generator;

    /// The whole square of builds and ranks, counted one by one: a build's rank is the number of better ones, and
    /// those that tie share theirs.
    fn square(draws: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let n = draws[0].len();
        let mut out = vec![vec![0.0; n]; n];
        for scores in draws {
            for b in 0..n {
                let better = scores.iter().filter(|s| **s > scores[b]).count();
                let tied = scores.iter().filter(|s| **s == scores[b]).count();
                for chance in &mut out[b][better..better + tied] {
                    *chance += 1.0 / (tied * draws.len()) as f64;
                }
            }
        }
        out
    }

    #[test]
    fn what_is_held_is_the_whole_square_of_builds_and_ranks() {
        let mut generator = Generator::new(7, 1);
        let draws: Vec<Vec<f64>> = (0..40)
            // A few steps only, so that some tie.
            .map(|_| {
                (0..9).map(|b| ((generator.simplex(2)[0] * 4.0).floor() + f64::from(b / 3)) / 8.0).collect()
            })
            .collect();
        let held = rank_shares(9, draws.iter());
        for (chances, plain) in held.iter().zip(square(&draws)) {
            let all = chances.all();
            assert_eq!(all.len(), 9);
            assert!(all.iter().zip(&plain).all(|(a, b)| (a - b).abs() < 1e-12), "{all:?} {plain:?}");
        }
    }
}

mod value_of_information {
    use cansift::assumptions::A;
    use cansift::compare::value_of_information::*;
    use cansift::model::ranges;
    use cansift::place::Space;

    use cansift::uncertainty::key::Key;
    use cansift::uncertainty::key::{Source, Spot};
    use cansift::uncertainty::sampling::Draws;

    use std::sync::Arc;

    fn columns(draws: &Draws, keys: impl IntoIterator<Item = Key>) -> Vec<(Key, Arc<[f64]>)> {
        keys.into_iter().map(|key| (key.clone(), draws.uniforms(&key))).collect()
    }

    /// The gap of a seal, as the reader issues it.
    fn seal(filter: &str, tray: usize) -> Key {
        Key::new(Source::Filter(filter.into()), Spot::from(Space::Tray(tray)).part("seal"), &ranges::GAP)
    }

    #[test]
    fn the_figure_that_decides_comes_first_and_idle_ones_are_not_clear() {
        let draws = Draws::new(512, 3);
        let keys = columns(
            &draws,
            [
                seal("x", 0),
                Key::new(Source::Filter("y".into()), "hose/bore", &ranges::HOSE_BORE),
                A::FoamA.key().clone(),
                seal("idle", 0),
            ],
        );
        let a: Vec<f64> = vec![0.5; 512];
        let b: Vec<f64> =
            (0..512).map(|i| 0.05 + 0.5 * keys[0].1[i] + 0.15 * keys[1].1[i] + 0.3 * keys[2].1[i]).collect();
        let all = gains(&[&a, &b], &keys, |_| vec![true; 2], 1);
        assert_eq!(all[0].key.name(), "x/trays/1/seal");
        assert_eq!(all[1].key.name(), "model/foam");
        assert!(all[0].changes > 0.4 && all[0].changes < 0.6, "{all:?}");
        let idle = all.iter().find(|g| g.key.name() == "idle/trays/1/seal").unwrap();
        assert!(idle.gain.abs() < 0.005 && idle.gain < all[0].gain / 10.0, "{all:?}");
        let told = measure_first(all, 1);
        assert_eq!(told.top.len(), 1);
        assert!(told.top[0].how().contains("feeler gauge") && told.not_at_home.is_empty());
        let told = measure_first(gains(&[&a, &b], &keys, |_| vec![true; 2], 1), 2);
        assert_eq!(told.not_at_home[0].key.name(), "model/foam");
        assert!(told.not_at_home[0].key.measured_by().is_none());
    }

    #[test]
    fn a_figure_of_a_build_that_never_comes_first_is_not_named() {
        let draws = Draws::new(512, 3);
        let keys = columns(&draws, (0..400).map(|i| seal("loser", i)));
        let [a, b] = ["a", "b"].map(|name| draws.uniforms(&Key::named(name)));
        let loser: Vec<f64> = keys[0].1.iter().map(|u| u / 10.0 - 1.0).collect();
        let told = gains(&[&a, &b, &loser], &keys, |_| vec![false, false, true], 1);
        assert!(told.iter().all(|g| !g.clear && g.changes == 0.0 && g.gain.abs() < 1e-9), "{:?}", &told[..3]);
    }

    #[test]
    fn a_thousand_figures_that_do_not_matter_stay_below_the_bar() {
        let draws = Draws::new(512, 3);
        let keys = columns(&draws, (0..1000).map(|i| seal("x", i)));
        let [a, b] = ["a", "b"].map(|name| draws.uniforms(&Key::named(name)));
        let all = gains(&[&a, &b], &keys, |_| vec![true; 2], 1);
        assert!(all.iter().filter(|g| g.clear).count() <= 2, "{:?}", &all[..5]);
        // Their gains scatter about nothing.
        let mean = all.iter().map(|g| g.gain).sum::<f64>() / 1000.0;
        assert!(mean.abs() < 0.003, "{mean}");
    }

    #[test]
    fn identical_builds_leave_nothing_to_measure() {
        let draws = Draws::new(512, 3);
        let keys = columns(&draws, [seal("x", 0)]);
        let a: Vec<f64> = keys[0].1.to_vec();
        let all = gains(&[&a, &a], &keys, |_| vec![true; 2], 1);
        assert_eq!((all[0].gain, all[0].changes, all[0].clear), (0.0, 0.0, false));
        assert!(
            gains(&[&a], &keys, |_| vec![true; 2], 1).is_empty()
                && gains(&[&a[..7], &a[..7]], &keys, |_| vec![true; 2], 1).is_empty()
        );
        assert_eq!(measure_first(all, 5), MeasureFirst { top: vec![], not_at_home: vec![] });
    }
}

mod candidates {
    use cansift::assess::Assessment;
    use cansift::assess::judge;
    use cansift::compare::candidates::*;

    use cansift::library::{demo, demo_tanks};
    use cansift::model::filter::Filter;

    #[test]
    fn a_unit_is_one_candidate_whatever_its_builds_and_wherever_they_lie() {
        let tank = demo_tanks().remove(0).tank;
        let demo = demo();
        let of = |id: &str| &demo.filters.iter().find(|s| s.filter.id == id).unwrap().filter;
        let tamsin = of("tamsin-1100");
        // The same unit in a second file, with another build; and the same model at another price.
        let mut copy = (**tamsin).clone();
        copy.id = "copy".to_owned();
        copy.builds.remove(0);
        let mut dearer = (**tamsin).clone();
        dearer.id = "dearer".to_owned();
        dearer.unit.as_mut().unwrap().asking = of("selwick-1200-uv").unit.as_ref().unwrap().asking.clone();
        assert!(same_unit(tamsin, &copy) && !same_unit(tamsin, &dearer));
        let builds = [(&**tamsin, 0), (&**tamsin, 1), (&copy, 0), (&dearer, 0)];
        let judged: Vec<Assessment> = builds.iter().map(|(f, b)| judge(f, *b, Some(&tank))).collect();
        let filters: Vec<&Filter> = builds.iter().map(|(f, _)| *f).collect();
        let judged: Vec<_> = judged.iter().collect();
        let found = candidates(&filters, &judged, &tank, 1);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0], Candidate { best: 1, as_it_is: 0, builds: 3 });
        assert_eq!(found[1], Candidate { best: 3, as_it_is: 3, builds: 1 });
    }

    #[test]
    fn where_all_are_ruled_out_the_one_with_the_fewest_failures_speaks() {
        let mut tank = (*demo_tanks().remove(0).tank).clone();
        tank.requirements
            .push(cansift::model::tank::Requirement::AtMost { measure: "power".to_owned(), limit: 1.0 });
        let demo = demo();
        let tamsin = &demo.filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter;
        let judged: Vec<Assessment> = (0..2).map(|b| judge(tamsin, b, Some(&tank))).collect();
        let judged: Vec<_> = judged.iter().collect();
        let found = candidates(&[tamsin, tamsin], &judged, &tank, 1);
        assert_eq!(found, [Candidate { best: 1, as_it_is: 0, builds: 2 }]);
    }
}

mod requirements {
    use cansift::compare::requirements::*;
    use cansift::measures::Measure;
    use cansift::model::tank::Requirement;

    #[test]
    fn each_and_all_by_hand() {
        let limits: Vec<Limit> = [
            Requirement::FitsCabinet {},
            Requirement::AtLeast { measure: "turnover".into(), limit: 3.0 },
            Requirement::AtMost { measure: "bypass_dirty".into(), limit: 0.25 },
            Requirement::AtMost { measure: "nonsense".into(), limit: 1.0 },
        ]
        .iter()
        .filter_map(Limit::of)
        .collect();
        assert_eq!(limits.len(), 3);
        let turnover = [2.0, 3.0, 4.0, f64::NAN];
        let bypass = [0.1, 0.25, 0.3, 0.1];
        let told = passed(&limits, &[&[1.0], &turnover, &bypass]).unwrap();
        assert_eq!(told.each[0], Passing { passes: 1.0, untold: 0.0 });
        assert_eq!(told.each[1], Passing { passes: 0.5, untold: 0.25 });
        assert_eq!(told.each[2], Passing { passes: 0.75, untold: 0.0 });
        assert_eq!(told.all, Passing { passes: 0.25, untold: 0.25 });
        assert_eq!(told.all.fails(), 0.5);
        // A failed must outweighs one that cannot be told.
        let told = passed(&limits, &[&[0.0], &[f64::NAN], &[0.0]]).unwrap();
        assert_eq!(told.all, Passing { passes: 0.0, untold: 0.0 });
    }

    #[test]
    fn no_musts_and_no_draws() {
        assert_eq!(passed(&[], &[]).unwrap().all.passes, 1.0);
        assert_eq!(passed(&[Limit { measure: Measure::FitsCabinet, bound: Bound::Yes }], &[&[]]), None);
    }
}
