//! A build in one draw of the doubt: the plan's passages get their laws, and the whole is solved.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::beds::bed;
use super::bracketed;
use super::friction::Bore;
use super::leaks::{ClosingGap, gap, grid, hole};
use super::network::{Curved, Network, Status, Tolerance};
use super::outside::Outside;
use super::plan::{Plan, What};
use super::water::{Water, water};
use super::{Loss, QuadraticLoss};
use crate::assumptions::A;
use crate::model::filter::{Build, DownTube, Filter};
use crate::model::outline::Plan as Extent;
use crate::model::tank::Tank;
use crate::model::tray::{LayerGeometry, SealCondition, lay};
use crate::simd::{Real, lanes};
use crate::uncertainty::uncertain::Draw;

/// Narrowest gap reckoned with, m: a tenth of a micrometre passes nothing.
const NARROWEST: f64 = 1e-7;

/// Steps of Newton's method from which on its end is looked at twice.
const LONG: usize = 20;

/// A build with its laws, ready to solve.
#[derive(Clone, Debug)]
pub struct Vessel<L> {
    pub water: Water<L>,
    pub network: Network<L>,
    /// Clean law of each quadratic passage.
    pub clean: Vec<QuadraticLoss<L>>,
    /// Layers as they lie, in the plan's order.
    pub lain: Vec<LayerGeometry<L>>,
    /// Outline of the floor, if there is one, and of each tray.
    pub extents: Extents<L>,
    /// The passages that are not quadratic.
    pub laws: Laws<L>,
    /// Newton's method found no end once: heads lie too many decades apart, or a curve has a corner.
    stiff: bool,
    /// Flow that enters below as brackets found it last, and from where they are to start.
    found: Option<L>,
    stands: Option<L>,
}

/// Outlines of a vessel.
#[derive(Clone, Debug)]
pub struct Extents<L> {
    /// Floor: outline and height, m.
    pub floor: Option<(Extent<L>, L)>,
    /// Trays from the bottom up: outline and height, m.
    pub trays: Vec<(Extent<L>, L)>,
}

/// The passages that are not quadratic: pump with hoses, and the two halves of the down pipe.
#[derive(Clone, Debug)]
pub struct Laws<L> {
    water: Water<L>,
    /// Which passage is which.
    tube: Option<Tube<L>>,
    /// Pump, hoses and outlet; none where the pump is not known.
    pub outside: Option<Outside<L>>,
    outside_passage: usize,
    /// Gaps beside foam and fibre, which close with dirt, with their passages, in the order of these.
    pub edges: Vec<(usize, ClosingGap<L>)>,
}

/// The down pipe: two halves with a node between.
#[derive(Clone, Debug)]
struct Tube<L> {
    bore: Bore<L>,
    /// Half its length, in bores.
    half: L,
    first: usize,
    /// Velocity heads: 1.5 into the tube (entry 0.5 and one velocity head), 0.5 out of it.
    into: QuadraticLoss<L>,
    out: QuadraticLoss<L>,
}

lanes! {
    Vessel { network, clean, laws }
    Laws { water, tube, outside, edges }
    Tube { bore, half, into, out }
}

impl<L> Laws<L> {
    fn is_curved(&self, passage: usize) -> bool {
        let in_tube = self.tube.as_ref().is_some_and(|t| passage == t.first || passage == t.first + 1);
        in_tube || passage == self.outside_passage
    }
}

impl<L: Real> Curved<L> for Laws<L> {
    fn at(&mut self, passage: usize, q: L) -> Loss<L> {
        if passage == self.outside_passage {
            return self.outside.as_mut().map_or_else(Loss::none, |outside| outside.at(q));
        }
        let Some(tube) = &mut self.tube else { return Loss::none() };
        let turn = if passage == tube.first { tube.into } else { tube.out };
        let (wall, _) = tube.bore.beside(q);
        tube.bore.friction(q, &wall, tube.half).then(turn.at(q))
    }

    fn least_slope(&self, passage: usize) -> L {
        let outside = self.outside.as_ref().filter(|_| passage == self.outside_passage);
        outside.map_or_else(|| L::splat(f64::NEG_INFINITY), Outside::least_slope)
    }

