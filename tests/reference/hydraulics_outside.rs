//! Water, hoses, fittings, outlets and pumps against published formulas, tables and worked examples.
//!
//! Where a value was computed with an open reference library (`fluids` 1.3, `CoolProp` 8, `SciPy` 1.17) it says so.

// Tables keep the digits as they were printed; zero is exact where the law says so.
#![allow(clippy::unreadable_literal, reason = "published figures stand as they were printed")]

use crate::laws::{Pipe, churchill, coefficient};
use cansift::assumptions::A;
use cansift::hydraulics::friction::{Bore, ribbed};
use cansift::hydraulics::friction::{Heads, ball, bend, contraction, expansion, jet, reduced, strainer};
use cansift::hydraulics::outlet::{Bar, SprayBar};
use cansift::hydraulics::pump::PumpCurve;
use cansift::hydraulics::water::{Water, density, viscosity, water};

const L_H: f64 = 1e-3 / 3600.0;
const SMOOTH: f64 = 1.5e-6;

fn near(got: f64, want: f64, share: f64, what: &str) {
    assert!((got - want).abs() <= share * want.abs(), "{what}: {got} instead of {want}");
}

fn at_25() -> Water<f64> {
    water(25.0)
}

#[test]
fn water_is_that_of_kell_and_iapws() {
    // CoolProp 8.0 (IAPWS-95 and IAPWS 2008 viscosity), fresh water at 0.1 MPa.
    for (t, rho, mu) in [
        (5.0, 999.967, 1.51817e-3),
        (10.0, 999.702, 1.30590e-3),
        (15.0, 999.103, 1.13757e-3),
        (20.0, 998.207, 1.00160e-3),
        (25.0, 997.048, 8.90022e-4),
        (30.0, 995.649, 7.97222e-4),
        (35.0, 994.033, 7.19126e-4),
    ] {
        near(density(t), rho, 4e-6, "density");
        near(viscosity(t), mu, 4e-5, "viscosity");
    }
    // Kell 1975 and IAPWS SR6-08(2011), all digits as computed with the iapws package 1.5.
    for (t, rho, mu) in [
        (5.0, 999.964, 1.51820e-3),
        (10.0, 999.700, 1.30590e-3),
        (15.0, 999.100, 1.13755e-3),
        (20.0, 998.204, 1.00157e-3),
        (25.0, 997.045, 8.89997e-4),
        (30.0, 995.647, 7.97206e-4),
        (35.0, 994.032, 7.19121e-4),
    ] {
        near(density(t), rho, 5.1e-7, "Kell's density");
        near(viscosity(t), mu, 4e-6, "SR6-08's viscosity");
    }
    // CRC Handbook of Chemistry and Physics, from memory: water is densest, 0.99997 g/ml, near 4 °C.
    near(density(3.98), 999.97, 1e-5, "greatest density");
    assert!(density(3.98) > density(3.0) && density(3.98) > density(5.0));
}

#[test]
fn friction_is_churchills() {
    // Churchill 1977 as in fluids 1.3 (Churchill_1977), smooth and with e = 9.375e-5.
    for (re, smooth, rough) in [
        (500.0, 0.128000, 0.128000),
        (1000.0, 0.0640000, 0.0640000),
        (2000.0, 0.0320433, 0.0320433),
        (2300.0, 0.0308401, 0.0308409),
        (3000.0, 0.0429747, 0.0430444),
        (4000.0, 0.0405897, 0.0406983),
        (5000.0, 0.0378872, 0.0380070),
        (10000.0, 0.0310021, 0.0311672),
        (20000.0, 0.0258365, 0.0260697),
        (50000.0, 0.0207763, 0.0211550),
    ] {
        near(churchill(re, 0.0).factor, smooth, 2e-6, "smooth");
        near(churchill(re, 9.375e-5).factor, rough, 2e-6, "rough");
    }
}

