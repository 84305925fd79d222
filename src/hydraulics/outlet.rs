//! Where the water leaves. An open end and a nozzle are [`super::fittings::Heads`]; a spray bar is marched.

use std::f64::consts::PI;

use super::Loss;
use super::friction::Bore;
use super::water::Water;
use crate::lane::Lane;

/// A tube with holes, closed at its far end, with water in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar<L> {
    /// The tube.
    pub tube: Bore<L>,
    /// Number of holes.
    pub holes: u32,
    /// From hole to hole, in bores.
    pub pitch: L,
    /// Pressure that drives a flow through one hole, Pa per (m3/s)2: `rho / (2 Cd2 a2)`.
    pub hole: L,
    /// Share of the momentum that is recovered along the tube.
    pub recovery: L,
}

/// A spray bar marched from one pressure at its dead end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marched<L> {
    /// Flow at the inlet, m3/s.
    pub flow: L,
    /// Total pressure at the inlet above the tank's, Pa: what the bar loses.
    pub loss: L,
    /// Flow of the hole at the dead end, m3/s; it is the strongest unless friction wins.
    pub far: L,
    /// Flow of the hole at the inlet, m3/s.
    pub near: L,
    /// `d ln flow / d ln end pressure`.
    flow_exponent: L,
    /// `d ln loss / d ln end pressure`.
    loss_exponent: L,
}

impl<L: Lane> Bar<L> {
    /// A bar of a tube, a number of holes of a diameter, and the distance between them, m.
    pub fn new(
        tube: Bore<L>,
        holes: u32,
        hole: L,
        pitch: L,
        discharge: L,
        recovery: L,
        water: &Water<L>,
    ) -> Self {
        let jet = hole.squared() * discharge * (PI / 4.0);
        Self {
            tube,
            holes,
            pitch: pitch / tube.diameter,
            hole: water.density / (jet.squared() * 2.0),
            recovery,
        }
    }
    /// From a pressure above 0 at the dead end to the inlet.
    ///
    /// Each hole gives `Cd a sqrt(2 p / rho)`; going upstream past it the static pressure falls by
    /// `recovery rho (v_up2 - v_down2) / 2` (Acrivos, Babcock & Pigford 1959, from memory) and friction
    /// adds to it up to the next hole. A hole that momentum leaves without pressure gives nothing.
    pub fn march(&self, end: L) -> Marched<L> {
        let (zero, one) = (L::zero(), L::one());
        // Slopes are over the logarithm of the end pressure.
        let (mut pressure, mut pressure_slope) = (end, end);
        let (mut flow, mut flow_slope) = (zero, zero);
        let (mut static_at, mut static_slope) = (zero, zero);
        let (mut near, mut far) = (zero, zero);
        let momentum = self.recovery * self.tube.head;
        for i in 0..self.holes {
            if i > 0 {
                let (_, wall) = self.tube.over_laminar(flow);
                let lost = self.tube.friction(flow, &wall, self.pitch);
                pressure = static_at + lost.loss;
                pressure_slope = static_slope + lost.slope * flow_slope;
                let wet = pressure.gt(zero);
                pressure = L::select(wet, pressure, zero);
                pressure_slope = L::select(wet, pressure_slope, zero);
            }
            near = (pressure / self.hole).sqrt();
            let wet = near.gt(zero);
            let near_slope = L::select(wet, pressure_slope / (near * self.hole * 2.0), zero);
            let (before, before_slope) = (flow.squared(), flow * flow_slope * 2.0);
            flow += near;
            flow_slope += near_slope;
            (static_at, static_slope) = (pressure, pressure_slope);
            if i == 0 {
                // The water that the end hole takes is brought to rest by the end itself.
                far = near;
            } else {
                static_at -= momentum * (flow.squared() - before);
                static_slope -= momentum * (flow * flow_slope * 2.0 - before_slope);
            }
        }
        let loss = static_at + self.tube.head * flow.squared();
        let loss_slope = static_slope + self.tube.head * flow * flow_slope * 2.0;
        Marched {
            flow,
            loss,
            far,
            near,
            flow_exponent: flow_slope * (one / flow),
            loss_exponent: loss_slope * (one / loss),
        }
    }
    /// The march that gives a flow above 0, by Newton's method in logarithms, from a first guess at the
    /// end's pressure; to a share `within` of the flow.
    fn solve(&self, flow: L, guess: L, within: f64) -> (L, Marched<L>) {
        let mut end = guess;
        let mut marched = self.march(end);
        for _ in 0..30 {
            let off = (flow / marched.flow).ln();
            if L::all(off.abs().le(L::splat(within))) {
                break;
            }
            end *= (off / marched.flow_exponent).clamp(-3.0, 3.0).exp();
            marched = self.march(end);
        }
        (end, marched)
    }
    /// Pressure at the dead end for a flow, were it the same at every hole.
    fn even(&self, flow: L) -> L {
        self.hole * (flow / f64::from(self.holes.max(1))).squared()
    }
    /// Loss at a flow, m3/s, solved exactly: slow; [`SprayBar`] is for use.
    pub fn exact(&self, q: L) -> Loss<L> {
        let size = q.abs().max(L::splat(1e-30));
        let (_, marched) = self.solve(size, self.even(size), 1e-12);
        let exponent = marched.loss_exponent / marched.flow_exponent;
        let per = marched.loss / size;
        Loss { loss: per * q, slope: per * exponent }
    }
}

