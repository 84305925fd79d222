//! What a pump gives: head over flow.

use crate::assumptions::A;
use crate::model::pump::{Curve, CurvePoint, Pump};
use crate::simd::{Lane, Real, lanes};
use crate::uncertainty::field;
use crate::uncertainty::key::{Key, Source};
use crate::uncertainty::uncertain::Draw;

/// Head at a flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Head<L> {
    /// Head, m of water.
    pub head: L,
    /// Its slope, m per m3/s; never above 0.
    pub gradient: L,
}

/// One point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Knot<L> {
    /// Flow, m3/s.
    pub flow: L,
    /// Head, m.
    pub head: L,
    /// Slope there, m per m3/s.
    pub gradient: L,
}

/// Head over flow, falling.
#[derive(Clone, Debug, PartialEq)]
pub enum PumpCurve<L> {
    /// `H0 [1 - (Q/Q0)^n]`.
    Ends {
        /// Q0, m3/s.
        flow: L,
        /// H0, m.
        head: L,
        /// n, 1 or more.
        exponent: L,
    },
    /// Through points, by a monotone cubic.
    Points(Vec<Knot<L>>),
}

lanes! { Knot { flow, head, gradient } }

impl<L: Real> Lane for PumpCurve<L> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        match (self, from) {
            (Self::Ends { flow, head, exponent }, Self::Ends { flow: f, head: h, exponent: e }) => {
                flow.take(at, f, lane);
                head.take(at, h, lane);
                exponent.take(at, e, lane);
            }
            (Self::Points(knots), Self::Points(from)) => knots.take(at, from, lane),
            _ => {}
        }
    }
}

/// Where the power law is cut off towards no flow, over Q0: keeps its slope finite for every exponent.
const NEAR_SHUT: f64 = 1e-9;
/// Past its last point a curve falls at least at this share of its last secant, so that it meets zero.
const LEAST_FALL: f64 = 0.1;

/// Points drawn apart stay at least this share of their distance apart.
const LEAST_STEP: f64 = 0.05;

impl<L: Real> PumpCurve<L> {
    /// The curve of the pump of a `filter` (the first part of its keys) in a draw; `None` where it is not known.
    /// Points are taken in the order given. Points drawn apart keep their order: none draws past its neighbour.
    pub fn new(pump: &Pump, filter: &str, draw: &dyn Draw<L>) -> Option<Self> {
        match pump.curve.as_ref()? {
            Curve::Ends { flow, head } => {
                let row = A::PumpExponent.entry();
                let own = Key::new(Source::Filter(filter.into()), "pump/n", &field::NONE);
                let exponent = draw.spread(row.value, row.spread, &own);
                Some(Self::Ends { flow: draw.of(flow), head: draw.of(head), exponent })
            }
            Curve::Points { points } if points.len() >= 2 => {
                let mut drawn: Vec<_> = points.iter().map(|p| (draw.of(&p.flow), draw.of(&p.head))).collect();
                let mut before: Option<(&CurvePoint, (L, L))> = None;
                for (point, at) in points.iter().zip(&mut drawn) {
                    if let Some((last, (flow, head))) = before {
                        let least = |here: f64, there: f64| (here - there).abs() * LEAST_STEP;
                        at.0 = at.0.max(flow + least(point.flow.si(), last.flow.si()));
                        at.1 = at.1.min(head - least(point.head.si(), last.head.si()));
                    }
                    before = Some((point, *at));
                }
                Some(Self::through(&drawn))
            }
            Curve::Points { .. } => None,
        }
    }
    /// A monotone cubic through two points or more.
    ///
    /// Slopes by Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300: weighted harmonic means of
    /// the secants beside a point, three-point slopes at the ends, limited.
    pub fn through(points: &[(L, L)]) -> Self {
        let steps: Vec<(L, L)> = points
            .iter()
            .zip(points.iter().skip(1))
            .map(|(a, b)| {
                // A draw may throw points out of order; it is then not `sound`, but stays finite.
                let step = (b.0 - a.0).max(L::splat(1e-12));
                (step, (b.1 - a.1) / step)
            })
            .collect();
        let first = end_slope(steps.first(), steps.get(1));
        let last = end_slope(steps.last(), steps.len().checked_sub(2).and_then(|i| steps.get(i)));
        let between = steps.iter().zip(steps.iter().skip(1)).map(|(a, b)| inner_slope(*a, *b));
        let slopes = std::iter::once(first).chain(between).chain(std::iter::once(last));
        Self::Points(
            points
                .iter()
                .zip(slopes)
                .map(|((flow, head), gradient)| Knot { flow: *flow, head: *head, gradient })
                .collect(),
        )
    }
    /// Head and slope at a flow, m3/s. Past the last point it goes on with the end's slope, below zero
    /// head; before the first likewise, so that for backward flow the head never falls.
    #[inline]
    pub fn head(&self, q: L) -> Head<L> {
        match self {
            Self::Ends { flow, head, exponent } => {
                let x = q / *flow;
                let kept = x.clamp(NEAR_SHUT, 1.0);
                let power = kept.powf(*exponent);
                let gradient = -(*head * *exponent / *flow * power / kept);
                Head { head: *head * (L::one() - power) + gradient * (x - kept) * *flow, gradient }
            }
            Self::Points(knots) => through_knots(knots, q),
        }
    }
    /// Flow and head of every point times a factor, both above 0. By the affinity laws flow goes with speed and head
    /// with its square; the caller says what the factors are.
    pub fn scaled(self, flow_factor: L, head_factor: L) -> Self {
        match self {
            Self::Ends { flow, head, exponent } => {
                Self::Ends { flow: flow * flow_factor, head: head * head_factor, exponent }
            }
            Self::Points(knots) => Self::Points(
                knots
                    .into_iter()
                    .map(|k| Knot {
                        flow: k.flow * flow_factor,
                        head: k.head * head_factor,
                        gradient: k.gradient * head_factor / flow_factor,
                    })
                    .collect(),
            ),
        }
    }
    /// Head at no flow, m; where points begin later, by the rise before the first.
    pub fn shut_off(&self) -> L {
        match self {
            Self::Ends { head, .. } => *head,
            Self::Points(_) => self.head(L::zero()).head,
        }
    }
    /// Flow against no head, m3/s; where the points end above no head, by the fall past the last one.
    pub fn largest_flow(&self) -> L {
        match self {
            Self::Ends { flow, .. } => *flow,
            Self::Points(knots) => {
                knots.last().map_or_else(L::zero, |last| last.flow - last.head / past_slope(knots))
            }
        }
    }
    /// Does flow rise and head fall strictly from point to point, with both ends above 0? A draw where
    /// they do not is a failed one.
    pub fn sound(&self) -> L::Mask {
        let zero = L::zero();
        match self {
            Self::Ends { flow, head, .. } => L::and(flow.gt(zero), head.gt(zero)),
            Self::Points(knots) => {
                let start = L::and(self.shut_off().gt(zero), self.largest_flow().gt(zero));
                knots.iter().zip(knots.iter().skip(1)).fold(start, |so_far, (a, b)| {
                    L::and(so_far, L::and(a.flow.lt(b.flow), a.head.gt(b.head)))
                })
            }
        }
    }
}

