//! Everything outside the vessel: both hoses, what is fitted into them, the bends, and the outlet.

use super::fittings::{Heads, ball, bend, jet, reduced, strainer};
use super::friction::{Bore, ribbed};
use super::outlet::{Bar, SprayBar};
use super::water::Water;
use super::{Loss, Quad};
use crate::assumptions::A;
use crate::doubt::figure::Draw;
use crate::filter::filter::Filter;
use crate::filter::hoses::{Fitting, Outlet, Wall};
use crate::filter::tank::Run;
use crate::lane::Lane;

/// A part of the loss outside the vessel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HosePart {
    /// Wall of the suction hose.
    SuctionHose,
    /// Entrance, strainer, taps, connectors, elbows and bends of the suction hose.
    SuctionFittings,
    /// Wall of the delivery hose.
    DeliveryHose,
    /// Taps, connectors, elbows and bends of the delivery hose.
    DeliveryFittings,
    /// Where the water leaves.
    Outlet,
}

impl HosePart {
    /// Every part, in the water's order.
    pub const ALL: [Self; 5] =
        [Self::SuctionHose, Self::SuctionFittings, Self::DeliveryHose, Self::DeliveryFittings, Self::Outlet];
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
struct Walls<L> {
    bore: Bore<L>,
    wall: L,
    smooth: L,
}

/// The losses outside the vessel, made ready for many flows.
#[derive(Clone, Debug)]
pub struct Hoses<L> {
    /// Pressure of the outlet's height above the water, Pa; the same at any flow and not in [`Hoses::at`].
    pub rise: L,
    terms: Vec<Term<L>>,
    /// The hose first, then every smaller bore once.
    bores: Vec<Bore<L>>,
    /// Those of them whose friction is felt.
    walls: Vec<Walls<L>>,
    /// All that needs no friction factor.
    rest: Quad<L>,
    bar: Option<SprayBar<L>>,
}

impl<L: Lane> Hoses<L> {
    /// The hoses of a filter on a run (without one: the program's own length and bends each way, and an
    /// outlet under water). `largest_flow` is the pump's, m3/s; it says where a spray bar is worked out.
    pub fn new<D: Draw<L>>(
        filter: &Filter,
        run: Option<&Run>,
        water: &Water<L>,
        draw: &D,
        largest_flow: L,
    ) -> Self {
        let length = |of: Option<&_>| of.map_or_else(|| draw.constant(A::RunLength), |f| draw.of(f));
        let bends = run.map_or_else(|| draw.constant(A::RunBends), |r| draw.of(&r.bends));
        let height = run.map_or_else(L::zero, |r| draw.of(&r.outlet_above_water));
        let mut making = Making::new(filter, water, draw);
        let bore = making.diameter;
        making.wall(HosePart::SuctionHose, length(run.map(|r| &r.suction)) / bore);
        making.fixed(HosePart::SuctionFittings, draw.constant(A::Entrance));
        making.side(HosePart::SuctionFittings, bends, &filter.suction);
        making.wall(HosePart::DeliveryHose, length(run.map(|r| &r.delivery)) / bore);
        making.side(HosePart::DeliveryFittings, bends, &filter.delivery);
        let bar = making.outlet(&filter.outlet, largest_flow);
        let rise = water.density * draw.constant(A::Gravity) * height;
        making.done(rise, bar)
    }
    /// Loss of both hoses, their fittings and the outlet at a flow, m3/s, without the height.
    pub fn at(&self, q: L) -> Loss<L> {
        let mut all = self.rest.at(q);
        for Walls { bore, wall, smooth } in &self.walls {
            let (plain, own) = bore.over_laminar(q);
            all = all.then(bore.friction(q, &own, *wall));
            if bore.rib.is_some() {
                all = all.then(bore.friction(q, &plain, *smooth));
            }
        }
        match &self.bar {
            Some(bar) => all.then(bar.at(q)),
            None => all,
        }
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
                        let felt = if t.feels == Feels::Wall { own } else { plain };
                        sum + t.heads.at(q, bore, felt).loss
                    })
                });
                (part, loss)
            })
            .collect()
    }
}

/// Hoses in the making.
struct Making<'a, L, D> {
    draw: &'a D,
    water: &'a Water<L>,
    roughness: L,
    diameter: L,
    bores: Vec<Bore<L>>,
    terms: Vec<Term<L>>,
}

