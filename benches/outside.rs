//! The same work as `outside.py` gives to tools from outside, for the ratio between them: the whole vessel of
//! `tests/reference/epanet_vessel.json`, and single laws. `benches/outside.py` runs this by itself.
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing, clippy::print_stdout)]

use std::collections::HashMap;
use std::hint::black_box;
use std::time::Instant;

use cansift::hydraulics::friction::churchill;
use cansift::hydraulics::network::{Closeness, Curved, Graph, Network};
use cansift::hydraulics::{Loss, Quad};
use serde_json::Value;

struct Pump {
    shut_off: f64,
    free_flow: f64,
    exponent: f64,
}

impl Curved<f64> for Pump {
    fn at(&mut self, _: usize, q: f64) -> Loss<f64> {
        let x = (q / self.free_flow).max(1e-12);
        let power = x.powf(self.exponent);
        Loss {
            loss: -self.shut_off * (1.0 - power),
            slope: self.shut_off * self.exponent * power / x / self.free_flow,
        }
    }
}

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
    let data: Value = serde_json::from_str(include_str!("../tests/reference/epanet_vessel.json")).unwrap();
    let number = |v: &Value| v.as_f64().unwrap();
    let mut numbers = HashMap::from([("tank".to_string(), 0u16)]);
    let mut node = |name: &Value| {
        let next = numbers.len() as u16;
        *numbers.entry(name.as_str().unwrap().to_string()).or_insert(next)
    };
    let passages = data["passages"].as_array().unwrap();
    let mut joins: Vec<(u16, u16)> = passages.iter().map(|p| (node(&p["from"]), node(&p["to"]))).collect();
    let pump = &data["pump"];
    joins.push((node(&pump["from"]), node(&pump["to"])));
    let graph = Graph::new(numbers.len(), joins);
    let mut law = Pump {
        shut_off: number(&pump["shutoff"]),
        free_flow: number(&pump["free_flow"]),
        exponent: number(&pump["exponent"]),
    };
    let mut laid = Network::<f64>::new(&graph);
    for (p, passage) in passages.iter().enumerate() {
        laid.set(p, Quad { a: number(&passage["a"]), b: number(&passage["b"]) });
        laid.guess(p, 1e-4);
    }
    laid.set_curved(passages.len(), 1e-4);
    let solve = nanoseconds(2000, || {
        let mut net = laid.clone();
        assert!(net.solve(&graph, &mut law, Closeness::FULL).solved);
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
