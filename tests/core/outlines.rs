//! Outlines of trays, and lines that cross themselves.

mod outline {
    use cansift::model::outline::first_crossing;
    use cansift::model::outline::*;
    use cansift::model::shape::{Outline, Shape};
    use cansift::simd::F64x8;
    use cansift::simd::Real;
    use cansift::uncertainty::key::Key;
    use cansift::uncertainty::uncertain::Nominal;
    use cansift::uncertainty::uncertain::Uncertain;
    use cansift::units::{Length, Plain, Quantity, Volume};
    use std::f64::consts::{FRAC_PI_4, PI};

    fn fig<Q: Quantity>(si: f64) -> Uncertain<Q> {
        Uncertain::exact(Q::new(si).unwrap(), Key::named("t"))
    }
    fn mm(x: f64) -> Uncertain<Length> {
        fig(x * 1e-3)
    }
    fn plain(outline: Outline) -> Shape {
        Shape { outline, less: Vec::new() }
    }
    fn plan(outline: Outline) -> Plan<f64> {
        plain(outline).plan(0.08, &Nominal)
    }
    #[track_caller]
    fn near(found: f64, wanted: f64, share: f64) {
        assert!((found - wanted).abs() <= share * wanted.abs(), "{found} is not {wanted}");
    }

    /// Length of an elliptic arc by Simpson's rule on the speed of its parametric form; the integrand is
    /// smooth and periodic, so 4096 steps leave rounding only.
    fn integrated_ellipse(a: f64, b: f64) -> f64 {
        let n = 4096;
        let speed =
            |i: i32| (2.0 * PI * f64::from(i) / f64::from(n)).sin_cos().pipe(|(s, c)| (a * s).hypot(b * c));
        let sum: f64 = (0..n).map(|i| speed(i) * if i % 2 == 0 { 2.0 } else { 4.0 }).sum();
        sum * 2.0 * PI / f64::from(n) / 3.0
    }
    trait Pipe: Sized {
        fn pipe<R>(self, f: impl FnOnce(Self) -> R) -> R {
            f(self)
        }
    }
    impl Pipe for (f64, f64) {}

    #[test]
    fn round_is_the_circle_of_euclid() {
        // Elementary geometry: area pi d2/4, perimeter pi d.
        let p = plan(Outline::Round { diameter: mm(200.0) });
        near(p.area, 0.031_415_926_535_897_9, 1e-14);
        near(p.perimeter, 0.628_318_530_717_958_6, 1e-14);
        near(p.area / (p.width * p.depth), FRAC_PI_4, 1e-14);
    }

