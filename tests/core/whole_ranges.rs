//! Nothing that the door lets in is beyond the solver: figures anywhere in their declared ranges, log-evenly and at
//! the corners.

use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use crate::filters::Chance;
use crate::ranged::{Writer, filter, tank};
use cansift::assess::case::Case;
use cansift::assess::figures::{Effort, Figures, figures};
use cansift::assess::judge;
use cansift::assess::monte_carlo::{Simulated, simulate};
use cansift::clogging::Moment;
use cansift::hydraulics::plan::Plan;
use cansift::hydraulics::vessel::Vessel;
use cansift::measures::Measure;
use cansift::model::filter::Filter;
use cansift::model::tank::Tank;
use cansift::simd::F64x8;
use cansift::simd::Real;
use cansift::uncertainty::sampling::{Batch, Draws};
use cansift::uncertainty::uncertain::Nominal;
use rayon::prelude::*;

/// Most that one judgement of a build with its timeline may take.
const LONGEST: Duration = Duration::from_millis(50);

fn simulated(filter: &Filter, tank: Option<&Tank>, draws: &Draws) -> Simulated {
    simulate(&Case::new(filter, &filter.builds[0], tank), draws, &AtomicBool::new(false)).unwrap()
}

/// Is the pump too weak for the outlet's height in any of the draws? Then there is no flow to be told.
fn not_lifted(filter: &Filter, tank: &Tank, draws: &Draws) -> bool {
    let build = &filter.builds[0];
    let plan = Plan::new(filter, build);
    draws.firsts().any(|first| {
        let mut vessel = Vessel::<F64x8>::new(&plan, filter, build, Some(tank), &Batch::new(draws, first));
        let outside = vessel.laws.outside.as_mut().unwrap();
        F64x8::any(outside.pump(F64x8::zero()).loss.le(outside.hoses.rise))
    })
}