    fn under(&self, passage: usize, loss: L) -> (L, L) {
        let edge = self.edges.binary_search_by_key(&passage, |(p, _)| *p).map(|at| &self.edges[at].1);
        edge.map_or((L::zero(), L::one()), |edge| edge.flow(loss, &self.water))
    }
}

fn extents<L: Real>(filter: &Filter, draw: &dyn Draw<L>) -> Extents<L> {
    let floor = filter.body.floor.as_ref().map(|floor| {
        let height = draw.of(&floor.height);
        (floor.shape.plan(height, draw), height)
    });
    let trays = filter
        .trays
        .iter()
        .map(|tray| {
            let height = draw.of(&tray.height);
            (tray.shape.plan(height, draw), height)
        })
        .collect();
    Extents { floor, trays }
}

fn laid<L: Real>(
    plan: &Plan,
    build: &Build,
    extents: &Extents<L>,
    draw: &dyn Draw<L>,
) -> Vec<LayerGeometry<L>> {
    let space = |layers, at: Option<&(Extent<L>, L)>| {
        let (area, perimeter, height) =
            at.map_or((L::splat(1e-4), L::zero(), L::zero()), |(e, h)| (e.area, e.perimeter, *h));
        lay(layers, area, perimeter, height, draw)
    };
    let floor = space(&build.floor, extents.floor.as_ref());
    let trays: Vec<Vec<LayerGeometry<L>>> =
        build.trays.iter().zip(&extents.trays).map(|(layers, at)| space(layers, Some(at))).collect();
    plan.layers
        .iter()
        .map(|at| match at.tray {
            None => floor[at.index],
            Some(t) => trays[t][at.index],
        })
        .collect()
}

fn tube<L: Real>(plan: &Plan, tube: &DownTube, water: &Water<L>, draw: &dyn Draw<L>) -> Option<Tube<L>> {
    let first = plan.what.iter().position(|w| *w == What::TubeIn)?;
    let bore = draw.of(&tube.bore);
    let area = bore * bore * std::f64::consts::FRAC_PI_4;
    let velocity_head = water.density * 0.5 / area.squared();
    let turn = |k: f64| QuadraticLoss { a: L::zero(), b: velocity_head * k };
    Some(Tube {
        bore: Bore::new(bore, draw.constant(A::Roughness) / bore, None, water),
        half: draw.of(&tube.length) * 0.5 / bore,
        first,
        into: turn(1.5),
        out: turn(0.5),
    })
}

impl<L: Real> Vessel<L> {
    /// Gives the plan's passages their laws in this draw. A missing pump curve leaves nothing to drive it.
    pub fn new(plan: &Plan, filter: &Filter, build: &Build, tank: Option<&Tank>, draw: &dyn Draw<L>) -> Self {
        let mut vessel = Self::bare(plan, filter, build, tank, draw);
        vessel.laws.outside = Outside::new(plan, filter, tank, vessel.water, draw);
        vessel.lay_laws(plan, filter, build, draw);
        vessel
    }

    /// The same with nothing to drive it: for a flow imposed from outside.
    pub fn without_pump(
        plan: &Plan,
        filter: &Filter,
        build: &Build,
        tank: Option<&Tank>,
        draw: &dyn Draw<L>,
    ) -> Self {
        let mut vessel = Self::bare(plan, filter, build, tank, draw);
        vessel.lay_laws(plan, filter, build, draw);
        vessel
    }

    fn bare(plan: &Plan, filter: &Filter, build: &Build, tank: Option<&Tank>, draw: &dyn Draw<L>) -> Self {
        let celsius =
            tank.map_or_else(|| draw.constant(A::NoTankTemperature), |t| draw.of(&t.water.temperature));
        let water = water(celsius);
        let extents = extents(filter, draw);
        let lain = laid(plan, build, &extents, draw);
        let laws = Laws {
            water,
            tube: filter.body.down_tube.as_ref().and_then(|t| tube(plan, t, &water, draw)),
            outside: None,
            outside_passage: plan.outside(),
            edges: Vec::new(),
        };
        Self {
            water,
            network: Network::new(&plan.graph),
            clean: Vec::with_capacity(plan.what.len()),
            lain,
            extents,
            laws,
            stiff: false,
            found: None,
            stands: None,
        }
    }

