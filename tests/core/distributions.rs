//! exp and ln with the same bits on every machine, the normal distribution; distributions and summaries.

mod exponential {
    use libm::{exp, log as ln};

    #[test]
    fn exponential_and_logarithm_agree_with_the_platform() {
        for i in -2000..=2000 {
            let x = f64::from(i) * 0.137;
            assert!((exp(x) / x.exp() - 1.0).abs() < 4e-16, "exp {x}: {} {}", exp(x), x.exp());
            let y = x.exp();
            assert!((ln(y) - y.ln()).abs() <= 4e-16 * y.ln().abs().max(1e-3), "ln {y}: {} {}", ln(y), y.ln());
        }
        for i in 1..2000 {
            let y = f64::from(i) / 1000.0;
            assert!((ln(y) - y.ln()).abs() <= 4e-16 * y.ln().abs(), "ln {y}: {} {}", ln(y), y.ln());
        }
        assert_eq!(exp(0.0), 1.0);
        assert_eq!(ln(1.0), 0.0);
        assert!((exp(1.0) - std::f64::consts::E).abs() < 1e-15);
    }

    #[test]
    fn the_ends_are_told() {
        assert_eq!(ln(0.0), f64::NEG_INFINITY);
        assert!(ln(-1.0).is_nan() && ln(f64::NAN).is_nan() && exp(f64::NAN).is_nan());
        assert_eq!(ln(f64::INFINITY), f64::INFINITY);
        assert_eq!(exp(800.0), f64::INFINITY);
        assert_eq!(exp(-800.0), 0.0);
        assert!((exp(709.0) / 709.0_f64.exp() - 1.0).abs() < 1e-15);
        assert!((ln(f64::from_bits(1)) - f64::from_bits(1).ln()).abs() < 1e-12);
    }
}

mod normal {
    use cansift::uncertainty::normal::{below, quantile};

    #[test]
    fn both_ways_to_the_distribution_agree() {
        for i in -70..=70 {
            let x = f64::from(i) / 10.0;
            let (other, here) = (distribution(x), below(x));
            assert!((here - other).abs() < 1e-13 + 1e-9 * other.min(1.0 - other), "{x}: {here} {other}");
        }
    }

    /// The normal distribution by its Taylor series about 0, for |x| below 6: a check of another kind.
    fn distribution(x: f64) -> f64 {
        let (mut term, mut sum) = (x, x);
        for k in 1..200 {
            term *= x * x / f64::from(2 * k + 1);
            sum += term;
        }
        0.5 + sum * (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt()
    }

    #[test]
    fn quantile_undoes_the_distribution() {
        for i in -50..=50 {
            let x = f64::from(i) / 10.0;
            assert!((quantile(distribution(x)) - x).abs() < 1e-8, "{x}");
            if x.abs() < 3.0 {
                assert!((quantile(distribution(x)) - x).abs() < 1e-13, "{x}");
            }
        }
    }

    #[test]
    fn both_sides_mirror_and_the_ends_are_told() {
        for p in [0.5, 0.25, 0.125, 0.062_5, 1.0 / 1024.0, 2.0_f64.powi(-40)] {
            assert_eq!(quantile(p), -quantile(1.0 - p));
        }
        assert_eq!(quantile(0.5), 0.0);
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert!(quantile(-0.1).is_nan() && quantile(1.1).is_nan() && quantile(f64::NAN).is_nan());
    }
}

mod distribution {
    use cansift::uncertainty::distribution::*;

    use cansift::uncertainty::normal::quantile;
    use cansift::uncertainty::uncertain::Spread;

