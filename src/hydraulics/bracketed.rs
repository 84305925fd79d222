//! The network where Newton's method finds no end: brackets, one inside the other.
//!
//! Every passage lets more through under a higher loss, so each question here has one answer between two bounds:
//! the flow that enters below (the water then gathers what the tube's joints add, on the way up), within it each
//! tray's share beside its seal, within it the loss of passages side by side. Slower than Newton's method by far,
//! and it never gives up: Newton's step is taken only while it halves the bracket as well as halving would.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::network::{Curved, Network, Tolerance};
use super::plan::{Plan, What};
use super::{Loss, QuadraticLoss};
use crate::simd::Real;

/// Most evaluations of one bracket: twelve decades by halves, two tries each.
const MOST: usize = 120;
/// Widest bracket, over the flow that is looked from.
const WIDEST: f64 = 1e6;
/// Relative width at which a bracket is closed.
const CLOSE: f64 = 1e-13;
/// Relative length of Newton's last step, where it may not be longer.
const LAST: f64 = 1e-6;

/// Root of what rises between 0 and a bound; `f` gives value and slope. `last` is the relative length of Newton's last
/// step: what is left after it is of the second order.
fn root<L: Real>(mut high: L, start: L, last: f64, mut f: impl FnMut(L) -> (L, L)) -> L {
    let zero = L::zero();
    let mut low = zero;
    let mut x = start.max(low).min(high);
    let mut moved = high;
    let mut done = L::mask(false);
    for _ in 0..MOST {
        let (value, slope) = f(x);
        let below = value.le(zero);
        low = L::select(below, x, low);
        high = L::select(below, high, x);
        let newton = x - value / slope;
        // Flows span many decades: halve the logarithm.
        let halved = (low.max(high * 1e-9) * high).sqrt().min((low + high) * 0.5);
        let inside = L::and(newton.gt(low), newton.lt(high));
        let taken = L::and(inside, (newton - x).abs().le(moved * 0.5));
        let next = L::select(taken, newton, halved);
        moved = (next - x).abs();
        // A draw that is done waits where it is for the others.
        let exact = L::or(value.abs().le(slope * x * CLOSE), L::not(value.finite()));
        x = L::select(L::or(done, exact), x, next);
        let ends = L::or(L::and(taken, moved.le(x * last)), (high - low).le(high * CLOSE));
        done = L::or(done, L::or(exact, ends));
        if L::all(done) {
            break;
        }
    }
    x
}

/// Part of the way that the water meets in one piece: layers and grid in a row, perhaps with a seal beside them all.
struct Stretch {
    /// Passages side by side, one group after the other, with the position each starts from.
    rows: Vec<(usize, Vec<usize>)>,
    seal: Option<usize>,
    /// Joints of the tube into the chamber where it ends, seen from the tube.
    joints: Vec<usize>,
}

/// Flow that enters, and loss up to a place; both with their slope over the flow that starts below.
#[derive(Clone, Copy)]
struct Way<L> {
    flow: L,
    widens: L,
    loss: L,
    steepens: L,
}

/// The vessel as brackets see it.
struct Nest<'a, L: Real, C> {
    network: &'a Network<L>,
    laws: &'a mut C,
    /// From the middle of a jointed tube away from it, else in the water's order.
    stretches: Vec<Stretch>,
    /// What all of the water passes on the other side of that middle.
    beyond: Vec<Stretch>,
    flows: Vec<L>,
    /// From each position to the next.
    drops: Vec<L>,
    /// Where each question had its answer last, by the passage that it is about: the lesser share of a stretch and
    /// its seal, over the half; the loss over a row, over its flow.
    last: Vec<L>,
    /// Relative length of the last step of each bracket.
    close: f64,
}

