//! Figures, values and steps in words.

mod figures {
    use cansift::measures::Missing;
    use cansift::measures::{Measure, Outcome};

    use cansift::report::figures::*;
    use cansift::report::spans;
    use cansift::uncertainty::summary::Band;

    fn metric(m: Measure, x: f64) -> String {
        show(m, Outcome::Value(x), Units::Metric)
    }

    #[test]
    fn each_kind_is_rounded_sensibly() {
        assert_eq!(metric(Measure::Flow, 612.4), "612");
        assert_eq!(metric(Measure::Bypass, 0.0), "0 %");
        assert_eq!(metric(Measure::Bypass, 0.001), "<1 %");
        assert_eq!(metric(Measure::Bypass, 0.507), "51 %");
        assert_eq!(metric(Measure::Bypass, 0.9999), ">99 %");
        assert_eq!(metric(Measure::OpeningInterval, 0.4), "<1 d");
        assert_eq!(metric(Measure::OpeningInterval, 5.2), "5 d");
        assert_eq!(metric(Measure::OpeningInterval, 133.0), "19 wk");
        assert_eq!(metric(Measure::OpeningInterval, 182.0), ">26 wk");
        assert_eq!(metric(Measure::Nitrate, 60.4), "60");
        assert_eq!(metric(Measure::Nitrate, 6.04), "6.0");
        assert_eq!(metric(Measure::AmmoniaCapacity, 0.874), "0.87");
        assert_eq!(metric(Measure::RepairCost, 52.0), "52");
        assert_eq!(metric(Measure::RepairCost, 3.5), "3.50");
        assert_eq!(show(Measure::FitsCabinet, Outcome::Flag(true), Units::Us), "yes");
    }

    #[test]
    fn nothing_unreal_is_shown() {
        for m in Measure::ALL {
            for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                assert_eq!(metric(m, x), DASH);
            }
            assert_eq!(show(m, Outcome::Missing(Missing::NoTank), Units::Metric), DASH);
            assert_eq!(show_with_sign(m, Outcome::Missing(Missing::NoTank), Units::Us), DASH);
        }
        assert_eq!(rounded(-0.01, 1), "0.0");
        assert_eq!(rounded(-1.25, 1), "−1.2");
    }

    #[test]
    fn units_are_those_the_trade_quotes() {
        // Common practice, no source: 1000 l/h = 264 US gal/h, 300 l = 79 US gal, 25 mm = 1 in, 1 kg = 2.2 lb.
        assert_eq!(flow(1000.0, Units::Us), "264 US gal/h");
        assert_eq!(volume(300.0, Units::Us), "79 US gal");
        assert_eq!(length(25.4, Units::Us), "1.00 in");
        assert_eq!(mass(1.0, Units::Us), "2.2 lb");
        // 1 imperial gallon = 4.546 09 l, NIST Handbook 44 app. C.
        assert_eq!(volume(454.609, Units::Uk), "100 UK gal");
        assert_eq!(mass(1.0, Units::Uk), "1.0 kg");
        assert_eq!(length(0.4, Units::Metric), "0.4 mm");
        assert_eq!(length(25.0, Units::Metric), "25 mm");
        assert_eq!(cut_length(12.5, Units::Metric), "12.5 mm");
        assert_eq!(cut_length(24.98, Units::Metric), "25 mm");
        assert_eq!(cut_length(25.4, Units::Us), "1.00 in");
    }

    #[test]
    fn low_and_high_stand_beside_the_figure() {
        let both = |m, x, low, high| {
            let band = Some(Band { low, median: low, high });
            spans::figure(m, Outcome::Value(x), band, Units::Metric).bracketed()
        };
        assert_eq!(both(Measure::Flow, 612.0, 564.0, 660.0), "612 (564–660)");
        assert_eq!(both(Measure::Bypass, 0.05, 0.03, 0.07), "5 (3–7)");
        assert_eq!(both(Measure::OpeningInterval, 133.0, 105.0, 161.0), "19 (15–23) wk");
        assert_eq!(both(Measure::OpeningInterval, 5.0, 3.0, 7.0), "5 (3–7) d");
        assert_eq!(both(Measure::OpeningInterval, 5.0, 4.8, 5.2), "5 d");
        assert_eq!(both(Measure::OpeningInterval, 182.0, 120.0, 182.0), "26+ (17–26+) wk");
        assert_eq!(both(Measure::OrderFaults, 2.0, 2.0, 2.0), "2");
        let alone = spans::figure(Measure::Flow, Outcome::Value(612.0), None, Units::Metric);
        assert_eq!(alone.bracketed(), "612");
    }

    #[test]
    fn differences_are_signed_and_shares_are_points() {
        let d = |m, a, b| difference(m, Outcome::Value(a), Outcome::Value(b), Units::Metric);
        assert_eq!(d(Measure::FilteredFlow, 339.0, 638.0), "+299");
        assert_eq!(d(Measure::Flow, 670.0, 670.2), "0");
        assert_eq!(d(Measure::BypassDirty, 0.61, 0.08), "−53 points");
        assert_eq!(d(Measure::BypassDirty, 0.04, 0.05), "+1 point");
        assert_eq!(d(Measure::OpeningInterval, 2.0, 133.0), "+19 wk");
        let no_tank = Outcome::Missing(Missing::NoTank);
        assert_eq!(difference(Measure::Nitrate, no_tank, Outcome::Value(1.0), Units::Metric), DASH);
    }
}

