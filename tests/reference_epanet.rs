//! One whole vessel solved by EPANET (through a Python package; `tests/reference/epanet_vessel.py` made the
//! data) and by our own solver, within 0.1 %. It checks solver and topology, not the physics.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use std::collections::HashMap;

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
        let x = (q / self.free_flow).max(0.0);
        Loss {
            loss: -self.shut_off * (1.0 - x.powf(self.exponent)),
            slope: self.shut_off * self.exponent * x.powf(self.exponent - 1.0) / self.free_flow,
        }
    }
}

#[test]
fn our_solver_agrees_with_epanet() {
    let data: Value = serde_json::from_str(include_str!("reference/epanet_vessel.json")).unwrap();

    let mut numbers = HashMap::from([("tank".to_string(), 0u16)]);
    let mut node = |name: &str| {
        let next = numbers.len() as u16;
        *numbers.entry(name.to_string()).or_insert(next)
    };
    let passages = data["passages"].as_array().unwrap();
    let mut joins: Vec<(u16, u16)> = passages
        .iter()
        .map(|p| (node(p["from"].as_str().unwrap()), node(p["to"].as_str().unwrap())))
        .collect();
    let pump = &data["pump"];
    joins.push((node(pump["from"].as_str().unwrap()), node(pump["to"].as_str().unwrap())));
    let graph = Graph::new(numbers.len(), joins);
    let number = |v: &Value| v.as_f64().unwrap();
    let mut law = Pump {
        shut_off: number(&pump["shutoff"]),
        free_flow: number(&pump["free_flow"]),
        exponent: number(&pump["exponent"]),
    };
    let mut worst = 0.0f64;
    for case in data["cases"].as_object().unwrap().values() {
        let times = number(&case["media_times"]);
        let mut net = Network::<f64>::new(&graph);
        for (p, passage) in passages.iter().enumerate() {
            let media = passage["media"].as_bool().unwrap_or(false);
            let by = if media { times } else { 1.0 };
            net.set(p, Quad { a: number(&passage["a"]) * by, b: number(&passage["b"]) * by });
            net.guess(p, 1e-4);
        }
        net.set_curved(passages.len(), 1e-4);
        assert!(net.solve(&graph, &mut law, Closeness::FULL).solved);
        let flows = &case["flows"];
        for (p, passage) in passages.iter().enumerate() {
            let name = passage["name"].as_str().unwrap();
            let theirs = number(&flows[name]);
            let off = (net.flow(p) / theirs - 1.0).abs();
            worst = worst.max(off);
            assert!(off < 1e-3, "{name} at {times} times: ours {} EPANET {theirs}", net.flow(p));
        }
    }
    assert!(worst > 0.0, "agreement to the last digit would be our own figures read back");
    println!("largest difference {worst:e}");
}
