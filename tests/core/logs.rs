//! What a keeper measured, in its effect on the doubt: closed forms where there are some, and any log at all.

use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use crate::chance::Chance;
use crate::filters::{any_filter, tank};
use cansift::assess::log::Mode;
use cansift::learn::learnt::{Ask, learn};
use cansift::learn::own::chosen;
use cansift::learn::reading::Reading;
use cansift::learn::search::{Question, ROWS, Rows};
use cansift::library::{demo, demo_tanks};
use cansift::model::Day;
use cansift::model::filter::{Build, Filter};
use cansift::model::log::{
    Cleaned, Dated, Entry, FlowWas, Hoses, Kept, Lay, Reading as Read, Scales, When, Why, Within,
};
use cansift::report::figures::Units;
use cansift::report::log::sentences;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::sampling::Draws;
use cansift::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use cansift::units::Volume;

/// One reading of `a + s`, 1.5 ± 0.5, where `s` is shared: the cut leaves it as it was, and `a` takes what each draw of
/// it leaves: (1.5 − s)/1.25 ± √0.2 (the normal law conditioned, any textbook; by hand).
#[test]
fn the_cut_leaves_what_is_shared() {
    let readings = [Reading::Number { seen: 1.5, sd: 0.5 }];
    let model = |rows: &Rows| Some(rows.rows().map(|z| z[0] + z[1]).collect());
    let draws = Draws::new(2_048, 7);
    let keys = [Key::named("a"), Key::named("s")];
    let hashes = keys.clone().map(|key| key.hash());
    let normals = keys.map(|key| draws.normals(&key));
    let of = Question {
        keys: &hashes,
        readings: &readings,
        model: &model,
        first: Vec::new(),
        slips: 0.0,
        rows: ROWS,
        samples: 2_048,
        seed: 7,
    };
    let found = chosen(&of, &[true, false], &normals, &[], 2).unwrap();
    let ((a, sa), (s, ss)) = (found.key(0), found.key(1));
    assert!(s.abs() < 0.01 && (ss - 1.0).abs() < 0.01, "{s} ± {ss}");
    assert!((a - 1.2).abs() < 0.06 && (sa - 0.916_515).abs() < 0.06, "{a} ± {sa}");
    let shared: Vec<f64> = found.rows.rows().map(|row| row[1]).collect();
    assert_eq!(shared, normals[1].to_vec(), "to the bit");
    // All together: s takes its share of it.
    let all = cansift::learn::search::search(&of).unwrap();
    let (s, ss) = all.key(1);
    assert!((s - 0.666_667).abs() < 0.06 && (ss - 0.745_356).abs() < 0.06, "{s} ± {ss}");
}

fn entry(c: &mut Chance, filter: &Filter, build: &Build) -> Entry {
    let what = match c.below(8) {
        0..=2 => Read::Bucket {
            volume: Uncertain {
                value: Volume::of(c.between(0.0002, 0.5)),
                known: Provenance::Stated,
                spread: Spread::Normal { sd: 0.025 },
                key: Key::named("bucket"),
            },
            time: c.between(1.0, 7_200.0),
            end: (c.below(3) == 0).then(|| c.between(-300.0, 300.0)),
            media: (c.below(4) == 0).then_some(Within::Out),
        },
        3 => Read::Weighed {
            mass: c.between(0.1, 300.0),
            with: if c.below(2) == 0 { Scales::Kitchen } else { Scales::Bathroom },
        },
        4 => Read::Meter { power: c.between(0.1, 1_000.0) },
        5 => Read::Loss { head: c.between(0.1, 500.0) },
        _ => {
            let tray = c.below(filter.trays.len().max(1));
            let layers = build.trays.get(tray).map_or(0, Vec::len);
            let most_muck = match c.below(3) {
                0 => vec![Lay::Floor],
                1 if layers > 0 => vec![Lay::Layer { tray, layer: c.below(layers) }],
                _ => Vec::new(),
            };
            let why = [Why::FlowFell, Why::Calendar, Why::Other][c.below(3)];
            Read::Opened {
                why,
                flow: (why != Why::FlowFell && c.below(2) == 0).then_some(FlowWas::Fine),
                most_muck,
                muck: (c.below(2) == 0).then(|| c.between(0.01, 50.0)),
                cleaned: [
                    None,
                    Some(Cleaned::Media),
                    Some(Cleaned::Hoses),
                    Some(Cleaned::Both),
                    Some(Cleaned::Nothing),
                ][c.below(5)],
            }
        }
    };
    // Out of order too: the door refuses that, the engine bears it.
    Dated { on: When::Since(c.below(400) as u32), trusted: c.below(9) > 0, what }
}