/// The build of a start, with its tank; none where the door refuses it.
fn by_chance(start: u64, other_units: bool) -> Option<(Filter, Tank, String)> {
    let mut chance = Chance(0x5EED_0F1E_1D5A_B1E5 ^ start.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let corners = [0.0, 0.1, 0.5, 1.0][chance.below(4)];
    // A pump that lifts no water has no flow: most tanks keep the outlet low.
    let height = if chance.chance(0.9) { 8.0 } else { 300.0 };
    let mut writer = Writer { chance: &mut chance, corners, other_units };
    let text = format!("{}\n{}", writer.profile(), writer.tank(height));
    let (profile, of_tank) = text.split_once("\nTank(").unwrap();
    Some((filter(profile)?, tank(&format!("Tank({of_tank}"))?, text))
}

/// Time that this thread has worked: others on the machine count for nothing, where the system tells (Linux: proc(5),
/// `schedstat`).
fn worked(since: Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let told = told.and_then(|text| text.split(' ').next()?.parse().ok());
    told.map_or_else(|| since.elapsed(), Duration::from_nanos)
}

/// How many were read, which of them are unsolved in any of eight cases, and how long one judgement took, the slowest first.
fn tried(starts: std::ops::Range<u64>) -> (usize, Vec<u64>, Vec<(Duration, u64)>) {
    let (draws, began) = (Draws::new(8, 1), Instant::now());
    let each = |start| {
        let (filter, tank, _) = by_chance(start, false)?;
        let before = worked(began);
        let judged = judge(&filter, 0, Some(&tank));
        let took = worked(began).saturating_sub(before);
        drop(judged);
        let all = simulated(&filter, Some(&tank), &draws);
        let lost = all.failed > 0 && !not_lifted(&filter, &tank, &draws);
        Some((lost.then_some(start), (took, start)))
    };
    let each: Vec<_> = starts.into_par_iter().filter_map(each).collect();
    let lost = each.iter().filter_map(|(lost, _)| *lost).collect();
    let mut times: Vec<_> = each.iter().map(|(_, took)| *took).collect();
    times.sort_unstable_by(|a, b| b.cmp(a));
    (each.len(), lost, times)
}

#[test]
fn builds_anywhere_in_the_declared_ranges_are_solved() {
    let (read, lost, times) = tried(0..3000);
    println!("{read} read, slowest {:?}, unsolved {lost:?}", times.first());
    assert!(read > 1500, "only {read} let in");
    assert!(lost.is_empty(), "{} of {read} unsolved: {lost:?}", lost.len());
}

/// Found in a million: a trickle that ran back by its last digits and so took dirt from a layer without end; a pump that
/// lifts the water by next to nothing.
#[test]
fn builds_that_once_were_not_solved_are() {
    for start in [190_164, 539_532] {
        let (read, lost, _) = tried(start..start + 1);
        assert!(read == 1 && lost.is_empty(), "{start}");
    }
}

/// Found in a million: a pump whose own curve rises has several answers, and a timeline that went to and fro between them
/// took hundreds of the shortest steps.
#[test]
fn a_timeline_falls_from_one_answer_to_the_next_once() {
    for start in [568_941, 328_356, 164_422, 343_121, 560_884, 279_070, 530_198] {
        let (filter, tank, _) = by_chance(start, false).unwrap();
        let case = Case::new(&filter, &filter.builds[0], Some(&tank));
        let told: Figures<f64> = figures(&case, &Nominal, Effort::FULL);
        let history = &told.aged.as_ref().unwrap().history;
        assert!(history.len() < 200, "{start}: {} moments", history.len());
        // On the day of the fall itself last digits say which it is.
        let rises = |pair: &[Moment<f64>]| pair[1].flow > pair[0].flow * 1.1;
        let mut apart = vec![history[0]];
        apart.extend(history.chunk_by(|a, b| b.day - a.day < 1e-4).map(|near| near[near.len() - 1]));
        assert!(!apart.windows(2).any(rises), "{start}");
    }
}

/// `cargo test --release --test core a_million -- --ignored --nocapture`; `WHOLE_RANGES=8 WHOLE_RANGES_FROM=190160` for a few.
#[test]
#[ignore = "minutes"]
fn a_million_builds_anywhere_in_the_declared_ranges_are_solved() {
    let told = |name, usual| std::env::var(name).map_or(usual, |n| n.parse().unwrap());
    let (count, from) = (told("WHOLE_RANGES", 1_000_000), told("WHOLE_RANGES_FROM", 0));
    let (read, lost, times) = tried(from..from + count);
    let over = times.iter().take_while(|(took, _)| *took > LONGEST).count();
    println!(
        "{read} read of {count}, unsolved {lost:?}; over {LONGEST:?} {over}, slowest {:?}",
        &times[..times.len().min(12)]
    );
    assert!(lost.is_empty());
    assert!(cfg!(debug_assertions) || over == 0);
}

#[test]
fn figures_in_other_units_give_the_same_bands() {
    let draws = Draws::new(16, 1);
    let off: Vec<String> = (0..300)
        .into_par_iter()
        .flat_map_iter(|start| {
            let pair = by_chance(start, false).zip(by_chance(start, true));
            let bands = pair.map(|((one, tank, _), (other, other_tank, _))| {
                (simulated(&one, Some(&tank), &draws), simulated(&other, Some(&other_tank), &draws))
            });
            // Where not a drop an hour crosses the stage, what crosses it is the last digits of what slips past.
            let told = |(one, _): &(Simulated, Simulated)| {
                [Measure::FilteredFlow, Measure::FilteredFlowDirty]
                    .into_iter()
                    .all(|measure| one.band(measure).is_none_or(|band| band.low > 0.01))
            };
            let off = |(one, other): (Simulated, Simulated)| {
                Measure::ALL.into_iter().filter_map(move |measure| {
                    let (a, b) = (one.band(measure), other.band(measure));
                    let near = |x: f64, y: f64| (x - y).abs() <= 1e-4 * x.abs().max(1e-6);
                    let same = match (a, b) {
                        (Some(a), Some(b)) => near(a.low, b.low) && near(a.high, b.high),
                        (a, b) => a == b,
                    };
                    (!same).then(|| format!("{start} {}: {a:?} {b:?}", measure.key()))
                })
            };
            bands.into_iter().filter(told).flat_map(off).collect::<Vec<_>>()
        })
        .collect();
    assert!(off.is_empty(), "{} bands moved with the units:\n{}", off.len(), off.join("\n"));
}

#[test]
fn a_curve_with_a_cliff_is_solved_in_every_case() {
    let text =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/tamsin-1100.ron")).unwrap();
    let curve =
        "curve: points([(l_h(0), m(1.7)), (l_h(600), m(1.2)), (l_h(620), m(0.2)), (l_h(1100), m(0))])";
    let from = text.find("curve: ").unwrap();
    let to = from + text[from..].find('\n').unwrap();
    let cliff = filter(&format!("{}{curve},{}", &text[..from], &text[to..])).unwrap();
    let tank = crate::filters::tank();
    let draws = Draws::new(512, 1);
    let began = Instant::now();
    let all = simulated(&cliff, Some(&tank), &draws);
    println!("512 cases of a cliff: {:?}", began.elapsed());
    assert_eq!(all.failed, 0);
}
