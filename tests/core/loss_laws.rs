//! Friction, beds, leaks and who crosses what: smooth, finite, with their own slopes.

mod friction {

    use crate::laws::{Pipe, churchill};
    use cansift::hydraulics::friction::*;

    use cansift::hydraulics::water::water;
    use cansift::simd::F64x8;
    use cansift::simd::Real;
    use proptest::prelude::*;

    /// The formula as printed, without care for speed.
    fn as_printed(re: f64, e: f64) -> f64 {
        let a = (2.457 * (1.0 / ((7.0 / re).powf(0.9) + 0.27 * e)).ln()).powi(16);
        let b = (37_530.0 / re).powi(16);
        8.0 * ((8.0 / re).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
    }

    #[test]
    fn a_hose_loses_more_with_every_drop() {
        let water = water(25.0);
        for (bore, rib) in
            [(0.016, None), (0.009, None), (0.025, None), (0.016, Some(0.14)), (0.016, Some(0.05))]
        {
            let hose = Pipe { bore, length: 1.5, relative_roughness: 1.5e-6 / bore, rib };
            let mut before = 0.0;
            for i in 0..=20_000 {
                let q = 1e-9 + (4e-4 - 1e-9) * f64::from(i) / 20_000.0;
                let here = hose.at(q, &water);
                assert!(here.loss > before && here.gradient > 0.0, "{bore} at {q}");
                assert_eq!(hose.at(-q, &water).loss, -here.loss);
                before = here.loss;
            }
        }
    }

    #[test]
    fn the_short_ways_join_without_a_step() {
        // Where laminar flow is taken as such, and where its share becomes a series.
        for near in [LAMINAR_BELOW, 3_300.0, 3_500.0, 3_700.0, 4_000.0] {
            for re in [near * (1.0 - 1e-12), near, near * (1.0 + 1e-12)] {
                let law = churchill(re, 1e-4);
                assert!((law.factor / as_printed(re, 1e-4) - 1.0).abs() < 1e-12, "{re}");
            }
            let (below, above) = (churchill(near - 1e-6, 1e-4), churchill(near + 1e-6, 1e-4));
            assert!((below.gradient / above.gradient - 1.0).abs() < 1e-6, "gradient at {near}");
        }
    }

    proptest! {
        #[test]
        fn beside_what_was_worked_out_it_is_the_same(
            log in 2.0..7.0_f64, e in 0.0..0.05_f64, off in proptest::collection::vec(-0.1..0.1_f64, 5)
        ) {
            let water = water(25.0);
            let mut bore = Bore::new(0.012, e, None, &water);
            let q = 10_f64.powf(log) / bore.reynolds;
            for off in off {
                let q = q * (1.0 + off);
                let ((near, _), (here, _)) = (bore.beside(q), bore.over_laminar(q));
                prop_assert!((near.ratio / here.ratio - 1.0).abs() < 1e-9, "{} {}", near.ratio, here.ratio);
                let slope = (near.gradient - here.gradient).abs() * bore.reynolds * q;
                prop_assert!(slope < 1e-8 * here.ratio, "{} {}", near.gradient, here.gradient);
            }
        }

        #[test]
        fn it_is_the_printed_formula_and_its_slope(log in 0.0..8.0_f64, e in 0.0..0.05_f64) {
            let re = 10_f64.powf(log);
            let law = churchill(re, e);
            prop_assert!((law.factor / as_printed(re, e) - 1.0).abs() < 1e-11);
            let step = re * 1e-5;
            let gradient = (churchill(re + step, e).factor - churchill(re - step, e).factor) / (2.0 * step);
            prop_assert!((gradient - law.gradient).abs() < 1e-6 * law.factor / re, "{gradient} {}", law.gradient);
        }

        #[test]
        fn the_loss_knows_its_slope(log in -9.0..-3.4_f64, bore in 0.006..0.03_f64, rib in prop::option::of(0.05..0.3_f64)) {
            let water = water(25.0);
            let hose = Pipe { bore, length: 1.5, relative_roughness: 1.5e-6 / bore, rib };
            let q = 10_f64.powf(log);
            let gradient = (hose.at(q * (1.0 + 1e-6), &water).loss - hose.at(q * (1.0 - 1e-6), &water).loss) / (2e-6 * q);
            let here = hose.at(q, &water).gradient;
            // A ribbed bore has a kink where its ribs begin to be felt; 1e-6 of it is told by neither side.
            let kink = rib.is_some_and(|f| {
                let plain = Pipe { rib: None, ..hose }.factor(q, &water);
                (f / plain - 1.0).abs() < 1e-4
            });
            prop_assert!(kink || (gradient / here - 1.0).abs() < 1e-5, "{gradient} {here}");
        }

        #[test]
        fn eight_draws_give_what_one_gives(logs in prop::array::uniform8(-2.0..7.0_f64), e in 0.0..0.05_f64) {
            let all = churchill(F64x8::gather(|i| 10_f64.powf(logs[i])), F64x8::splat(e));
            for (i, log) in logs.into_iter().enumerate() {
                let one = churchill(10_f64.powf(log), e);
                prop_assert!((all.factor.draw(i) / one.factor - 1.0).abs() < 1e-12);
                prop_assert!((all.gradient.draw(i) - one.gradient).abs() < 1e-11 * one.factor / 10_f64.powf(log));
            }
        }
    }
}

mod beds {
    use cansift::assumptions::A;

