//! Doubt and what follows from it, on real builds: shared draws, coverage, shares that add up, same bytes.

use std::process::Command;
use std::sync::atomic::AtomicBool;

use crate::filters::{Chance, any_filter, three_trays};
use cansift::assess::case::Case;
use cansift::assess::figures::{Effort, Figures, figures};
use cansift::assess::judge_build;
use cansift::assess::monte_carlo::{Simulated, simulate};
use cansift::compare::better::odds;
use cansift::compare::ranking::Standing;
use cansift::compare::reasons::{nominal, reasons};
use cansift::compare::swap::{ALL, Pair};
use cansift::hydraulics::plan::Plan;
use cansift::hydraulics::vessel::Vessel;
use cansift::library::{demo, demo_tanks};
use cansift::measures::Measure;
use cansift::model::tray::Amount;
use cansift::simd::{F64x8, Real};
use cansift::uncertainty::centre::Centre;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::sampling::{Batch, Draws};
use cansift::uncertainty::uncertain::{Draw, Spread, Uncertain};

fn drawn(case: &Case<'_>, samples: usize, seed: u64) -> Simulated {
    simulate(case, &Draws::new(samples, seed), &AtomicBool::new(false)).unwrap()
}

#[test]
fn two_copies_of_a_build_cannot_be_told_apart_under_any_draws() {
    let filter = three_trays();
    let (a, b) = (filter.builds[0].clone(), filter.builds[0].clone());
    let tank = &demo_tanks()[0].tank;
    for seed in [1, 2, 99] {
        let (one, two) = (
            drawn(&Case::new(&filter, &a, Some(tank)), 128, seed),
            drawn(&Case::new(&filter, &b, Some(tank)), 128, seed),
        );
        for measure in Measure::ALL {
            let (Some(x), Some(y)) = (one.sample(measure), two.sample(measure)) else { continue };
            let differ = x.values.iter().zip(&y.values).any(|(x, y)| x.to_bits() != y.to_bits());
            assert!(!differ, "{} differs", measure.key());
            let said = odds(&x.values, &y.values, measure.row().better, None).unwrap();
            assert!(
                said.better.is_none() && (said.chance - 0.5).abs() < 1e-12,
                "{}: {said:?}",
                measure.key()
            );
        }
        let judged = judge_build(&filter, &a, Some(tank));
        let both = [one, two].map(|cases| judged.clone().with(Some(cases.into())));
        let standing = Standing::new(&[&both[0], &both[1]], tank, seed);
        if let (Some(first), Some(second)) = (standing.rank(0), standing.rank(1)) {
            assert!((first.first() - second.first()).abs() < 1e-12);
        }
    }
}

#[test]
fn shares_add_to_the_difference_and_swaps_end_at_the_builds_themselves() {
    let mut chance = Chance(21);
    let tank = &demo_tanks()[0].tank;
    let mut shared = 0;
    for i in 0..6_000 {
        let (a, b) = (any_filter(&mut chance), any_filter(&mut chance));
        let (first, second) = ((&a, &a.builds[0]), (&b, &b.builds[0]));
        // Two measures that need no timeline, so that a thousand pairs take seconds.
        let measure = if i % 2 == 0 { Measure::FilteredFlow } else { Measure::Flow };
        let Ok(why) = reasons(first, second, Some(tank), measure, &Centre::default()) else { continue };
        let sum: f64 = why.shares.iter().map(|s| s.amount).sum();
        let apart = why.second - why.first;
        assert!((sum - apart).abs() < 1e-9 * apart.abs().max(1.0), "{i}: {sum} of {apart}");
        for share in &why.shares {
            assert!(
                share.group.bits != 0 || share.amount == 0.0,
                "{i}: {} does not differ",
                share.group.label()
            );
        }
        let pair = Pair::new(first, second, Some(tank));
        for (mask, (f, build), whole) in [(0, first, why.first), (ALL, second, why.second)] {
            let (hybrid, stack) = pair.hybrid(mask);
            let again = nominal(&hybrid, &stack, Some(tank), measure, &Centre::default()).unwrap();
            assert_eq!(
                again.to_bits(),
                nominal(f, build, Some(tank), measure, &Centre::default()).unwrap().to_bits()
            );
            assert_eq!(again.to_bits(), whole.to_bits());
        }
        shared += 1;
        if shared == 1_000 {
            break;
        }
    }
    assert_eq!(shared, 1_000, "pairs whose difference can be told");
}

#[test]
fn the_band_holds_a_true_filter_nine_times_in_ten() {
    let tank = &demo_tanks()[0].tank;
    for sound in demo().filters.iter().take(3) {
        let filter = &sound.filter;
        let case = Case::new(filter, &filter.builds[0], Some(tank));
        let Some(band) = drawn(&case, 512, 1).band(Measure::Flow) else { continue };
        // "True" filters of other draws: the same spreads, another start.
        let truth = Draws::new(500, 77);
        let held = (0..500)
            .filter(|i| {
                let f: Figures<f64> =
                    figures(&case, &crate::one::One::new(&truth, *i), Effort { ageing: false, step: 1.0 });
                let flow = f.get(Measure::Flow).unwrap();
                (band.low..=band.high).contains(&flow)
            })
            .count();
        let share = held as f64 / 500.0;
        assert!((0.85..=0.95).contains(&share), "{}: {share}", filter.name);
    }
}

