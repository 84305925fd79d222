//! Everything outside the vessel as one passage: hoses, fittings and outlet less what the pump gives.
//!
//! A curve taken at the ports already has the empty vessel's own loss inside, so that loss (tube, grids,
//! seals and joints with every layer taken out) is added back to get the pump's own curve; wear and mains
//! then apply to that.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use std::sync::Arc;

use super::Loss;
use super::bracketed;
use super::hoses::Hoses;
use super::network::{Curved, Tolerance};
use super::plan::Plan;
use super::pump::PumpCurve;
use super::vessel::Vessel;
use super::water::Water;
use crate::assumptions::A;
use crate::model::filter::{Bucket, Build, Filter, Impeller};
use crate::model::pump::Taken;
use crate::model::tank::{Run, Tank};
use crate::simd::{Real, lanes};
use crate::uncertainty::key::Key;
use crate::uncertainty::uncertain::{Draw, Uncertain};
use crate::units::Length;

/// Hoses and pump.
#[derive(Clone, Debug)]
pub struct Outside<L> {
    /// Hoses, fittings and outlet.
    pub hoses: Hoses<L>,
    pump: PumpCurve<L>,
    /// Loss of the empty vessel, where the printed figures have it inside.
    empty: Option<Box<Empty<L>>>,
    /// Pa per metre of head.
    weight: L,
    /// Speed of the pump over that of its figures: mains.
    pub mains: L,
    /// Share of a new impeller's flow.
    pub impeller_ratio: L,
}

/// The vessel with every layer taken out, driven at a given flow.
#[derive(Clone, Debug)]
struct Empty<L> {
    plan: Arc<Plan>,
    vessel: Vessel<L>,
    /// Where it was worked out, beside the flows of late.
    knots: Option<(Knot<L>, Knot<L>)>,
    /// Share that entered below when brackets solved it last, from where they start; at first all.
    below: L,
}

/// The empty vessel's loss at a flow above 0.
#[derive(Clone, Copy, Debug)]
struct Knot<L> {
    flow: L,
    loss: L,
    gradient: L,
}

lanes! {
    Outside { hoses, pump, empty, weight, mains, impeller_ratio }
    Empty { vessel, knots, below }
    Knot { flow, loss, gradient }
}

impl<L: Real> Knot<L> {
    fn or(self, only: L::Mask, other: Self) -> Self {
        let pick = |new, old| L::select(only, new, old);
        Self {
            flow: pick(self.flow, other.flow),
            loss: pick(self.loss, other.loss),
            gradient: pick(self.gradient, other.gradient),
        }
    }
    /// Loss and slope at a flow between two: the cubic through their losses and slopes. It is right for `a q + b q²`,
    /// which the empty vessel is but for the wall of its down pipe.
    fn between(low: &Self, high: &Self, flow: L) -> Loss<L> {
        let span = high.flow - low.flow;
        let t = (flow - low.flow) / span;
        let rise = (high.loss - low.loss) / span;
        let c2 = rise * 3.0 - low.gradient * 2.0 - high.gradient;
        let c3 = low.gradient + high.gradient - rise * 2.0;
        Loss {
            loss: low.loss + (low.gradient + (c2 + c3 * t) * t) * t * span,
            gradient: low.gradient + (c2 * 2.0 + c3 * t * 3.0) * t,
        }
    }
}

/// Where the next knots are set, over the flow that is asked for. The fourth power of their distance is what is lost of
/// the friction in the down pipe: 1e-7 of it.
const KNOTS: (f64, f64) = (0.95, 1.03);

/// How far above its lower knot, over it, a draw is soon below.
const SOON: f64 = 1.02;

/// How closely the empty vessel is solved; brackets take over early, as there is one at every flow that is tried.
const IMPOSED: Tolerance = Tolerance { most: 60, ..Tolerance::FULL };
/// Resistance of the source that imposes a flow on the empty vessel, Pa per m3/s: so stiff that the vessel
/// does not move it.
const IMPOSING: f64 = 1e15;

/// Drives a network at a given flow through its outside passage, whatever the pump.
struct Imposed<'a, L> {
    inner: &'a mut super::vessel::Laws<L>,
    outside: usize,
    flow: L,
}

impl<L: Real> Curved<L> for Imposed<'_, L> {
    fn at(&mut self, passage: usize, q: L) -> Loss<L> {
        if passage == self.outside {
            Loss { loss: (q - self.flow) * IMPOSING, gradient: L::splat(IMPOSING) }
        } else {
            self.inner.at(passage, q)
        }
    }
}

