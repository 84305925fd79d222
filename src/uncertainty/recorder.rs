//! Which doubtful figures a run of the model asks for.

use std::collections::HashSet;
use std::sync::{Mutex, PoisonError};

use super::key::Key;
use super::uncertain::{Draw, Spread};
use crate::assumptions::A;

/// A draw with everything at its nominal value that notes the keys asked for. One nominal run with it tells
/// which columns to prefetch and which keys "measure this first" has to look at.
#[derive(Debug, Default)]
pub struct KeyRecorder {
    keys: Mutex<HashSet<Key>>,
}

impl KeyRecorder {
    /// Nothing asked yet.
    pub fn new() -> Self {
        Self::default()
    }
    /// The keys with doubt asked for so far, in the order of their names.
    pub fn keys(self) -> Vec<Key> {
        let asked = self.keys.into_inner().unwrap_or_else(PoisonError::into_inner);
        let mut keys: Vec<Key> = asked.into_iter().collect();
        keys.sort_by_cached_key(Key::name);
        keys
    }
}

impl Draw<f64> for KeyRecorder {
    fn is_nominal(&self) -> bool {
        true
    }
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> f64 {
        if spread != Spread::Exact {
            let mut keys = self.keys.lock().unwrap_or_else(PoisonError::into_inner);
            if !keys.contains(key) {
                keys.insert(key.clone());
            }
        }
        value
    }
    fn constant(&self, which: A) -> f64 {
        let row = which.entry();
        self.spread(row.value, row.spread, which.key())
    }
}