    use cansift::hydraulics::beds::*;
    use cansift::hydraulics::water::Water;
    use cansift::model::medium::Bed;
    use cansift::uncertainty::key::Key;
    use cansift::uncertainty::uncertain::{Draw, Spread, Uncertain};
    use cansift::uncertainty::uncertain::{Nominal, Provenance};
    use cansift::units::Plain;
    use cansift::units::{Length, Quantity};

    const WATER: Water<f64> = Water { density: 997.045, viscosity: 8.899_97e-4 };

    fn fig<Q: Quantity>(si: f64) -> Uncertain<Q> {
        Uncertain::exact(Q::new(si).unwrap(), Key::named("t"))
    }
    fn foam(ppi: f64) -> Bed {
        Bed::Foam { ppi: fig(ppi), void: fig(0.97) }
    }

    /// A draw at two standard deviations above everything.
    struct High;
    impl Draw<f64> for High {
        fn spread(&self, value: f64, spread: Spread, _: &Key) -> f64 {
            match spread {
                Spread::Normal { sd } => value * (1.0 + 2.0 * sd),
                Spread::Factor { factor } => value * factor,
                Spread::Uniform { high, .. }
                | Spread::TriangularLog { high, .. }
                | Spread::Triangular { high, .. } => high,
                Spread::CutNormal { sd } => value + 2.0 * sd,
                Spread::Exact => value,
            }
        }
        fn constant(&self, which: A) -> f64 {
            self.spread(which.entry().value, which.entry().spread, which.key())
        }
    }

    #[test]
    fn a_stated_void_never_passes_one() {
        let stated = |v: f64| Uncertain {
            value: Plain::of(v),
            known: Provenance::Stated,
            spread: Spread::Normal { sd: 0.025 },
            key: Key::named("v"),
        };
        let open = Bed::Foam { ppi: fig(20.0), void: stated(0.97) };
        assert!((void(&open, &High) - (1.0 - 0.03 * 1.05)).abs() < 1e-12);
        let loose = Bed::Pieces { size: fig(0.012), void: stated(0.44), sphericity: fig(0.65) };
        assert!((void(&loose, &High) - 0.44 * 1.05).abs() < 1e-12);
        let range = Uncertain { spread: Spread::Uniform { low: 0.96, high: 0.98 }, ..stated(0.97) };
        assert_eq!(void(&Bed::Foam { ppi: fig(20.0), void: range }, &High), 0.98);
        let floss = Bed::Fibre { diameter: fig::<Length>(30e-6), solidity: stated(0.02) };
        assert!((void(&floss, &High) - (1.0 - 0.021)).abs() < 1e-12);
    }

