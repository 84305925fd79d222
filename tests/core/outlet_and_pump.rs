//! The spray bar's curve and the pump's.

mod outlet {

    use cansift::hydraulics::friction::Bore;
    use cansift::hydraulics::outlet::*;

    use cansift::hydraulics::water::water;
    use cansift::simd::{F64x8, Lane, Real};

    const L_H: f64 = 1e-3 / 3600.0;

    fn bar<L: Real>(holes: u32, hole: L, pitch: f64) -> Bar<L> {
        let water = water(L::splat(25.0));
        let tube = Bore::new(L::splat(0.013), L::splat(1e-4), None, &water);
        Bar::new(tube, holes, hole, L::splat(pitch), L::splat(0.61), L::splat(0.9), &water)
    }

    /// Plain bars and absurd ones: very long, hardly any hole, holes as wide as the tube.
    const BARS: [(u32, f64, f64); 9] = [
        (10, 0.004, 0.020),
        (20, 0.004, 0.020),
        (20, 0.003, 0.020),
        (60, 0.006, 0.004),
        (200, 0.001, 0.020),
        (200, 0.003, 0.020),
        (1, 0.010, 0.020),
        (1, 0.0005, 0.020),
        (30, 0.013, 0.020),
    ];

    #[test]
    fn the_curve_keeps_to_the_march() {
        let largest = 1100.0 * L_H;
        for (holes, hole, pitch) in BARS {
            let bar = bar(holes, hole, pitch);
            let ready = SprayBar::new(&bar, largest);
            for i in 0..400 {
                let q = largest * FROM * (TO / FROM).powf((f64::from(i) + 0.37) / 400.0);
                let (exact, got) = (bar.exact(q), ready.at(q));
                let off = (got.loss / exact.loss - 1.0).abs();
                assert!(off < 1e-4, "{holes} holes of {hole} at {q}: {off}");
                assert!((got.gradient / exact.gradient - 1.0).abs() < 3e-3, "gradient at {q}");
            }
        }
    }

    #[test]
    fn the_same_bar_is_worked_out_once_and_gives_the_figures_of_its_own() {
        let largest = F64x8::gather(|i| (900.0 + 40.0 * i as f64) * L_H);
        let long = || bar::<F64x8>(200, F64x8::splat(0.0012), 0.005);
        let (first, again) = (SprayBar::new(&long(), largest), SprayBar::new(&long(), largest));
        assert!(first.shares(&again), "worked out twice");
        let other = SprayBar::new(&long(), largest * 1.01);
        assert!(!first.shares(&other));
        // A thread of its own knows of no other.
        let own = std::thread::scope(|scope| scope.spawn(|| SprayBar::new(&long(), largest)).join().unwrap());
        assert!(!first.shares(&own));
        let mut mixed = first.clone();
        mixed.take(3, &other, 5);
        for i in 0..60 {
            let q = largest * (0.05 + 0.02 * f64::from(i));
            for draw in 0..8 {
                let told = |bar: &SprayBar<F64x8>, draw: usize| bar.at(q).loss.draw(draw).to_bits();
                assert_eq!(told(&first, draw), told(&again, draw));
                assert_eq!(told(&first, draw), told(&own, draw));
                if draw != 3 {
                    assert_eq!(told(&first, draw), told(&mixed, draw));
                }
            }
            let moved = other.at(F64x8::splat(q.draw(3))).loss.draw(5);
            assert_eq!(moved.to_bits(), mixed.at(q).loss.draw(3).to_bits(), "a draw in another's place");
        }
    }

    #[test]
    fn it_rises_from_no_flow_on_and_is_smooth() {
        for (holes, hole, pitch) in BARS {
            let ready = SprayBar::new(&bar(holes, hole, pitch), 1100.0 * L_H);
            assert_eq!(ready.at(0.0).loss, 0.0);
            assert!(ready.at(0.0).gradient >= 0.0 && ready.at(0.0).gradient.is_finite());
            let mut before = 0.0;
            for i in 0..20_001 {
                let q = 1e-9 * 4e5_f64.powf(f64::from(i) / 20_000.0);
                let here = ready.at(q);
                assert!(here.loss > before && here.gradient > 0.0, "{holes} holes of {hole} at {q}");
                let step = q * 1e-6;
                let gradient = (ready.at(q + step).loss - ready.at(q - step).loss) / (2.0 * step);
                assert!(
                    (gradient / here.gradient - 1.0).abs() < 1e-4,
                    "gradient at {q}: {gradient} {}",
                    here.gradient
                );
                assert_eq!(ready.at(-q).loss, -here.loss);
                before = here.loss;
            }
        }
    }