    #[test]
    fn rect_loses_four_corners_to_their_radius() {
        // Elementary geometry: four quarter circles in place of four squares.
        let sharp = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: None });
        near(sharp.area, 0.0216, 1e-14);
        near(sharp.perimeter, 0.6, 1e-14);
        let soft = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: Some(mm(20.0)) });
        near(soft.area, 0.14 * 0.12 + 2.0 * 0.02 * 0.08 + PI * 0.02 * 0.02, 1e-13);
        near(soft.perimeter, 2.0 * 0.14 + 2.0 * 0.08 + 2.0 * PI * 0.02, 1e-13);
        // A radius beyond half the shorter side makes a stadium, not a smaller tray.
        let stadium = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: Some(mm(90.0)) });
        near(stadium.area, 0.06 * 0.12 + PI * 0.06 * 0.06, 1e-13);
        near(stadium.perimeter, 2.0 * 0.06 + 2.0 * PI * 0.06, 1e-13);
    }

    #[test]
    fn oval_perimeter_agrees_with_the_arc_length_integral() {
        // Arc length of the ellipse integrated numerically, which shares nothing with Ramanujan's formula.
        for (w, d, share) in
            [(200.0, 200.0, 1e-13), (200.0, 150.0, 1e-11), (240.0, 120.0, 1e-7), (300.0, 60.0, 1e-4)]
        {
            let p = plan(Outline::Oval { width: mm(w), depth: mm(d) });
            near(p.perimeter, integrated_ellipse(w / 2e3, d / 2e3), share);
            near(p.area, PI * w * d / 4e6, 1e-14);
        }
        // Half axes 5 and 4: complete elliptic integral E(0.6) by its series, figure from memory.
        near(integrated_ellipse(5.0, 4.0), 28.361_667_889, 1e-9);
    }

    #[test]
    fn dee_is_a_half_circle_on_a_rectangle_or_half_an_ellipse() {
        let deep = plan(Outline::Dee { width: mm(185.0), depth: mm(160.0) });
        let (r, side) = (0.0925, 0.0675);
        near(deep.area, PI * r * r / 2.0 + 0.185 * side, 1e-13);
        near(deep.perimeter, 0.185 + 2.0 * side + PI * r, 1e-13);
        assert_eq!((deep.width, deep.depth), (0.185, 0.16));
        let shallow = plan(Outline::Dee { width: mm(200.0), depth: mm(60.0) });
        near(shallow.area, PI * 0.1 * 0.06 / 2.0, 1e-13);
        near(shallow.perimeter, 0.2 + integrated_ellipse(0.1, 0.06) / 2.0, 1e-8);
        // The two meet without a step where the depth is exactly half the width.
        let below = plan(Outline::Dee { width: mm(200.0), depth: mm(99.999_999) });
        let above = plan(Outline::Dee { width: mm(200.0), depth: mm(100.000_001) });
        near(below.area, above.area, 1e-7);
        near(below.perimeter, above.perimeter, 1e-7);
    }

    #[test]
    fn sector_is_its_share_of_the_circle() {
        let at = |degrees| plan(Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(degrees) });
        let quarter = at(90.0);
        near(quarter.area, PI * 0.01 / 4.0, 1e-13);
        near(quarter.perimeter, 0.2 + PI * 0.05, 1e-13);
        near(quarter.width, 0.1, 1e-13);
        near(quarter.depth, 0.1, 1e-13);
        let half = at(180.0);
        near(half.width, 0.2, 1e-13);
        near(half.depth, 0.1, 1e-13);
        near(at(60.0).depth, 0.1 * 3f64.sqrt() / 2.0, 1e-13);
        near(at(120.0).width, 0.15, 1e-13);
        let three = at(270.0);
        near(three.width, 0.2, 1e-13);
        near(three.depth, 0.1 * (1.0 + 0.5f64.sqrt()), 1e-13);
        // The whole circle has no straight edges.
        near(at(360.0).perimeter, PI * 0.2, 1e-13);
        near(at(360.0).area, PI * 0.01, 1e-13);
    }

    #[test]
    fn every_outline_agrees_with_its_own_polygon() {
        // The box from the law against the box of many points; the area within what 24 chords leave out.
        for degrees in [30.0, 90.0, 135.0, 180.0, 200.0, 270.0, 330.0] {
            let shape = plain(Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(degrees) });
            let p: Plan<f64> = shape.plan(0.08, &Nominal);
            let (low, high) = bounds(&shape.outline.polygon());
            near(high.0 - low.0, p.width, 0.02);
            near(high.1 - low.1, p.depth, 0.02);
        }
        for outline in [
            Outline::Round { diameter: mm(200.0) },
            Outline::Oval { width: mm(200.0), depth: mm(120.0) },
            Outline::Dee { width: mm(185.0), depth: mm(160.0) },
            Outline::Dee { width: mm(185.0), depth: mm(60.0) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: Some(mm(30.0)) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: None },
        ] {
            let shape = plain(outline);
            let p: Plan<f64> = shape.plan(0.08, &Nominal);
            let unit: Plan<f64> = traced(&shape.corners());
            near(unit.area * 1e6, p.area / (p.width * p.depth), 0.013);
            assert!(first_crossing(&shape.corners()).is_none(), "{}", shape.word());
            assert!(shape.corners().iter().all(|(x, y)| (0.0..=1.0).contains(x) && (0.0..=1.0).contains(y)));
        }
        assert_eq!(plain(Outline::Round { diameter: mm(200.0) }).corners().len(), 24);
    }

    #[test]
    fn traced_outline_by_the_shoelace_formula() {
        // A 3-4-5 triangle, either way round, and an L whose area is two rectangles.
        let triangle = vec![(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)];
        let p = plan(Outline::Points { points: triangle.clone() });
        near(p.area, 600e-6, 1e-13);
        near(p.perimeter, 0.12, 1e-13);
        let other: Vec<_> = triangle.into_iter().rev().collect();
        near(plan(Outline::Points { points: other }).area, 600e-6, 1e-13);
        let ell = vec![(10.0, 10.0), (110.0, 10.0), (110.0, 50.0), (50.0, 50.0), (50.0, 90.0), (10.0, 90.0)];
        let p = plan(Outline::Points { points: ell });
        near(p.area, (100.0 * 40.0 + 40.0 * 40.0) * 1e-6, 1e-13);
        near(p.perimeter, 0.36, 1e-13);
        near(p.width, 0.1, 1e-13);
        near(p.depth, 0.08, 1e-13);
    }

    #[test]
    fn what_stands_in_a_tray_takes_area_only() {
        let post = plain(Outline::Round { diameter: mm(30.0) });
        let outline = Outline::Round { diameter: mm(200.0) };
        let whole = plan(outline.clone());
        let less = Shape { outline: outline.clone(), less: vec![post.clone(), post] };
        let p: Plan<f64> = less.plan(0.08, &Nominal);
        near(p.area, whole.area - 2.0 * PI * 0.015 * 0.015, 1e-13);
        assert_eq!((p.perimeter, p.width, p.depth), (whole.perimeter, whole.width, whole.depth));
        let swallowed = Shape { outline: Outline::Round { diameter: mm(20.0) }, less: vec![plain(outline)] };
        assert_eq!(swallowed.plan(0.08, &Nominal).area, 0.0);
    }

    #[test]
    fn a_measured_fill_has_an_area_and_no_box() {
        let shape = plain(Outline::MeasuredFill { volume: fig::<Volume>(1.84e-3), perimeter: mm(550.0) });
        let p: Plan<f64> = shape.plan(0.08, &Nominal);
        near(p.area, 0.023, 1e-13);
        assert_eq!((p.perimeter, p.width, p.depth), (0.55, 0.0, 0.0));
        assert!(!p.has_box() && !shape.has_box() && shape.corners().is_empty());
        assert!(plan(Outline::Round { diameter: mm(20.0) }).has_box());
    }

    #[test]
    fn eight_draws_are_eight_times_one() {
        for outline in [
            Outline::Dee { width: mm(185.0), depth: mm(60.0) },
            Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(200.0) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: Some(mm(30.0)) },
        ] {
            let shape = plain(outline);
            let one: Plan<f64> = shape.plan(0.08, &Nominal);
            let many: Plan<F64x8> = shape.plan(F64x8::splat(0.08), &Nominal);
            for i in 0..8 {
                near(many.area.draw(i), one.area, 1e-13);
                near(many.perimeter.draw(i), one.perimeter, 1e-13);
                near(many.width.draw(i), one.width, 1e-13);
                near(many.depth.draw(i), one.depth, 1e-13);
            }
        }
    }
}

