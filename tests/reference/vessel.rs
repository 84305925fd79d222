//! The whole vessel of `epanet_vessel.json` as our solver takes it: for the check against EPANET's flows, and for
//! timing the same work.
// Each that takes this in uses a part of it; a broken file of data fails at once.
#![allow(dead_code, reason = "each program of tests uses a part of it")]

use std::collections::HashMap;

use cansift::hydraulics::network::{Curved, Graph, Network, Tolerance};
use cansift::hydraulics::{Loss, QuadraticLoss};
use serde_json::Value;

/// A pump known by its ends and an exponent.
pub struct Pump {
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
            gradient: self.shut_off * self.exponent * power / x / self.free_flow,
        }
    }
}

/// Passages and pump.
pub struct Vessel {
    pub data: Value,
    graph: Graph,
    pump: Pump,
}

pub fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

impl Vessel {
    pub fn new() -> Self {
        let data: Value = serde_json::from_str(include_str!("epanet_vessel.json")).unwrap();
        let mut numbers = HashMap::from([("tank".to_string(), 0u16)]);
        let mut node = |name: &Value| {
            let next = numbers.len() as u16;
            *numbers.entry(name.as_str().unwrap().to_string()).or_insert(next)
        };
        let passages = data["passages"].as_array().unwrap().iter().chain([&data["pump"]]);
        let joins: Vec<(u16, u16)> = passages.map(|p| (node(&p["from"]), node(&p["to"]))).collect();
        let graph = Graph::new(numbers.len(), joins);
        let pump = &data["pump"];
        let pump = Pump {
            shut_off: number(&pump["shutoff"]),
            free_flow: number(&pump["free_flow"]),
            exponent: number(&pump["exponent"]),
        };
        Self { data, graph, pump }
    }

    pub fn passages(&self) -> &[Value] {
        self.data["passages"].as_array().unwrap()
    }

    /// Not solved yet; the media take so many times their clean loss.
    pub fn laid(&self, media_times: f64) -> Network<f64> {
        let mut net = Network::<f64>::new(&self.graph);
        for (p, passage) in self.passages().iter().enumerate() {
            let by = if passage["media"].as_bool().unwrap_or(false) { media_times } else { 1.0 };
            net.set(p, QuadraticLoss { a: number(&passage["a"]) * by, b: number(&passage["b"]) * by });
            net.guess(p, 1e-4);
        }
        net.set_curved(self.passages().len(), 1e-4);
        net
    }

    pub fn solve(&mut self, net: &mut Network<f64>) {
        assert!(net.solve(&self.graph, &mut self.pump, Tolerance::FULL).solved);
    }
}