/// Knots of the interpolant, less one.
const STEPS: u32 = 72;
/// First knot over the largest flow.
const FROM: f64 = 1e-3;
/// Last knot over the largest flow.
const TO: f64 = 1.5;

/// A spray bar ready for use: its march at many flows, and a smooth curve through them.
///
/// Between knots it is a cubic in logarithms with the march's own slopes, good to 1e-4; beyond them it
/// goes on with the power of the last knot. Value and slope are continuous.
#[derive(Clone, Debug, PartialEq)]
pub struct SprayBar<L> {
    /// Logarithm of the flow at the first knot.
    first: L,
    /// Exponents at both ends.
    ends: (L, L),
    /// Coefficients of each step's cubic, draw after draw, step after step.
    cubics: Vec<[f64; 4]>,
}

impl<L: Lane> SprayBar<L> {
    /// Marches a bar at flows from a thousandth to one and a half times a largest flow, m3/s.
    pub fn new(bar: &Bar<L>, largest_flow: L) -> Self {
        let step = (TO / FROM).ln() / f64::from(STEPS);
        let first = largest_flow.max(L::splat(1e-9)) * FROM;
        let mut end = bar.even(first);
        let knots: Vec<(L, L)> = (0..=STEPS)
            .map(|k| {
                let flow = first * (step * f64::from(k)).exp();
                let marched;
                (end, marched) = bar.solve(flow, end, 2e-3);
                let exponent = marched.loss_exponent / marched.flow_exponent;
                let off = (flow / marched.flow).ln();
                // The guess for the next knot, by this one's own slope.
                end *= ((off + step) / marched.flow_exponent).exp();
                (marched.loss.ln() + exponent * off, exponent)
            })
            .collect();
        let mut cubics = Vec::with_capacity(STEPS as usize * L::WIDTH);
        for ((y0, m0), (y1, m1)) in knots.iter().zip(knots.iter().skip(1)) {
            let (rise, m0, m1) = (*y1 - *y0, *m0 * step, *m1 * step);
            let (c2, c3) = (rise * 3.0 - m0 * 2.0 - m1, m0 + m1 - rise * 2.0);
            cubics.extend((0..L::WIDTH).map(|i| [y0.draw(i), m0.draw(i), c2.draw(i), c3.draw(i)]));
        }
        let exponent = |knot: Option<&(L, L)>| knot.map_or_else(|| L::splat(2.0), |k| k.1);
        Self { first: first.ln(), ends: (exponent(knots.first()), exponent(knots.last())), cubics }
    }
    /// Loss at a flow, m3/s: odd, rising.
    #[inline]
    #[allow(clippy::indexing_slicing)] // The step is kept within the table just before; a hot path.
    pub fn at(&self, q: L) -> Loss<L> {
        let per_step = f64::from(STEPS) / (TO / FROM).ln();
        let size = q.abs().max(L::splat(1e-30));
        let x = (size.ln() - self.first) * per_step;
        let kept = x.clamp(0.0, f64::from(STEPS));
        let place = |i: usize| (kept.draw(i).min(f64::from(STEPS - 1)) as usize, i);
        let t = kept - L::gather(|i| place(i).0 as f64);
        let c = |n: usize| {
            L::gather(|i| {
                let (k, i) = place(i);
                self.cubics[k * L::WIDTH + i][n]
            })
        };
        let (c1, c2, c3) = (c(1), c(2), c(3));
        let inside = ((c3 * t + c2) * t + c1) * t + c(0);
        let (below, above) = (x.lt(L::zero()), x.gt(L::splat(f64::from(STEPS))));
        let within = ((c3 * t * 3.0 + c2 * 2.0) * t + c1) * per_step;
        let exponent = L::select(below, self.ends.0, L::select(above, self.ends.1, within));
        let per = (inside + exponent * (x - kept) / per_step).exp() / size;
        Loss { loss: per * q, slope: per * exponent }
    }
}