    #[test]
    fn eight_draws_give_what_one_gives() {
        let hole = |i: usize| 0.003 + 0.0002 * i as f64;
        let largest = |i: usize| (700.0 + 100.0 * i as f64) * L_H;
        let many = SprayBar::new(&bar(20, F64x8::gather(hole), 0.02), F64x8::gather(largest));
        let ones: Vec<_> = (0..8).map(|i| SprayBar::new(&bar(20, hole(i), 0.02), largest(i))).collect();
        for q in [0.0, 1e-9, 1e-6, -3e-5, 2e-4, 9e-4] {
            let all = many.at(F64x8::splat(q));
            for (i, one) in ones.iter().enumerate() {
                let (got, want) = (all.loss.draw(i), one.at(q).loss);
                assert!((got - want).abs() <= 1e-12 * want.abs(), "{got} {want}");
            }
        }
    }

    #[test]
    fn a_draw_without_a_number_spoils_no_other() {
        let largest = |i: usize| if i == 2 { f64::NAN } else { 3e-4 };
        let hole = |i: usize| if i == 5 { f64::NAN } else { 0.003 };
        let many = SprayBar::new(&bar(20, F64x8::gather(hole), 0.02), F64x8::gather(largest));
        let one = SprayBar::new(&bar(20, 0.003, 0.02), 3e-4).at(1e-4).loss;
        let all = many.at(F64x8::splat(1e-4)).loss;
        for i in [0, 1, 3, 4, 6, 7] {
            assert!((all.draw(i) / one - 1.0).abs() < 1e-12);
        }
        assert!(all.draw(5).is_nan());
    }

    #[test]
    fn the_march_knows_its_own_slopes() {
        let bar = bar(20, 0.004, 0.02);
        for end in [1e-3, 1.0, 50.0, 1e3] {
            let (less, here, more) =
                (bar.march(end * (1.0 - 1e-6)), bar.march(end), bar.march(end * (1.0 + 1e-6)));
            let exponent = |a: f64, b: f64| (b / a).ln() / 2e-6;
            assert!((exponent(less.flow, more.flow) - here.flow_exponent).abs() < 1e-4);
            assert!((exponent(less.loss, more.loss) - here.loss_exponent).abs() < 1e-4);
        }
    }
}

mod pump {

    use cansift::hydraulics::pump::*;
    use cansift::model::pump::Taken;
    use cansift::model::pump::{Curve, CurvePoint, Pump};
    use cansift::simd::F64x8;
    use cansift::simd::Real;

    use cansift::uncertainty::key::Key;

    use cansift::uncertainty::uncertain::{Nominal, Uncertain};
    use cansift::units::Quantity;
    use proptest::prelude::*;