impl<'a, L: Lane, D: Draw<L>> Making<'a, L, D> {
    fn new(filter: &Filter, water: &'a Water<L>, draw: &'a D) -> Self {
        let diameter = draw.of(&filter.hose.bore);
        let roughness = draw.constant(A::Roughness);
        let rib = match &filter.hose.wall {
            Wall::Smooth => None,
            Wall::Ribbed { pitch } => Some(ribbed(diameter, draw.of(pitch)) * draw.constant(A::RibbedFactor)),
        };
        let hose = Bore::new(diameter, roughness / diameter, rib, water);
        Self { draw, water, roughness, diameter, bores: vec![hose], terms: Vec::new() }
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
        let mut rest = Quad { a: L::zero(), b: L::zero() };
        let mut walls: Vec<_> =
            self.bores.iter().map(|bore| Walls { bore: *bore, wall: L::zero(), smooth: L::zero() }).collect();
        for term in &self.terms {
            let Some(walls) = walls.get_mut(term.bore) else { continue };
            rest = rest.then(&term.heads.quad(&walls.bore));
            // Without ribs both frictions are the same.
            if term.feels == Feels::Wall || walls.bore.rib.is_none() {
                walls.wall += term.heads.friction;
            } else {
                walls.smooth += term.heads.friction;
            }
        }
        // A bore whose losses feel no friction, such as a nozzle's, costs nothing at a flow.
        walls.retain(|w| w.wall != L::zero() || w.smooth != L::zero());
        Hoses { rise, terms: self.terms, bores: self.bores, walls, rest, bar }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doubt::figure::{Figure, Nominal, Spread};
    use crate::doubt::key::Key;
    use crate::filter::filter::{Body, Way};
    use crate::filter::hoses::Hose;
    use crate::filter::pump::{Pump, Taken};
    use crate::hydraulics::friction::Pipe;
    use crate::hydraulics::water::water;
    use crate::lane::Eight;
    use crate::units::{Length, Plain, Quantity};

    const L_H: f64 = 1e-3 / 3600.0;

    fn figure<Q: Quantity>(si: f64) -> Figure<Q> {
        Figure::exact(Q::new(si).unwrap(), Key::new(&format!("{}/{si}", Q::KIND)))
    }
    fn mm(number: f64) -> Figure<Length> {
        figure(number / 1000.0)
    }
    fn narrow(bore: f64) -> (Figure<Length>, Figure<Length>) {
        (mm(bore), mm(30.0))
    }
    fn tap(bore: f64) -> Fitting {
        let (bore, length) = narrow(bore);
        Fitting::Tap { bore, length }
    }
    fn connector(bore: f64) -> Fitting {
        let (bore, length) = narrow(bore);
        Fitting::Connector { bore, length }
    }
    fn spray_bar() -> Outlet {
        Outlet::SprayBar { bore: mm(13.0), holes: 20, hole: mm(3.0), pitch: mm(20.0) }
    }

    fn filter(wall: Wall, suction: Vec<Fitting>, delivery: Vec<Fitting>, outlet: Outlet) -> Filter {
        Filter {
            id: "wicket-900".into(),
            name: "Wicket 900".into(),
            notes: String::new(),
            label: None,
            pump: Pump { taken: Taken::AtPorts, curve: None, power: None, hz: None },
            way: Way::Rising,
            hose: Hose { bore: mm(16.0), wall },
            suction,
            delivery,
            outlet,
            body: Body::default(),
            trays: Vec::new(),
            uv: None,
            handling: None,
            unit: None,
            builds: Vec::new(),
        }
    }
    fn full(wall: Wall, outlet: Outlet) -> Filter {
        let strainer = Fitting::Strainer { diameter: mm(25.0), length: mm(80.0), open: figure(0.35) };
        let elbow = Fitting::Elbow { count: figure::<Plain>(1.0) };
        let suction = vec![strainer, connector(12.5), tap(12.5), elbow];
        filter(wall, suction, vec![tap(12.5), connector(11.0)], outlet)
    }
    fn run(bends: f64, above_mm: f64) -> Run {
        Run {
            suction: figure(1.3),
            delivery: figure(1.5),
            bends: figure(bends),
            outlet_above_water: mm(above_mm),
        }
    }
    fn every() -> Vec<Filter> {
        let outlets = [Outlet::Open, Outlet::Jet { bore: mm(10.0) }, spray_bar()];
        outlets
            .into_iter()
            .flat_map(|o| [full(Wall::Smooth, o.clone()), full(Wall::Ribbed { pitch: mm(4.0) }, o)])
            .collect()
    }
    fn hoses(filter: &Filter, run: Option<&Run>) -> Hoses<f64> {
        Hoses::new(filter, run, &water(25.0), &Nominal, 1100.0 * L_H)
    }

    #[test]
    fn a_bare_hose_is_its_wall_an_entrance_and_an_exit() {
        // Darcy–Weisbach with the textbook's 0.5 for a sharp entrance and 1 for an exit.
        let bare = filter(Wall::Smooth, Vec::new(), Vec::new(), Outlet::Open);
        let (water, q) = (water(25.0), 600.0 * L_H);
        let pipe = Pipe { bore: 0.016, length: 2.8, relative_roughness: 1.5e-6 / 0.016, rib: None };
        let v = q / (std::f64::consts::PI * 0.016 * 0.016 / 4.0);
        let want = pipe.at(q, &water).loss + 1.5 * water.density * v * v / 2.0;
        let got = hoses(&bare, Some(&run(0.0, 0.0))).at(q).loss;
        assert!((got / want - 1.0).abs() < 1e-12, "{got} {want}");
        // fluids 1.3: 901.778 Pa for 1.5 m, so 2.8 m lose 1683.32 Pa.
        assert!((pipe.at(q, &water).loss / 1683.319 - 1.0).abs() < 1e-5);
    }

    #[test]
    fn fittings_lose_what_hand_reckoning_gives() {
        // At 600 l/h in 16 mm, f = 0.0280806 and Re = 14858.2 (fluids 1.3); one velocity head by hand.
        let (q, f, re) = (600.0 * L_H, 0.0280806, 14858.2);
        let v = q / (std::f64::consts::PI * 0.016 * 0.016 / 4.0);
        let head = 997.045 * v * v / 2.0;
        let added = |more: Vec<Fitting>, bends: f64| {
            let with = filter(Wall::Smooth, Vec::new(), more, Outlet::Open);
            let bare = filter(Wall::Smooth, Vec::new(), Vec::new(), Outlet::Open);
            hoses(&with, Some(&run(bends, 0.0))).at(q).loss - hoses(&bare, Some(&run(0.0, 0.0))).at(q).loss
        };
        let near = |got: f64, want: f64| assert!((got / want - 1.0).abs() < 2e-5, "{got} {want}");
        let bend = bend(3.0).k(f, re) * head;
        near(added(Vec::new(), 2.0), 4.0 * bend);
        // A 12.5 mm bore of 30 mm: Re 19018.4 there and Churchill's f 0.0264566 (by a script); K on the hose over beta^4.
        let (f, re) = (0.0264566, 19018.4);
        let beta4 = (12.5_f64 / 16.0).powi(4);
        let k = reduced(0.0125, 0.030, 0.016).k(f, re) / beta4;
        near(added(vec![connector(12.5)], 0.0), k * head);
        let k_ball = ball(0.0125).k(0.0, re) / beta4;
        near(added(vec![tap(12.5)], 0.0), (k + k_ball) * head);
        // A bore at or above the hose's: only its wall and the ball are left.
        let own = ball(0.016).then(Heads::wall(0.030 / 0.016)).k(0.0280806, 14858.2) * head;
        near(added(vec![tap(19.0)], 0.0), own);
        near(added(vec![tap(16.0)], 0.0), own);
    }

    #[test]
    fn the_cabinet_does_not_load_the_pump_but_a_raised_outlet_does() {
        // rho g h: 10 cm of water at 25 °C, by hand.
        let bare = filter(Wall::Smooth, Vec::new(), Vec::new(), Outlet::Open);
        let (level, raised) = (hoses(&bare, Some(&run(2.0, 0.0))), hoses(&bare, Some(&run(2.0, 100.0))));
        assert_eq!(level.rise, 0.0);
        assert!((raised.rise - 997.045 * 9.80665 * 0.1).abs() < 1e-3);
        assert_eq!(level.at(1e-4), raised.at(1e-4));
        assert_eq!(hoses(&bare, None).rise, 0.0);
    }

    #[test]
    fn without_a_tank_it_is_a_metre_and_a_half_and_two_bends_each_way() {
        let own = Run { suction: figure(1.5), delivery: figure(1.5), ..run(2.0, 0.0) };
        for filter in every() {
            let (got, want) = (hoses(&filter, None).at(1e-4).loss, hoses(&filter, Some(&own)).at(1e-4).loss);
            assert!((got / want - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn parts_are_the_whole() {
        for filter in every() {
            let hoses = hoses(&filter, Some(&run(2.0, 0.0)));
            for q in [-3e-4, -1e-7, 1e-9, 1e-5, 5e-5, 1.7e-4, 4e-4] {
                let (parts, whole) = (hoses.parts(q), hoses.at(q).loss);
                assert_eq!(parts.iter().map(|p| p.0).collect::<Vec<_>>(), HosePart::ALL);
                let sum: f64 = parts.iter().map(|p| p.1).sum();
                assert!((sum - whole).abs() <= 1e-12 * whole.abs(), "{sum} {whole}");
                assert!(parts.iter().all(|p| p.1 * q > 0.0));
            }
        }
    }

    #[test]
    fn loss_is_odd_rises_and_knows_its_slope() {
        for filter in every() {
            let hoses = hoses(&filter, Some(&run(2.0, 0.0)));
            assert_eq!(hoses.at(0.0).loss, 0.0);
            assert!(hoses.at(0.0).slope > 0.0);
            let (mut before, mut kinks) = (0.0, 0);
            for i in 0..=20_000 {
                let q = 1e-9 + (4e-4 - 1e-9) * f64::from(i) / 20_000.0;
                let here = hoses.at(q);
                assert!(here.loss > before && here.slope > 0.0, "at {q}");
                assert_eq!(hoses.at(-q).loss, -here.loss);
                assert_eq!(hoses.at(-q).slope, here.slope);
                let slope = (hoses.at(q * (1.0 + 1e-6)).loss - hoses.at(q * (1.0 - 1e-6)).loss) / (2e-6 * q);
                kinks += i32::from((slope / here.slope - 1.0).abs() > 1e-4);
                before = here.loss;
            }
            // Where ribs begin to be felt the slope jumps: at most one step of the grid sees it.
            assert!(kinks <= 1, "{kinks}");
        }
    }

    /// Every figure and constant a little off, its own way in each of eight draws.
    struct Shifted(usize);
    impl Shifted {
        fn shift(value: f64, key: &Key, draw: usize) -> f64 {
            value * (1.0 + 0.03 * (((key.hash() % 97) as f64 + 1.0) * (draw as f64 + 1.0)).sin())
        }
    }
    impl Draw<f64> for Shifted {
        fn spread(&self, value: f64, _: Spread, key: &Key) -> f64 {
            Self::shift(value, key, self.0)
        }
        fn constant(&self, which: A) -> f64 {
            Self::shift(which.entry().value, which.key(), self.0)
        }
    }
    impl Draw<Eight> for Shifted {
        fn spread(&self, value: f64, _: Spread, key: &Key) -> Eight {
            Eight::gather(|i| Self::shift(value, key, i))
        }
        fn constant(&self, which: A) -> Eight {
            Eight::gather(|i| Self::shift(which.entry().value, which.key(), i))
        }
    }

    #[test]
    fn eight_draws_give_what_one_gives() {
        let run = run(2.0, 50.0);
        for filter in every() {
            let most = Eight::splat(1100.0 * L_H);
            let many = Hoses::new(&filter, Some(&run), &water(Eight::splat(25.0)), &Shifted(0), most);
            for i in 0..8 {
                let one = Hoses::new(&filter, Some(&run), &water(25.0), &Shifted(i), 1100.0 * L_H);
                assert!((many.rise.draw(i) / one.rise - 1.0).abs() < 1e-12);
                for q in [1e-9, 1e-6, 4e-5, -1.1e-4, 3e-4] {
                    let (got, want) = (many.at(Eight::splat(q)), one.at(q));
                    assert!((got.loss.draw(i) / want.loss - 1.0).abs() < 1e-12, "{q}");
                    assert!((got.slope.draw(i) / want.slope - 1.0).abs() < 1e-11, "{q}");
                }
            }
        }
    }

    #[test]
    fn equal_bores_are_reckoned_once() {
        let all = full(Wall::Smooth, Outlet::Jet { bore: mm(10.0) });
        let hoses = hoses(&all, None);
        // The hose, 12.5 and 11 mm feel friction; the nozzle does not.
        assert_eq!((hoses.bores.len(), hoses.walls.len()), (4, 3));
    }
}