#[test]
fn one_draw_alone_is_the_lane_of_eight() {
    let filter = three_trays();
    let tank = &demo_tanks()[0].tank;
    let case = Case::new(&filter, &filter.builds[0], Some(tank));
    let many = drawn(&case, 24, 5);
    let draws = Draws::new(24, 5);
    for i in [0, 7, 13, 23] {
        let f: Figures<f64> = figures(&case, &crate::one::One::new(&draws, i), Effort::FULL);
        for measure in
            [Measure::Flow, Measure::FilteredFlow, Measure::OpeningInterval, Measure::AmmoniaCapacity]
        {
            let (alone, lane) = (f.get(measure).unwrap(), many.sample(measure).unwrap().values[i]);
            // Lanes share their steps through the weeks, so the timeline agrees only to its closeness.
            let close = if measure == Measure::OpeningInterval { 5e-3 } else { 1e-6 };
            assert!((alone / lane - 1.0).abs() < close, "draw {i}, {}: {alone} {lane}", measure.key());
        }
    }
}

/// In a run a case takes the place of one that is at its end; it comes to what it comes to among the eight it was drawn
/// with.
#[test]
fn who_stands_beside_a_case_hardly_matters() {
    let tank = &demo_tanks()[0].tank;
    let draws = Draws::new(52, 11);
    let mut cases = 0;
    for sound in demo().filters {
        for build in &sound.filter.builds {
            let case = Case::new(&sound.filter, build, Some(tank));
            let many = simulate(&case, &draws, &AtomicBool::new(false)).unwrap();
            let batches: Vec<Figures<F64x8>> = draws
                .firsts()
                .map(|first| figures(&case, &Batch::new(&draws, first), Effort::CASE))
                .collect();
            for measure in
                [Measure::Flow, Measure::Clearing, Measure::ClearingDirty, Measure::OpeningInterval]
            {
                let Some(sample) = many.sample(measure) else { continue };
                assert_eq!(sample.len(), 52);
                for (i, value) in sample.values.iter().enumerate().filter(|(_, value)| !value.is_nan()) {
                    let beside = batches[i / 8].get(measure).unwrap().draw(i % 8);
                    cases += 1;
                    assert!((value / beside - 1.0).abs() < 5e-3, "{i} {}: {value} {beside}", measure.key());
                }
            }
        }
    }
    assert!(cases > 3000, "{cases}");
}

#[test]
fn the_same_bytes_for_any_number_of_threads_and_every_run() {
    let run = |command: &str, threads: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_cansift"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args([command, "demo-data", "--tank", "demo-data/tanks/reading-room.ron", "--format", "json"])
            .args(["--samples", "96", "--seed", "3", "--threads", threads])
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        output.stdout
    };
    for command in ["table", "rank"] {
        let one = run(command, "1");
        assert!(one.len() > 1000);
        assert_eq!(one, run(command, "2"), "{command}");
        assert_eq!(one, run(command, "2"), "{command}");
    }
}

/// A layer that comes out higher than its room in a case is taken as high as the room; no case is refused for it.
#[test]
fn no_case_is_refused_for_the_height_of_a_layer() {
    let mut filter = three_trays();
    let height = filter.trays[0].height.clone();
    let guessed = Uncertain { spread: Spread::Normal { sd: 0.2 }, key: Key::named("deep"), ..height };
    filter.builds[0].trays[0].truncate(1);
    filter.builds[0].trays[0][0].amount = Amount::Depth(guessed.clone());
    let build = &filter.builds[0];
    let plan = Plan::new(&filter, build);
    let draws = Draws::new(64, 5);
    let (mut cut, mut free) = (0, 0);
    for first in draws.firsts() {
        let batch = Batch::new(&draws, first);
        let vessel = Vessel::<F64x8>::new(&plan, &filter, build, None, &batch);
        let at = plan.layers.iter().position(|at| at.tray == Some(0)).unwrap();
        let drawn: F64x8 = (&batch as &dyn Draw<F64x8>).of(&guessed);
        for i in 0..8 {
            let (stands, room) = (vessel.lain[at].standing.draw(i), vessel.extents.trays[0].1.draw(i));
            assert!((stands - drawn.draw(i).min(room)).abs() < 1e-12, "{stands} in {room}");
            if drawn.draw(i) > room { cut += 1 } else { free += 1 }
        }
    }
    assert!(cut > 10 && free > 10, "{cut} {free}");
    let many = simulate(&Case::new(&filter, build, None), &draws, &AtomicBool::new(false)).unwrap();
    assert_eq!(many.failed, 0);
}
