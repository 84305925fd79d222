//! Beds, leaks and grids against figures that were worked outside this program.
//!
//! Unless a check names another source, its figures were worked in Python (2026) from the formula of the named
//! paper by code that shares nothing with this crate; the Ergun rows also by the open library `fluids` 1.3.1.
//! Water at 25 °C throughout: density after Kell 1975, viscosity after IAPWS SR6-08(2011).

#![allow(clippy::unreadable_literal, reason = "published figures stand as they were printed")]

use std::f64::consts::PI;

use cansift::assumptions::A;
use cansift::hydraulics::QuadraticLoss;
use cansift::hydraulics::beds::{OwnKeys, bed, pressed_void, void};
use cansift::hydraulics::leaks::{gap, grid, hole, tau};
use cansift::hydraulics::water::Water;
use cansift::model::medium::Bed;
use cansift::model::shape::{Outline, Plan, Shape};
use cansift::simd::{F64x8, Real};
use cansift::uncertainty::key::Key;
use cansift::uncertainty::uncertain::{Draw, Nominal, Spread, Uncertain};
use cansift::units::{Quantity, litres_an_hour};
use proptest::prelude::*;

const WATER: Water<f64> = Water { density: 997.045, viscosity: 8.89997e-4 };
/// The tray of the worked figures, m2.
const AREA: f64 = 0.023;
/// Six printed digits, and the sixth digit of density and viscosity.
const DIGITS: f64 = 1e-5;

fn fig<Q: Quantity>(si: f64) -> Uncertain<Q> {
    Uncertain::exact(Q::new(si).unwrap(), Key::named("t"))
}
fn foam(ppi: f64) -> Bed {
    Bed::Foam { ppi: fig(ppi), void: fig(0.97) }
}
fn pieces(size: f64, void: f64, sphericity: f64) -> Bed {
    Bed::Pieces { size: fig(size), void: fig(void), sphericity: fig(sphericity) }
}
fn rings(outer: f64, inner: f64, length: f64, void: f64) -> Bed {
    Bed::Rings { outer: fig(outer), inner: fig(inner), length: fig(length), void: fig(void) }
}
fn floss(solidity: f64, diameter: f64) -> Bed {
    Bed::Fibre { diameter: fig(diameter), solidity: fig(solidity) }
}
/// Nominal, but foam with the coefficients that Dietrich printed.
struct AsDietrich;

impl Draw<f64> for AsDietrich {
    fn spread(&self, value: f64, _: Spread, _: &Key) -> f64 {
        value
    }
    fn constant(&self, which: A) -> f64 {
        which.entry().value
    }
    fn paired(&self, which: A, _: &Key) -> f64 {
        match which {
            A::FoamA => 110.0,
            A::FoamB => 1.45,
            _ => which.entry().value,
        }
    }
}

fn as_printed(medium: &Bed, depth: f64) -> QuadraticLoss<f64> {
    bed(medium, depth, AREA, 0.0, &WATER, &OwnKeys::new("t"), &AsDietrich)
}
fn clean(medium: &Bed, depth: f64) -> QuadraticLoss<f64> {
    bed(medium, depth, AREA, 0.0, &WATER, &OwnKeys::new("t"), &Nominal)
}
/// Loss at a speed through the empty tray, mm/s.
fn at_speed(law: &QuadraticLoss<f64>, mm_s: f64) -> f64 {
    law.at(mm_s * 1e-3 * AREA).loss
}
#[track_caller]
fn near(found: f64, wanted: f64, share: f64) {
    assert!((found - wanted).abs() <= share * wanted.abs(), "{found} is not {wanted}");
}

#[test]
fn the_inverse_does_not_cancel() {
    // Roots of b q² + a q = dp worked to ten digits; in the last one the school formula loses half of them.
    for (a, b, dp, q) in [
        (1e5, 1e9, 1.0, 9.160797831e-6),
        (1e5, 1e9, 100.0, 2.701562119e-4),
        (1e9, 1e12, 10.0, 9.999900002e-9),
    ] {
        near(QuadraticLoss { a, b }.flow(dp), q, 1e-9);
        near(QuadraticLoss { a, b }.flow(-dp), -q, 1e-9);
    }
}

