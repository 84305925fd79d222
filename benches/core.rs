//! Speed of the core: one solve, one judgement, with and without its timeline.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing)]

#[path = "../tests/common/chance.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod chance;
#[path = "../tests/common/filters.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod filters;

use std::hint::black_box;

use cansift::assess::case::Case;
use cansift::assess::figures::{Effort, figures};
use cansift::assess::judge;
use cansift::hydraulics::network::Tolerance;
use cansift::hydraulics::plan::Plan;
use cansift::hydraulics::vessel::Vessel;
use cansift::simd::F64x8;
use cansift::uncertainty::uncertain::Nominal;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use filters::{tank, three_trays};

/// One judgement with its timeline: the mean over the demo's builds at its first tank, laying out included and with the
/// plan of the vessel at hand.
fn demo(c: &mut Criterion) {
    let (demo, tank) = (cansift::library::demo(), cansift::library::demo_tanks().remove(0).tank);
    let cases: Vec<Case<'_>> = demo
        .filters
        .iter()
        .flat_map(|sound| {
            sound.filter.builds.iter().map(|build| Case::new(&sound.filter, build, Some(&tank)))
        })
        .collect();
    let mut group = c.benchmark_group("the demo's builds, each");
    group.throughput(Throughput::Elements(cases.len() as u64));
    let all = |judged: &dyn Fn(&Case<'_>) -> bool| cases.iter().filter(|case| judged(case)).count();
    group.bench_function("figures with timeline", |b| {
        b.iter(|| all(&|case| figures::<f64>(black_box(case), &Nominal, Effort::FULL).solved));
    });
    group.bench_function("the same from the filter on", |b| {
        b.iter(|| {
            all(&|case| {
                let anew = Case::new(case.filter, case.build, case.tank);
                figures::<f64>(black_box(&anew), &Nominal, Effort::FULL).solved
            })
        });
    });
    group.finish();
}

fn core(c: &mut Criterion) {
    let filter = three_trays();
    let tank = tank();
    let build = &filter.builds[0];
    let plan = Plan::new(&filter, build);
    let cold = Vessel::<f64>::new(&plan, &filter, build, Some(&tank), &Nominal);
    c.bench_function("solve cold", |b| {
        b.iter(|| {
            let mut v = cold.clone();
            v.solve(&plan, Tolerance::FULL)
        });
    });
    let mut warm = cold.clone();
    warm.solve(&plan, Tolerance::FULL);
    let media: Vec<usize> = plan.layers.iter().map(|l| l.media).collect();
    let mut dirty = 1.0;
    c.bench_function("solve warm, media 5 % dirtier each time", |b| {
        b.iter(|| {
            dirty = if dirty > 3.0 { 1.0 } else { dirty * 1.05 };
            for &p in &media {
                warm.network.set_scaled(p, warm.clean[p], (dirty, dirty));
            }
            warm.solve(&plan, Tolerance::FULL).steps
        });
    });
    c.bench_function("lay a vessel", |b| {
        b.iter(|| Vessel::<f64>::new(black_box(&plan), &filter, build, Some(&tank), &Nominal));
    });
    let case = Case::new(&filter, build, Some(&tank));
    let clean = Effort { ageing: false, step: 1.0 };
    c.bench_function("figures without timeline", |b| {
        b.iter(|| figures::<f64>(black_box(&case), &Nominal, clean));
    });
    c.bench_function("figures with timeline", |b| {
        b.iter(|| figures::<f64>(black_box(&case), &Nominal, Effort::FULL));
    });
    c.bench_function("figures with timeline, eight draws", |b| {
        b.iter(|| figures::<F64x8>(black_box(&case), &Nominal, Effort::FULL));
    });
    c.bench_function("judge with all pictures", |b| {
        b.iter(|| judge(black_box(&filter), 0, Some(&tank)));
    });
}

criterion_group!(benches, core, demo);
criterion_main!(benches);