    fn falling() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((1e-6..1e-4_f64, 0.01..1.0_f64), 2..9).prop_map(|steps| {
            let total: f64 = steps.iter().map(|s| s.1).sum();
            let (mut q, mut h) = (0.0, total);
            let mut points = vec![(q, h)];
            for (dq, dh) in steps {
                q += dq;
                h -= dh;
                points.push((q, h.max(0.0)));
            }
            points
        })
    }

    fn never_rises(pump: &PumpCurve<f64>) {
        let most = pump.largest_flow();
        assert!(most.is_finite() && most > 0.0);
        assert!(pump.head(most).head.abs() < 1e-6 * pump.shut_off());
        let mut before = f64::INFINITY;
        for i in -200..=800 {
            let q = most * f64::from(i) / 400.0;
            let here = pump.head(q);
            assert!(here.head <= before + 1e-12 && here.gradient <= 0.0, "{q}");
            before = here.head;
        }
        assert!(pump.head(1.5 * most).head < 0.0);
    }

    proptest! {
        #[test]
        fn points_give_a_falling_curve_through_all_of_them(points in falling()) {
            let pump = PumpCurve::through(&points);
            prop_assert!(pump.sound());
            for (q, h) in &points {
                prop_assert!((pump.head(*q).head - h).abs() < 1e-9);
            }
            never_rises(&pump);
        }

        #[test]
        fn ends_give_a_falling_curve(flow in 1e-5..1e-3_f64, head in 0.2..4.0_f64, exponent in 1.0..2.0_f64) {
            let pump = PumpCurve::Ends { flow, head, exponent };
            prop_assert!(pump.sound());
            never_rises(&pump);
        }

        #[test]
        fn a_head_knows_its_slope(points in falling(), exponent in 1.0..2.0_f64, at in 0.01..1.4_f64) {
            let ends = PumpCurve::Ends { flow: 3e-4, head: 1.7, exponent };
            for pump in [PumpCurve::through(&points), ends] {
                let q = at * pump.largest_flow();
                let step = q * 1e-6;
                let gradient = (pump.head(q + step).head - pump.head(q - step).head) / (2.0 * step);
                let scale = pump.shut_off() / pump.largest_flow();
                // Beside a point the second derivative jumps, past the end the least fall may begin.
                let beside = points.iter().any(|p| (p.0 - q).abs() <= 2.0 * step);
                prop_assert!(beside || (gradient - pump.head(q).gradient).abs() < 1e-3 * scale.max(gradient.abs()));
            }
        }

        #[test]
        fn eight_draws_give_what_one_gives(points in falling(), at in -0.5..1.5_f64) {
            let factor = |i: usize| 0.9 + 0.03 * i as f64;
            let many: Vec<_> =
                points.iter().map(|p| (F64x8::gather(|i| p.0 * factor(i)), F64x8::splat(p.1))).collect();
            let q = at * points.last().unwrap().0;
            let all = PumpCurve::through(&many);
            for i in 0..8 {
                let one: Vec<_> = points.iter().map(|p| (p.0 * factor(i), p.1)).collect();
                let one = PumpCurve::through(&one);
                let (got, want) = (all.head(F64x8::splat(q)), one.head(q));
                prop_assert!((got.head.draw(i) - want.head).abs() <= 1e-12 * one.shut_off());
                prop_assert!((got.gradient.draw(i) - want.gradient).abs() <= 1e-11 * want.gradient.abs().max(1.0));
            }
        }
    }

    fn figure<Q: Quantity>(si: f64) -> Uncertain<Q> {
        Uncertain::exact(Q::new(si).unwrap(), Key::named("pump"))
    }

    #[test]
    fn a_pump_becomes_its_curve() {
        let pump = |curve| Pump { taken: Taken::AtPorts, curve, power: None, hz: None };
        let made = |curve| PumpCurve::<f64>::new(&pump(curve), "t", &Nominal);
        assert_eq!(made(None), None);
        let ends = made(Some(Curve::Ends { flow: figure(3e-4), head: figure(1.7) })).unwrap();
        assert_eq!(ends, PumpCurve::Ends { flow: 3e-4, head: 1.7, exponent: 1.5 });
        let point = |flow, head| CurvePoint { flow: figure(flow), head: figure(head) };
        let points =
            made(Some(Curve::Points { points: vec![point(0.0, 1.7), point(2e-4, 0.9), point(3e-4, 0.1)] }))
                .unwrap();
        assert_eq!(points, PumpCurve::through(&[(0.0, 1.7), (2e-4, 0.9), (3e-4, 0.1)]));
        assert_eq!(made(Some(Curve::Points { points: vec![point(0.0, 1.7)] })), None);
        // Two points are a straight line, and it goes on to no flow and to no head.
        let line = made(Some(Curve::Points { points: vec![point(1e-4, 1.0), point(2e-4, 0.5)] })).unwrap();
        assert!((line.shut_off() - 1.5).abs() < 1e-12 && (line.largest_flow() - 3e-4).abs() < 1e-15);
    }

    #[test]
    fn a_rising_curve_is_not_sound_but_stays_finite() {
        let draws: [[(f64, f64); 3]; 3] = [
            [(0.0, 1.0), (1e-4, 1.1), (2e-4, 0.5)],
            [(0.0, 1.0), (2e-4, 0.5), (1e-4, 0.2)],
            [(0.0, 1.0), (1e-4, 0.5), (2e-4, 0.5)],
        ];
        for points in draws {
            let pump = PumpCurve::through(&points);
            assert!(!pump.sound());
            for q in [-1e-4, 0.0, 5e-5, 1.5e-4, 3e-4] {
                assert!(pump.head(q).head.is_finite() && pump.head(q).gradient.is_finite());
            }
        }
        // One bad draw among eight is the only one told.
        let flow = F64x8::gather(|i| if i == 3 { -1.0 } else { 1.0 });
        let sound = PumpCurve::Ends { flow, head: F64x8::one(), exponent: F64x8::one() }.sound();
        assert_eq!((0..8).filter(|i| !F64x8::holds(sound, *i)).collect::<Vec<_>>(), [3]);
    }

    #[test]
    fn a_curve_that_flattens_at_its_end_still_meets_zero() {
        // The three-point slope at the end is against the secant, so it is 0 there.
        let pump = PumpCurve::through(&[(0.0, 2.0), (1e-4, 1.0), (2e-4, 0.9)]);
        assert_eq!(pump.head(2e-4).gradient, 0.0);
        assert!((pump.head(pump.largest_flow()).head).abs() < 1e-9);
        // A tenth of the last secant, -1000 m per m3/s, from 0.9 m down.
        assert!((pump.largest_flow() - (2e-4 + 0.9 / 100.0)).abs() < 1e-12 && pump.sound());
    }
}