#[test]
fn grains_follow_ergun() {
    // Ergun, Chem. Eng. Prog. 48 (1952) 89; the same to all digits in `fluids` 1.3.1.
    let irregular = clean(&pieces(0.012, 0.45, 0.65), 0.08);
    near(irregular.a, 25336.141, DIGITS);
    near(irregular.b, 2.0418208e8, DIGITS);
    let spheres = clean(&pieces(0.006, 0.4, 1.0), 0.1);
    for (law, losses) in [(irregular, [0.690744, 16.6285, 114.693]), (spheres, [2.35856, 48.1222, 307.944])] {
        for (speed, loss) in [1.0, 10.0, 30.0].into_iter().zip(losses) {
            near(at_speed(&law, speed), loss, DIGITS);
        }
    }
    // A later fit to more data, Erdim, Akgiray & Demir 2015, stays within a tenth for the same spheres
    // (figures of `fluids` 1.3.1).
    for (speed, loss) in [(1.0, 2.57213), (10.0, 50.0794), (30.0, 292.145)] {
        near(at_speed(&spheres, speed), loss, 0.1);
    }
}

#[test]
fn rings_count_their_bores() {
    // 15 × 15 mm, 9 mm bore, by hand: V = pi/4 (225 − 81) 15 = 540 pi, S = pi (15 + 9) 15 + pi/2 (225 − 81)
    // = 432 pi, so 6 V/S = 7.5 mm exactly.
    let ring = clean(&rings(0.015, 0.009, 0.015, 0.65), 0.08);
    let as_sphere = clean(&pieces(0.0075, 0.65, 1.0), 0.08);
    near(ring.a, as_sphere.a, 1e-12);
    near(ring.b, as_sphere.b, 1e-12);
    for (speed, loss) in [(1.0, 0.108412), (10.0, 3.21889), (30.0, 23.8885)] {
        near(at_speed(&ring, speed), loss, DIGITS);
    }
}

#[test]
fn foam_follows_dietrich_on_a_kelvin_cell() {
    // Dietrich et al. 2009, 2012 and Buciuman & Kraushaar-Czarnetzki 2003, formulas from memory: the figures
    // check our working of them, not the papers.
    for (ppi, a, b, losses) in [
        (10.0, 2834.0565, 14763083.0, [0.0729930, 1.02129, 8.98420]),
        (20.0, 11336.226, 29526165.0, [0.276353, 3.08550, 21.8794]),
        (30.0, 25506.508, 44289248.0, [0.610079, 6.19265, 38.6856]),
        (45.0, 57389.644, 66433872.0, [1.35511, 12.8089, 71.2280]),
    ] {
        let law = as_printed(&foam(ppi), 0.04);
        near(law.a, a, DIGITS);
        near(law.b, b, DIGITS);
        for (speed, loss) in [1.0, 8.0, 30.0].into_iter().zip(losses) {
            near(at_speed(&law, speed), loss, DIGITS);
        }
    }
    // The geometry behind it, read back from the two terms: K = e dh²/110 and the inertial 1.45/(e² dh).
    for (ppi, permeability, inertia) in
        [(10.0, 5.46e-7, 195.8), (20.0, 1.37e-7, 391.6), (30.0, 6.07e-8, 587.5), (45.0, 2.70e-8, 881.2)]
    {
        let law = as_printed(&foam(ppi), 0.04);
        near(WATER.viscosity * 0.04 / (law.a * AREA), permeability, 4e-3);
        near(law.b * AREA * AREA / (WATER.density * 0.04), inertia, 3e-4);
    }
}

