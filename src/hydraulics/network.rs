//! The network method: chambers joined by passages, solved for heads and flows together.
//!
//! Newton on mass balance with node heads and passage flows as unknowns (the global gradient algorithm,
//! Todini & Pilati 1988). Every passage is a rising function of its flow, so the answer is unique. The first
//! steps are linear-theory ones (Wood & Charles 1972), which need no good start.
//!
//! The solver knows no law of nature: a passage is `c + a q + b q |q|`, and the few that are not (pump with
//! hoses, pipes) are fitted to that form at the flow at hand through [`Curved`], until the fit no longer
//! matters. It gives an answer with its residual, or a named status: never a guess.

// Hot loops over arrays whose indices the graph made itself; a slip is a test failure, not a user's.
#![allow(clippy::indexing_slicing)]

mod graph;

pub use graph::Graph;

use super::{Loss, QuadraticLoss};
use crate::simd::{Lane, Real};

/// A passage that is not of the quadratic form.
pub trait Curved<L: Real> {
    /// Loss and slope at a flow.
    fn at(&mut self, passage: usize, q: L) -> Loss<L>;
    /// Least slope to fit it with, of a passage that may hang back while the whole loop rises: the tangent then only has
    /// to point the right way.
    fn least_slope(&self, _passage: usize) -> L {
        L::splat(f64::NEG_INFINITY)
    }
    /// Flow and its slope at a loss, Pa, of a passage whose law is told that way round.
    fn under(&self, _passage: usize, _loss: L) -> (L, L) {
        (L::zero(), L::one())
    }
}

/// How closely to solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Largest last change of any flow over the greatest flow. Newton squares it: the error left is far less.
    pub step: f64,
    /// How far a curved passage's flow may be from where it was fitted, relative.
    pub refit: f64,
    /// Greatest misfit of a curved passage allowed at the end, over the greatest head; 0 asks no such check.
    pub misfit: f64,
    /// Most steps.
    pub most: usize,
}

impl Tolerance {
    /// To the last digits that matter.
    pub const FULL: Self = Self { step: 1e-9, refit: 1e-3, misfit: 1e-10, most: 400 };
    /// For the many small steps of a timeline, each started from the one before.
    pub const FOLLOWING: Self = Self { step: 1e-3, refit: 5e-3, misfit: 0.0, most: 25 };
}

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Status<M> {
    /// Which draws are solved.
    pub solved: M,
    pub steps: usize,
}

/// A graph with the laws of its passages, its flows and heads.
#[derive(Clone, Debug)]
pub struct Network<L> {
    offset: Vec<L>,
    linear: Vec<L>,
    square: Vec<L>,
    /// Passages fitted through `Curved`, with the flow each was last fitted at, and the one its bend was taken at.
    curved: Vec<(usize, L, L)>,
    /// Passages told by their loss, in order, with the loss that each is looked at.
    under: Vec<(usize, L)>,
    flows: Vec<L>,
    heads: Vec<L>,
    started: bool,
    // Scratch of the linear solve.
    conduct: Vec<L>,
    shift: Vec<L>,
    entries: Vec<L>,
    diagonal: Vec<L>,
    right: Vec<L>,
}

impl<L: Real> Lane for Network<L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.offset.take(at, &from.offset, lane);
        self.linear.take(at, &from.linear, lane);
        self.square.take(at, &from.square, lane);
        self.curved.take(at, &from.curved, lane);
        for (p, loss) in &mut self.under {
            let there = from.under.iter().find(|(q, _)| q == p);
            loss.take(at, &there.map_or_else(|| from.loss(*p), |(_, loss)| *loss), lane);
        }
        self.flows.take(at, &from.flows, lane);
        self.heads.take(at, &from.heads, lane);
    }
}

impl<L: Real> Network<L> {
    /// A network with nothing known yet.
    pub fn new(graph: &Graph) -> Self {
        let (p, n) = (graph.passages.len(), graph.nodes);
        let zero = L::zero();
        Self {
            offset: vec![zero; p],
            linear: vec![L::one(); p],
            square: vec![zero; p],
            curved: Vec::new(),
            under: Vec::new(),
            flows: vec![zero; p],
            heads: vec![zero; n],
            started: false,
            conduct: vec![zero; p],
            shift: vec![zero; p],
            entries: vec![zero; graph.slot_count],
            diagonal: vec![zero; n],
            right: vec![zero; n],
        }
    }

