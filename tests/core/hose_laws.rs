//! The hoses as a whole.

// Tests of the hoses as a whole.

use crate::laws::{Pipe, coefficient};
use cansift::assumptions::A;
use cansift::hydraulics::friction::{Heads, ball, bend, reduced};
use cansift::hydraulics::hoses::*;
use cansift::hydraulics::water::water;
use cansift::model::filter::Filter;
use cansift::model::filter::Hose;
use cansift::model::filter::Wall;
use cansift::model::filter::{Body, Way};
use cansift::model::hoses::{Fitting, Outlet};
use cansift::model::pump::{Pump, Taken};
use cansift::model::tank::Run;
use cansift::simd::F64x8;
use cansift::simd::Real;
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::Draw;
use cansift::uncertainty::uncertain::{Nominal, Spread, Uncertain};
use cansift::units::{Length, Plain, Quantity};

const L_H: f64 = 1e-3 / 3600.0;

fn figure<Q: Quantity>(si: f64) -> Uncertain<Q> {
    Uncertain::exact(Q::new(si).unwrap(), Key::named(&format!("{}/{si}", Q::KIND)))
}
fn mm(number: f64) -> Uncertain<Length> {
    figure(number / 1000.0)
}
fn narrow(bore: f64) -> (Uncertain<Length>, Uncertain<Length>) {
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

fn filter(wall: Wall, intake: Vec<Fitting>, return_side: Vec<Fitting>, outlet: Outlet) -> Filter {
    Filter {
        id: "wicket-900".into(),
        found: None,
        text: cansift::model::filter::Text::default(),
        name: "Wicket 900".into(),
        notes: String::new(),
        variant: None,
        measured: None,
        licence: None,
        label: None,
        pump: Pump { taken: Taken::AtPorts, curve: None, power: None, hz: None },
        way: Way::Rising,
        hose: Hose { bore: mm(16.0), wall },
        intake,
        return_side,
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
    let intake = vec![strainer, connector(12.5), tap(12.5), elbow];
    filter(wall, intake, vec![tap(12.5), connector(11.0)], outlet)
}
fn run(bends: f64, above_mm: f64) -> Run {
    Run {
        intake: figure(1.3),
        return_side: figure(1.5),
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
    let bend = coefficient(&bend(3.0), f, re) * head;
    near(added(Vec::new(), 2.0), 4.0 * bend);
    // A 12.5 mm bore of 30 mm: Re 19018.4 there and Churchill's f 0.0264566 (by a script); K on the hose over beta^4.
    let (f, re) = (0.0264566, 19018.4);
    let beta4 = (12.5_f64 / 16.0).powi(4);
    let k = coefficient(&reduced(0.0125, 0.030, 0.016), f, re) / beta4;
    near(added(vec![connector(12.5)], 0.0), k * head);
    let k_ball = coefficient(&ball(0.0125), 0.0, re) / beta4;
    near(added(vec![tap(12.5)], 0.0), (k + k_ball) * head);
    // A bore at or above the hose's: only its wall and the ball are left.
    let own = coefficient(&ball(0.016).then(Heads::wall(0.030 / 0.016)), 0.0280806, 14858.2) * head;
    near(added(vec![tap(19.0)], 0.0), own);
    near(added(vec![tap(16.0)], 0.0), own);
}

#[test]
fn the_cabinet_does_not_load_the_pump_but_a_raised_outlet_does() {
    // rho g h: 10 cm of water at 25 °C, by hand.
    let bare = filter(Wall::Smooth, Vec::new(), Vec::new(), Outlet::Open);
    let (mut level, mut raised) = (hoses(&bare, Some(&run(2.0, 0.0))), hoses(&bare, Some(&run(2.0, 100.0))));
    assert_eq!(level.rise, 0.0);
    assert!((raised.rise - 997.045 * 9.80665 * 0.1).abs() < 1e-3);
    assert_eq!(level.at(1e-4), raised.at(1e-4));
    assert_eq!(hoses(&bare, None).rise, 0.0);
}

#[test]
fn without_a_tank_it_is_a_metre_and_a_half_and_two_bends_each_way() {
    let own = Run { intake: figure(1.5), return_side: figure(1.5), ..run(2.0, 0.0) };
    for filter in every() {
        let (got, want) = (hoses(&filter, None).at(1e-4).loss, hoses(&filter, Some(&own)).at(1e-4).loss);
        assert!((got / want - 1.0).abs() < 1e-12);
    }
}

#[test]
fn parts_are_the_whole() {
    for filter in every() {
        let mut hoses = hoses(&filter, Some(&run(2.0, 0.0)));
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
        let mut hoses = hoses(&filter, Some(&run(2.0, 0.0)));
        assert_eq!(hoses.at(0.0).loss, 0.0);
        assert!(hoses.at(0.0).gradient > 0.0);
        let (mut before, mut kinks) = (0.0, 0);
        for i in 0..=20_000 {
            let q = 1e-9 + (4e-4 - 1e-9) * f64::from(i) / 20_000.0;
            let here = hoses.at(q);
            assert!(here.loss > before && here.gradient > 0.0, "at {q}");
            assert_eq!(hoses.at(-q).loss, -here.loss);
            assert_eq!(hoses.at(-q).gradient, here.gradient);
            let gradient = (hoses.at(q * (1.0 + 1e-6)).loss - hoses.at(q * (1.0 - 1e-6)).loss) / (2e-6 * q);
            kinks += i32::from((gradient / here.gradient - 1.0).abs() > 1e-4);
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
impl Draw<F64x8> for Shifted {
    fn spread(&self, value: f64, _: Spread, key: &Key) -> F64x8 {
        F64x8::gather(|i| Self::shift(value, key, i))
    }
    fn constant(&self, which: A) -> F64x8 {
        F64x8::gather(|i| Self::shift(which.entry().value, which.key(), i))
    }
}

#[test]
fn eight_draws_give_what_one_gives() {
    let run = run(2.0, 50.0);
    for filter in every() {
        let most = F64x8::splat(1100.0 * L_H);
        let mut many = Hoses::new(&filter, Some(&run), &water(F64x8::splat(25.0)), &Shifted(0), most);
        for i in 0..8 {
            let mut one = Hoses::new(&filter, Some(&run), &water(25.0), &Shifted(i), 1100.0 * L_H);
            assert!((many.rise.draw(i) / one.rise - 1.0).abs() < 1e-12);
            for q in [1e-9, 1e-6, 4e-5, -1.1e-4, 3e-4] {
                let (got, want) = (many.at(F64x8::splat(q)), one.at(q));
                assert!((got.loss.draw(i) / want.loss - 1.0).abs() < 1e-12, "{q}");
                assert!((got.gradient.draw(i) / want.gradient - 1.0).abs() < 1e-11, "{q}");
            }
        }
    }
}

/// Everything nominal but one constant, which is doubled.
struct Doubled(A);
impl Draw<f64> for Doubled {
    fn spread(&self, value: f64, _: Spread, _: &Key) -> f64 {
        value
    }
    fn constant(&self, which: A) -> f64 {
        which.entry().value * if which == self.0 { 2.0 } else { 1.0 }
    }
}

#[test]
fn each_doubt_loads_its_own_part() {
    let (water, q) = (water(25.0), 1.5e-4);
    let loss = |filter: &Filter, run: &Run, doubled| {
        Hoses::new(filter, Some(run), &water, &Doubled(doubled), 3e-4).at(q).loss
    };
    // Bends: twice the loss of four hose bends and one elbow, nothing else.
    let elbow = Fitting::Elbow { count: figure::<Plain>(1.0) };
    let bent = filter(Wall::Smooth, vec![elbow], Vec::new(), Outlet::Open);
    let bare = filter(Wall::Smooth, Vec::new(), Vec::new(), Outlet::Open);
    let (none, two) = (run(0.0, 0.0), run(2.0, 0.0));
    let bends = loss(&bent, &two, A::Gravity) - loss(&bare, &none, A::Gravity);
    let more = loss(&bent, &two, A::BendFactor) - loss(&bent, &two, A::Gravity);
    assert!((more / bends - 1.0).abs() < 1e-9);
    // Ribs: twice the wall's friction; and elbows feel a smooth wall.
    let ribs = filter(Wall::Ribbed { pitch: mm(4.0) }, Vec::new(), Vec::new(), Outlet::Open);
    let hose = Hoses::new(&ribs, Some(&none), &water, &Nominal, 3e-4).parts(q);
    let walls: f64 =
        hose.iter().filter(|p| p.0 != HosePart::Outlet && p.0 != HosePart::IntakeFittings).map(|p| p.1).sum();
    let more = loss(&ribs, &none, A::RibbedFactor) - loss(&ribs, &none, A::Gravity);
    assert!((more / walls - 1.0).abs() < 1e-9);
    let elbow = Fitting::Elbow { count: figure::<Plain>(1.0) };
    let elbowed = filter(Wall::Ribbed { pitch: mm(4.0) }, vec![elbow.clone()], Vec::new(), Outlet::Open);
    let smooth = filter(Wall::Smooth, vec![elbow], Vec::new(), Outlet::Open);
    let on_ribs = loss(&elbowed, &none, A::Gravity) - loss(&ribs, &none, A::Gravity);
    let on_smooth = loss(&smooth, &none, A::Gravity) - loss(&bare, &none, A::Gravity);
    assert!((on_ribs / on_smooth - 1.0).abs() < 1e-9);
}

#[test]
fn equal_bores_are_reckoned_once() {
    let all = full(Wall::Smooth, Outlet::Jet { bore: mm(10.0) });
    let hoses = hoses(&all, None);
    // The hose, 12.5 and 11 mm feel friction; the nozzle does not.
    assert_eq!((hoses.bores.len(), hoses.walls.len()), (4, 3));
}
