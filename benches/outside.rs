//! The same work as `outside.py` gives to tools from outside, for the ratio between them: the whole vessel of
//! `tests/reference/epanet_vessel.json`, and single laws. `benches/outside.py` runs this by itself.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

#[path = "../tests/common/laws.rs"]
#[allow(dead_code, reason = "the tests use more of it")]
mod laws;
#[path = "../tests/reference/vessel.rs"]
mod vessel;

use std::hint::black_box;
use std::time::Instant;

use laws::churchill;
use vessel::Vessel;

/// Nanoseconds a go: the least of ten rounds.
fn nanoseconds(rounds: u32, mut go: impl FnMut() -> f64) -> f64 {
    let round = |_| {
        let start = Instant::now();
        for _ in 0..rounds {
            black_box(go());
        }
        start.elapsed().as_secs_f64() * 1e9 / f64::from(rounds)
    };
    (0..10).map(round).fold(f64::INFINITY, f64::min)
}

fn main() {
    let mut vessel = Vessel::new();
    let laid = vessel.laid(1.0);
    let solve = nanoseconds(2000, || {
        let mut net = laid.clone();
        vessel.solve(&mut net);
        net.flow(0)
    });
    println!("network solve {solve:.0}");
    let mut re = 4000.0;
    let friction = nanoseconds(100_000, || {
        re = if re > 1e5 { 4000.0 } else { re * 1.0001 };
        churchill(black_box(re), black_box(1e-4)).factor
    });
    println!("friction factor {friction:.1}");
}
