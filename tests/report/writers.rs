//! One renderer a format.

mod bbcode {
    use cansift::report::bbcode::*;
    use cansift::report::page::{Column, Table};
    use cansift::report::page::{Look, Page};

    #[test]
    fn a_name_cannot_close_the_block_or_open_a_tag() {
        let mut post = Page::default();
        post.heading("x[/b][url=http://x]y");
        post.table(Table::new(vec![Column::words("build")], [vec!["a[/code][img]b\u{202e}".to_owned()]]));
        assert_eq!(
            page(&post, Look::default()),
            "[b]x(/b)(url=http://x)y[/b]\n\n[code]\nbuild\na(/code)(img)b\\u{202e}\n[/code]\n"
        );
    }
}

mod markdown {
    use cansift::report::markdown::*;
    use cansift::report::page::{Block, Look, Page, Table};
    use cansift::report::page::{Column, List};

    #[test]
    fn a_line_cannot_open_a_list() {
        let lines = ["- dash", "+ plus", "12. twelve", "1) one", "    code", "12 l", "= line"];
        let list = Block::List(List::Lines, lines.map(str::to_owned).to_vec());
        assert_eq!(
            page(&Page { blocks: vec![list] }, Look::default()),
            "- \\- dash\n- \\+ plus\n- 12\\. twelve\n- 1\\) one\n- code\n- 12 l\n- \\= line\n"
        );
    }

    #[test]
    fn a_name_cannot_mark_anything_up() {
        let hostile = "a|b <img src=x> [x](http://x) \u{1b}[2J `c`\n# head";
        let columns = vec![Column::words("build"), Column::figures("flow", "l/h")];
        let mut post = Page::default();
        post.table(Table::new(columns, [vec![hostile.to_owned(), "1".to_owned()]]));
        assert_eq!(
            page(&post, Look::default()),
            "| build | flow, l/h |\n| :-- | --: |\n| a\\|b \\<img src=x\\> \\[x\\](http\\://x) \\\\u{1b}\\[2J \\`c\\`\\\\u{a}\\# head | 1 |\n"
        );
    }
}

mod csv {
    use crate::samples;
    use cansift::measures::Measure;
    use cansift::report::Sheet;
    use cansift::report::grid::table;

    #[test]
    fn a_name_is_never_a_formula_and_a_figure_stays_one() {
        let mut sheet = Sheet::default();
        sheet.rows.push(crate::samples::row("=HYPERLINK(\"x\")", "@a;b\u{1b}", Some(-1.5)));
        sheet.rows.push(crate::samples::row("plain", "b", None));
        let text = table(&sheet, &[Measure::Flow, Measure::FitsCabinet]).csv();
        assert_eq!(
            text,
            "file,filter,build,flow (l/h),fits_cabinet,state,tank\n\
             \"'=HYPERLINK(\"\"x\"\").ron\",\"'=HYPERLINK(\"\"x\"\")\",\"'@a;b\\u{1b}\",-1.5,true,as found,\n\
             plain.ron,plain,b,,true,as found,\n"
        );
    }

    #[test]
    fn bands_get_columns_only_when_there_are_some() {
        let mut sheet = Sheet::default();
        sheet.rows.push(crate::samples::row("a", "b", Some(612.4)));
        sheet.rows[0].simulated = Some(samples::simulated(&[(Measure::Flow, 563.0, 660.9)]).into());
        let text = table(&sheet, &[Measure::Flow]).csv();
        assert_eq!(
            text,
            "file,filter,build,flow (l/h),flow_low (l/h),flow_high (l/h),state,tank\na.ron,a,b,612.4,563,660.9,as found,\n"
        );
    }
}

mod text {

    use cansift::report::page::Column;
    use cansift::report::page::{Look, Page, Table};
    use cansift::report::text::*;

