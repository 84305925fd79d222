//! Eight draws in which one figure is held at one place of its spread.

use super::draws::{Batch, Draws};
use super::figure::{Draw, Spread};
use super::key::Key;
use super::law::Law;
use super::normal::quantile;
use crate::assumptions::A;
use crate::lane::{Eight, Lane};

/// Eight draws, all alike in one figure.
#[derive(Clone, Debug)]
pub struct Held<'a> {
    batch: Batch<'a>,
    key: &'a Key,
    place: (f64, f64),
}

impl<'a> Held<'a> {
    /// The eight draws from `first` on, with the figure of that key at its `share` quantile, strictly between 0 and 1.
    pub fn new(draws: &'a Draws, first: usize, key: &'a Key, share: f64) -> Self {
        Self { batch: Batch::new(draws, first), key, place: (share, quantile(share)) }
    }
}

impl Draw<Eight> for Held<'_> {
    fn spread(&self, value: f64, spread: Spread, key: &Key) -> Eight {
        if key == self.key {
            Eight::splat(Law::new(value, spread).at(self.place))
        } else {
            self.batch.spread(value, spread, key)
        }
    }
    fn constant(&self, which: A) -> Eight {
        if which.key() == self.key {
            Eight::splat(Law::new(which.entry().value, which.entry().spread).at(self.place))
        } else {
            self.batch.constant(which)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_figure_stands_still_and_the_others_move() {
        let draws = Draws::new(64, 3);
        let (held, free) = (Key::new("held"), Key::new("free"));
        let draw = Held::new(&draws, 8, &held, 0.95);
        let spread = Spread::Uniform { low: 1.0, high: 3.0 };
        let still = draw.spread(2.0, spread, &held);
        for lane in 0..8 {
            assert!((still.draw(lane) - 2.9).abs() < 1e-12);
        }
        assert_eq!(draw.spread(2.0, spread, &free), Batch::new(&draws, 8).spread(2.0, spread, &free));
        assert_eq!(draw.constant(A::FoamFactor), Batch::new(&draws, 8).constant(A::FoamFactor));
        let foam = Held::new(&draws, 8, A::FoamFactor.key(), 0.5).constant(A::FoamFactor);
        assert_eq!(foam.draw(0), foam.draw(7));
    }
}
