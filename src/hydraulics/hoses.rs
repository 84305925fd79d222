//! Everything outside the vessel: both hoses, what is fitted into them, the bends, and the outlet.

use super::friction::{Bore, Heads, ball, bend, jet, reduced, ribbed, strainer};
use super::outlet::{Bar, SprayBar};
use super::water::Water;
use super::{Loss, QuadraticLoss};
use crate::assumptions::A;
use crate::model::filter::{Filter, Wall};
use crate::model::hoses::{Fitting, Outlet};
use crate::model::tank::Run;
use crate::simd::{Real, lanes};
use crate::uncertainty::uncertain::Draw;

/// A part of the loss outside the vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HosePart {
    /// Wall of the intake hose.
    IntakeHose,
    /// Entrance, strainer, taps, connectors, elbows and bends of the intake hose.
    IntakeFittings,
    /// Wall of the return hose.
    ReturnHose,
    /// Taps, connectors, elbows and bends of the return hose.
    ReturnFittings,
    /// Where the water leaves.
    Outlet,
}

impl HosePart {
    /// Every part, in the water's order.
    pub const ALL: [Self; 5] =
        [Self::IntakeHose, Self::IntakeFittings, Self::ReturnHose, Self::ReturnFittings, Self::Outlet];
}

/// Whose friction a loss feels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Feels {
    /// That of the wall as it is, ribs included.
    Wall,
    /// That of a smooth wall.
    Smooth,
}

/// One loss, of one part, in one bore.
#[derive(Clone, Copy, Debug)]
struct Term<L> {
    part: HosePart,
    bore: usize,
    feels: Feels,
    heads: Heads<L>,
}

/// A bore and how many bores of length of each friction all its losses together amount to.
#[derive(Clone, Copy, Debug)]
pub struct Walls<L> {
    bore: Bore<L>,
    wall: L,
    smooth: L,
}

/// What grows in the hoses and in their bends. Fittings, outlet and strainer stay clean: a lower bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slime<L> {
    /// Friction it adds when ripe, over clean.
    pub rough: L,
    /// Its thickness when ripe, m.
    pub depth: L,
    /// How long it takes to ripen, days.
    pub days: L,
}

lanes! {
    Walls { bore, wall, smooth }
    Slime { rough, depth, days }
    Hoses { slime, slimed, rise, bores, walls, rest, bar }
}

impl<L: Real> Slime<L> {
    /// How ripe it is on a day after the hoses were brushed: `1 - exp(-t/days)`. Ours.
    pub fn ripe(&self, day: L) -> L {
        L::one() - (-(day / self.days)).exp()
    }
    /// Darcy factor over clean, on the clean bore: `(1 + M g) (D/(D - 2 d g))^5`; friction of biofilms, and the bore
    /// they leave (derived).
    pub fn factor(&self, bore: L, ripe: L) -> L {
        let left = bore - (self.depth * ripe * 2.0).min(bore * 0.5);
        (self.rough * ripe + 1.0) * (bore / left).powi(5)
    }
}

/// The losses outside the vessel, made ready for many flows.
#[derive(Clone, Debug)]
pub struct Hoses<L> {
    /// What grows in them.
    pub slime: Slime<L>,
    /// Darcy factor of hoses and bends over that of brushed ones.
    slimed: L,
    /// Pressure of the outlet's height above the water, Pa; the same at any flow and not in [`Hoses::at`].
    pub rise: L,
    terms: Vec<Term<L>>,
    /// The hose first, then every smaller bore once.
    pub bores: Vec<Bore<L>>,
    /// Those of them whose friction is felt.
    pub walls: Vec<Walls<L>>,
    /// All that needs no friction factor.
    rest: QuadraticLoss<L>,
    bar: Option<SprayBar<L>>,
}