    #[test]
    fn the_factors_of_doubt_scale_their_own_beds() {
        // Both halves high at once: a factor to the power 2/√2.
        let beds: [(Bed, f64, f64); 3] = [
            (Bed::Pieces { size: fig(0.012), void: fig(0.45), sphericity: fig(0.65) }, 1.5, 1.5),
            (foam(20.0), 2.0, 2.5),
            (Bed::Fibre { diameter: fig(30e-6), solidity: fig(0.02) }, 2.0, 2.0),
        ];
        let own = OwnKeys::new("t");
        for (medium, of_a, of_b) in beds {
            let plain = bed(&medium, 0.04, 0.023, 0.0, &WATER, &own, &Nominal);
            let high = bed(&medium, 0.04, 0.023, 0.0, &WATER, &own, &High);
            let both = std::f64::consts::SQRT_2;
            assert!((high.a - plain.a * of_a.powf(both)).abs() <= 1e-12 * high.a);
            assert!((high.b - plain.b * of_b.powf(both)).abs() <= 1e-12 * high.b);
        }
    }

    #[test]
    fn only_strands_give_way() {
        let grains = Bed::Pieces { size: fig(0.012), void: fig(0.45), sphericity: fig(0.65) };
        assert_eq!(
            bed(&grains, 0.04, 0.023, 0.3, &WATER, &OwnKeys::new("t"), &Nominal),
            bed(&grains, 0.04, 0.023, 0.0, &WATER, &OwnKeys::new("t"), &Nominal)
        );
        assert_eq!(pressed_void(&grains, 0.3, &Nominal), 0.45);
        assert!((pressed_void(&foam(20.0), 0.2, &Nominal) - (1.0 - 0.03 / 0.8)).abs() < 1e-14);
        assert!(strands(&foam(20.0)) && !strands(&grains));
        // The hardest squeeze the files allow stays finite and passable.
        let hard = bed(&foam(45.0), 0.04, 0.023, 0.9, &WATER, &OwnKeys::new("t"), &Nominal);
        assert!(hard.a.is_finite() && hard.a > 0.0 && hard.b.is_finite() && hard.b > 0.0);
    }
}

mod leaks {

    use cansift::hydraulics::leaks::*;
    use cansift::hydraulics::water::Water;

    const WATER: Water<f64> = Water { density: 997.045, viscosity: 8.899_97e-4 };

    #[test]
    fn a_gap_of_no_width_stays_finite_and_passes_nothing() {
        let shut = gap(0.0, 0.55, 0.005, &WATER);
        assert!(shut.a.is_finite() && shut.b.is_finite());
        assert!(cansift::units::litres_an_hour(shut.flow(1000.0)) < 1e-4);
        let pin = hole(0.0, 0.04, &WATER);
        assert!(pin.a.is_finite() && pin.b.is_finite() && pin.flow(1000.0) < 1e-10);
    }