    #[test]
    fn columns_line_up_whatever_the_letters() {
        let columns = vec![Column::words("build"), Column::figures("flow", "l/h")];
        let row = |name: &str, flow: &str| vec![name.to_owned(), flow.to_owned()];
        let rows = [row("水槽 A", "638"), row("Tamsin\u{1b}[2J", "–"), vec!["short".to_owned()]];
        let table = Table::new(columns, rows);
        let look = Look::default();
        assert_eq!(
            cansift::report::text::table(&table, look).join("\n"),
            "build            flow\n                  l/h\n水槽 A            638\nTamsin\\u{1b}[2J     –\nshort"
        );
        assert!(cansift::report::text::table(&table, Look { ascii: true, ..look }).concat().is_ascii());
    }

    #[test]
    fn prose_is_broken_between_words_to_the_width_asked_for() {
        let mut long = Page::default();
        long.paragraph("word ".repeat(50));
        long.list(vec!["word ".repeat(50)]);
        let columns = vec![Column::words("name"), Column::figures("value", ""), Column::prose("source")];
        long.table(Table::new(columns, [vec!["a".to_owned(), "1".to_owned(), "word ".repeat(50)]]));
        for width in [40, 80, 100, 200] {
            let lines = lines(&long, Look { width, ..Look::default() });
            assert!(
                lines.len() > 6 && lines.iter().all(|l| cansift::report::cells::width(l) <= width),
                "{lines:?}"
            );
            assert_eq!(lines.join(" ").matches("word").count(), 150);
        }
    }
}

mod escape {
    use cansift::hidden::is_hidden;
    use cansift::report::escape::*;
    use proptest::prelude::*;
    use std::borrow::Cow;

    #[test]
    fn what_drives_a_terminal_is_written_out() {
        assert_eq!(one_line("a\u{1b}[2Jb\r\n\u{7}"), "a\\u{1b}[2Jb\\u{d}\\u{a}\\u{7}");
        assert_eq!(one_line("\u{9b}31m \u{7f} \u{202e}evil"), "\\u{9b}31m \\u{7f} \\u{202e}evil");
        assert_eq!(lines("one\n\ttwo\r"), "one\n    two\\u{d}");
        assert!(matches!(one_line("Räv · 水槽 é"), Cow::Borrowed(_)), "plain letters of any script stay");
        assert_eq!(json("{\"a\": \"\u{9d}\u{e0041}\"}\n"), "{\"a\": \"\\u009d\\udb40\\udc41\"}\n");
        assert_eq!(markup("<a b='c'>&\u{202e}\u{ffff}"), "&lt;a b=&#39;c&#39;&gt;&amp;\\u{202e}\\u{ffff}");
        assert_eq!(ascii("612 ±48 – ×/÷ 2 水"), "612 +-48 - x or / 2 \\u{6c34}");
    }

    proptest! {
        #[test]
        fn nothing_hidden_ever_leaves(text in any::<String>()) {
            prop_assert!(!one_line(&text).chars().any(is_hidden));
            prop_assert!(!lines(&text).chars().any(|c| c != '\n' && is_hidden(c)));
            prop_assert!(ascii(&one_line(&text)).chars().all(|c| (' '..='~').contains(&c)));
            let written = serde_json::to_string(&text).unwrap();
            let safe = json(&written);
            prop_assert!(!safe.chars().any(is_hidden));
            prop_assert_eq!(serde_json::from_str::<String>(&safe).unwrap(), text);
        }
    }
}

mod report {
    use cansift::measures::Measure;
    use cansift::report::*;

    #[test]
    fn what_cannot_be_told_sorts_last_both_ways() {
        let mut sheet = Sheet::default();
        for (name, flow) in
            [("a", None), ("b", Some(2.0)), ("c", Some(f64::NAN)), ("d", Some(1.0)), ("e", Some(2.0))]
        {
            sheet.rows.push(crate::samples::row(name, "x", flow));
        }
        let order = |s: &Sheet| s.rows.iter().map(|r| r.filter.clone()).collect::<String>();
        sheet.sort(Measure::Flow, false);
        assert_eq!(order(&sheet), "dbeac");
        sheet.sort(Measure::Flow, true);
        assert_eq!(order(&sheet), "bedac");
    }