impl<'a, L: Real, C: Curved<L>> Nest<'a, L, C> {
    fn new(plan: &Plan, network: &'a Network<L>, laws: &'a mut C, close: f64) -> Self {
        let stops = &plan.walk.stops;
        let ends = |p: usize| {
            let holds = |list: &[u16]| list.iter().any(|q| usize::from(*q) == p);
            let from = stops.iter().position(|stop| holds(&stop.leaving)).unwrap_or(0);
            (from, stops.iter().position(|stop| holds(&stop.arriving)).unwrap_or(0))
        };
        let last = stops.len() - 1;
        let mut rows = vec![Vec::new(); last];
        let (mut seals, mut joints) = (vec![None; last], Vec::new());
        for (p, what) in plan.what.iter().enumerate() {
            let (from, to) = ends(p);
            match what {
                What::Outside => {}
                What::Seal { .. } => seals[from] = Some((p, to)),
                What::Joint { .. } => joints.push((p, from, to)),
                _ => rows[from].push(p),
            }
        }
        let (mut before, mut after) = (Vec::new(), Vec::new());
        let half = |what| plan.what.iter().position(|w| *w == what).map(&ends);
        // Every joint leaves or meets the middle of the tube, which lies behind its first half.
        let middle = half(What::TubeIn).map(|(_, to)| to).filter(|_| !joints.is_empty());
        let rising = joints.first().is_none_or(|(_, from, _)| Some(*from) == middle);
        let mut at = 0;
        while at < last {
            let (seal, end) = seals[at].map_or((None, at + 1), |(p, to)| (Some(p), to));
            let chamber = if rising { end } else { at };
            let meets =
                joints.iter().filter(|(_, from, to)| if rising { *to == chamber } else { *from == chamber });
            let stretch = Stretch {
                rows: (at..end).map(|at| (at, std::mem::take(&mut rows[at]))).collect(),
                seal,
                joints: meets.map(|(p, ..)| *p).collect(),
            };
            if middle.is_some_and(|middle| end <= middle) {
                before.push(stretch);
            } else {
                after.push(stretch);
            }
            at = end;
        }
        let (stretches, beyond) = if rising {
            (after, before)
        } else {
            before.reverse();
            (before, after)
        };
        let flows = network.flows().to_vec();
        let (drops, last) = (vec![L::zero(); last], vec![L::zero(); plan.what.len()]);
        Self { network, laws, stretches, beyond, flows, drops, last, close }
    }

    fn law(&self, p: usize) -> QuadraticLoss<L> {
        self.network.law(p)
    }

    fn single(&mut self, p: usize, q: L) -> Loss<L> {
        self.flows[p] = q;
        if self.network.is_curved(p) { self.laws.at(p, q) } else { self.law(p).at(q) }
    }

    /// Flow of one passage under a loss, and its slope.
    fn under(&mut self, p: usize, loss: L) -> (L, L) {
        let (q, slope) = if self.network.is_under(p) {
            self.laws.under(p, loss)
        } else {
            let law = self.law(p);
            let q = law.flow(loss);
            (q, L::one() / law.at(q).gradient)
        };
        self.flows[p] = q;
        (q, slope)
    }

    fn side_by_side(&mut self, row: &[usize], q: L) -> Loss<L> {
        if let [only] = row {
            return self.single(*only, q);
        }
        let plain = row.iter().filter(|p| !self.network.is_under(**p));
        let high = plain.map(|p| self.law(*p).at(q).loss).reduce(L::min).unwrap_or_else(L::zero);
        let all = |nest: &mut Self, loss: L| {
            row.iter().fold((L::zero(), L::zero()), |(flow, slope), p| {
                let (q, more) = nest.under(*p, loss);
                (flow + q, slope + more)
            })
        };
        let first = row.first().copied().unwrap_or(0);
        // From below Newton's method meets what only bends down.
        let start = self.last[first] * q;
        let start = L::select(start.gt(L::zero()), start, high * 1e-9);
        let loss = root(high, start, self.close, |loss| {
            let (flow, slope) = all(self, loss);
            (flow - q, slope)
        });
        self.last[first] = loss / q;
        let (_, slope) = all(self, loss);
        Loss { loss, gradient: L::one() / slope }
    }

    fn in_a_row(&mut self, rows: &[(usize, Vec<usize>)], q: L) -> Loss<L> {
        rows.iter().fold(Loss::none(), |sum, (at, row)| {
            let loss = self.side_by_side(row, q);
            self.drops[*at] = loss.loss;
            sum.then(loss)
        })
    }

