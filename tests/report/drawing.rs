//! Parts of the drawings.

mod canvas {
    use cansift::report::svg::canvas::*;

    #[test]
    fn numbers_are_short_and_finite() {
        assert_eq!([n(1.0), n(-0.04), n(12.345), n(f64::NAN)], ["1", "0", "12.3", "0"]);
    }

    #[test]
    fn text_meets_its_ground_as_the_accessibility_guidelines_ask() {
        // WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1; relative luminance as defined there.
        fn luminance(hex: &str) -> f64 {
            let part = |i: usize| {
                let v = f64::from(u8::from_str_radix(hex.get(i..i + 2).unwrap(), 16).unwrap()) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055_f64).powf(2.4) }
            };
            0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
        }
        for c in [&LIGHT, &DARK] {
            for (text, ground) in [
                (c.ink, c.paper),
                (c.quiet, c.paper),
                (c.slips, c.paper),
                (c.water, c.paper),
                (c.ink, c.pool),
                (c.quiet, c.pool),
                (c.water, c.pool),
                (c.ink, c.part),
                (c.quiet, c.part),
            ] {
                let (a, b) = (luminance(text), luminance(ground));
                let ratio = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
            }
        }
    }
}

mod plot {

    use cansift::report::svg::plot::*;

    #[test]
    fn steps_are_round_and_few() {
        assert_eq!(round_step(700.0, 6.0), 200.0);
        assert_eq!(round_step(6.0, 6.0), 1.0);
        assert_eq!(round_step(1.3, 6.0), 0.5);
        assert_eq!(say_by_step(0.5)(1.5), "1.5");
        assert_eq!(say_by_step(200.0)(400.0), "400");
        for end in [1e-9, 0.3, 17.0, 1e8] {
            let axis = Axis { name: "", say: &|x| x.to_string(), step: None, few: false };
            assert!((2..=8).contains(&ticks(end, &axis).len()), "{end}");
        }
    }

    #[test]
    fn a_line_that_leaves_the_top_is_cut_where_it_does() {
        let panel = Panel { x: (0.0, 100.0), y: (0.0, 100.0), x_end: 10.0, y_end: 10.0 };
        assert_eq!(
            panel.cut(&[(0.0, 0.0), (5.0, 5.0), (10.0, 15.0)]),
            [(0.0, 100.0), (50.0, 50.0), (75.0, 0.0)]
        );
    }
}

mod text_metrics {
    use cansift::report::svg::text_metrics::*;

    #[test]
    fn cut_text_keeps_within_its_room() {
        for text in ["Tamsin 1100 · restacked", "水槽のフィルター", "ÄÖÜ ßß", "WWWWWWWWWWWWWWWWW"]
        {
            for room in [0.0, 5.0, 20.0, 60.0, 500.0] {
                let cut = fit(text, room, 12.0, true);
                assert!(width(&cut, 12.0, true) <= room, "{cut} in {room}");
            }
        }
        assert_eq!(fit("short", 100.0, 12.0, false), "short");
        assert_eq!(fit("a\u{301}\u{302}\u{303}\u{304}", 100.0, 12.0, false), "a\u{301}\u{302}");
    }

    #[test]
    fn wrapped_lines_lose_no_word() {
        let lines = wrap("one two three four five", 60.0, 12.0);
        assert!(lines.len() > 1);
        assert_eq!(lines.join(" "), "one two three four five");
    }
}

mod hatch {
    use cansift::model::medium::Role;
    use cansift::report::svg::canvas::*;

    #[test]
    fn no_two_roles_share_a_hatch() {
        let all: Vec<String> = Role::ALL.iter().map(|r| pattern(*r, "x").replace(name(*r), "")).collect();
        for (i, a) in all.iter().enumerate() {
            assert!(!all.iter().skip(i + 1).any(|b| a == b));
        }
    }
}

mod labels {
    use cansift::report::svg::plot::*;

    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay_where_they_are() {
        let wishes = [Wish { at: 10.0, height: 8.0 }, Wish { at: 40.0, height: 8.0 }];
        assert_eq!(apart(&wishes, 0.0), [10.0, 40.0]);
        let same = [Wish { at: 40.0, height: 10.0 }, Wish { at: 40.0, height: 10.0 }];
        assert_eq!(apart(&same, 0.0), [35.0, 45.0]);
        assert_eq!(apart(&same, 38.0), [43.0, 53.0]);
    }

    proptest! {
        #[test]
        fn none_overlaps(wishes in proptest::collection::vec((0.0..400.0, 4.0..40.0_f64), 0..40)) {
            let wishes: Vec<Wish> = wishes.into_iter().map(|(at, height)| Wish { at, height }).collect();
            let middles = apart(&wishes, 20.0);
            let mut spans: Vec<(f64, f64)> =
                middles.iter().zip(&wishes).map(|(m, w)| (m - w.height / 2.0, m + w.height / 2.0)).collect();
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            prop_assert!(spans.iter().all(|s| s.0 >= 20.0 - 1e-6));
            prop_assert!(spans.windows(2).all(|p| p[0].1 <= p[1].0 + 1e-6), "{:?}", spans);
        }
    }
}