#[test]
fn a_pressed_pad_keeps_its_struts() {
    // By hand: strut surface and solid share per volume grow by 1/(1-s), the depth shrinks by 1-s. With
    // e' = 1 - .03/.8 = .9625 and dh' = 4 e' .8/Sv the viscous term grows by (e/e')³/.8² on a depth of .8.
    let free = clean(&foam(20.0), 0.04);
    let pressed = bed(&foam(20.0), 0.04, AREA, 0.2, &WATER, &OwnKeys::new("t"), &Nominal);
    let e = 0.97 / 0.9625;
    near(pressed.a / free.a, e * e * e / 0.8, 1e-12);
    near(pressed.b / free.b, e * e * e, 1e-12);
    // A fifth pressed: +60 % per metre and +28 % per pad, viscous term (rounded working of the same).
    near(pressed.a / free.a, 1.28, 5e-3);
    near(pressed.a / free.a / 0.8, 1.60, 5e-3);
    near(pressed_void(&foam(20.0), 0.2, &Nominal), 0.9625, 1e-14);
    // Davies on the pressed solid share: .02/.8 = .025 over .8 of the depth.
    let pad = bed(&floss(0.02, 30e-6), 0.02, AREA, 0.2, &WATER, &OwnKeys::new("t"), &Nominal);
    near(pad.a, clean(&floss(0.025, 30e-6), 0.016).a, 1e-12);
    near(void(&floss(0.02, 30e-6), &Nominal), 0.98, 1e-14);
}

#[test]
fn floss_follows_davies() {
    // Davies, Proc. Instn Mech. Engrs B1 (1953) 185: permeability, m2, and loss of 20 mm at 8 mm/s.
    // Beside it Jackson & James 1986 (from memory), k = 3 r²/(20 α) (−ln α − 0.931): within 14 % of it.
    for (solid, um, davies, jackson_james, loss) in [
        (0.01, 20.0, 6.24965e-9, 5.51126e-9, 22.7852),
        (0.02, 30.0, 4.96962e-9, 5.03048e-9, 28.6540),
        (0.05, 30.0, 1.24904e-9, 1.39369e-9, 114.007),
        (0.1, 30.0, 4.21113e-10, 4.62910e-10, 338.150),
    ] {
        let law = clean(&floss(solid, um * 1e-6), 0.02);
        let permeability = WATER.viscosity * 0.02 / (law.a * AREA);
        near(permeability, davies, DIGITS);
        near(permeability, jackson_james, 0.14);
        near(at_speed(&law, 8.0), loss, DIGITS);
        assert_eq!(law.b, 0.0);
    }
    near(clean(&floss(0.02, 30e-6), 0.02).a, 155728.31, DIGITS);
}

#[test]
fn the_figures_the_model_states_hold() {
    for (law, checks) in [
        (clean(&foam(20.0), 0.04), vec![(1.0, 0.52793), (8.0, 4.5854), (30.0, 21.461)]),
        (clean(&pieces(0.012, 0.45, 0.65), 0.08), vec![(1.0, 0.69074), (10.0, 16.629), (30.0, 114.69)]),
        (clean(&floss(0.02, 30e-6), 0.02), vec![(8.0, 28.654)]),
    ] {
        for (speed, loss) in checks {
            near(at_speed(&law, speed), loss, 5e-5);
        }
    }
    let seal = gap(0.4e-3, 0.55, 0.005, &WATER);
    for (dp, flow) in [(10.0, 21.048), (100.0, 156.95), (1000.0, 746.38)] {
        near(litres_an_hour(seal.flow(dp)), flow, 5e-5);
    }
    let through = hole(0.025, 0.04, &WATER);
    for (dp, flow) in [(5.0, 135.88), (50.0, 435.46), (500.0, 1382.9)] {
        near(litres_an_hour(through.flow(dp)), flow, 5e-5);
    }
}

#[test]
fn tau_is_idelchiks() {
    // Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 4-15 with nothing open round it:
    // K = 1.5 + tau of a thick-edged orifice; 2.85 sharp, 1.5 where the jet fills the hole again.
    for (x, k) in [
        (0.0, 2.84962),
        (0.2, 2.73707),
        (0.5, 2.47720),
        (1.0, 1.74356),
        (1.5, 1.64801),
        (2.0, 1.56564),
        (2.4, 1.5),
        (5.0, 1.5),
        (1e6, 1.5),
    ] {
        near(1.5 + tau(x), k, 3e-6);
    }
}