mod tangle {

    use cansift::model::outline::*;

    #[test]
    fn crossing_outlines_are_told_from_sound_ones() {
        let square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        assert!(first_crossing(&square).is_none());
        assert!(
            first_crossing(&[square[0], square[0], square[1], square[2], square[3], square[0]]).is_none()
        );
        assert!(
            first_crossing(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (1.0, 3.0)]).is_none(),
            "a point on a side"
        );
        let bow = [(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)];
        assert_eq!(first_crossing(&bow), Some((1, 3)));
        let folded = [(0.0, 0.0), (2.0, 0.0), (1.0, 0.0), (1.0, 1.0)];
        assert!(first_crossing(&folded).is_some());
        let pinched = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (1.0, 0.0), (0.0, 2.0)];
        assert!(first_crossing(&pinched).is_some(), "a corner on a side");
        let flat = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)];
        assert!(first_crossing(&flat).is_some(), "no area at all");
        assert!(
            first_crossing(&[]).is_none()
                && first_crossing(&[(0.0, 0.0)]).is_none()
                && first_crossing(&square[..3]).is_none()
        );
        // A scalloped tray: a wavy rim round a circle does not cross.
        let wavy: Vec<_> = (0..120)
            .map(|i| {
                let (s, c) = (f64::from(i) * std::f64::consts::PI / 60.0).sin_cos();
                (c * (90.0 + 32.0 * c * s), s * 90.0)
            })
            .collect();
        assert!(first_crossing(&wavy).is_none());
    }
}
