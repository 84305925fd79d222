//! Proposals are legal, keep to what the tank asks and to what there is, and say what is to be bought.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use crate::filters::{Chance, any_filter};
use crate::searched::{best, kind, media, medium, run, tamsin, tank};
use cansift::assess::case::Case;
use cansift::assess::{Assessment, judge_build};
use cansift::compare::requirements::Limit;
use cansift::library::{Library, demo, demo_tanks};
use cansift::measures::Measure;
use cansift::media_order;
use cansift::model::filter::{Filter, Way};
use cansift::model::medium::Role;
use cansift::model::tank::{OnHand, Requirement, Tank};
use cansift::model::tray::Amount;
use cansift::propose::allowed::{self, Allowed, held};
use cansift::propose::{Options, Proposal, propose};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::Uncertain;
use cansift::units::Volume;

/// As a build's file would be refused or not: heights by the nominal figures.
fn assert_legal(filter: &Filter, proposal: &Proposal, tank: &Tank) {
    let build = &proposal.build;
    assert_eq!(media_order::faults(filter, build), []);
    let section = &proposal.judgement.section;
    for (space, layers) in
        section.floor.iter().zip([&build.floor]).chain(section.trays.iter().zip(&build.trays))
    {
        let high: f64 = space.layers.iter().map(|l| l.height_mm).sum();
        assert!(high <= space.height_mm + 1e-6 && space.excess_mm <= 1e-6, "{high} in {}", space.height_mm);
        assert!(layers.len() <= 5);
        for layer in layers {
            assert!(!(tank.water.salt && layer.medium.freshwater_only));
            if let Amount::Depth(depth) = &layer.amount {
                let mm = depth.si() * 1e3;
                assert!((mm - mm.round()).abs() < 1e-9, "{mm}");
            }
        }
    }
    assert!(filter.way == Way::Falling || build.floor.iter().all(|l| l.medium.role == Role::Settlement));
}

fn quick(media: Vec<Allowed>) -> Options {
    Options { thicknesses: vec![20, 40], samples: 16, beam: 2, most: 1500, ..Options::new(media) }
}

#[test]
fn proposals_are_legal_differ_and_say_what_they_change() {
    let tank = tank("reading-room");
    for filter in demo().filters.iter().map(|s| &s.filter).filter(|f| f.trays.len() <= 4) {
        let ids =
            ["foam-10", "foam-20", "foam-45", "floss", "sintered-lump-12", "ceramic-ring-12", "clay-12"];
        let proposals = run(filter, &tank, &quick(media(&ids)));
        assert!(!proposals.is_empty() && proposals.len() <= 3, "{}", filter.name);
        let kinds: BTreeSet<_> = proposals.iter().map(|p| kind(&p.build)).collect();
        assert_eq!(kinds.len(), proposals.len());
        for p in &proposals {
            assert_legal(filter, p, &tank);
            assert!(!p.gains.is_empty() || !p.gives_up.is_empty());
            assert!(p.passes.is_some_and(|share| (0.0..=1.0).contains(&share)));
        }
    }
}

#[test]
fn what_the_tank_forbids_and_what_runs_out_is_not_used() {
    let filter = tamsin();
    let mut sea = tank("reading-room");
    sea.water.salt = true;
    let options = quick(media(&["foam-20", "zeolite-5", "lava-15"]));
    for p in run(&filter, &sea, &options) {
        assert!(kind(&p.build).concat().iter().all(|id| id != "zeolite-5"));
    }
    let fresh = tank("reading-room");
    let mut little = media(&["foam-20", "foam-30", "sintered-lump-12"]);
    little[0].amount = Some(0.6e-3);
    little[1].amount = Some(0.0);
    little[2].amount = Some(1.0e-3);
    let proposals = run(&filter, &fresh, &quick(little));
    assert!(!proposals.is_empty());
    for p in proposals {
        assert_legal(&filter, &p, &fresh);
        for (medium, volume) in held(&filter, &p.build, Some(&fresh)) {
            let most = match medium.id.as_str() {
                "foam-20" => 0.6e-3,
                "sintered-lump-12" => 1.0e-3,
                other => panic!("{other}"),
            };
            assert!(volume <= most + 1e-9, "{} {volume}", medium.id);
        }
    }
    assert_eq!(run(&filter, &fresh, &quick(media(&["sintered-lump-12"]))), [], "nothing before the bacteria");
}

