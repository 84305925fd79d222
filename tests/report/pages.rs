//! Pages of values.

mod builds {
    use crate::samples;
    use cansift::measures::{Measure, Outcome};
    use cansift::report::builds::*;
    use cansift::report::figures::Units;
    use cansift::report::page::Look;

    use cansift::report::Sheet;
    use cansift::report::text;

    #[test]
    fn a_long_service_by_leaking_is_called_that() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("Tight", "a", Some(1.0)));
        sheet.rows.push(samples::row("Leaky", "b", Some(1.0)));
        sheet.rows[1].set(Measure::Bypass, Outcome::Value(0.6));
        let said = "! open every: most water passes it from the first day (Leaky · b)";
        assert_eq!(leaky(&sheet, &USUAL), [said]);
        assert!(leaky(&sheet, &[Measure::Flow]).is_empty());
    }

    #[test]
    fn every_dash_has_its_reason() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("Tamsin", "a", Some(612.4)));
        sheet.rows.push(samples::row("Orrin", "b", None));
        let out = text::page(
            &page(&sheet, &[Measure::Flow, Measure::Bypass, Measure::Nitrate], Units::Metric),
            Look::default(),
        );
        assert_eq!(
            out,
            "build       flow  bypass  nitrate\n             l/h       %     mg/l\n\
             Tamsin · a   612       5        –\nOrrin · b      –       5        –\n\n\
             No tank given: 25 °C, 1.5 m of hose and 2 bends each way. Single figures; no cases were simulated.\n  \
             – flow: the profile gives no pump curve (Orrin · b)\n  – nitrate: no tank is given\n"
        );
    }
}

mod cells {
    use cansift::report::cells::*;

    #[test]
    fn widths_are_cells_not_letters() {
        assert_eq!(fit("濾過器の箱", 7), "濾過器…");
        assert_eq!(width(&left("濾過器", 4)), 4);
        assert_eq!(right("612 ±48", 9), "  612 ±48");
        assert_eq!(fit("abc", 0), "");
        assert_eq!(
            (end("abcdef", 4), end("濾過器", 4), end("abc", 0)),
            ("…def".into(), "…器".into(), String::new())
        );
    }

    #[test]
    fn wrapping_loses_no_letter_and_keeps_to_the_width() {
        let text = "nothing catches coarse dirt before the floss, and averyveryverylongword ends it";
        for cells in 1..40 {
            let lines = wrap(text, cells);
            assert!(lines.iter().all(|l| width(l) <= cells), "{cells}: {lines:?}");
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert_eq!(wrap("one two", 3), ["one", "two"]);
        assert_eq!(wrap("ab cd e", 5), ["ab cd", "e"]);
    }
}

mod differences {
    use crate::samples;

    use cansift::compare::better::of_builds;
    use cansift::measures::Measure;
    use cansift::report::Sheet;

    use cansift::report::differences::*;
    use cansift::report::figures::Units;
    use cansift::report::page::Look;

    use cansift::report::reasons::Reasoned;
    use cansift::report::text;

    #[test]
    fn differences_are_to_the_first_and_signed() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("Tamsin", "as bought", Some(339.0)));
        sheet.rows.push(samples::row("Tamsin", "restacked", Some(638.0)));
        sheet.rows.push(samples::row("Orrin", "new", None));
        assert_eq!(to_first(&sheet, Measure::Flow), [Some(299.0), None]);
        let against = |measure| -> Vec<_> {
            sheet.rows[1..].iter().map(|row| of_builds(&sheet.rows[0], row, measure, None)).collect()
        };
        let measures = [Measure::Flow, Measure::Bypass];
        let verdicts = measures.map(|measure| (measure, against(measure))).to_vec();
        let reasoned = Reasoned { verdicts, ..Reasoned::default() };
        let out = text::page(
            &page(&sheet, &measures, &reasoned, Units::Metric),
            // So wide that no layer is broken.
            Look { width: 200, ..Look::default() },
        );
        let flow = out.lines().find(|l| l.starts_with("flow")).unwrap();
        assert_eq!(
            flow.split_whitespace().collect::<Vec<_>>(),
            ["flow", "l/h", "339", "638", "▲", "better", "–"]
        );
        let bypass = out.lines().find(|l| l.starts_with("bypass")).unwrap();
        assert_eq!(bypass.matches("≈ same").count(), 2, "{bypass}");
        assert!(out.contains("A: tray 2: water mixes there"), "{out}");
        assert!(out.contains("tray 1  M medium foam, 20 PPI 40 mm, edge gap 3 mm"), "{out}");
    }
}

mod explained {
    use crate::samples;
    use cansift::assess::trace::Trace;
    use cansift::assess::trace::{Eq, Value};
    use cansift::assumptions::A;
    use cansift::measures::Measure;
    use cansift::report::explained::*;
    use cansift::report::figures::Units;
    use cansift::report::page::Look;

    use cansift::report::text;

    use cansift::uncertainty::uncertain::Provenance;

    #[test]
    fn steps_inputs_and_sources_stand_there_and_a_constant_only_once() {
        let mut trace = Trace { constants: vec![A::Gravity, A::Roughness, A::Gravity], ..Trace::default() };
        let (flow, water) = (Value::Flow(670.0 / 3.6e6), Value::Volume(0.18));
        trace.step(Eq::Turnover, [flow, water.clone(), Value::Number(3.72)]);
        trace.said("water in the tank", water, Provenance::Measured);
        let row = samples::row("Tamsin", "a", Some(670.0));
        let out = text::page(&page(&row, Measure::Nitrate, &trace, "EUR", Units::Metric), Look::default());
        assert!(out.contains("turnover = flow / water in the tank: 670 l/h / 180 l = 3.72 1/h"), "{out}");
        assert!(out.contains("measured") && out.contains("It cannot be told: no tank is given."), "{out}");
        assert_eq!(out.matches(A::Gravity.entry().source).count(), 1);
    }
}

mod sources {
    use cansift::assumptions::TABLE;
    use cansift::library::Library;
    use cansift::report::page::Look;
    use cansift::report::sources;
    use cansift::report::sources::{CAUTIONS, LEFT_OUT};

    use cansift::report::sources::*;
    use cansift::report::text;
    use cansift::uncertainty::uncertain::Spread;

    #[test]
    fn every_assumption_and_caution_is_there() {
        // So wide that nothing is broken.
        let out = text::page(&page(), Look { width: 10_000, ..Look::default() });
        for row in &TABLE {
            assert!(out.contains(row.what) && out.contains(row.source), "{}", row.key);
        }
        let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
        for line in CAUTIONS.iter().chain(&LEFT_OUT) {
            assert!(flat.contains(line), "{line}");
        }
        for medium in Library::shipped().media() {
            assert!(out.contains(&medium.id) && out.contains(&medium.source), "{}", medium.id);
        }
        for fitting in Library::shipped().fittings() {
            assert!(out.contains(&fitting.id), "{}", fitting.id);
        }
        for word in sources::words() {
            assert!(out.contains(&word.what) && out.contains(&word.value), "{}", word.key);
        }
        assert_eq!(spread(Spread::Normal { sd: 0.015 }), "3 % either way");
        assert_eq!(plain(1.5e-6), "1.5e-6");
    }
}