/// Any log at all over any build: no panic, no unreal number, and a sentence each. Fewer rows than the program takes run
/// thin sooner, so that each way on from there is gone.
fn any_logs(count: u64) {
    (1..=count).into_par_iter().for_each(|seed| {
        let mut c = Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        let mut filter = any_filter(&mut c);
        let mut build = filter.builds[0].clone();
        let n = 1 + c.below(if seed % 10 == 0 { 60 } else { 6 });
        let log = (0..n).map(|_| entry(&mut c, &filter, &build)).collect();
        build.kept = Kept {
            packed: Day::read("2026-03-01"),
            hoses: [None, Some(Hoses::Cleaned), Some(Hoses::Left)][c.below(3)],
            on: None,
            log,
        };
        filter.builds = vec![build];
        let room = tank();
        let draws = Draws::new(64, seed);
        let never = AtomicBool::new(false);
        let mode = if seed % 25 == 0 { Mode::Own } else { Mode::All };
        let builds = [(&filter, &filter.builds[0])];
        let ask = Ask {
            builds: &builds,
            tank: Some(&room),
            mode,
            draws: &draws,
            rows: if seed % 100 == 0 { ROWS } else { 512 },
            threads: 1,
            stop: &never,
        };
        let learnt = learn(&ask).unwrap();
        let trusted = filter.builds[0].kept.log.iter().any(|entry| entry.trusted);
        assert_eq!(learnt.told.len(), usize::from(trusted), "{seed}");
        for told in &learnt.told {
            let said = sentences(told, Units::Metric);
            assert!(!said.is_empty(), "{seed}: {told:?}");
            let said = said.join(" ");
            assert!(!said.contains("NaN") && !said.contains("inf"), "{seed}: {said}");
            let bands = told.readings.iter().flat_map(|read| read.expected.iter().chain(&read.corrected));
            let real = bands.clone().all(|b| b.low.is_finite() && b.median.is_finite() && b.high.is_finite());
            assert!(
                real && told.ess.is_finite() && told.khat.is_finite() && told.p > 0.0,
                "{seed}: {told:?}"
            );
        }
        if let Some(cases) = learnt.simulate((&filter, &filter.builds[0]), Some(&room), 0, &never) {
            assert_eq!(cases.count, 64);
        }
    });
}

#[test]
fn any_log_is_borne() {
    any_logs(60);
}

#[test]
#[ignore = "an hour of a release build: cargo test --release --test core ten_thousand_logs -- --ignored"]
fn ten_thousand_logs_are_borne() {
    any_logs(10_000);
}

/// Two of a sort on a day and media out between openings are used, and told.
#[test]
fn what_may_not_be_meant_is_told() {
    let sound = demo().filters.into_iter().find(|sound| sound.filter.id == "tamsin-1100").unwrap();
    let mut filter = (*sound.filter).clone();
    filter.builds.retain(|build| build.name == "restacked");
    let bucket = |day, time, media| Dated {
        on: When::Since(day),
        trusted: true,
        what: Read::Bucket {
            volume: Uncertain {
                value: Volume::of(0.01),
                known: Provenance::Stated,
                spread: Spread::Normal { sd: 0.025 },
                key: Key::named("bucket"),
            },
            time,
            end: None,
            media,
        },
    };
    filter.builds[0].kept = Kept {
        packed: Day::read("2026-03-01"),
        hoses: Some(Hoses::Cleaned),
        on: None,
        log: vec![bucket(3, 57.0, None), bucket(3, 58.0, None), bucket(9, 53.0, Some(Within::Out))],
    };
    let (room, draws, never) = (demo_tanks().remove(0).tank, Draws::new(64, 1), AtomicBool::new(false));
    let builds = [(&filter, &filter.builds[0])];
    let ask = Ask {
        builds: &builds,
        tank: Some(&room),
        mode: Mode::All,
        draws: &draws,
        rows: 512,
        threads: 1,
        stop: &never,
    };
    let learnt = learn(&ask).unwrap();
    let said = sentences(&learnt.told[0], Units::Metric).join(" ");
    assert!(said.contains("Two buckets on 4 March: both count."), "{said}");
    assert!(said.contains("Media out on 10 March, between openings"), "{said}");
}