    fn lay_laws(&mut self, plan: &Plan, filter: &Filter, build: &Build, draw: &dyn Draw<L>) {
        let guess = self.laws.outside.as_ref().map_or_else(|| L::splat(1e-4), |o| o.largest_flow() * 0.6);
        for (p, what) in plan.what.iter().enumerate() {
            let law = self.law(plan, filter, build, *what, draw);
            self.clean.push(law.unwrap_or(QuadraticLoss { a: L::one(), b: L::zero() }));
            match law {
                Some(law) => {
                    self.network.set(p, law);
                    let leak = matches!(
                        what,
                        What::Seal { .. } | What::Slack { .. } | What::Hole { .. } | What::Joint { .. }
                    );
                    self.network.guess(p, if leak { guess * 0.1 } else { guess });
                }
                None => self.network.set_curved(p, guess),
            }
        }
        self.lay_edges(plan, build, draw);
    }

    /// Whoever presses a pad into a loose tray leaves a gap that mulm can close; that of loose media stays as it is.
    fn lay_edges(&mut self, plan: &Plan, build: &Build, draw: &dyn Draw<L>) {
        for (at, lain) in plan.layers.iter().zip(&self.lain) {
            let pad = at.of(build).is_some_and(|layer| layer.medium.is_pad());
            let Some(slack) = at.slack.filter(|_| pad) else { continue };
            let outline = match at.tray {
                Some(t) => self.extents.trays.get(t),
                None => self.extents.floor.as_ref(),
            };
            let width = lain.slack.max(L::splat(NARROWEST));
            let most = ClosingGap::shut_of(width, draw.constant(A::GapShut), draw.constant(A::GapWide));
            let edge = ClosingGap {
                width,
                perimeter: outline.map_or_else(L::zero, |(extent, _)| extent.perimeter),
                length: lain.standing,
                yields: draw.constant(A::GapYield),
                most,
                shut: L::zero(),
            };
            self.laws.edges.push((slack, edge));
        }
    }

    /// The clean law of a passage; none for a curved one.
    fn law(
        &self,
        plan: &Plan,
        filter: &Filter,
        build: &Build,
        what: What,
        draw: &dyn Draw<L>,
    ) -> Option<QuadraticLoss<L>> {
        let water = &self.water;
        let tray_gap = |tray: usize, width: L, length: L| {
            gap(width.max(L::splat(NARROWEST)), self.extents.trays[tray].0.perimeter, length, water)
        };
        Some(match what {
            What::Outside | What::TubeIn | What::TubeOut => return None,
            What::Open => QuadraticLoss { a: L::one(), b: L::zero() },
            What::Grid { tray } => {
                let open = filter.trays[tray].grid.as_ref().map_or_else(L::one, |g| draw.of(g));
                grid(open.clamp(0.01, 0.99), self.extents.trays[tray].0.area, water, draw)
            }
            What::Seal { tray } => {
                let seal = filter.trays[tray].seal.as_ref()?;
                let length = match seal.condition {
                    SealCondition::Missing => A::MissingSealLength,
                    SealCondition::Lip | SealCondition::Worn => A::SealLength,
                };
                tray_gap(tray, draw.of(&seal.gap), draw.constant(length))
            }
            What::Joint { .. } => {
                let tube = filter.body.down_tube.as_ref()?;
                let width = tube.joint.as_ref().map_or_else(L::zero, |j| draw.of(j));
                let round = draw.of(&tube.bore) * std::f64::consts::PI;
                gap(width.max(L::splat(NARROWEST)), round, draw.constant(A::SealLength), water)
            }
            What::Media { layer } => {
                let lain = &self.lain[layer];
                let pad = plan.layers[layer].of(build)?;
                let whole =
                    bed(&pad.medium.bed, lain.free_depth, lain.area, lain.pressed, water, &plan.own, draw);
                let dimpled = pad.faces_flow(filter.way);
                if dimpled { whole.scaled(draw.constant(A::DimpledShare)) } else { whole }
            }
            What::Slack { layer } => {
                let lain = &self.lain[layer];
                let perimeter = match plan.layers[layer].tray {
                    Some(t) => self.extents.trays[t].0.perimeter,
                    None => self.extents.floor.as_ref()?.0.perimeter,
                };
                gap(lain.slack.max(L::splat(NARROWEST)), perimeter, lain.standing, water)
            }
            What::Hole { layer } => {
                let lain = &self.lain[layer];
                hole(lain.hole.max(L::splat(NARROWEST)), lain.standing, water)
            }
        })
    }