    fn stretch(&mut self, stretch: &Stretch, q: L) -> Loss<L> {
        let Some(seal) = stretch.seal else { return self.in_a_row(&stretch.rows, q) };
        let law = self.law(seal);
        let half = q * 0.5;
        // Look for the lesser of both flows: the greater is what it leaves, without loss of digits.
        let little = self.in_a_row(&stretch.rows, half).loss.ge(law.at(half).loss);
        let split = |x: L| (L::select(little, x, q - x), L::select(little, q - x, x));
        let start = L::select(self.last[seal].gt(L::zero()), self.last[seal], L::splat(0.5)) * half;
        let x = root(half, start, self.close, |x| {
            let (media, past) = split(x);
            let (through, beside) = (self.in_a_row(&stretch.rows, media), law.at(past));
            let more = through.loss - beside.loss;
            (L::select(little, more, -more), through.gradient + beside.gradient)
        });
        self.last[seal] = x / half;
        let (media, past) = split(x);
        self.flows[seal] = past;
        let (through, beside) = (self.in_a_row(&stretch.rows, media), law.at(past));
        let gradient = L::one() / (L::one() / through.gradient + L::one() / beside.gradient);
        Loss { loss: through.loss, gradient }
    }

    /// All the way but what lies outside, for a flow that starts below.
    fn way(&mut self, from: L) -> Way<L> {
        let mut way = Way { flow: from, widens: L::one(), loss: L::zero(), steepens: L::zero() };
        let (stretches, beyond) = (std::mem::take(&mut self.stretches), std::mem::take(&mut self.beyond));
        for stretch in stretches.iter().chain(&beyond) {
            let loss = self.stretch(stretch, way.flow);
            way.loss += loss.loss;
            way.steepens += loss.gradient * way.widens;
            for p in &stretch.joints {
                let (q, slope) = self.under(*p, way.loss);
                way.flow += q;
                way.widens += slope * way.steepens;
            }
        }
        (self.stretches, self.beyond) = (stretches, beyond);
        way
    }
}

/// Flows of a vessel with the heads that go with them.
pub struct Found<L: Real> {
    flows: Vec<L>,
    drops: Vec<L>,
    solved: L::Mask,
    /// Flow that enters below.
    pub from: L,
}

/// Solves from `start`, a flow that enters below; `size` is the greatest flow there may be, or one of that order. A pump
/// whose own curve rises has several answers: from that size it is the greatest, from one that stood that one.
/// `closeness` says how long the last step may be. Not found where nothing flows forward.
pub fn solve<L: Real, C: Curved<L>>(
    plan: &Plan,
    network: &Network<L>,
    laws: &mut C,
    (size, start): (L, L),
    closeness: Tolerance,
) -> Found<L> {
    let close = closeness.step.max(LAST);
    let outside = plan.outside();
    let mut nest = Nest::new(plan, network, laws, close);
    let all = |nest: &mut Nest<'_, L, C>, from: L| {
        let way = nest.way(from);
        let drive = nest.laws.at(outside, way.flow);
        nest.flows[outside] = way.flow;
        (way.loss + drive.loss, way.steepens + drive.gradient * way.widens)
    };
    let size = size.max(L::splat(1e-12));
    let from = root(size * WIDEST, start, close, |from| all(&mut nest, from));
    let forward = L::or(from.gt(size * 1e-6), all(&mut nest, size * 1e-40).0.lt(L::zero()));
    let (left, _) = all(&mut nest, from);
    Found { solved: L::and(forward, left.finite()), from, flows: nest.flows, drops: nest.drops }
}

impl<L: Real> Found<L> {
    /// Puts the answer into the network in these draws; those of them in which there is one come back.
    pub fn place(&self, plan: &Plan, network: &mut Network<L>, only: L::Mask) -> L::Mask {
        let only = L::and(only, self.solved);
        let stops = &plan.walk.stops;
        let mut head = L::zero();
        for at in (0..self.drops.len()).rev() {
            head += self.drops[at];
            let passage = stops[at].leaving.first().map(|p| plan.graph.passages()[usize::from(*p)]);
            if let Some((node, _)) = passage {
                network.set_head(usize::from(node), only, head);
            }
        }
        network.set_flows(&plan.graph, only, &self.flows);
        only
    }
}