    #[test]
    fn mulm_shuts_an_edge_gap_and_gives_way() {
        // Worked outside this program, in Python, from the formulas above: pad 40 mm deep, perimeter 0.55 m.
        let rows = [
            (0.0005, 0.0, 0.0, [1.146, 11.409, 109.42]),
            (0.0005, 0.05, 0.39241, [0.2583, 2.658, 68.031]),
            (0.001, 0.05, 0.30185, [3.1049, 32.831, 549.21]),
            (0.003, 0.05, 0.08720, [137.13, 729.65, 2873.0]),
        ];
        for (width, deposit, shut, flows) in rows {
            let most = ClosingGap::shut_of(width, 0.475, 0.0015);
            let mut edge = ClosingGap { width, perimeter: 0.55, length: 0.04, yields: 1.0, most, shut: 0.0 };
            edge.fill(deposit, 0.02);
            assert!((edge.shut - shut).abs() < 1e-5, "{width}: {}", edge.shut);
            for (loss, wanted) in [2.0, 20.0, 200.0].into_iter().zip(flows) {
                let (q, slope) = edge.flow(loss, &WATER);
                let found = cansift::units::litres_an_hour(q);
                assert!((found / wanted - 1.0).abs() < 1e-3, "{width} {loss}: {found}");
                let by_steps =
                    (edge.flow(loss * 1.0001, &WATER).0 - edge.flow(loss * 0.9999, &WATER).0) / (2e-4 * loss);
                assert!((slope / by_steps - 1.0).abs() < 1e-3, "{slope} {by_steps}");
            }
        }
    }

    #[test]
    fn tau_runs_from_sharp_to_thick_without_a_step() {
        assert!((tau(0.0) - 2.4 * 10f64.powf(-0.25)).abs() < 1e-12);
        assert_eq!(tau(2.4), 0.0);
        assert_eq!(tau(1e30), 0.0);
        let mut last = tau(0.0);
        for i in 1..=240 {
            let now = tau(f64::from(i) * 0.01);
            assert!(now < last && last - now < 0.03, "{i}: {last} to {now}");
            last = now;
        }
    }
}

mod transport {
    use cansift::hydraulics::transport::*;

    fn stop(arriving: &[u16], leaving: &[u16], rim: Option<(u16, u16)>) -> Stop {
        Stop { arriving: arriving.to_vec(), leaving: leaving.to_vec(), rim, settles: false }
    }

    /// Two layers that touch: media 0 and rim 1, then media 2 and rim 3; the stage is the second.
    #[test]
    fn rim_water_stays_at_the_rim_as_far_as_carry_over_says() {
        let walk = Walk {
            stops: vec![
                stop(&[], &[0, 1], None),
                stop(&[0, 1], &[2, 3], Some((1, 3))),
                stop(&[2, 3], &[], None),
            ],
        };
        let flows = [0.8, 0.2, 0.7, 0.3];
        let mut out = Carried::new(4);
        // Stage = both layers: what crosses the first is treated (0).
        let penetration = [0.0, 1.0, 0.0, 1.0];
        // Full mixing: 0.2 of the water is untreated, 0.3 of it slips past the second: 0.06.
        carry(&walk, &flows, &penetration, 0.0, 0.0, &mut out);
        assert!((out.at_pump - 0.06).abs() < 1e-12);
        // All rim water stays at the rim: 0.2 goes straight on.
        carry(&walk, &flows, &penetration, 1.0, 0.0, &mut out);
        assert!((out.at_pump - 0.2).abs() < 1e-12);
        // Half: 0.1 straight; the other 0.9 holds 0.1 untreated, of which 0.2 leaves at the rim.
        carry(&walk, &flows, &penetration, 0.5, 0.0, &mut out);
        assert!((out.at_pump - (0.1 + 0.2 * 0.1 / 0.9)).abs() < 1e-12);
    }

    #[test]
    fn what_is_carried_and_what_is_kept_add_to_what_came() {
        let walk = Walk {
            stops: vec![
                Stop { settles: true, ..stop(&[], &[0, 1], None) },
                stop(&[0, 1], &[2, 3], Some((1, 3))),
                stop(&[2, 3], &[], None),
            ],
        };
        let flows = [0.6, 0.4, 0.75, 0.25];
        let penetration = [0.5, 1.0, 0.2, 1.0];
        let mut out = Carried::new(4);
        carry(&walk, &flows, &penetration, 0.3, 0.1, &mut out);
        let caught: f64 = (0..4).map(|p| flows[p] * out.entering[p] * (1.0 - penetration[p])).sum();
        assert!((out.settling * 0.1 + caught + out.at_pump - 1.0).abs() < 1e-12);
    }
}