    /// Gives a passage its law.
    pub fn set(&mut self, passage: usize, law: QuadraticLoss<L>) {
        self.under.retain(|(p, _)| *p != passage);
        self.offset[passage] = L::zero();
        self.linear[passage] = law.a;
        self.square[passage] = law.b;
    }
    /// Gives a passage the law `c + a q`.
    pub fn set_offset(&mut self, passage: usize, offset: L, linear: L) {
        self.offset[passage] = offset;
        self.linear[passage] = linear;
        self.square[passage] = L::zero();
    }
    /// Marks a passage as curved, with a first guess of its flow (not zero).
    pub fn set_curved(&mut self, passage: usize, guess: L) {
        self.curved.retain(|(p, ..)| *p != passage);
        self.curved.push((passage, L::zero(), L::zero()));
        self.flows[passage] = guess;
    }
    /// Has a passage told by its loss from here on, if it is not already; it starts at the loss it has.
    pub fn set_under(&mut self, passage: usize) {
        if let Err(at) = self.under.binary_search_by_key(&passage, |(p, _)| *p) {
            self.under.insert(at, (passage, self.loss(passage)));
        }
    }
    /// The laws of these curved passages have changed: fit them again at the next step.
    pub fn fit_again(&mut self, which: impl Fn(usize) -> bool) {
        for (_, fitted_at, _) in self.curved.iter_mut().filter(|(p, ..)| which(*p)) {
            *fitted_at = L::zero();
        }
    }
    /// A first guess of a passage's flow.
    pub fn guess(&mut self, passage: usize, flow: L) {
        self.flows[passage] = flow;
    }
    /// Multiplies a passage's law by factors of its clean one: of `a` and of `b`.
    pub fn set_scaled(&mut self, passage: usize, clean: QuadraticLoss<L>, (of_a, of_b): (L, L)) {
        self.linear[passage] = clean.a * of_a;
        self.square[passage] = clean.b * of_b;
    }
    /// Flow of a passage, m3/s.
    pub fn flow(&self, passage: usize) -> L {
        self.flows[passage]
    }
    pub fn flows(&self) -> &[L] {
        &self.flows
    }
    /// Head of a node over the reference, Pa.
    pub fn head(&self, node: usize) -> L {
        self.heads[node]
    }
    /// Loss of a passage at its present flow by the law in use, Pa.
    pub fn loss(&self, passage: usize) -> L {
        let q = self.flows[passage];
        self.offset[passage] + (self.linear[passage] + self.square[passage] * q.abs()) * q
    }
    /// Starts from flows that are near the answer: no linear-theory steps are needed then.
    pub fn start_near(&mut self, flows: &[f64]) {
        for (flow, near) in self.flows.iter_mut().zip(flows) {
            *flow = L::splat(*near);
        }
        self.started = true;
    }
    /// Flows and heads as they are, to start from later.
    pub fn copy_into(&self, state: &mut Vec<L>) {
        state.clear();
        state.reserve_exact(self.flows.len() + self.heads.len());
        state.extend_from_slice(&self.flows);
        state.extend_from_slice(&self.heads);
    }
    /// Starts the next solve from the parabola through three states, `x` being 0 at the first, a half at the middle one
    /// and 1 at the last; not held to them.
    pub fn start_along(&mut self, [first, middle, last]: [&[L]; 3], x: L) {
        let half = x - 0.5;
        let (a, b, c) = (half * (x - 1.0) * 2.0, x * (x - 1.0) * -4.0, x * half * 2.0);
        let states = first.iter().zip(middle).zip(last);
        for (now, ((first, middle), last)) in self.flows.iter_mut().chain(&mut self.heads).zip(states) {
            *now = *first * a + *middle * b + *last * c;
        }
    }
    /// The plain law of a passage.
    pub fn law(&self, passage: usize) -> QuadraticLoss<L> {
        QuadraticLoss { a: self.linear[passage], b: self.square[passage] }
    }
    pub fn is_curved(&self, passage: usize) -> bool {
        self.curved.iter().any(|(p, ..)| *p == passage)
    }
    pub fn is_under(&self, passage: usize) -> bool {
        self.under.binary_search_by_key(&passage, |(p, _)| *p).is_ok()
    }
    /// Gives a node's head, found otherwise, in these draws.
    pub fn set_head(&mut self, node: usize, only: L::Mask, head: L) {
        self.heads[node] = L::select(only, head, self.heads[node]);
    }
    /// Gives all flows, found otherwise, in these draws; heads come first.
    pub fn set_flows(&mut self, graph: &Graph, only: L::Mask, flows: &[L]) {
        for (flow, found) in self.flows.iter_mut().zip(flows) {
            *flow = L::select(only, *found, *flow);
        }
        for (p, loss) in &mut self.under {
            let (i, j) = graph.passages[*p];
            let drop = self.heads[usize::from(i)] - self.heads[usize::from(j)];
            *loss = L::select(only, drop, *loss);
        }
        self.fit_again(|_| true);
        self.started = true;
    }
    /// Starts the next solve as far beyond this one as this one lies beyond a state.
    pub fn start_beyond(&mut self, before: &[L]) {
        for (now, before) in self.flows.iter_mut().chain(&mut self.heads).zip(before) {
            *now = *now * 2.0 - *before;
        }
    }
    /// Starts the next solve from flows that are so many times the present ones.
    pub fn scale_flows(&mut self, by: L) {
        for flow in &mut self.flows {
            *flow *= by;
        }
    }
    /// Puts flows back.
    pub fn restore_flows(&mut self, flows: &[L]) {
        self.flows.copy_from_slice(flows);
    }

