//! What all stands on: numbers, units, messages, places, threads, the catalogue and the table of constants.

mod simd {
    use cansift::simd::*;

    #[test]
    fn lanes_agree_with_plain_numbers() {
        let xs = [0.1, 0.5, 1.0, 2.0, 3.7, 9.0, 100.0, 1e4];
        let v = F64x8::gather(|i| xs[i]);
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-13 * b.abs().max(1.0);
        for (i, x) in xs.into_iter().enumerate() {
            assert!(near(v.sqrt().draw(i), x.sqrt()));
            assert!(near(v.ln().draw(i), x.ln()));
            assert!((v.powf(F64x8::splat(1.5)).draw(i) / x.powf(1.5) - 1.0).abs() < 1e-12);
            assert!((v.powi(12).draw(i) / x.powi(12) - 1.0).abs() < 1e-12);
            assert!(near((v * 2.0 + 1.0 - v / 3.0).draw(i), x * 2.0 + 1.0 - x / 3.0));
            assert_eq!(F64x8::holds(v.lt(F64x8::splat(1.0)), i), x < 1.0);
            assert_eq!(F64x8::holds(v.ge(F64x8::splat(1.0)), i), x >= 1.0);
        }
        assert!(F64x8::any(v.gt(F64x8::splat(50.0))) && !F64x8::all(v.gt(F64x8::splat(50.0))));
        assert!(F64x8::all(F64x8::mask(true)) && !F64x8::any(F64x8::mask(false)));
        assert!(!F64x8::all((F64x8::one() / 0.0).finite()));
    }

    /// Against the C library of the machine that runs the test, whose own error is below one unit in the last place.
    #[test]
    fn powers_and_logarithms_are_good_to_a_last_digit_and_the_same_in_every_lane() {
        let last = |x: f64| f64::from_bits(x.abs().to_bits() + 1) - x.abs();
        let bits = |x: F64x8| std::array::from_fn::<u64, 8, _>(|i| x.draw(i).to_bits());
        for i in 0..40_000 {
            let x: [f64; 8] = std::array::from_fn(|lane| {
                let x = (f64::from(i * 8) + lane as f64 - 160_000.0) / 160_000.0;
                x * x * x * 700.0
            });
            let lanes = F64x8::gather(|lane| x[lane]);
            let y = x.map(Real::exp);
            assert_eq!(bits(lanes.exp()), y.map(f64::to_bits), "{x:?}");
            assert_eq!(bits(lanes.exp().ln()), y.map(|y| Real::ln(y).to_bits()), "{y:?}");
            for (x, y) in x.into_iter().zip(y) {
                assert!((y - f64::exp(x)).abs() <= 2.0 * last(y), "exp {x}: {y} {}", f64::exp(x));
                let (here, there) = (Real::ln(y), f64::ln(y));
                assert!((here - there).abs() <= 2.0 * last(there), "ln {y}: {here} {there}");
            }
        }
        let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -0.0, -1.0, 1e-310, 800.0];
        let lanes = F64x8::gather(|i| odd[i]);
        for (i, x) in odd.into_iter().enumerate() {
            let same = |here: f64, there: f64| {
                here.to_bits() == there.to_bits()
                    || here.is_nan() && there.is_nan()
                    || (here - there).abs() <= 1e-15 * there.abs()
            };
            assert!(same(lanes.exp().draw(i), x.exp()) && same(Real::exp(x), x.exp()), "{x}");
            assert!(same(lanes.ln().draw(i), x.ln()) && same(Real::ln(x), x.ln()), "{x}");
        }
    }
}

mod units {
    use cansift::units::*;

    fn si<Q: Quantity>(name: &str, number: f64) -> f64 {
        Q::UNITS.iter().find(|u| u.name == name).unwrap().to_si(number)
    }

    #[test]
    fn factors_are_those_of_the_standards() {
        // NIST Handbook 44 app. C and SP 811 app. B: exact factors.
        assert!((si::<Volume>("gal_us", 1.0) - 3.785_411_784e-3).abs() < 1e-15);
        assert!((si::<Volume>("gal_uk", 1.0) - 4.546_09e-3).abs() < 1e-15);
        assert!((si::<Mass>("oz", 1.0) - 0.028_349_523_125).abs() < 1e-15);
        assert!((si::<Temperature>("degf", 77.0) - 25.0).abs() < 1e-12);
        assert!((si::<Temperature>("degf", 32.0)).abs() < 1e-12);
        // Common practice, no source: 1000 l/h = 264 US gal/h, 300 l = 79 US gal, 25 mm = 1 in, 1 kg = 2.2 lb.
        let us =
            |q: f64, units: &[UnitOf], name: &str| units.iter().find(|u| u.name == name).unwrap().from_si(q);
        assert_eq!(us(si::<Flow>("l_h", 1000.0), Flow::UNITS, "gal_us_h").round(), 264.0);
        assert_eq!(us(si::<Volume>("l", 300.0), Volume::UNITS, "gal_us").round(), 79.0);
        assert_eq!(us(0.025, Length::UNITS, "inch").round(), 1.0);
        assert_eq!((us(1.0, Mass::UNITS, "lb") * 10.0).round(), 22.0);
    }