#[test]
fn gaps_follow_the_slot_and_the_thick_orifice() {
    // P .55 m, L 5 mm: a, b and the flow, l/h, at 10, 100 and 1000 Pa.
    for (mm, a, b, flows) in [
        (0.05, 7.83319e8, 9.88805e11, [0.0459576, 0.459509, 4.58845]),
        (0.1, 9.87392e7, 2.47201e11, [0.364505, 3.63677, 35.5794]),
        (0.2, 1.25485e7, 6.18003e10, [2.85770, 27.6434, 220.421]),
        (0.4, 1.62008e6, 1.54501e10, [21.0476, 156.954, 746.378]),
        (1.0, 113577.0, 2.47201e9, [160.746, 646.071, 2208.48]),
        (1.5, 36094.7, 1.18688e9, [280.207, 991.649, 3250.16]),
        (3.0, 5427.72, 3.33196e8, [595.034, 1943.10, 6207.42]),
        (5.0, 1436.16, 1.63298e8, [875.175, 2801.38, 8892.83]),
    ] {
        let law = gap(mm * 1e-3, 0.55, 0.005, &WATER);
        near(law.a, a, DIGITS);
        near(law.b, b, DIGITS);
        for (dp, flow) in [10.0, 100.0, 1000.0].into_iter().zip(flows) {
            near(litres_an_hour(law.flow(dp)), flow, DIGITS);
        }
    }
    let seal = gap(0.4e-3, 0.55, 0.005, &WATER);
    for (q, dp) in [(1e-5, 17.745781), (1e-4, 316.50849), (3e-4, 1876.53)] {
        near(seal.at(q).loss, dp, DIGITS);
    }
}

#[test]
fn gaps_have_the_right_ends() {
    // Thin and slow: plane Poiseuille, q = h³ P dp/(12 mu L) (any textbook of viscous flow).
    let (h, p, l) = (0.05e-3, 0.55, 0.05);
    near(gap(h, p, l, &WATER).flow(0.1), h * h * h * p * 0.1 / (12.0 * WATER.viscosity * l), 2e-3);
    // No length and slow: the slit in a thin wall, q = pi h² P dp/(32 mu) (Hasimoto 1958, from memory).
    let h = 0.1e-3;
    near(gap(h, p, 0.0, &WATER).flow(1e-6), PI * h * h * p * 1e-6 / (32.0 * WATER.viscosity), 3e-4);
    // Fast: discharge coefficient .816 of a short tube, .592 of a sharp edge (handbook figures 0.82 and
    // 0.60 to 0.62; these are 1/√1.5 and 1/√2.85).
    let discharge =
        |law: QuadraticLoss<f64>, area: f64| law.flow(1e9) / (area * (2e9 / WATER.density).sqrt());
    near(discharge(gap(1e-3, p, 0.005, &WATER), 1e-3 * p), 0.816, 2e-3);
    near(discharge(gap(5e-3, p, 0.0, &WATER), 5e-3 * p), 0.592, 2e-3);
    near(discharge(hole(0.01, 0.04, &WATER), PI * 0.005 * 0.005), 0.816, 2e-3);
    // Twice the width on half the run leaks four times in the slow limit (pushed to one side).
    let (round, sides) = (gap(0.1e-3, 0.55, 0.05, &WATER), gap(0.2e-3, 0.275, 0.05, &WATER));
    near(sides.flow(0.1) / round.flow(0.1), 4.0, 5e-3);
}

