//! Speed of a proposal: six trays, every medium that ships, the usual effort.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing)]

use std::hint::black_box;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use cansift::assess::case::Case;
use cansift::library::{Library, demo, demo_tanks};
use cansift::propose::{Options, allowed, propose};
use criterion::{Criterion, criterion_group, criterion_main};

fn six_trays(c: &mut Criterion) {
    let demo = demo();
    let tamsin = &demo.filters.iter().find(|s| s.filter.id == "tamsin-1100").unwrap().filter;
    let mut filter = (**tamsin).clone();
    for i in 0..3 {
        let again = filter.trays[i].clone();
        filter.trays.push(again);
    }
    for build in &mut filter.builds {
        build.trays.resize_with(6, Vec::new);
    }
    let tank = demo_tanks().into_iter().next().unwrap().tank;
    let media = allowed::all(Library::shipped().media().cloned(), &filter, &filter.builds[0], &tank);
    let options = Options::new(media);
    let case = Case::new(&filter, &filter.builds[0], Some(&tank));
    let stop = AtomicBool::new(false);
    let mut group = c.benchmark_group("propose");
    group.sample_size(10).measurement_time(Duration::from_secs(30));
    group.bench_function("six trays, all media", |b| {
        b.iter(|| propose(black_box(&case), &options, &stop, |_| {}).len());
    });
    group.finish();
}

criterion_group!(benches, six_trays);
criterion_main!(benches);