    #[test]
    fn six_digits_and_no_more() {
        assert_eq!(six_digits(612.345_678_9), Some(612.346));
        assert_eq!(six_digits(1.234_567_8e-7), Some(1.234_57e-7));
        assert_eq!(six_digits(f64::NAN), None);
        assert_eq!(six_digits(f64::NEG_INFINITY), None);
        assert!(six_digits(-0.0).unwrap().is_sign_positive());
    }
}

mod json {
    use crate::samples;

    use cansift::measures::Measure;
    use cansift::report::BadSpot;

    use cansift::report::json::*;

    use cansift::report::{BadFile, Sheet};

    fn sheet() -> Sheet {
        Sheet {
            rows: vec![
                crate::samples::row("Tamsin\u{1b}[2J\u{202e}", "a", Some(612.345_678)),
                crate::samples::row("Orrin", "b", Some(f64::NAN)),
            ],
            broken: vec![BadFile {
                file: "x.ron".to_owned(),
                problems: vec![BadSpot { line: 3, column: 12, message: "m".to_owned(), help: None }],
            }],
            tank: Some("reading-room tank".to_owned()),
            currency: "EUR".to_owned(),
            seed: 1,
        }
    }

    #[test]
    fn figures_are_rounded_and_gaps_give_their_reason() {
        let text = table(&sheet(), &Measure::ALL).unwrap();
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(json["schema"], 2);
        assert_eq!(json["samples"], 0);
        let first = &json["builds"][0];
        assert_eq!(
            first["measures"]["flow"],
            serde_json::json!({"unit": "l/h", "value": 612.346, "median": null, "low": null, "high": null})
        );
        assert_eq!(
            first["measures"]["uv_dose"],
            serde_json::json!({"unit": "mJ/cm2", "value": null, "why": "the lamp is burnt out"})
        );
        assert_eq!(first["measures"]["fits_cabinet"]["value"], true);
        assert_eq!(first["measures"]["bypass_chance"]["value"], serde_json::Value::Null);
        assert!(
            first["measures"]["bypass_chance"]["why"]
                .as_str()
                .unwrap()
                .contains("uncertainty was not worked out")
        );
        assert_eq!(first["order_faults"][0]["costs"], serde_json::Value::Null);
        assert_eq!(json["builds"][1]["measures"]["flow"]["value"], serde_json::Value::Null);
        assert_eq!(json["broken"][0]["problems"][0]["column"], 12);
        assert_eq!(first["filter"], "Tamsin\u{1b}[2J\u{202e}", "the name is whole once it is read back");
        assert!(
            !text.chars().any(|c| c != '\n' && cansift::hidden::is_hidden(c)),
            "but never stands there raw"
        );
        let keys: Vec<&str> = text
            .lines()
            .filter_map(|l| l.strip_prefix("        \"")?.strip_suffix("\": {"))
            .take(Measure::ALL.len())
            .collect();
        assert_eq!(keys, Measure::ALL.map(Measure::key), "measures stand in the catalogue's order");
    }

    #[test]
    fn doubt_fills_the_bands_and_the_risk() {
        let mut sheet = sheet();
        let bands = [(Measure::Flow, 563.0, 660.9), (Measure::Bypass, f64::NAN, 1.0)];
        let mut cases = samples::simulated(&bands);
        (cases.bypass_chance, cases.failed) = (Some(0.25), 3);
        sheet.rows[0].simulated = Some(cases.into());
        let json: serde_json::Value = serde_json::from_str(&table(&sheet, &Measure::ALL).unwrap()).unwrap();
        assert_eq!(json["samples"], 512);
        let measures = &json["builds"][0]["measures"];
        assert_eq!((&measures["flow"]["low"], &measures["flow"]["median"]), (&563.0.into(), &611.95.into()));
        assert_eq!(measures["flow"]["high"], 660.9);
        assert_eq!(measures["bypass"]["low"], serde_json::Value::Null);
        assert_eq!(measures["bypass_chance"]["value"], 0.25);
        assert_eq!(json["builds"][0]["failed_cases"], 3);
        assert_eq!(json["builds"][1]["failed_cases"], serde_json::Value::Null);
    }
}
