//! One stable sort for rows of every kind: only their places are sorted, so that the program does not carry a sort for
//! each kind of row.

// Places come from the count of the rows.
#![allow(clippy::indexing_slicing)]

use std::cmp::Ordering;

/// Rows that can be put in order; those that are equal keep theirs.
pub trait InOrder<T> {
    fn order_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);
    fn order_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.order_by(|a, b| key(a).cmp(&key(b)));
    }
}

impl<T> InOrder<T> for Vec<T> {
    fn order_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let mut place = places(self.len(), &mut |a, b| compare(&self[a], &self[b]));
        for at in 0..place.len() {
            while place[at] != at {
                let to = place[at];
                self.swap(at, to);
                place.swap(at, to);
            }
        }
    }
}

/// Where each of so many rows belongs.
fn places(count: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| compare(*a, *b));
    let mut place = vec![0; count];
    for (to, from) in order.into_iter().enumerate() {
        place[from] = to;
    }
    place
}
