//! Which doubtful figures a run of the model asks for.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

use super::key::Key;
use super::uncertain::{Draw, Spread};
use crate::assumptions::A;

/// A draw with everything at its nominal value that notes the keys asked for. One nominal run with it tells
/// which columns to prefetch and which keys "measure this first" has to look at.
#[derive(Debug, Default)]
pub struct KeyRecorder {
    keys: Mutex<BTreeSet<Key>>,
}

impl KeyRecorder {
    /// Nothing asked yet.
    pub fn new() -> Self {
        Self::default()
    }
    /// The keys with doubt asked for so far, in the order of their names.
    pub fn keys(self) -> Vec<Key> {
        self.keys.into_inner().unwrap_or_else(PoisonError::into_inner).into_iter().collect()
    }
}

impl Draw<f64> for KeyRecorder {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_doubtful_keys_are_noted_and_once() {
        let asked = KeyRecorder::new();
        let (b, a) = (Key::named("b"), Key::named("a"));
        assert_eq!(asked.spread(2.0, Spread::Normal { sd: 0.1 }, &b), 2.0);
        assert_eq!(asked.spread(2.0, Spread::Factor { factor: 2.0 }, &b), 2.0);
        assert_eq!(asked.spread(3.0, Spread::Uniform { low: 1.0, high: 5.0 }, &a), 3.0);
        assert_eq!(asked.spread(3.0, Spread::Exact, &Key::named("exact")), 3.0);
        assert_eq!(asked.constant(A::Gravity), A::Gravity.entry().value);
        assert_eq!(asked.constant(A::FoamA), A::FoamA.entry().value);
        assert_eq!(asked.keys(), [a, b, A::FoamA.key().clone()]);
    }
}