#[test]
fn musts_come_before_the_score() {
    let filter = tamsin();
    let mut tank = tank("reading-room");
    let bio = |p: &Proposal| p.judgement.outcome(cansift::measures::Measure::BioMedia).number().unwrap();
    tank.requirements.clear();
    let options = Options { samples: 0, ..quick(media(&["foam-10", "foam-30", "lava-15", "glass-ring-14"])) };
    let free = run(&filter, &tank, &options);
    let had = bio(&free[0]);
    let (must, most, least) = if had > 0.5 {
        (Requirement::AtMost { measure: "bio_media".into(), limit: had / 2.0 }, had / 2.0, 0.0)
    } else {
        (Requirement::AtLeast { measure: "bio_media".into(), limit: 1.0 }, f64::INFINITY, 1.0)
    };
    // The second no packing can meet: it is told, and does not spoil the rest.
    tank.requirements = vec![must, Requirement::AtMost { measure: "power".into(), limit: 1.0 }];
    let held = run(&filter, &tank, &options);
    assert!(held[0].unmet.is_empty() && held[0].dropped.len() == 1);
    assert!((least..=most).contains(&bio(&held[0])), "{}", bio(&held[0]));
    assert!(best(&held) <= best(&free));
}

#[test]
fn same_seed_same_answer_on_any_number_of_threads() {
    let (filter, tank) = (tamsin(), tank("cafe-window"));
    let options = quick(media(&["foam-10", "foam-20", "foam-30", "floss", "pumice-12"]));
    let on = |threads: usize| run(&filter, &tank, &Options { threads, ..options.clone() });
    let one = on(1);
    assert!(!one.is_empty());
    assert_eq!(one, on(3));
}

#[test]
fn it_stops_when_told_to() {
    let (filter, tank) = (tamsin(), tank("reading-room"));
    let known = Library::shipped().media().cloned();
    // More than can be looked at in the time it is given.
    let options = Options {
        beam: 400,
        most: 50_000_000,
        ..Options::new(allowed::all(known, &filter, &filter.builds[0], &tank))
    };
    let case = Case::new(&filter, &filter.builds[0], Some(&tank));
    let soon = || {
        let stop = AtomicBool::new(false);
        std::thread::scope(|scope| {
            let search = scope.spawn(|| {
                let found = propose(&case, &options, &stop, |_| {});
                (found, Instant::now())
            });
            std::thread::sleep(Duration::from_millis(300));
            let told = Instant::now();
            stop.store(true, Ordering::Relaxed);
            let (found, ended) = search.join().unwrap();
            assert!(found.is_empty());
            ended.duration_since(told) < Duration::from_millis(400)
        })
    };
    // 100 ms is what a person is promised; the machine that runs this may be busy, so one try of three is enough.
    assert!((0..3).any(|_| soon()));
}