/// Colebrook 1939: `1/sqrt f = -2 log10(e/3.7 + 2.51/(Re sqrt f))`, by iteration.
fn colebrook(re: f64, e: f64) -> f64 {
    (0..60).fold(0.03_f64, |f, _| (-2.0 * (e / 3.7 + 2.51 / (re * f.sqrt())).log10()).powi(-2))
}

#[test]
fn turbulent_friction_is_that_of_colebrook_and_the_moody_chart() {
    for re in [4e3, 6e3, 1e4, 2e4, 5e4, 1e5, 1e6, 1e7] {
        for e in [0.0, 1e-5, 1e-4, 1e-3, 1e-2, 0.05] {
            near(churchill(re, e).factor, colebrook(re, e), 0.05, "Churchill against Colebrook");
        }
    }
    for re in [1e4, 2e4, 5e4, 1e5] {
        near(churchill(re, 9.375e-5).factor, colebrook(re, 9.375e-5), 0.02, "in a hose");
    }
    // Moody, Trans. ASME 66 (1944) 671, as printed beside its chart in textbooks (from memory).
    for (re, e, f) in
        [(1e4, 0.0, 0.0309), (1e5, 0.0, 0.0180), (1e6, 0.0, 0.0116), (1e5, 1e-3, 0.0222), (1e7, 0.01, 0.0379)]
    {
        near(churchill(re, e).factor, f, 0.03, "the Moody chart");
    }
    // Prandtl's smooth law, 1/sqrt f = 2 log10(Re sqrt f) - 0.8 (Schlichting, from memory).
    let f = churchill(3e4, 0.0).factor;
    near(1.0 / f.sqrt(), 2.0 * (3e4 * f.sqrt()).log10() - 0.8, 0.01, "Prandtl's law");
}

#[test]
fn laminar_friction_is_poiseuilles() {
    for re in [1e-12, 1e-6, 1e-3, 1.0, 100.0, 690.0] {
        let law = churchill(re, 1e-4);
        near(law.factor, 64.0 / re, 1e-15, "64/Re");
        near(law.gradient, -64.0 / (re * re), 1e-14, "its slope");
    }
    // Hagen–Poiseuille, to the last digits and at no flow at all.
    let water = at_25();
    let hose = Pipe { bore: 0.016, length: 1.5, relative_roughness: SMOOTH / 0.016, rib: None };
    let poiseuille = 128.0 * water.viscosity * 1.5 / (std::f64::consts::PI * 0.016_f64.powi(4));
    for q in [1e-12, 1e-9, 5e-6] {
        near(hose.at(q, &water).loss, poiseuille * q, 1e-14, "Poiseuille");
    }
    let still = hose.at(0.0, &water);
    assert_eq!(still.loss, 0.0);
    near(still.gradient, poiseuille, 1e-14, "slope at no flow");
    assert!(churchill(0.0_f64, 0.0).factor.is_finite() && hose.factor(0.0, &water).is_finite());
}

#[test]
fn a_hose_loses_what_the_worked_example_says() {
    // Darcy–Weisbach with Churchill's factor, 16 mm, 1.5 m, 25 °C; computed with fluids 1.3.
    let (water, e) = (at_25(), SMOOTH / 0.016);
    let hose = Pipe { bore: 0.016, length: 1.5, relative_roughness: e, rib: None };
    for (l_h, pa) in [(300.0, 271.738), (600.0, 901.778), (900.0, 1834.88)] {
        near(hose.at(l_h * L_H, &water).loss, pa, 5e-6, "hose");
    }
    let bore = Bore::new(0.016, e, None, &water);
    near(bore.reynolds * 600.0 * L_H, 14858.2, 5e-6, "Re at 600 l/h");
    near(hose.factor(600.0 * L_H, &water), 0.0280806, 2e-6, "f at 600 l/h");
    // Blasius 1913, f = 0.3164 Re^-0.25, good to a few per cent in smooth pipes up to Re 1e5 (textbook).
    near(hose.factor(600.0 * L_H, &water), 0.3164 * 14858.2_f64.powf(-0.25), 0.03, "Blasius");
}