impl<L: Real> Empty<L> {
    fn new(plan: &Plan, filter: &Filter, tank: Option<&Tank>, draw: &dyn Draw<L>) -> Option<Box<Self>> {
        let plan = Arc::clone(plan.bare.as_ref()?);
        let bare = Build::empty(filter.trays.len());
        let vessel = Vessel::without_pump(&plan, filter, &bare, tank, draw);
        Some(Box::new(Self { plan, vessel, knots: None, below: L::one() }))
    }

    /// Loss from inlet to lid at a flow, Pa.
    fn loss(&mut self, q: L) -> L {
        // A flow of nothing would leave the solver without a scale.
        let size = q.abs().max(L::splat(1e-9));
        let outside = self.plan.outside();
        // All flows go nearly in proportion.
        let before = self.vessel.network.flow(outside).max(L::splat(1e-12));
        self.vessel.network.scale_flows(size / before);
        let mut laws = Imposed { inner: &mut self.vessel.laws, outside, flow: size };
        let status = self.vessel.network.solve(&self.plan.graph, &mut laws, IMPOSED);
        if !L::all(status.solved) {
            let from = (size, size * self.below);
            let found = bracketed::solve(&self.plan, &self.vessel.network, &mut laws, from, IMPOSED);
            self.below = found.from / size;
            found.place(&self.plan, &mut self.vessel.network, L::not(status.solved));
        }
        let inlet = usize::from(self.plan.graph.passages()[outside].1);
        let loss = self.vessel.network.head(inlet);
        L::select(q.lt(L::zero()), -loss, loss)
    }

    fn knot(&mut self, flow: L) -> Knot<L> {
        let loss = self.loss(flow);
        let inlet = usize::from(self.plan.graph.passages()[self.plan.outside()].1);
        let gradient = self.vessel.network.answer(&self.plan.graph, inlet);
        Knot { flow, loss, gradient }
    }

    /// The knots at either side of a flow above 0. In draws in which they are, they stay.
    fn beside(&mut self, size: L) -> (Knot<L>, Knot<L>) {
        let (below, above) = (size * KNOTS.0, size * KNOTS.1);
        let Some((low, high)) = self.knots else {
            return (self.knot(below), self.knot(above));
        };
        let (under, over) = (size.lt(low.flow), size.gt(high.flow));
        if !L::any(L::or(under, over)) {
            return (low, high);
        }
        // Going down a little, what was below is now above; and so upward.
        let near_low = L::and(under, low.flow.lt(above * KNOTS.1));
        let near_high = L::and(over, high.flow.gt(below * KNOTS.0));
        // All draws go down as a rule: where one gets a new knot those that need theirs soon get it as well.
        let soon = L::and(size.lt(low.flow * SOON), L::mask(L::any(under)));
        let new_low = L::or(L::or(under, soon), L::and(over, L::not(near_high)));
        let new_high = L::or(over, L::and(under, L::not(near_low)));
        let (mut lower, mut upper) = (high.or(near_high, low), low.or(near_low, high));
        if L::any(new_low) {
            lower = self.knot(L::select(new_low, below, lower.flow)).or(new_low, lower);
        }
        if L::any(new_high) {
            upper = self.knot(L::select(new_high, above, upper.flow)).or(new_high, upper);
        }
        (lower, upper)
    }

    fn at(&mut self, q: L) -> Loss<L> {
        let size = q.abs().max(L::splat(1e-9));
        let (low, high) = self.beside(size);
        self.knots = Some((low, high));
        let Loss { loss, gradient } = Knot::between(&low, &high, size);
        Loss { loss: L::select(q.lt(L::zero()), -loss, loss), gradient }
    }
}

impl<L: Real> Outside<L> {
    /// Hoses and pump of a filter at a tank; none without a pump curve. A worn impeller's share of new is held
    /// between 0.05 and 1.5, or comes from its bucket test.
    pub fn new(
        plan: &Plan,
        filter: &Filter,
        tank: Option<&Tank>,
        water: Water<L>,
        draw: &dyn Draw<L>,
    ) -> Option<Self> {
        let pump = PumpCurve::new(&filter.pump, &filter.id, draw)?;
        let mains = mains(filter, tank, draw);
        let largest = pump.largest_flow() * mains;
        let hoses = Hoses::new(filter, tank.map(|t| &t.hoses), &water, draw, largest);
        let empty = match filter.pump.taken {
            Taken::AtPorts => Empty::new(plan, filter, tank, draw),
            Taken::AtImpeller => None,
        };
        let weight = water.density * draw.constant(A::Gravity);
        let mut outside = Self { hoses, pump, empty, weight, mains, impeller_ratio: L::one() };
        outside.impeller_ratio = match filter.unit.as_ref().map_or(&Impeller::New, |u| &u.impeller) {
            Impeller::New => L::one(),
            Impeller::Share(share) => draw.of(share).clamp(0.05, 1.5),
            Impeller::Aged { yearly, years } => {
                (L::one() - draw.of(yearly) * *years).max(L::splat(Impeller::WORN_OUT))
            }
            Impeller::Bucket(bucket) => outside.worn_by(bucket, (plan, filter), tank, &water, draw),
        };
        Some(outside)
    }