impl<L: Real> Hoses<L> {
    /// The hoses of a filter on a run (without one: the program's own length and bends each way, and an
    /// outlet under water). `largest_flow` is the pump's, m3/s; it says where a spray bar is worked out.
    pub fn new(
        filter: &Filter,
        run: Option<&Run>,
        water: &Water<L>,
        draw: &dyn Draw<L>,
        largest_flow: L,
    ) -> Self {
        let length = |of: Option<&_>| of.map_or_else(|| draw.constant(A::RunLength), |f| draw.of(f));
        let bends = run.map_or_else(|| draw.constant(A::RunBends), |r| draw.of(&r.bends));
        let height = run.map_or_else(L::zero, |r| draw.of(&r.outlet_above_water));
        let mut builder = Builder::new(filter, water, draw);
        let bore = builder.diameter;
        builder.wall(HosePart::IntakeHose, length(run.map(|r| &r.intake)) / bore);
        builder.fixed(HosePart::IntakeFittings, draw.constant(A::Entrance));
        builder.side(HosePart::IntakeFittings, bends, &filter.intake);
        builder.wall(HosePart::ReturnHose, length(run.map(|r| &r.return_side)) / bore);
        builder.side(HosePart::ReturnFittings, bends, &filter.return_side);
        let bar = builder.outlet(&filter.outlet, largest_flow);
        let rise = water.density * draw.constant(A::Gravity) * height;
        builder.done(rise, bar)
    }
    /// Loss of both hoses, their fittings and the outlet at a flow, m3/s, without the height.
    pub fn at(&mut self, q: L) -> Loss<L> {
        let mut all = self.rest.at(q);
        for Walls { bore, wall, smooth } in &mut self.walls {
            let (plain, own) = bore.beside(q);
            let wall = *wall * self.slimed;
            if bore.rib.is_some() {
                all = all.then(bore.friction(q, &own, wall)).then(bore.friction(q, &plain, *smooth));
            } else {
                all = all.then(bore.friction(q, &plain, wall + *smooth));
            }
        }
        match &self.bar {
            Some(bar) => all.then(bar.at(q)),
            None => all,
        }
    }
    /// Lets them grow slime for so many days since they were brushed; 0 brushes them.
    pub fn grow(&mut self, day: L) {
        let bore = self.bores.first().map_or_else(L::one, |hose| hose.diameter);
        self.slimed = self.slime.factor(bore, self.slime.ripe(day));
    }
    /// Loss of each part at a flow, Pa, in the water's order; together they are [`Hoses::at`].
    pub fn parts(&self, q: L) -> Vec<(HosePart, L)> {
        let over: Vec<_> = self.bores.iter().map(|b| (*b, b.over_laminar(q))).collect();
        HosePart::ALL
            .into_iter()
            .map(|part| {
                let bar = self.bar.as_ref().filter(|_| part == HosePart::Outlet);
                let start = bar.map_or_else(L::zero, |bar| bar.at(q).loss);
                let terms = self.terms.iter().filter(|t| t.part == part);
                let loss = terms.fold(start, |sum, t| {
                    over.get(t.bore).map_or(sum, |(bore, (plain, own))| {
                        let mut heads = t.heads;
                        let felt = if t.feels == Feels::Wall { own } else { plain };
                        if t.feels == Feels::Wall {
                            heads.friction *= self.slimed;
                        }
                        sum + heads.at(q, bore, felt).loss
                    })
                });
                (part, loss)
            })
            .collect()
    }
}

/// Hoses in the builder.
struct Builder<'a, L> {
    draw: &'a dyn Draw<L>,
    water: &'a Water<L>,
    roughness: L,
    diameter: L,
    bores: Vec<Bore<L>>,
    terms: Vec<Term<L>>,
    slime: Slime<L>,
}