#[test]
fn holes_follow_sampson_and_the_thick_orifice() {
    // d and L in mm; flow, l/h, at 5, 50 and 500 Pa.
    for (d, l, flows) in [
        (5.0, 40.0, [3.91310, 16.1114, 55.5342]),
        (10.0, 40.0, [20.7809, 70.6830, 228.743]),
        (25.0, 40.0, [135.875, 435.457, 1382.87]),
        (25.0, 2.0, [105.196, 333.696, 1056.28]),
    ] {
        let law = hole(d * 1e-3, l * 1e-3, &WATER);
        for (dp, flow) in [5.0, 50.0, 500.0].into_iter().zip(flows) {
            near(litres_an_hour(law.flow(dp)), flow, DIGITS);
        }
    }
    // Sampson 1891: creeping flow through a hole in a thin wall, q = r³ dp/(3 mu).
    near(hole(1e-3, 0.0, &WATER).flow(1e-6), 0.5e-3_f64.powi(3) * 1e-6 / (3.0 * WATER.viscosity), 1e-4);
    // Poiseuille 1840: a long one, q = pi r⁴ dp/(8 mu L).
    let long = PI * 0.5e-3_f64.powi(4) * 1e-4 / (8.0 * WATER.viscosity * 0.5);
    near(hole(1e-3, 0.5, &WATER).flow(1e-4), long, 2e-3);
}

#[test]
fn grids_are_idelchiks_plate_with_slow_holes() {
    // Idelchik 3rd ed., diagram 4-15, on the speed before the plate, x = t/d = .5 (the plate of the model).
    assert_eq!((A::GridHole.entry().value, A::GridPlate.entry().value), (0.004, 0.002));
    for (open, k) in [(0.3, 16.3450), (0.4, 7.40609), (0.5, 3.69626), (0.6, 1.91306)] {
        let law = grid(open, AREA, &WATER, &Nominal);
        near(law.b * 2.0 * AREA * AREA / WATER.density, k, DIGITS);
    }
    let law = grid(0.4, AREA, &WATER, &Nominal);
    near(law.a, 842.82588, DIGITS);
    near(law.b, 6979403.5, DIGITS);
    for (speed, loss) in [(1.0, 0.0230771), (8.0, 0.391375), (30.0, 3.90444)] {
        near(at_speed(&law, speed), loss, DIGITS);
    }
}

/// The figures of one passage of the EPANET vessel.
fn figure(passage: &serde_json::Value, name: &str) -> f64 {
    passage["geometry"][name].as_f64().unwrap()
}

#[test]
fn the_laws_are_those_the_epanet_vessel_was_solved_with() {
    // tests/reference/epanet_vessel.py works the same papers in Python, apart from this crate.
    let vessel: serde_json::Value = serde_json::from_str(include_str!("epanet_vessel.json")).unwrap();
    let mut seen = 0;
    for p in vessel["passages"].as_array().unwrap() {
        let of = |name: &str| figure(p, name);
        let law = match p["kind"].as_str().unwrap() {
            "bed" => {
                let medium = match p["geometry"]["bed"].as_str().unwrap() {
                    "foam" => Bed::Foam { ppi: fig(of("ppi")), void: fig(of("void")) },
                    "fibre" => floss(of("solidity"), of("diameter")),
                    "pieces" => pieces(of("size"), of("void"), of("sphericity")),
                    _ => rings(of("outer"), of("inner"), of("length"), of("void")),
                };
                bed(&medium, of("depth"), of("area"), 0.0, &WATER, &OwnKeys::new("t"), &AsDietrich)
            }
            "seal" | "slack" | "joint" => gap(of("width"), of("perimeter"), of("length"), &WATER),
            "hole" => hole(of("diameter"), of("length"), &WATER),
            "grid" => grid(of("open"), of("area"), &WATER, &Nominal),
            _ => continue,
        };
        near(law.a, p["a"].as_f64().unwrap(), 1e-9);
        near(law.b, p["b"].as_f64().unwrap(), 1e-9);
        seen += 1;
    }
    assert_eq!(seen, 20, "7 beds, 4 slack rings, 1 hole, 3 seals, 2 joints and 3 grids");
}

#[test]
fn the_tray_is_the_one_the_epanet_vessel_was_solved_with() {
    let vessel: serde_json::Value = serde_json::from_str(include_str!("epanet_vessel.json")).unwrap();
    let tray = &vessel["tray"];
    let of = |v: &serde_json::Value| fig(v.as_f64().unwrap());
    let tube = Outline::Round { diameter: of(&tray["outline"]["less_round"]) };
    let dee = &tray["outline"]["dee"];
    let shape = Shape {
        outline: Outline::Dee { width: of(&dee["width"]), depth: of(&dee["depth"]) },
        less: vec![Shape { outline: tube, less: Vec::new() }],
    };
    let plan: Plan<f64> = shape.plan(0.08, &Nominal);
    near(plan.area, tray["area"].as_f64().unwrap(), 1e-9);
    near(plan.perimeter, tray["perimeter"].as_f64().unwrap(), 1e-9);
}

