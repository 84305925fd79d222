//! The draw in which figures that readings moved stand at the mean of what is believed, and all others at their nominal
//! value.

use std::collections::HashMap;

use super::distribution::Distribution;
use super::key::Key;
use super::normal::below;
use super::uncertain::{Draw, Spread};
use crate::assumptions::A;

/// Means of standard normals by the hashes of their keys; without any all is nominal.
#[derive(Clone, Debug, Default)]
pub struct Centre(HashMap<u64, f64>);

impl Centre {
    pub fn new(means: impl IntoIterator<Item = (u64, f64)>) -> Self {
        Self(means.into_iter().collect())
    }
}

impl Draw<f64> for Centre {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> f64 {
        match self.0.get(&key.hash()) {
            Some(z) if spread != Spread::Exact => Distribution::new(value, spread).at((below(*z), *z)),
            _ => value,
        }
    }
    fn constant(&self, which: A) -> f64 {
        let row = which.entry();
        self.spread(row.value, row.spread, which.key())
    }
    fn is_nominal(&self) -> bool {
        self.0.is_empty()
    }
}