#[test]
fn what_is_bought_is_what_is_missing() {
    let mut filter = tamsin();
    let mut tank = tank("reading-room");
    filter.unit.as_mut().unwrap().includes = vec!["foam-20".into()];
    tank.on_hand = vec![OnHand {
        medium: "sintered-lump-12".into(),
        volume: Uncertain::exact(Volume::of(0.5e-3), Key::named("tank/on_hand")),
    }];
    let options = Options { samples: 0, ..quick(media(&["foam-20", "foam-30", "sintered-lump-12"])) };
    for p in run(&filter, &tank, &options) {
        let mut cost = 0.0;
        for item in &p.shopping.items {
            let price = item.medium.price.as_ref().unwrap().si();
            match item.medium.id.as_str() {
                "foam-20" => assert_eq!((item.buy, item.cost), (0.0, Some(0.0))),
                "sintered-lump-12" => assert!((item.needed - item.buy - 0.5e-3).abs() < 1e-12),
                _ => assert_eq!(item.buy, item.needed),
            }
            assert!((item.cost.unwrap() - item.paid * 1e3 * price).abs() < 1e-9);
            cost += item.cost.unwrap();
            for pads in &item.pads {
                let (width, depth) = pads.sheet.unwrap();
                assert_eq!((width, depth), (0.185, 0.16));
                // Elementary geometry: a half circle on a rectangle, less a rim of 0.5 mm.
                let r: f64 = 0.0925;
                let dee = std::f64::consts::PI * r * r / 2.0 + 0.185 * 0.0675;
                let rim = (0.185 + 2.0 * 0.0675 + std::f64::consts::PI * r) * 0.0005;
                assert!((pads.waste.unwrap() - (1.0 - (dee - rim) / (width * depth))).abs() < 1e-9);
            }
        }
        assert!((p.shopping.cost.unwrap() - cost).abs() < 1e-9);
    }
    let mut nameless = (*medium("foam-30")).clone();
    nameless.price = None;
    let media = vec![
        Allowed { medium: medium("foam-10"), amount: None },
        Allowed { medium: Arc::new(nameless), amount: None },
    ];
    let without = run(&filter, &tank, &Options { samples: 0, ..quick(media) });
    for p in without.iter().filter(|p| kind(&p.build).concat().contains(&"foam-30".to_owned())) {
        assert_eq!(p.shopping.cost, None);
    }
}

#[test]
fn old_media_that_carry_the_tank_are_kept() {
    let filter = tamsin();
    let tank = tank("reading-room");
    let restacked = &filter.builds[1];
    let case = Case::new(&filter, restacked, Some(&tank));
    let options = Options { samples: 0, ..quick(media(&["foam-20", "foam-30", "glass-ring-14"])) };
    let p = &propose(&case, &options, &AtomicBool::new(false), |_| {})[0];
    assert!(
        p.shopping.keep.iter().any(|(m, v)| m.id == "sintered-lump-20" && *v > 1e-3),
        "{:?}",
        p.shopping.keep
    );
    assert!(p.shopping.keep.iter().all(|(m, _)| m.role == Role::Biological));
}

#[test]
fn an_old_pad_that_cannot_go_back_is_kept_beside_it() {
    // The pad of 40 mm leaves 3 mm of slack and the floss has a hole: neither can be cut to a tray again,
    // though the same foam stands in the new stack. What lives in them is all the tank has.
    let filter = tamsin();
    let options = Options { samples: 0, ..quick(media(&["foam-20", "foam-30", "pumice-12"])) };
    let proposals = run(&filter, &tank("reading-room"), &options);
    assert!(proposals.iter().any(|p| kind(&p.build).concat().contains(&"foam-20".to_owned())));
    for p in proposals {
        let kept: Vec<&str> = p.shopping.keep.iter().map(|(m, _)| m.id.as_str()).collect();
        assert_eq!(kept, ["foam-20", "floss"]);
    }
}