/// Every law of a vessel, from a row of numbers between 0 and 1.
fn laws<L: Real>(u: [f64; 6]) -> Vec<QuadraticLoss<L>> {
    let water = Water { density: L::splat(WATER.density), viscosity: L::splat(WATER.viscosity) };
    let s = |x: f64| L::splat(x);
    let (depth, area, squeeze) = (s(0.005 + 0.2 * u[0]), s(0.002 + 0.05 * u[1]), s(0.9 * u[2]));
    let width = s(1e-5 + 6e-3 * u[3]);
    [
        foam(5.0 + 60.0 * u[4]),
        pieces(0.002 + 0.03 * u[3], 0.3 + 0.3 * u[4], 0.5 + 0.5 * u[5]),
        rings(0.008 + 0.02 * u[3], 0.002 + 0.005 * u[4], 0.01, 0.5 + 0.3 * u[5]),
        floss(0.005 + 0.1 * u[4], 1e-5 + 1e-4 * u[5]),
    ]
    .iter()
    .map(|medium| bed(medium, depth, area, squeeze, &water, &OwnKeys::new("t"), &Nominal))
    .chain([
        gap(width, s(0.3 + u[1]), s(0.001 + 0.1 * u[0]), &water),
        hole(width * 10.0, s(0.001 + 0.1 * u[0]), &water),
        grid(s(0.1 + 0.8 * u[4]), area, &water, &Nominal),
    ])
    .collect()
}

proptest! {
    #[test]
    fn laws_are_odd_and_rise_and_turn_round(
        u in proptest::array::uniform6(0.0..1.0f64),
        decade in -11.0..-3.0f64,
        more in 1.0001..2.0f64,
    ) {
        let q = 10f64.powf(decade);
        for law in laws::<f64>(u) {
            prop_assert!(law.a > 0.0 && law.b >= 0.0 && law.a.is_finite() && law.b.is_finite());
            let (here, there, back) = (law.at(q), law.at(q * more), law.at(-q));
            prop_assert!(there.loss > here.loss && here.gradient > 0.0);
            prop_assert!(back.loss == -here.loss && back.gradient == here.gradient);
            prop_assert!((law.flow(here.loss) - q).abs() <= 1e-12 * q);
            let step = q * 1e-5;
            let slope = (law.at(q + step).loss - law.at(q - step).loss) / (2.0 * step);
            prop_assert!((slope - here.gradient).abs() <= 1e-8 * here.gradient);
        }
    }

    #[test]
    fn a_wider_way_passes_more(u in proptest::array::uniform3(0.0..1.0f64), wider in 1.001..3.0f64) {
        let (width, length) = (1e-5 + 5e-3 * u[0], 0.001 + 0.1 * u[1]);
        let dp = 10f64.powf(4.0 * u[2] - 1.0);
        let through = |w: f64| [gap(w, 0.5, length, &WATER).flow(dp), hole(w, length, &WATER).flow(dp)];
        for (wide, narrow) in through(width * wider).into_iter().zip(through(width)) {
            prop_assert!(wide > narrow);
        }
    }

    #[test]
    fn eight_draws_equal_eight_single_ones(u in proptest::array::uniform6(0.0..1.0f64)) {
        let q = 1e-4;
        for (one, many) in laws::<f64>(u).into_iter().zip(laws::<F64x8>(u)) {
            let loss = many.at(F64x8::splat(q)).loss;
            for i in 0..8 {
                prop_assert!((loss.draw(i) / one.at(q).loss - 1.0).abs() < 1e-12);
                prop_assert!((many.a.draw(i) / one.a - 1.0).abs() < 1e-12);
            }
        }
    }
}