    /// The pump's own head at a flow, m3/s, mains and wear applied, Pa, and its slope (falling): `k² H(q/k)`, the
    /// affinity laws, with `k` the mains frequency over the pump's times the impeller's share of new.
    pub fn pump(&mut self, q: L) -> Loss<L> {
        let speed = self.mains * self.impeller_ratio;
        let at = q / speed;
        let printed = self.pump.head(at);
        let mut own = Loss { loss: printed.head * self.weight, gradient: printed.gradient * self.weight };
        if let Some(empty) = &mut self.empty {
            own = own.then(empty.at(at));
        }
        // H' = k2 H(Q / k), so dH'/dQ = k H'(Q / k).
        Loss { loss: own.loss * speed.squared(), gradient: own.gradient * speed }
    }

    /// What the empty vessel takes of the printed head at a flow of the printed curve, m3/s, Pa; 0 where the figures are
    /// the impeller's own.
    pub fn empty_loss(&mut self, at: L) -> L {
        self.empty.as_mut().map_or_else(L::zero, |empty| empty.at(at).loss)
    }

    /// Loss of the whole outside, with the height of the outlet, less what the pump gives, Pa, at a flow, m3/s.
    pub fn at(&mut self, q: L) -> Loss<L> {
        let hoses = self.hoses.at(q);
        let pump = self.pump(q);
        Loss { loss: hoses.loss + self.hoses.rise - pump.loss, gradient: hoses.gradient - pump.gradient }
    }

    /// Least slope to fit it with, Pa per m3/s: it hangs back where the printed figures hide more loss than the hoses have.
    pub fn least_slope(&self) -> L {
        self.weight * 1e-3 / self.largest_flow()
    }

    /// Greatest flow the pump could give, m3/s.
    pub fn largest_flow(&self) -> L {
        self.pump.largest_flow() * self.mains * self.impeller_ratio
    }

    /// Pa per metre of head.
    pub fn weight(&self) -> L {
        self.weight
    }

    /// Draws in which the pump's figures make sense.
    pub fn sound(&self) -> L::Mask {
        self.pump.sound()
    }

    /// Share of a new impeller's flow from a bucket test: no media in the vessel, the profile's fittings and
    /// outlet, both ends level, this tank's water and mains.
    fn worn_by(
        &mut self,
        bucket: &Bucket,
        (plan, filter): (&Plan, &Filter),
        tank: Option<&Tank>,
        water: &Water<L>,
        draw: &dyn Draw<L>,
    ) -> L {
        let run = Run {
            intake: bucket.intake.clone(),
            return_side: bucket.return_side.clone(),
            bends: bucket.bends.clone(),
            outlet_above_water: Uncertain::exact(Length::of(0.0), Key::named("level")),
        };
        let mut hoses = Hoses::new(filter, Some(&run), water, draw, self.largest_flow());
        let q = draw.of(&bucket.volume) / draw.of(&bucket.time);
        let mut empty = Empty::new(plan, filter, tank, draw);
        let vessel = empty.as_mut().map_or_else(L::zero, |e| e.loss(q));
        let needs = hoses.at(q).loss + vessel;
        // The head a worn pump gives at q rises with its share of speed: bisect.
        let (mut low, mut high) = (L::splat(LEAST_WEAR), L::splat(MOST_WEAR));
        for _ in 0..BISECTIONS {
            let middle = (low + high) * 0.5;
            self.impeller_ratio = middle;
            let gives = self.pump(q).loss;
            let enough = gives.ge(needs);
            high = L::select(enough, middle, high);
            low = L::select(enough, low, middle);
        }
        (low + high) * 0.5
    }
}

/// Bounds of what a bucket test may say of an impeller: beyond them the figures do not belong together.
pub const LEAST_WEAR: f64 = 0.05;
/// Upper bound; above 1 the unit runs better than printed.
pub const MOST_WEAR: f64 = 2.0;
/// Halvings of that range: to 1e-9 of it.
const BISECTIONS: usize = 32;

fn mains<L: Real>(filter: &Filter, tank: Option<&Tank>, draw: &dyn Draw<L>) -> L {
    match (&filter.pump.hz, tank.and_then(|t| t.hz.as_ref())) {
        (Some(printed), Some(here)) => draw.of(here) / draw.of(printed),
        _ => L::one(),
    }
}