mod values {
    use cansift::assess::trace::Value;

    use cansift::report::figures::Units;
    use cansift::report::wording::values::*;

    #[test]
    fn figures_read_as_a_person_writes_them() {
        assert_eq!(number(0.0123456), "0.0123");
        assert_eq!(number(640.4), "640");
        assert_eq!(number(123_456.0), "123456");
        assert_eq!(number(0.5), "0.5");
        assert_eq!(number(-2.25), "−2.25");
        assert_eq!(number(0.0), "0");
        assert_eq!(number(f64::NAN), "–");
        assert_eq!(as_given(12.5), "12.5");
        assert_eq!(as_given(0.05 / 1e-3 * 1e-3), "0.05");
        assert_eq!(percent(0.25), "25 %");
        assert_eq!(percent(0.0514), "5.1 %");
        assert_eq!(percent(0.0), "0 %");
        assert_eq!(percent(0.0001), "under 0.1 %");
        assert_eq!(percent(0.9983), "99.8 %");
        assert_eq!(percent(1.0), "100 %");
        assert_eq!(head(0.0042, Units::Metric), "4.2 mm of water");
        let sum = Value::Sum(vec![Value::Number(1.0), Value::Number(-2.0)]);
        assert_eq!(value(&sum, "", Units::Metric), "1 − 2");
        assert_eq!(value(&Value::Money(9.0), "", Units::Metric), "9.00");
    }

    #[test]
    fn quantities_follow_the_units_that_are_read() {
        // Common practice, no source: 1000 l/h = 264 US gal/h, 25.4 mm = 1 in, 1 kg = 2.2 lb, 1 m = 3.28 ft.
        let us = |v: Value| value(&v, "", Units::Us);
        assert_eq!(us(Value::Flow(1.0 / 3600.0)), "264 US gal/h");
        assert_eq!(us(Value::Length(0.0254)), "1 in");
        assert_eq!(us(Value::Mass(1.0)), "2.2 lb");
        assert_eq!(us(Value::Head(1.0)), "3.281 ft");
        assert_eq!(us(Value::Area(0.0254 * 0.0254)), "1 in2");
        assert_eq!(us(Value::In(16.0, "mm")), "0.63 in");
        assert_eq!(value(&Value::In(16.0, "mm"), "", Units::Uk), "16 mm");
        assert_eq!(value(&Value::Volume(4.546_09e-3), "", Units::Uk), "1 UK gal");
    }
}

mod steps {
    use cansift::assess::trace::Eq;

    use cansift::report::wording::steps::*;

    #[test]
    fn every_equation_has_its_words() {
        for &eq in Eq::ALL {
            assert!(!templates(eq).0.is_empty(), "{eq:?}");
        }
    }

    /// Numbers that stand inside the words of an equation are those of the rows.
    #[test]
    fn prose_agrees_with_the_assumptions() {
        use cansift::assumptions::A;
        use cansift::report::figures;
        use cansift::units::YEAR_DAYS;
        let says = |eq, words: &str| {
            let (formula, numbers, _) = templates(eq);
            assert!(format!("{formula} {numbers}").contains(words), "{eq:?} should say {words}");
        };
        says(Eq::ByCalendar, &figures::horizon());
        says(
            Eq::LateHorizon,
            &format!("day {}: nothing says open it in {}", A::Horizon.value(), figures::horizon()),
        );
        says(Eq::Chance, &format!("passes {} /", figures::share(A::RiskyBypass.value())));
        says(Eq::LampWear, &format!("{} h / rated hours", YEAR_DAYS * 24.0));
    }
}

mod words {
    use cansift::report::answer::say::*;
    use cansift::report::wording::sentence;

    #[test]
    fn chances_never_sound_surer_than_they_are() {
        assert_eq!(cases(1.0), "every case");
        assert_eq!(cases(0.998), "99 of 100 cases");
        assert_eq!(cases(0.001), "1 of 100 cases");
        assert_eq!(cases(0.0), "no case");
        assert_eq!(cases(0.886), "89 of 100 cases");
        assert_eq!(cases(0.3), "3 of 10 cases");
    }

    #[test]
    fn lists_and_times_read_as_spoken() {
        let words = |all: &[&str]| list(&all.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
        assert_eq!(words(&["a", "b", "c"]), "a, b and c");
        assert_eq!(words(&[]), "");
        assert_eq!(words(&["foam, 20 PPI", "floss"]), "foam, 20 PPI, and floss");
        assert_eq!(words(&["foam, 20 PPI", "floss", "rings"]), "foam, 20 PPI; floss; and rings");
        assert_eq!(
            [0.2, 1.0, 13.0, 20.0, 182.0].map(days),
            ["less than a day", "1 day", "13 days", "3 weeks", "half a year or more"]
        );
        assert_eq!(sentence("the Tamsin"), "The Tamsin");
        assert_eq!(short_name("one two three", 2), "one two…");
        assert_eq!(of("It costs 114 EUR – at most."), 6);
    }
}