impl<'a, L: Real> Builder<'a, L> {
    fn new(filter: &Filter, water: &'a Water<L>, draw: &'a dyn Draw<L>) -> Self {
        let diameter = draw.of(&filter.hose.bore);
        let roughness = draw.constant(A::Roughness);
        let rib = match &filter.hose.wall {
            Wall::Smooth => None,
            Wall::Ribbed { pitch } => Some(ribbed(diameter, draw.of(pitch)) * draw.constant(A::RibbedFactor)),
        };
        let hose = Bore::new(diameter, roughness / diameter, rib, water);
        let rough = if rib.is_some() { A::SlimeRibbed } else { A::Slime };
        let slime = Slime {
            rough: draw.paired(rough, &rough.own_key(&filter.id)),
            depth: draw.constant(A::SlimeDepth),
            days: draw.constant(A::SlimeDays),
        };
        Self { draw, water, roughness, diameter, bores: vec![hose], terms: Vec::new(), slime }
    }
    fn push(&mut self, part: HosePart, bore: usize, feels: Feels, heads: Heads<L>) {
        self.terms.push(Term { part, bore, feels, heads });
    }
    fn wall(&mut self, part: HosePart, bores: L) {
        self.push(part, 0, Feels::Wall, Heads::wall(bores));
    }
    fn fixed(&mut self, part: HosePart, k: L) {
        self.push(part, 0, Feels::Wall, Heads::fixed(k));
    }
    /// The smaller bore of that diameter, a greater one counting as the hose's own.
    fn narrow(&mut self, diameter: L) -> (usize, L) {
        let diameter = diameter.min(self.diameter);
        let found = self.bores.iter().position(|b| b.diameter == diameter);
        let place = found.unwrap_or_else(|| {
            self.bores.push(Bore::new(diameter, self.roughness / diameter, None, self.water));
            self.bores.len() - 1
        });
        (place, diameter)
    }
    fn side(&mut self, part: HosePart, bends: L, fittings: &[Fitting]) {
        let doubt = self.draw.constant(A::BendFactor);
        let of_hose = bend(self.draw.constant(A::HoseBendRadius));
        self.push(part, 0, Feels::Wall, of_hose.times(bends * doubt));
        for fitting in fittings {
            match fitting {
                Fitting::Strainer { diameter, length, open } => {
                    let (diameter, length) = (self.draw.of(diameter), self.draw.of(length));
                    let factor = self.draw.constant(A::StrainerFactor);
                    self.fixed(part, strainer(self.diameter, diameter, length, self.draw.of(open), factor));
                }
                Fitting::Connector { bore, length } => {
                    let (place, bore) = self.narrow(self.draw.of(bore));
                    let heads = reduced(bore, self.draw.of(length), self.diameter);
                    self.push(part, place, Feels::Smooth, heads);
                }
                Fitting::Tap { bore, length } => {
                    let (place, bore) = self.narrow(self.draw.of(bore));
                    let heads = reduced(bore, self.draw.of(length), self.diameter).then(ball(bore));
                    self.push(part, place, Feels::Smooth, heads);
                }
                Fitting::Elbow { count } => {
                    let elbow = bend(self.draw.constant(A::ElbowRadius));
                    self.push(part, 0, Feels::Smooth, elbow.times(self.draw.of(count) * doubt));
                }
            }
        }
    }
    fn outlet(&mut self, outlet: &Outlet, largest_flow: L) -> Option<SprayBar<L>> {
        match outlet {
            Outlet::Open => self.fixed(HosePart::Outlet, L::one()),
            Outlet::Jet { bore } => {
                let (place, _) = self.narrow(self.draw.of(bore));
                let heads = jet(self.draw.constant(A::JetFactor));
                self.push(HosePart::Outlet, place, Feels::Smooth, heads);
            }
            Outlet::SprayBar { bore, holes, hole, pitch } => {
                let bore = self.draw.of(bore);
                let tube = Bore::new(bore, self.roughness / bore, None, self.water);
                let discharge = self.draw.constant(A::HoleDischarge);
                let recovery = self.draw.constant(A::MomentumRecovery);
                let (hole, pitch) = (self.draw.of(hole), self.draw.of(pitch));
                let bar = Bar::new(tube, *holes, hole, pitch, discharge, recovery, self.water);
                return Some(SprayBar::new(&bar, largest_flow));
            }
        }
        None
    }
    fn done(self, rise: L, bar: Option<SprayBar<L>>) -> Hoses<L> {
        let mut rest = QuadraticLoss { a: L::zero(), b: L::zero() };
        let mut walls: Vec<_> =
            self.bores.iter().map(|bore| Walls { bore: *bore, wall: L::zero(), smooth: L::zero() }).collect();
        for term in &self.terms {
            let Some(walls) = walls.get_mut(term.bore) else { continue };
            rest = rest.then(&term.heads.quad(&walls.bore));
            if term.feels == Feels::Wall {
                walls.wall += term.heads.friction;
            } else {
                walls.smooth += term.heads.friction;
            }
        }
        // A bore whose losses feel no friction, such as a nozzle's, costs nothing at a flow.
        walls.retain(|w| w.wall != L::zero() || w.smooth != L::zero());
        Hoses {
            slime: self.slime,
            slimed: L::one(),
            rise,
            terms: self.terms,
            bores: self.bores,
            walls,
            rest,
            bar,
        }
    }
}
