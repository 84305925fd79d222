//! Speed of the doubt: draws, ranking, reasons.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing)]

#[path = "../tests/common/chance.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod chance;
#[path = "../tests/common/filters.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod filters;
#[path = "../tests/common/one.rs"]
mod one;

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use cansift::assess::case::Case;
use cansift::assess::figures::{Effort, Figures, figures};
use cansift::assess::judge;
use cansift::assess::monte_carlo::simulate;
use cansift::compare::ranking::Standing;
use cansift::compare::reasons::reasons;
use cansift::measures::Measure;
use cansift::model::filter::Filter;
use cansift::uncertainty::centre::Centre;
use cansift::uncertainty::sampling::Draws;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use filters::{fig, tank, three_trays};
use rayon::prelude::*;

const DRAWS: usize = 512;

/// Thirty builds that differ in one seal gap and one slack.
fn thirty() -> Vec<Filter> {
    (0..30)
        .map(|i| {
            let mut filter = three_trays();
            let step = f64::from(i);
            filter.trays[1].seal.as_mut().unwrap().gap = fig(1e-4 + step * 4e-5, &format!("f{i}/t2"));
            filter.builds[0].trays[0][0].slack = Some(fig(5e-4 + step * 1e-4, &format!("f{i}/l1")));
            filter
        })
        .collect()
}

fn doubt(c: &mut Criterion) {
    let (filter, mut tank, never) = (three_trays(), tank(), AtomicBool::new(false));
    tank.priorities = [
        ("filtered_flow", 1.0),
        ("bypass_chance", 2.0),
        ("ammonia_capacity", 1.0),
        ("opening_interval", 1.0),
    ]
    .map(|(key, weight)| (key.to_owned(), weight))
    .to_vec();
    let case = Case::new(&filter, &filter.builds[0], Some(&tank));
    let draws = Draws::new(DRAWS, 1);
    let mut one = c.benchmark_group("one build");
    one.sample_size(10).throughput(Throughput::Elements(DRAWS as u64));
    one.bench_function("eight draws at a time", |b| b.iter(|| simulate(black_box(&case), &draws, &never)));
    one.bench_function("one draw at a time", |b| {
        b.iter(|| {
            (0..DRAWS)
                .map(|i| {
                    let told: Figures<f64> =
                        figures(black_box(&case), &one::One::new(&draws, i), Effort::FULL);
                    told.get(Measure::FilteredFlow).unwrap_or(0.0)
                })
                .sum::<f64>()
        });
    });
    one.finish();

    let filters = thirty();
    let all = |draws: &Draws| {
        let drawn = |filter: &Filter| {
            simulate(&Case::new(filter, &filter.builds[0], Some(&tank)), draws, &never).unwrap()
        };
        filters.par_iter().map(drawn).collect::<Vec<_>>()
    };
    let mut group = c.benchmark_group("thirty builds");
    group.sample_size(10);
    group.bench_function("512 draws each, all threads", |b| b.iter(|| all(&draws)));
    let manys = all(&draws);
    let judged: Vec<_> = filters.iter().map(|f| judge(f, 0, Some(&tank))).collect();
    let both = judged.iter().zip(&manys).map(|(j, cases)| j.clone().with(Some(cases.clone().into())));
    let both: Vec<_> = both.collect();
    let pairs: Vec<_> = both.iter().collect();
    group.bench_function("worth and ranking", |b| b.iter(|| Standing::new(black_box(&pairs), &tank, 1)));
    let cases: Vec<_> = filters.iter().map(|f| Case::new(f, &f.builds[0], Some(&tank))).collect();
    let mut standing = Standing::new(&pairs, &tank, 1);
    let mut turn = 0.0;
    group.bench_function("ranking under other weights", |b| {
        b.iter(|| {
            turn = if turn > 3.0 { 0.0 } else { turn + 0.25 };
            standing.reweigh(&[1.0, turn, 1.0, 1.0]);
        });
    });
    group.bench_function("measure this first", |b| b.iter(|| standing.measure_first(&draws, &cases)));
    group.finish();

    let mut other = filter.clone();
    other.hose.bore = fig(0.0125, "other/bore");
    other.trays[2].seal.as_mut().unwrap().gap = fig(2e-4, "other/seal");
    other.builds[0].trays[2].pop();
    let (a, b) = ((&filter, &filter.builds[0]), (&other, &other.builds[0]));
    for measure in [Measure::FilteredFlow, Measure::OpeningInterval] {
        c.bench_function(&format!("reasons, three groups, {}", measure.key()), |bench| {
            bench.iter(|| reasons(black_box(a), b, Some(&tank), measure, &Centre::default()));
        });
    }
}

criterion_group!(benches, doubt);
criterion_main!(benches);