    /// Takes all dirt out of the media again, and the slime out of the hoses.
    pub fn clean_again(&mut self) {
        self.slime(L::zero());
        for (_, edge) in &mut self.laws.edges {
            edge.shut = L::zero();
        }
        for (p, law) in self.clean.iter().enumerate() {
            if !self.laws.is_curved(p) {
                self.network.set(p, *law);
            }
        }
    }

    /// Lets the hoses grow slime for so many days.
    pub fn slime(&mut self, day: L) {
        if let Some(outside) = &mut self.laws.outside {
            outside.hoses.grow(day);
            let outside = self.laws.outside_passage;
            self.network.fit_again(|p| p == outside);
        }
    }

    /// Are draws of the one at home in the other? Not where a fitting is no narrower than the hose in all draws of one.
    pub fn alike(&self, other: &Self) -> bool {
        let walls = |of: &Self| of.laws.outside.as_ref().map(|o| (o.hoses.bores.len(), o.hoses.walls.len()));
        walls(self) == walls(other)
    }

    /// Did Newton's method once find no end?
    pub fn is_stiff(&self) -> bool {
        self.stiff
    }

    /// The last solve holds in these draws: brackets start from it, so that they stay with the answer that they have.
    pub fn stand(&mut self, only: L::Mask) {
        if let (Some(stands), Some(found)) = (&mut self.stands, self.found) {
            *stands = L::select(only, found, *stands);
        }
    }

    /// Draws in which the water runs back though the pump lifts it: where it hardly does, steps may end beside the answer.
    fn runs_back(&mut self, plan: &Plan) -> L::Mask {
        let back = self.flow(plan).le(L::zero());
        match &mut self.laws.outside {
            Some(outside) if L::any(back) => {
                let lifts = outside.hoses.rise.lt(outside.pump(L::zero()).loss);
                L::and(back, lifts)
            }
            _ => L::mask(false),
        }
    }

    /// Solves for heads and flows: by Newton's method, and by brackets the draws in which that finds no end.
    pub fn solve(&mut self, plan: &Plan, closeness: Tolerance) -> Status<L::Mask> {
        let mut status = Status { solved: L::mask(false), steps: 0 };
        if !self.stiff {
            status = self.network.solve(&plan.graph, &mut self.laws, closeness);
            if status.steps > LONG {
                // Where heads lie many decades apart the steps may end by chance: flows then do not balance.
                let even = self.network.imbalance(&plan.graph).le(L::splat(Tolerance::FULL.step));
                status.solved = L::and(status.solved, even);
            }
            status.solved = L::and(status.solved, L::not(self.runs_back(plan)));
            if L::all(status.solved) {
                return status;
            }
            self.stiff = true;
        }
        let size = self.laws.outside.as_ref().map_or_else(L::one, Outside::largest_flow);
        let start = *self.stands.get_or_insert(size);
        let found = bracketed::solve(plan, &self.network, &mut self.laws, (size, start), closeness);
        self.found = Some(found.from);
        let found = found.place(plan, &mut self.network, L::not(status.solved));
        Status { solved: L::or(status.solved, found), steps: status.steps }
    }

    /// Delivered flow, m3/s.
    pub fn flow(&self, plan: &Plan) -> L {
        self.network.flow(plan.outside())
    }

    /// Greatest difference of any exact loss from the drop it should be, over the greatest head.
    pub fn residual(&mut self, plan: &Plan) -> L {
        self.network.residual(&plan.graph, &mut self.laws)
    }
}
