//! Everything outside the vessel as one passage: hoses, fittings and outlet less what the pump gives.
//!
//! A curve taken at the ports already has the empty vessel's own loss inside, so that loss (tube, grids,
//! seals and joints with every layer taken out) is added back to get the pump's own curve; wear and mains
//! then apply to that.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::Loss;
use super::bracketed;
use super::hoses::Hoses;
use super::network::{Curved, Tolerance};
use super::plan::{Plan, What};
use super::pump::PumpCurve;
use super::vessel::Vessel;
use super::water::Water;
use crate::assumptions::A;
use crate::model::filter::{Bucket, Build, Filter, Impeller};
use crate::model::pump::Taken;
use crate::model::tank::{Run, Tank};
use crate::simd::Real;
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
    plan: Plan,
    vessel: Vessel<L>,
    /// Where it was last worked out.
    near: Option<Expansion<L>>,
}

/// The empty vessel's loss about a flow above 0.
#[derive(Clone, Copy, Debug)]
struct Expansion<L> {
    flow: L,
    loss: L,
    gradient: L,
    bend: L,
}

impl<L: Real> Expansion<L> {
    /// Loss and slope at a flow beside it; none where that is too far away in any draw.
    fn at(&self, flow: L) -> Option<Loss<L>> {
        let off = flow - self.flow;
        L::all(off.abs().le(self.flow * EXPANDED)).then(|| Loss {
            loss: self.loss + (self.gradient + self.bend * off * 0.5) * off,
            gradient: self.gradient + self.bend * off,
        })
    }
}

/// How far an expansion is used, over its flow. The third power of it is what is lost, 1e-8; the network's
/// own fit of a curved passage looks two thousandths aside.
const EXPANDED: f64 = 2.5e-3;

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
    fn new<D: Draw<L>>(filter: &Filter, build: &Build, tank: Option<&Tank>, draw: &D) -> Option<Box<Self>> {
        let plan = Plan::empty(filter, build);
        if plan.what.iter().all(|w| matches!(w, What::Open | What::Outside)) {
            return None;
        }
        let bare = Build::empty(filter.trays.len());
        let vessel = Vessel::without_pump(&plan, filter, &bare, tank, draw);
        Some(Box::new(Self { plan, vessel, near: None }))
    }

    /// Loss from inlet to lid at a flow, Pa.
    fn loss(&mut self, q: L) -> L {
        // A flow of nothing would leave the solver without a scale.
        let size = q.abs().max(L::splat(1e-9));
        let outside = self.plan.outside();
        let mut laws = Imposed { inner: &mut self.vessel.laws, outside, flow: size };
        let status = self.vessel.network.solve(&self.plan.graph, &mut laws, IMPOSED);
        if !L::all(status.solved) {
            let found = bracketed::solve(&self.plan, &self.vessel.network, &mut laws, size);
            found.place(&self.plan, &mut self.vessel.network, L::not(status.solved));
        }
        let inlet = usize::from(self.plan.graph.passages()[outside].1);
        let loss = self.vessel.network.head(inlet);
        L::select(q.lt(L::zero()), -loss, loss)
    }

    fn at(&mut self, q: L) -> Loss<L> {
        let size = q.abs().max(L::splat(1e-9));
        let near = self.near.and_then(|near| near.at(size));
        let Loss { loss, gradient } = near.unwrap_or_else(|| {
            let loss = self.loss(size);
            let inlet = usize::from(self.plan.graph.passages()[self.plan.outside()].1);
            let (gradient, bend) = self.vessel.network.answer(&self.plan.graph, inlet);
            self.near = Some(Expansion { flow: size, loss, gradient, bend });
            Loss { loss, gradient }
        });
        Loss { loss: L::select(q.lt(L::zero()), -loss, loss), gradient }
    }
}

impl<L: Real> Outside<L> {
    /// Hoses and pump of a filter at a tank; none without a pump curve. A worn impeller's share of new is held
    /// between 0.05 and 1.5, or comes from its bucket test.
    pub fn new<D: Draw<L>>(
        filter: &Filter,
        build: &Build,
        tank: Option<&Tank>,
        water: Water<L>,
        draw: &D,
    ) -> Option<Self> {
        let pump = PumpCurve::new(&filter.pump, &filter.id, draw)?;
        let mains = mains(filter, tank, draw);
        let largest = pump.largest_flow() * mains;
        let hoses = Hoses::new(filter, tank.map(|t| &t.hoses), &water, draw, largest);
        let empty = match filter.pump.taken {
            Taken::AtPorts => Empty::new(filter, build, tank, draw),
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
            Impeller::Bucket(bucket) => outside.worn_by(bucket, filter, build, tank, &water, draw),
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
        let gradient = hoses.gradient - pump.gradient;
        Loss {
            loss: hoses.loss + self.hoses.rise - pump.loss,
            // The whole loop rises with the flow; this part of it may hang back where the printed figures hide
            // more loss than the hoses have. The tangent then only has to point the right way.
            gradient: gradient.max(self.weight * 1e-3 / self.largest_flow()),
        }
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
    fn worn_by<D: Draw<L>>(
        &mut self,
        bucket: &Bucket,
        filter: &Filter,
        build: &Build,
        tank: Option<&Tank>,
        water: &Water<L>,
        draw: &D,
    ) -> L {
        let run = Run {
            intake: bucket.intake.clone(),
            return_side: bucket.return_side.clone(),
            bends: bucket.bends.clone(),
            outlet_above_water: Uncertain::exact(Length::of(0.0), Key::named("level")),
        };
        let hoses = Hoses::new(filter, Some(&run), water, draw, self.largest_flow());
        let q = draw.of(&bucket.volume) / draw.of(&bucket.time);
        let mut empty = Empty::new(filter, build, tank, draw);
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

fn mains<L: Real, D: Draw<L>>(filter: &Filter, tank: Option<&Tank>, draw: &D) -> L {
    match (&filter.pump.hz, tank.and_then(|t| t.hz.as_ref())) {
        (Some(printed), Some(here)) => draw.of(here) / draw.of(printed),
        _ => L::one(),
    }
}