    #[test]
    fn a_quantity_is_always_finite() {
        assert!(Length::new(f64::NAN).is_none() && Flow::new(f64::INFINITY).is_none());
        assert_eq!(Length::of(f64::NAN).get(), 0.0);
        assert_eq!(kind_of_unit("l_h"), Some("flow"));
        assert_eq!(kind_of_unit("furlong"), None);
    }
}

mod message {
    use cansift::message::message;
    use cansift::message::*;

    #[test]
    fn amounts_are_written_where_they_stand_and_words_grow_together() {
        let one = message!("the ", String::from("small "), Amount::Length(12.0), " tap", "");
        assert_eq!(one, message!("the small ", Amount::Length(12.0), " tap"));
        let all = Message::joined([one, Message::from("a hose")], ", ");
        assert_eq!(all.written(|a| format!("{a:?}")), "the small Length(12.0) tap, a hose");
        assert!(Message::from("").is_empty() && Message::joined([], ", ").is_empty());
    }
}

mod place {
    use cansift::place::Space;

    #[test]
    fn people_count_trays_from_one_and_the_floor_lies_lowest() {
        assert_eq!([Space::Floor, Space::Tray(2)].map(|s| s.to_string()), ["floor", "tray 3"]);
        assert_eq!([Space::Floor, Space::Tray(2)].map(Space::in_a_sentence), ["the floor", "tray 3"]);
        assert!(Space::Floor < Space::Tray(0) && Space::Tray(0) < Space::Tray(1));
    }
}

mod hidden {
    use cansift::hidden::*;

    #[test]
    fn fillers_blanks_and_selectors_are_seen() {
        // Hangul fillers, the Braille blank, a variation selector, the grapheme joiner: in names they look like nothing.
        for c in
            ['\u{3164}', '\u{1160}', '\u{2800}', '\u{e0101}', '\u{34f}', '\u{200b}', '\u{202e}', '\u{1b}']
        {
            assert!(is_hidden(c), "{c:?}");
            assert_eq!(visible(&format!("a{c}b")), format!("a{}b", c.escape_unicode()));
        }
        assert!(!"Räv · 水槽 é 600 µm ±2 ⠿ 한글".chars().any(is_hidden), "letters of any script stay");
    }
}

mod parallel {
    use cansift::parallel::*;
    use std::collections::HashSet;
    use std::panic::catch_unwind;

    use std::sync::Mutex;

    use std::thread;
    use std::time::Duration;

    #[test]
    fn order_stays_and_threads_have_a_bound() {
        let items: Vec<usize> = (0..200).collect();
        for threads in [0, 1, 3, 1000] {
            let seen = Mutex::new(HashSet::new());
            let made = map(threads, &items, |i| {
                seen.lock().unwrap().insert(thread::current().id());
                thread::sleep(Duration::from_micros(200));
                i * i
            });
            assert!(made.iter().enumerate().all(|(i, made)| *made == i * i) && made.len() == 200);
            assert!((1..=threads.max(1)).contains(&seen.lock().unwrap().len()));
        }
        assert!(map(4, &[] as &[u8], |_| 0).is_empty());
    }

    #[test]
    fn who_falls_over_is_not_passed_over() {
        let fallen = catch_unwind(|| map(4, &[1, 2, 3, 4, 5, 6], |i| assert!(*i != 5, "at {i}")));
        assert_eq!(fallen.unwrap_err().downcast_ref::<String>().map(String::as_str), Some("at 5"));
    }
}

mod measures {
    use cansift::measures::*;

    #[test]
    fn keys_are_unique_and_found() {
        for m in Measure::ALL {
            assert_eq!(Measure::from_key(m.key()), Some(m));
        }
        assert_eq!(Measure::from_key("nonsense"), None);
    }

    #[test]
    fn an_old_key_names_the_measure_and_is_no_key_of_today() {
        for (old, measure) in OLD_KEYS {
            assert_eq!(Measure::from_old_key(old), Some(measure));
            assert_eq!(Measure::from_key(old), None);
        }
        assert_eq!(Measure::from_old_key("flow"), None);
    }
}

mod assumptions {

    use cansift::assumptions::table::{A, TABLE};

    use cansift::uncertainty::spread::Spread;

    #[test]
    fn rows_and_variants_stand_in_the_same_order() {
        for (i, a) in A::ALL.into_iter().enumerate() {
            assert_eq!(a as usize, i);
            let shared = matches!(a, A::FoamB | A::SlimeRibbed);
            assert_eq!(a.key().name() == a.entry().key, !shared);
        }
        let mut keys: Vec<_> = TABLE.iter().map(|row| row.key).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), TABLE.len(), "a key stands twice");
    }

    #[test]
    fn every_spread_holds_its_value() {
        for row in &TABLE {
            match row.spread {
                Spread::Uniform { low, high }
                | Spread::TriangularLog { low, high }
                | Spread::Triangular { low, high } => {
                    assert!(low <= row.value && row.value <= high && low < high, "{}", row.key);
                }
                Spread::Factor { factor } => assert!(factor > 1.0, "{}", row.key),
                Spread::Normal { sd } => assert!(sd > 0.0 && sd < 0.3, "{}", row.key),
                Spread::CutNormal { sd } => assert!(sd > 0.0, "{}", row.key),
                Spread::Exact => {}
            }
            assert!(!row.source.is_empty() && !row.what.is_empty());
        }
    }
}