/// The demo and 200 random builds, each at one of the demo's tanks.
#[test]
fn proposals_hold_biological_media_beat_what_is_there_and_add_up() {
    let ids = ["foam-10", "foam-30", "floss", "sintered-lump-12", "ceramic-ring-12"];
    let options =
        Options { thicknesses: vec![20, 40], samples: 0, beam: 1, most: 200, ..Options::new(media(&ids)) };
    let mut cases: Vec<(Filter, usize)> = demo()
        .filters
        .iter()
        .flat_map(|s| (0..s.filter.builds.len()).map(|b| ((*s.filter).clone(), b)))
        .collect();
    let mut chance = Chance(317);
    cases.extend((0..200).map(|_| (any_filter(&mut chance), 0)));
    let tanks = demo_tanks();
    let mut told = 0;
    for (i, (filter, build)) in cases.iter().enumerate() {
        let (old, tank) = (&filter.builds[*build], &*tanks[i % tanks.len()].tank);
        let case = Case::new(filter, old, Some(tank));
        let there = held(filter, old, Some(tank));
        let now = judge_build(filter, old, Some(tank));
        let figure = |of: &Assessment, measure| of.outcome(measure).number();
        let proposals = propose(&case, &options, &AtomicBool::new(false), |_| {});
        for p in &proposals {
            told += 1;
            let (bio, was) =
                (figure(&p.judgement, Measure::BioMedia).unwrap(), figure(&now, Measure::BioMedia));
            let capacity = figure(&p.judgement, Measure::AmmoniaCapacity);
            let space = figure(&p.judgement, Measure::TraySpace).unwrap();
            let enough = capacity.map_or(bio >= space / 3.0 * 0.999, |capacity| capacity >= 2.0 * 0.999);
            assert!(
                bio > 0.0 && (enough || bio >= was.unwrap_or(0.0) * 0.999),
                "{i} {}: {bio} {was:?}",
                filter.name
            );
            assert!(
                p.score > p.score_as_it_is
                    || was == Some(0.0)
                    || !p.unmet.is_empty()
                    || now_misses(&now, tank)
            );
            assert!(!p.gains.is_empty(), "{i} {}: nothing is better than as it is", filter.name);
            let sum: Option<f64> = p.shopping.items.iter().map(|item| item.cost).sum();
            assert_eq!(sum, p.shopping.cost);
            for item in &p.shopping.items {
                assert!(item.paid >= item.buy - 1e-12 && item.owned + item.buy >= item.needed - 2e-6);
                let price = item.medium.price.as_ref().map(|price| price.si() * item.paid * 1e3);
                assert!(item.cost.zip(price).is_none_or(|(a, b)| (a - b).abs() < 1e-9), "{i}");
                let lay = there.iter().find(|(m, _)| m.id == item.medium.id).map_or(0.0, |(_, v)| *v);
                let gone =
                    p.shopping.left_out.iter().find(|(m, _)| m.id == item.medium.id).map_or(0.0, |(_, v)| *v);
                let elsewhere: f64 =
                    tank.on_hand.iter().filter(|h| h.medium == item.medium.id).map(|h| h.volume.si()).sum();
                assert!(
                    item.comes || item.owned + gone <= lay + elsewhere + 1e-9,
                    "{i}: {} twice: {} {gone} {lay} {elsewhere} of {}",
                    item.medium.id,
                    item.owned,
                    filter.name
                );
            }
            let full: Vec<bool> = p.build.trays.iter().map(|tray| !tray.is_empty()).collect();
            let ends = full.iter().position(|x| *x).zip(full.iter().rposition(|x| *x));
            assert!(ends.is_none_or(|(a, b)| full[a..=b].iter().all(|x| *x)), "{i}: {full:?}");
        }
        let order: Vec<_> = proposals.iter().map(|p| p.score).collect();
        let met = |p: &Proposal| p.unmet.is_empty();
        if proposals.iter().all(met) {
            assert!(order.is_sorted_by(|a, b| a >= b), "{i}: {order:?}");
        }
    }
    assert!(told > 150, "{told}");
}

fn now_misses(now: &Assessment, tank: &Tank) -> bool {
    Limit::all(tank).iter().any(|limit| {
        let x = limit.figure(now).number().unwrap_or(f64::NAN);
        limit.passes(x) != Some(true)
    })
}

#[test]
fn a_tower_of_trays_is_searched_in_part_and_says_so() {
    for count in [12, 20] {
        let mut filter = tamsin();
        let (tray, layers) = (filter.trays[1].clone(), filter.builds[0].trays[1].clone());
        filter.trays = vec![tray; count];
        filter.builds[0].trays = vec![layers; count];
        filter.builds.truncate(1);
        let tank = tank("reading-room");
        let known = Library::shipped().media().map(Arc::clone);
        let options = Options::new(allowed::all(known, &filter, &filter.builds[0], &tank));
        let began = Instant::now();
        let proposals = run(&filter, &tank, &options);
        println!("{count} trays: {:?}", began.elapsed());
        // Optimised, on two quiet cores, it is 5 s; unoptimised and beside other tests much more.
        assert!(began.elapsed() < Duration::from_secs(120), "{count}: {:?}", began.elapsed());
        assert!(!proposals.is_empty() && proposals.iter().all(|p| p.part), "{count}");
    }
}