#[test]
fn a_ribbed_hose_loses_by_hawthorne_and_von_helms() {
    // Hawthorne & von Helms, Product Engineering, 10 June 1963; their formula computed by hand.
    for (pitch, f) in [(0.003, 0.113724), (0.004, 0.140844), (0.005, 0.163872)] {
        near(ribbed(0.016, pitch), f, 5e-6, "ribbed");
    }
    let water = at_25();
    let rib = Some(ribbed(0.016, 0.004));
    let hose = Pipe { bore: 0.016, length: 1.5, relative_roughness: SMOOTH / 0.016, rib };
    let smooth = Pipe { rib: None, ..hose };
    let q = 600.0 * L_H;
    near(hose.at(q, &water).loss / smooth.at(q, &water).loss, 0.140844 / 0.0280806, 1e-5, "ribs");
    // In creeping flow the wall is felt as smooth.
    assert_eq!(hose.at(1e-7, &water), smooth.at(1e-7, &water));
}

#[test]
fn a_bend_loses_by_rennels_and_hooper() {
    // Rennels & Hudson, Pipe Flow (2012), with f of Churchill at e = 1e-4, plus 800/Re; fluids 1.3.
    let rows = [
        (1000.0, [1.73373, 1.34385, 1.35357, 1.50813]),
        (3000.0, [0.917879, 0.655632, 0.662167, 0.766133]),
        (10000.0, [0.571138, 0.381206, 0.385939, 0.461236]),
        (16000.0, [0.492493, 0.324537, 0.328722, 0.395307]),
        (30000.0, [0.416951, 0.272581, 0.276178, 0.333413]),
    ];
    for (re, ks) in rows {
        let f = churchill(re, 1e-4).factor;
        for (r, k) in [1.0, 2.0, 3.0, 5.0].into_iter().zip(ks) {
            near(coefficient(&bend(r), f, re), k, 3e-6, "bend");
        }
    }
    // Other laws at Re 1e4: Ito .435, Miller .542, Darby .589, Hooper .727 for r/D = 1 (fluids 1.3): ±30 %.
    let k = coefficient(&bend(1.0), churchill(1e4, 1e-4).factor, 1e4);
    for other in [0.435205, 0.542070, 0.589134, 0.726875] {
        near(k, other, 0.35, "bend by another hand");
    }
}

#[test]
fn a_step_in_the_bore_loses_by_rennels_and_borda() {
    // Contraction by Rennels and expansion by Borda–Carnot, both on the small bore; fluids 1.3.
    for (beta, c, e) in [
        (0.5, 0.495580, 0.562500),
        (0.625, 0.419816, 0.371338),
        (0.75, 0.294370, 0.191406),
        (0.875, 0.127064, 0.0549316),
    ] {
        near(contraction(beta), c, 3e-6, "contraction");
        near(expansion(beta), e, 3e-6, "expansion");
    }
    assert!(contraction(1.0_f64).abs() < 1e-15 && expansion(1.0_f64).abs() < 1e-15);
    // 30 mm of a smaller bore in a 16 mm hose at f 0.03, on the hose: its bore's K over beta^4.
    for (d, k) in [(0.014, 0.420145), (0.0125, 1.28560), (0.010, 5.77473)] {
        let on_hose = coefficient(&reduced(d, 0.030, 0.016_f64), 0.03, 1e4) * (0.016 / d).powi(4);
        near(on_hose, k, 4e-6, "reduced bore");
    }
}

