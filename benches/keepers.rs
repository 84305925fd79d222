//! Sixty keepers of a filter whose truth is drawn from the doubt itself: do the bands that their logs leave hold that truth
//! as often as they say, are honest readings believed and gross errors held out, and how long does it take?
//!
//! `cargo bench --bench keepers` (some minutes); `KEEPERS=10` for fewer.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

#[path = "../tests/common/one.rs"]
mod one;

use std::sync::atomic::AtomicBool;
use std::time::Instant;

use cansift::assess::log::{Mode, Sort};
use cansift::learn::learnt::{Ask, learn, watched};
use cansift::learn::search::ROWS;
use cansift::library::{demo, demo_tanks};
use cansift::model::Day;
use cansift::model::filter::{Build, Filter};
use cansift::model::log::{Cleaned, Dated, Entry, FlowWas, Hoses, Kept, Lay, Reading, Scales, When, Why};
use cansift::model::tank::Tank;
use cansift::parallel::processors;
use cansift::simd::{F64x8, Real};
use cansift::uncertainty::generator::Generator;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::normal::quantile;
use cansift::uncertainty::sampling::{Batch, Draws};
use cansift::uncertainty::summary::Sample;
use cansift::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use cansift::units::{Quantity, Volume};

fn bucket(seconds: f64) -> Reading {
    let volume = Uncertain {
        value: Volume::new(0.01).unwrap(),
        known: Provenance::Stated,
        spread: Spread::Normal { sd: 0.025 },
        key: Key::named("bucket"),
    };
    Reading::Bucket { volume, time: seconds, end: None, media: None }
}

/// Nine readings: three buckets, an opening with its muck and where it lay, weight, watts, loss, and a bucket after.
fn template() -> Vec<Entry> {
    let on = |day, what| Dated { on: When::Since(day), trusted: true, what };
    vec![
        on(0, bucket(60.0)),
        on(21, bucket(60.0)),
        on(42, bucket(60.0)),
        on(42, Reading::Weighed { mass: 13.0, with: Scales::Bathroom }),
        on(42, Reading::Meter { power: 20.0 }),
        on(42, Reading::Loss { head: 3.0 }),
        on(
            42,
            Reading::Opened {
                why: Why::Calendar,
                flow: Some(FlowWas::Fine),
                most_muck: vec![Lay::Layer { tray: 0, layer: 0 }],
                muck: Some(0.7),
                cleaned: Some(Cleaned::Nothing),
            },
        ),
    ]
}

/// The build as a keeper of that number finds it, its readings changed by `wrong`: by bucket, as a factor of its flow.
fn keeper(filter: &Filter, tank: &Tank, seed: u64, wrong: &dyn Fn(usize) -> f64) -> (Build, Draws) {
    let mut build = filter.builds.iter().find(|build| build.name == "restacked").unwrap().clone();
    build.kept =
        Kept { packed: Day::read("2026-03-01"), hoses: Some(Hoses::Cleaned), on: None, log: template() };
    let truth = Draws::new(1, 1_000 + seed);
    let watch = watched(filter, &build, Some(tank));
    let told: Vec<f64> = watch.figures(&one::One::new(&truth, 0));
    let mut noise = Generator::new(seed, 77);
    let mut at = 0;
    let (mut log, mut buckets) = (template(), 0);
    let mut fine = false;
    for item in &watch.items {
        let own = &told[at..at + item.reading.width()];
        at += item.reading.width();
        let mut normal = || quantile(noise.unit());
        let cansift::assess::log::From::Log(entry) = item.from else { continue };
        match (&mut log[entry].what, item.sort) {
            (Reading::Bucket { time, .. }, Sort::Bucket) => {
                let sd = cansift::learn::reading::bucket_sd(0.01 / own[0].exp());
                *time = 0.01 / ((own[0] + sd * normal()).exp() * wrong(buckets));
                buckets += 1;
            }
            (Reading::Weighed { mass, .. }, _) => *mass = (own[0]).exp() + 0.3 * normal(),
            (Reading::Meter { power }, _) => *power = (own[0] + 0.02 * normal()).exp(),
            (Reading::Loss { head }, _) => *head = 100.0 * (own[0] + 0.06 * normal()).exp(),
            (Reading::Opened { muck, .. }, Sort::Muck) => *muck = Some(1e3 * (own[0] + 0.2 * normal()).exp()),
            (Reading::Opened { most_muck, .. }, Sort::Places) => {
                let mut left = own.iter().map(|x| x * x).sum::<f64>() * noise.unit();
                let place = own.iter().position(|x| {
                    left -= x * x;
                    left <= 0.0
                });
                *most_muck = vec![watch.place(place.unwrap_or(0)).unwrap()];
            }
            (Reading::Opened { .. }, Sort::Fine) => fine = own[0] + 0.05 * normal() > own[1],
            _ => {}
        }
    }
    // Who did not find it fine says nothing of it.
    for entry in &mut log {
        if let Reading::Opened { flow, .. } = &mut entry.what {
            *flow = fine.then_some(FlowWas::Fine);
        }
    }
    build.kept.log = log;
    (build, truth)
}