    #[test]
    fn a_figure_above_zero_stays_above_zero() {
        let guessed = Distribution::new(1.0, Spread::Normal { sd: 0.2 });
        assert!((guessed.at((1e-12, -7.03)) - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_gap_is_cut_off_at_nothing() {
        // Worked outside this program: quantiles of a normal of mean h0 and deviation 0.3 mm, cut off at 0.
        let rows = [(0.5, [0.10754, 0.51798, 1.00054]), (0.0, [0.01881, 0.20235, 0.58799])];
        for (value, drawn) in rows {
            let gap = Distribution::new(value, Spread::CutNormal { sd: 0.3 });
            for (u, wanted) in [0.05, 0.5, 0.95].into_iter().zip(drawn) {
                let found = gap.at((u, quantile(u)));
                assert!((found - wanted).abs() < 1e-5, "{value} {u}: {found}");
            }
        }
        // A guess so wide that its normal would pass 0 stays above a twentieth.
        let guess = Distribution::new(1.0, Spread::Normal { sd: 0.5 });
        assert_eq!(guess.at((1e-4, -3.7)), 0.05);
    }

    #[test]
    fn a_triangle_from_nothing() {
        // Mode at 0.7 of 0 to 3: 0.7/3 of the chance lies below it.
        let slack = Distribution::new(0.7, Spread::Triangular { low: 0.0, high: 3.0 });
        assert!((slack.at((0.7 / 3.0, 0.0)) - 0.7).abs() < 1e-12);
        assert!(slack.at((0.0, 0.0)).abs() < 1e-12 && (slack.at((1.0, 0.0)) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn ends_and_middles_by_hand() {
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-14 * b.abs(), "{a} {b}");
        let factor = Distribution::new(3.0, Spread::Factor { factor: 2.0 });
        near(factor.at((0.5, 0.0)), 3.0);
        near(factor.at((0.0, 2.0)), 6.0);
        near(factor.at((0.0, -2.0)), 1.5);
        let uniform = Distribution::new(2.0, Spread::Uniform { low: 1.0, high: 5.0 });
        near(uniform.at((0.25, 0.0)), 2.0);
        // Mode at 2 of 1 to 16 in powers of two: a quarter of the chance lies below it.
        let triangular = Distribution::new(2.0, Spread::TriangularLog { low: 1.0, high: 16.0 });
        near(triangular.at((0.0, 0.0)), 1.0);
        near(triangular.at((0.25, 0.0)), 2.0);
        near(triangular.at((1.0, 0.0)), 16.0);
        // Mode at an end, and a range of no width.
        near(Distribution::new(1.0, Spread::TriangularLog { low: 1.0, high: 16.0 }).at((0.75, 0.0)), 4.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: 2.0, high: 2.0 }).at((0.3, 0.0)), 2.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: 0.0, high: 3.0 }).at((0.3, 0.0)), 2.0);
        near(Distribution::new(2.0, Spread::TriangularLog { low: -1.0, high: 3.0 }).at((0.3, 0.0)), 2.0);
    }
}

mod summary {
    use cansift::simd::{F64x8, Real};
    use cansift::uncertainty::summary::*;

    #[test]
    fn percentiles_lie_straight_between_the_draws() {
        // By hand: of 0, 10 … 100 the 5th percentile stands half way from the first to the second.
        let sorted: Vec<f64> = (0..=10).map(|i| f64::from(i) * 10.0).collect();
        assert_eq!(percentile(&sorted, 0.05), Some(5.0));
        assert_eq!(percentile(&sorted, 0.95), Some(95.0));
        assert_eq!(percentile(&sorted, 1.0), Some(100.0));
        assert_eq!(percentile(&[3.0], 0.05), Some(3.0));
        assert_eq!(percentile(&[], 0.5), None);
    }

    #[test]
    fn bands_need_no_order_of_the_draws() {
        for count in [1_u64, 2, 3, 8, 17, 100, 512] {
            let values: Vec<f64> = (0..count).map(|i| ((i * 7919 % 1009) as f64).sin()).collect();
            let mut sorted = values.clone();
            sorted.sort_by(f64::total_cmp);
            let band = Sample::new(values).band().unwrap();
            let at = |share| percentile(&sorted, share).unwrap();
            assert_eq!((band.low, band.median, band.high), (at(0.05), at(0.5), at(0.95)), "{count}");
        }
    }

    #[test]
    fn failed_draws_are_kept_and_counted() {
        let s = Sample::new(vec![3.0, f64::NAN, 1.0, f64::INFINITY, 2.0]);
        assert_eq!((s.failed, s.len()), (2, 5));
        assert_eq!(s.mean(), Some(2.0));
        assert_eq!(s.sd(), Some(1.0));
        let band = s.band().unwrap();
        assert!((band.low - 1.1).abs() < 1e-15 && ((band.high - band.low) / 2.0 - 0.9).abs() < 1e-15);
        assert_eq!(s.chance(|x| x > 1.5), Some(0.4));
        let none = Sample::new(vec![f64::NAN]);
        assert_eq!((none.band(), none.mean(), none.sd()), (None, None, None));
        assert_eq!(Sample::default().chance(|_| true), None);
    }

    #[test]
    fn padding_stays_out_and_masked_draws_count_as_failed() {
        let mut s = Sample::default();
        let batch = F64x8::gather(|i| i as f64);
        s.push(batch, batch.lt(F64x8::splat(6.5)), 11);
        s.push(batch, F64x8::mask(true), 11);
        s.push(batch, F64x8::mask(true), 11);
        assert_eq!((s.len(), s.failed), (11, 1));
        assert!(s.values[7].is_nan());
        assert_eq!(&s.values[8..], [0.0, 1.0, 2.0]);
    }
}