#[test]
fn taps_strainers_and_nozzles() {
    // Darby 2001, 3-K ball valve, reduced trim none: 16 mm; fluids 1.3.
    for (re, k) in [(1e4, 0.115349), (3e3, 0.185349), (3e4, 0.0953488)] {
        near(coefficient(&ball(0.016), 0.0, re), k, 5e-6, "ball tap");
    }
    // A thin sharp orifice loses 1/Cd2 with Cd 0.61 (textbook); a 16 mm hose, a basket 25 by 80 mm, 35 % open.
    let share = (0.016_f64.powi(2) / 4.0) / (0.35 * 0.025 * 0.080);
    near(strainer(0.016, 0.025, 0.080, 0.35, 1.0 / (0.61 * 0.61)), share.powi(2) / 0.3721, 1e-12, "strainer");
    near(A::StrainerFactor.entry().value, 1.0 / (0.61 * 0.61), 0.006, "strainer factor");
    // 1.05 (D/d)^4 on a 16 mm hose.
    for (d, k) in [(0.013_f64, 2.40933), (0.010, 6.88128), (0.008, 16.8)] {
        let on_hose = coefficient(&jet(A::JetFactor.entry().value), 0.0, 1e4) * (0.016 / d).powi(4);
        near(on_hose, k, 3e-6, "jet");
    }
    // The same through the losses of the two bores at one flow.
    let (water, q) = (at_25(), 600.0 * L_H);
    let (hose, nozzle) = (Bore::new(0.016, 1e-4, None, &water), Bore::new(0.010, 1e-4, None, &water));
    let loss = |bore: &Bore<f64>, k: f64| Heads::fixed(k).at(q, bore, &bore.over_laminar(q).1).loss;
    near(loss(&nozzle, 1.05), loss(&hose, 6.88128), 1e-6, "a K on its own bore");
}

fn bar(holes: u32, hole: f64, pitch: f64) -> Bar<f64> {
    let water = at_25();
    let tube = Bore::new(0.013, SMOOTH / 0.013, None, &water);
    Bar::new(tube, holes, hole, pitch, 0.61, 0.9, &water)
}

#[test]
fn a_spray_bar_is_marched() {
    // Momentum along a manifold by Acrivos, Babcock & Pigford 1959; worked by hand-written march and SciPy's
    // brentq at 600 l/h, 13 mm bar, 20 mm pitch. The far hole is the strongest.
    let q = 600.0 * L_H;
    for (holes, hole, pa) in [(10, 0.004, 2720.4), (20, 0.004, 1090.9), (20, 0.003, 2330.4)] {
        let bar = bar(holes, hole, 0.020);
        near(bar.exact(q).loss, pa, 3e-5, "marched");
        near(SprayBar::new(&bar, 900.0 * L_H).at(q).loss, pa, 1e-4, "ready for use");
    }
    // Without friction, momentum or speed in the tube only the holes are left: rho/2 (Q/(Cd N a))2.
    let wide = |holes, hole| {
        let water = at_25();
        Bar::new(Bore::new(1.0, 0.0, None, &water), holes, hole, 0.02, 0.61, 0.9, &water).exact(q).loss
    };
    for (holes, hole, pa) in [(10, 0.004, 2356.69), (20, 0.004, 589.173), (20, 0.003, 1862.08)] {
        near(wide(holes, hole), pa, 3e-6, "holes alone");
    }
}

#[test]
fn the_far_holes_run_strongest() {
    for (holes, hole, ratio) in [(10, 0.004, 1.1079), (20, 0.004, 1.4616), (20, 0.003, 1.1215)] {
        let bar = bar(holes, hole, 0.020);
        // The march starts at the end's pressure: find the one that gives 600 l/h.
        let (mut low, mut high) = (1.0, 1e4);
        for _ in 0..60 {
            let mid: f64 = 0.5 * (low + high);
            if bar.march(mid).flow < 600.0 * L_H { low = mid } else { high = mid }
        }
        let marched = bar.march(low);
        near(marched.far / marched.near, ratio, 5e-5, "far over near");
    }
}