    /// Fits the curved passages whose flow has moved too far, `c + a q + b q |q|` with value, slope and
    /// curvature right at the flow at hand. Says whether any was fitted.
    fn refit(&mut self, laws: &mut impl Curved<L>, reach: f64) -> bool {
        let mut any = false;
        for at in 0..self.curved.len() {
            let (p, fitted_at, bent_at) = self.curved[at];
            let q = self.flows[p];
            let far = (q - fitted_at).abs().gt(q.abs() * reach);
            if L::any(far) {
                // A flow of nothing has no relative step: fit at a hair's width instead.
                let size = q.abs().max(L::splat(LEAST_FLOW));
                let q = L::select(q.lt(L::zero()), -size, size);
                let least = laws.least_slope(p);
                let mut law = |q| {
                    let Loss { loss, gradient } = laws.at(p, q);
                    Loss { loss, gradient: gradient.max(least) }
                };
                let here = law(q);
                // The bend matters to the second order: near where it was taken it stays.
                let half_bend = if L::any((q - bent_at).abs().gt(size * BENT)) {
                    self.curved[at].2 = q;
                    let near = law(q * (1.0 - FIT_STEP));
                    (here.gradient - near.gradient) / (size * (FIT_STEP * 2.0))
                } else {
                    self.square[p]
                };
                // Of the form's slope a + 2 b |q|; never falling, or the fit would have two answers.
                let square = half_bend.max(L::zero()).min(here.gradient / (size * 2.0));
                let linear = here.gradient - square * size * 2.0;
                let offset = here.loss - (linear + square * size) * q;
                self.offset[p] = offset;
                self.linear[p] = linear;
                self.square[p] = square;
                self.curved[at].1 = q;
                any = true;
            }
        }
        any
    }

