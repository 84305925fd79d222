//! Many draws aged eight at a time, each as far as it goes: where one is at its end the next takes its place, so that
//! no draw waits for the slowest of seven others.

use std::collections::VecDeque;

use super::aged::Aged;
use super::ageing::Ageing;
use crate::hydraulics::vessel::Vessel;
use crate::simd::{Lane, Real};

/// A batch of draws that were taken in, and how many of them are still under way.
#[derive(Debug)]
struct Batch<L: Real> {
    aged: Aged<L>,
    left: usize,
}

/// The draws at work. Which stand side by side follows from their order alone.
#[derive(Debug)]
pub struct Flock<'a, L: Real> {
    at_work: Option<(Ageing<'a, L>, Vessel<L>)>,
    /// Batch, by its number, and draw of it, at each place.
    seats: Vec<Option<(usize, usize)>>,
    batches: VecDeque<Batch<L>>,
    /// Batches that were given back.
    given: usize,
}

impl<L: Real> Default for Flock<'_, L> {
    fn default() -> Self {
        Self { at_work: None, seats: vec![None; L::WIDTH], batches: VecDeque::new(), given: 0 }
    }
}

impl<'a, L: Real> Flock<'a, L> {
    /// Takes in the next batch, on its first day; of its draws those that are `worth` it, the others stay unsolved.
    pub fn take_in(&mut self, fresh: &Ageing<'a, L>, vessel: &Vessel<L>, worth: L::Mask) {
        if self.at_work.as_ref().is_some_and(|(_, at_work)| !at_work.alike(vessel)) {
            self.end();
            self.at_work = None;
        }
        let number = self.given + self.batches.len();
        let mut aged = fresh.aged.clone();
        aged.solved = L::mask(false);
        self.batches.push_back(Batch { aged, left: 0 });
        let worth: Vec<usize> = (0..L::WIDTH).filter(|draw| L::holds(worth, *draw)).collect();
        if self.at_work.is_none() && !worth.is_empty() {
            let (mut first, mut at_work) = (fresh.clone(), vessel.clone());
            for draw in (0..L::WIDTH).filter(|draw| !worth.contains(draw)) {
                // A place that stays empty is filled with a draw that can be solved.
                let solved = worth.first().copied().unwrap_or(0);
                first.take(draw, fresh, solved);
                at_work.take(draw, vessel, solved);
            }
            self.at_work = Some((first, at_work));
        }
        for draw in worth {
            let seat = loop {
                if let Some(seat) = self.seats.iter().position(Option::is_none) {
                    break seat;
                }
                self.step();
            };
            if let (Some((ageing, at_work)), Some(place)) = (&mut self.at_work, self.seats.get_mut(seat)) {
                ageing.take(seat, fresh, draw);
                at_work.take(seat, vessel, draw);
                *place = Some((number, draw));
            }
            if let Some(batch) = self.batches.get_mut(number - self.given) {
                batch.left += 1;
            }
        }
    }

    fn step(&mut self) {
        let Some((ageing, vessel)) = &mut self.at_work else { return };
        ageing.step(vessel);
        for (seat, place) in self.seats.iter_mut().enumerate() {
            if let Some((number, draw)) = place.take_if(|_| L::holds(ageing.done, seat)) {
                ageing.leave(seat);
                if let Some(batch) = self.batches.get_mut(number - self.given) {
                    batch.aged.take(draw, &ageing.aged, seat);
                    batch.left -= 1;
                }
            }
        }
        ageing.forget();
    }

    /// Draws at work or to come that Newton's method finds no end for hang on who stands beside them.
    pub fn is_stiff(&self) -> bool {
        self.at_work.as_ref().is_some_and(|(_, vessel)| vessel.is_stiff())
    }

    pub fn end(&mut self) {
        while self.seats.iter().any(Option::is_some) {
            self.step();
        }
    }

    /// The first batch that was not given back, once it is at its end.
    pub fn take_out(&mut self) -> Option<Aged<L>> {
        self.batches.front().filter(|batch| batch.left == 0)?;
        self.given += 1;
        self.batches.pop_front().map(|batch| batch.aged)
    }
}