#[test]
fn a_pump_known_by_its_ends() {
    // H0 [1 - (Q/Q0)^n], by hand: H0 1.7 m, Q0 1100 l/h.
    for (exponent, heads) in [
        (1.0, [1.27500, 0.850000, 0.425000]),
        (1.5, [1.48750, 1.09896, 0.595818]),
        (2.0, [1.59375, 1.27500, 0.743750]),
    ] {
        let pump = PumpCurve::Ends { flow: 1100.0 * L_H, head: 1.7, exponent };
        for (l_h, head) in [275.0, 550.0, 825.0].into_iter().zip(heads) {
            near(pump.head(l_h * L_H).head, head, 4e-6, "ends");
        }
        near(pump.shut_off(), 1.7, 1e-12, "shut");
        near(pump.head(0.0).head, 1.7, 1e-8, "shut");
        assert!(pump.head(1100.0 * L_H).head.abs() < 1e-12);
        // Straight on past the end.
        let slope = -exponent * 1.7 / (1100.0 * L_H);
        near(pump.head(1200.0 * L_H).head, slope * 100.0 * L_H, 1e-9, "past the end");
    }
    // Rossman, EPANET 2 Users Manual: a one-point curve is H = 4/3 Hd - Hd/3 (Q/Qd)2, so n = 2.
    let (hd, qd) = (0.9, 600.0 * L_H);
    let pump = PumpCurve::Ends { flow: 2.0 * qd, head: 4.0 / 3.0 * hd, exponent: 2.0 };
    near(pump.head(qd).head, hd, 1e-12, "one point");
}

#[test]
fn a_pump_known_by_points() {
    // SciPy 1.17 PchipInterpolator (Fritsch & Butland 1984), flow in l/h.
    let flows = [0.0, 200.0, 500.0, 800.0, 1000.0, 1100.0];
    let heads = [1.7, 1.62, 1.28, 0.72, 0.24, 0.0];
    let points: Vec<(f64, f64)> = flows.into_iter().zip(heads).collect();
    let pump = PumpCurve::through(&points);
    for (at, head) in
        [(100.0, 1.6716592), (350.0, 1.4814001), (650.0, 1.0265229), (900.0, 0.48705882), (1050.0, 0.12)]
    {
        near(pump.head(at).head, head, 3e-8, "between points");
    }
    let slopes = [-0.00010666667, -0.00057303371, -0.0014103704, -0.0021176471, -0.0024, -0.0024];
    for ((flow, head), slope) in points.iter().zip(slopes) {
        near(pump.head(*flow).gradient, slope, 4e-8, "slope at a point");
        assert!((pump.head(*flow).head - head).abs() < 1e-12);
    }
    near(pump.largest_flow(), 1100.0, 1e-12, "largest flow");
    near(pump.head(1200.0).head, -0.24, 1e-9, "past the end");
    assert!(pump.sound());
}

#[test]
fn a_pump_follows_the_affinity_laws() {
    // Affinity laws (any pump handbook): at speed k flow goes with k, head with k2. 50 to 60 Hz: k = 1.2.
    let k: f64 = 60.0 / 50.0;
    let ends = PumpCurve::Ends { flow: 1100.0 * L_H, head: 1.7, exponent: 1.5 };
    let points = PumpCurve::through(&[(0.0, 1.7), (400.0 * L_H, 1.4), (1100.0 * L_H, 0.1)]);
    for slow in [ends, points] {
        let fast = slow.clone().scaled(k, k * k);
        near(fast.largest_flow(), slow.largest_flow() * k, 1e-12, "largest flow");
        near(fast.shut_off(), slow.shut_off() * k * k, 1e-12, "shut-off head");
        for q in [100.0 * L_H, 500.0 * L_H, 1000.0 * L_H, 1300.0 * L_H] {
            near(fast.head(q * k).head, slow.head(q).head * k * k, 1e-12, "head");
            near(fast.head(q * k).gradient, slow.head(q).gradient * k, 1e-12, "slope");
        }
    }
}

#[test]
fn a_hole_at_hardly_any_flow_is_sampsons() {
    // Sampson 1891: creeping flow through a hole in a thin wall, dp = 3 mu q / r3 (textbook).
    let (water, bar) = (at_25(), bar(1, 0.004, 0.020));
    let q = 1e-11;
    near(bar.exact(q).loss, 3.0 * water.viscosity * q / 0.002_f64.powi(3), 1e-3, "Sampson");
}