    /// Lays the passages' tangents at the present flows (their chords, where not `newton`) into the system.
    fn assemble(&mut self, graph: &Graph, newton: bool) {
        let zero = L::zero();
        self.entries.fill(zero);
        self.diagonal.fill(zero);
        self.right.fill(zero);
        let twice = if newton { 1.0 } else { 0.0 };
        let laws = self.offset.iter().zip(&self.linear).zip(&self.square);
        let lines = self.conduct.iter_mut().zip(&mut self.shift);
        let passages = graph.passages.iter().zip(&graph.slots).zip(&self.flows);
        for (((&(i, j), slot), &q), (((&offset, &linear), &square), (conduct, shift))) in
            passages.zip(laws.zip(lines))
        {
            let bq = square * q.abs();
            // Flow = conduct (drop - shift), the law's tangent (or chord) at q.
            *conduct = L::one() / (linear + bq + bq * twice);
            *shift = offset - bq * twice * q;
            let pull = *conduct * *shift;
            let (from, to) = (usize::from(i), usize::from(j));
            self.diagonal[from] += *conduct;
            self.right[from] += pull;
            self.diagonal[to] += *conduct;
            self.right[to] -= pull;
            if let Some(slot) = slot {
                self.entries[usize::from(*slot)] -= *conduct;
            }
        }
    }

    /// Gives each passage that is told by its loss the line that touches its law there, as `c + a q`.
    fn touch(&mut self, graph: &Graph, laws: &impl Curved<L>) {
        for at in 0..self.under.len() {
            let (p, before) = self.under[at];
            let (i, j) = graph.passages[p];
            let drop = self.heads[usize::from(i)] - self.heads[usize::from(j)];
            // A step may throw it far off: it moves by no more than a factor, and stays forward.
            let loss = drop.max(before * 0.25).min(before * 4.0 + 1e-6).max(L::splat(LEAST_LOSS));
            self.under[at].1 = loss;
            let (q, slope) = laws.under(p, loss);
            self.linear[p] = L::one() / slope;
            self.square[p] = L::zero();
            self.offset[p] = loss - q * self.linear[p];
        }
    }

    /// One step; the greatest change of a flow over the greatest flow comes back. `newton` false is the
    /// linear-theory step.
    fn step(&mut self, graph: &Graph, newton: bool) -> L {
        self.assemble(graph, newton);
        self.solve_linear(graph);
        let zero = L::zero();
        let (mut change, mut greatest, mut sum) = (zero, zero, zero);
        let lines = self.conduct.iter().zip(&self.shift);
        for ((&(i, j), flow), (&conduct, &shift)) in graph.passages.iter().zip(&mut self.flows).zip(lines) {
            let drop = self.heads[usize::from(i)] - self.heads[usize::from(j)];
            let q = conduct * (drop - shift);
            change = change.max((q - *flow).abs());
            greatest = greatest.max(q.abs());
            sum += q;
            *flow = q;
        }
        // A maximum passes over NaN; a sum does not.
        change / greatest.max(L::splat(1e-30)) + sum * 0.0
    }

    /// How the head at a node, over the reference, answers to water put in there, once solved: its slope, Pa per m3/s.
    /// Heads are spoilt by it, flows are kept.
    pub fn answer(&mut self, graph: &Graph, node: usize) -> L {
        self.assemble(graph, true);
        self.right.fill(L::zero());
        self.right[node] = L::one();
        self.solve_linear(graph);
        self.heads[node]
    }

    /// Solves the symmetric system in place: elimination in number order, then back.
    fn solve_linear(&mut self, graph: &Graph) {
        let n = graph.nodes;
        for k in 1..n {
            let pivot = &graph.pivots[k];
            let inverse = L::one() / self.diagonal[k];
            self.diagonal[k] = inverse;
            let right = self.right[k];
            let mut fill = pivot.fill.iter();
            for (at, &(slot, node)) in pivot.row.iter().enumerate() {
                let entry = self.entries[usize::from(slot)];
                let l = entry * inverse;
                self.diagonal[usize::from(node)] -= l * entry;
                self.right[usize::from(node)] -= l * right;
                for (&(other, _), &target) in pivot.row[at + 1..].iter().zip(&mut fill) {
                    let product = l * self.entries[usize::from(other)];
                    self.entries[usize::from(target)] -= product;
                }
            }
        }
        self.heads[0] = L::zero();
        for k in (1..n).rev() {
            let mut sum = self.right[k];
            for &(slot, node) in &graph.pivots[k].row {
                sum -= self.entries[usize::from(slot)] * self.heads[usize::from(node)];
            }
            self.heads[k] = sum * self.diagonal[k];
        }
    }