/// Slope between two steps (width, secant).
fn inner_slope<L: Real>(a: (L, L), b: (L, L)) -> L {
    let (before, after) = (b.0 * 2.0 + a.0, b.0 + a.0 * 2.0);
    let same = (a.1 * b.1).gt(L::zero());
    // Where the secants do not agree the mean is not wanted; 1 keeps it finite.
    let (left, right) = (L::select(same, a.1, L::one()), L::select(same, b.1, L::one()));
    L::select(same, (before + after) / (before / left + after / right), L::zero())
}

/// Slope at an end, from the step (width, secant) at it and the one after that.
fn end_slope<L: Real>(end: Option<&(L, L)>, next: Option<&(L, L)>) -> L {
    let Some(&(h0, d0)) = end else { return L::zero() };
    let Some(&(h1, d1)) = next else { return d0 };
    let gradient = ((h0 * 2.0 + h1) * d0 - h0 * d1) / (h0 + h1);
    let turns = (d0 * d1).le(L::zero());
    let steep = gradient.abs().gt(d0.abs() * 3.0);
    let limited = L::select(L::and(turns, steep), d0 * 3.0, gradient);
    L::select((gradient * d0).le(L::zero()), L::zero(), limited)
}

/// Slope past the last point.
fn past_slope<L: Real>(knots: &[Knot<L>]) -> L {
    let mut back = knots.iter().rev();
    let (Some(last), Some(before)) = (back.next(), back.next()) else { return L::splat(-1.0) };
    let secant = (last.head - before.head) / (last.flow - before.flow).max(L::splat(1e-12));
    last.gradient.min(secant * LEAST_FALL).min(L::splat(-1e-9))
}

fn through_knots<L: Real>(knots: &[Knot<L>], q: L) -> Head<L> {
    let (Some(first), Some(last)) = (knots.first(), knots.last()) else {
        return Head { head: L::zero(), gradient: L::zero() };
    };
    // Each draw has its own points: choose the pair beside the flow, then one cubic for all.
    let (mut a, mut b) = (*first, *knots.get(1).unwrap_or(first));
    for (left, right) in knots.iter().zip(knots.iter().skip(1)).skip(1) {
        let further = q.ge(left.flow);
        let pick = |yes: L, no: L| L::select(further, yes, no);
        a = Knot {
            flow: pick(left.flow, a.flow),
            head: pick(left.head, a.head),
            gradient: pick(left.gradient, a.gradient),
        };
        b = Knot {
            flow: pick(right.flow, b.flow),
            head: pick(right.head, b.head),
            gradient: pick(right.gradient, b.gradient),
        };
    }
    let width = (b.flow - a.flow).max(L::splat(1e-12));
    let t = ((q - a.flow) / width).clamp(0.0, 1.0);
    let secant = (b.head - a.head) / width;
    let (c2, c3) = (secant * 3.0 - a.gradient * 2.0 - b.gradient, a.gradient + b.gradient - secant * 2.0);
    let head = a.head + ((c3 * t + c2) * t + a.gradient) * t * width;
    let gradient = (c3 * t * 3.0 + c2 * 2.0) * t + a.gradient;
    let (before, past) = (q.lt(first.flow), q.gt(last.flow));
    let beyond = past_slope(knots);
    let gradient = L::select(before, first.gradient, L::select(past, beyond, gradient)).min(L::zero());
    let outside = L::select(before, q - first.flow, L::select(past, q - last.flow, L::zero()));
    Head { head: head + outside * gradient, gradient }
}