/// A gross error, and whether what is held for it is the right place.
type Wrong = (&'static str, fn(usize) -> f64, fn(&[usize]) -> bool);

fn main() {
    let count: u64 = std::env::var("KEEPERS").ok().and_then(|n| n.parse().ok()).unwrap_or(60);
    let filter = demo().filters.into_iter().find(|f| f.filter.name == "Tamsin 1100").unwrap().filter;
    let room = demo_tanks().remove(0).tank;
    let never = AtomicBool::new(false);
    let draws = Draws::new(512, 1);
    let ask = |build: &Build, mode| {
        let builds = [(&*filter, build)];
        learn(&Ask {
            builds: &builds,
            tank: Some(&room),
            mode,
            draws: &draws,
            rows: ROWS,
            threads: processors(),
            stop: &never,
        })
        .unwrap()
    };
    let (mut held, mut all, mut width, mut before, mut time, mut slowest) = (0, 0, 0.0, 0.0, 0.0, 0.0_f64);
    for seed in 1..=count {
        let (build, truth) = keeper(&filter, &room, seed, &|_| 1.0);
        let start = Instant::now();
        let learnt = ask(&build, Mode::All);
        let took = start.elapsed().as_secs_f64();
        (time, slowest) = (time + took, slowest.max(took));
        let watch = watched(&filter, &build, Some(&room));
        let Some(now) = learnt.draws(0) else { continue };
        let bands = |draws: &Draws| {
            let mut samples = vec![Sample::default(); 2];
            for first in draws.firsts() {
                let batch = Batch::new(draws, first);
                let flow: Vec<F64x8> = watch.flows(&[70.0], &batch);
                let opens: F64x8 = watch.opens(&batch).unwrap();
                samples[0].push(flow[0], flow[0].finite(), draws.samples());
                samples[1].push(opens, opens.finite(), draws.samples());
            }
            samples.iter().map(|s| s.band().unwrap()).collect::<Vec<_>>()
        };
        let (then, now) = (bands(&draws), bands(now));
        let one = one::One::new(&truth, 0);
        let flow: Vec<f64> = watch.flows(&[70.0], &one);
        let opens: f64 = watch.opens(&one).unwrap();
        for (truth, band) in [flow[0], opens].into_iter().zip(&now) {
            // An interval beyond what is looked at is at its end.
            held += u32::from(band.low <= truth + 1e-9 && truth <= band.high + 1e-9);
            all += 1;
        }
        width += now[0].high - now[0].low;
        before += then[0].high - then[0].low;
    }
    println!(
        "{held} of {all} 90 % bands hold the truth; the flow of week 10 narrows to {:.2}",
        width / before
    );
    println!(
        "{:.2} s a log in the mean, {slowest:.2} s at most, on {} threads",
        time / count as f64,
        processors()
    );
    let start = Instant::now();
    ask(&keeper(&filter, &room, 1, &|_| 1.0).0, Mode::Own);
    println!("own: {:.2} s", start.elapsed().as_secs_f64());
    let wrong: [Wrong; 4] = [
        ("as drawn", |_| 1.0, <[usize]>::is_empty),
        ("a bucket twice as large", |b| if b == 1 { 2.0 } else { 1.0 }, |held| held == [1]),
        ("flows × 0.55", |_| 0.55, |held| held.len() >= 3 && held[..3] == [0, 1, 2]),
        (
            "falling 6 % a week more",
            |b| 0.94_f64.powf(3.0 * b as f64),
            |held| !held.is_empty() && held.iter().all(|i| *i < 3),
        ),
    ];
    for (what, by, right) in wrong {
        let mut placed = 0;
        for seed in 1..=count {
            let (build, _) = keeper(&filter, &room, seed, &by);
            let learnt = ask(&build, Mode::All);
            let told = &learnt.told[0];
            let held: Vec<usize> = (0..told.readings.len()).filter(|i| told.readings[*i].held).collect();
            if right(&held) {
                placed += 1;
            } else {
                println!("  {what}: keeper {seed} holds {held:?} (p {:.4}; {:?})", told.p, told.unused);
            }
        }
        println!("{what}: {placed} of {count} as they should");
    }
}