    /// Solves. The first time it starts with linear-theory steps; later from the flows at hand.
    pub fn solve(
        &mut self,
        graph: &Graph,
        laws: &mut impl Curved<L>,
        closeness: Tolerance,
    ) -> Status<L::Mask> {
        if !self.started {
            for _ in 0..FIRST_STEPS {
                self.refit(laws, closeness.refit);
                self.touch(graph, laws);
                self.step(graph, false);
            }
            self.started = true;
        }
        for steps in 1..=closeness.most {
            self.refit(laws, closeness.refit);
            self.touch(graph, laws);
            // Newton's steps can swing between two answers of a stiff law; a chord step now and then ends it.
            let change = self.step(graph, steps % 12 != 0);
            let solved = change.le(L::splat(closeness.step));
            if L::all(solved) && !self.misfits(laws, closeness.misfit) {
                return Status { solved, steps };
            }
            if !L::any(change.finite()) {
                break;
            }
        }
        // The next solve shall not start from wreckage, unless these draws are found otherwise.
        self.started = false;
        Status { solved: self.settled(graph, laws, closeness), steps: closeness.most }
    }

    /// Does any curved passage miss its own law? It is then fitted again at the next step.
    fn misfits(&mut self, laws: &mut impl Curved<L>, most: f64) -> bool {
        if most <= 0.0 {
            return false;
        }
        let scale = self.scale() * most;
        let mut any = false;
        for at in 0..self.curved.len() {
            let (p, ..) = self.curved[at];
            let misfit = (laws.at(p, self.flows[p]).loss - self.loss(p)).abs();
            if L::any(misfit.gt(scale)) {
                self.curved[at].1 = L::zero();
                any = true;
            }
        }
        any
    }

    /// Which draws are solved all the same, when not all could be: their flows no longer move.
    fn settled(&mut self, graph: &Graph, laws: &mut impl Curved<L>, closeness: Tolerance) -> L::Mask {
        self.refit(laws, 0.0);
        self.touch(graph, laws);
        self.step(graph, true).le(L::splat(closeness.step))
    }

    /// The greatest head about: between nodes, or of what drives the flow, Pa.
    fn scale(&self) -> L {
        let most = |m: L, x: &L| m.max(x.abs());
        self.offset.iter().fold(self.heads.iter().fold(L::splat(1e-12), most), most)
    }

    /// Greatest imbalance of flow at any node over the greatest flow. Small by construction.
    pub fn imbalance(&self, graph: &Graph) -> L {
        let mut balance = vec![L::zero(); graph.nodes];
        let mut greatest = L::splat(1e-30);
        for (&(i, j), &q) in graph.passages.iter().zip(&self.flows) {
            balance[usize::from(i)] -= q;
            balance[usize::from(j)] += q;
            greatest = greatest.max(q.abs());
        }
        balance.into_iter().fold(L::zero(), |most, b| most.max(b.abs())) / greatest
    }

    /// Greatest difference of any passage's exact loss from the drop between its ends, over the greatest head.
    pub fn residual(&self, graph: &Graph, laws: &mut impl Curved<L>) -> L {
        let mut most = L::zero();
        for (p, &(i, j)) in graph.passages.iter().enumerate() {
            let drop = self.heads[usize::from(i)] - self.heads[usize::from(j)];
            let loss = if self.is_curved(p) {
                laws.at(p, self.flows[p]).loss
            } else if self.is_under(p) {
                let (q, slope) = laws.under(p, drop);
                drop + (self.flows[p] - q) / slope
            } else {
                self.loss(p)
            };
            most = most.max((drop - loss).abs());
        }
        most / self.scale()
    }
}

/// Flow, m3/s, and loss, Pa, that count as nothing: far below what the tightest vessel lets through.
const LEAST_FLOW: f64 = 1e-16;
const LEAST_LOSS: f64 = 1e-12;
/// Relative step for the curvature of a fit.
const FIT_STEP: f64 = 2e-3;
/// How far from where its bend was taken a fit keeps it, relative.
const BENT: f64 = 0.05;
/// Linear-theory steps of a first solve.
const FIRST_STEPS: usize = 3;
