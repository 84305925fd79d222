//! Files from disk to figures: read, checked and judged.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing)]

use std::path::PathBuf;

use cansift::assess::judge;
use cansift::library::Library;
use cansift::profile::store::{load, load_tank};
use criterion::{Criterion, criterion_group, criterion_main};
use rayon::prelude::*;

fn reading(c: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    let demo: Vec<PathBuf> = std::fs::read_dir("demo-data")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .collect();
    for i in 0..1000 {
        let from = &demo[i % demo.len()];
        let name = from.file_stem().unwrap().to_string_lossy();
        std::fs::copy(from, folder.path().join(format!("{name}-{i:04}.ron"))).unwrap();
    }
    let paths = [folder.path().to_path_buf()];
    let library = Library::shipped();
    let tank = load_tank(std::path::Path::new("demo-data/tanks/reading-room.ron"), library).unwrap().tank;
    let mut group = c.benchmark_group("1,000 profiles from disk");
    group.sample_size(10);
    group.bench_function("read and checked", |b| b.iter(|| load(&paths, library).filters.len()));
    group.bench_function("read, checked and every build judged", |b| {
        b.iter(|| {
            let loaded = load(&paths, library);
            loaded
                .filters
                .par_iter()
                .map(|s| {
                    (0..s.filter.builds.len())
                        .map(|i| judge(&s.filter, i, Some(&tank)).stages.len())
                        .sum::<usize>()
                })
                .sum::<usize>()
        });
    });
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
