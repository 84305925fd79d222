//! Quantities, texts of RON, problems and figures as they are read and written.

mod quantity {

    use cansift::model::fields::Dimension;

    use cansift::profile::quantity::*;
    use cansift::uncertainty::uncertain::Provenance;
    use cansift::units::{Flow, Length, Plain, Quantity, Temperature};

    fn get<Q: Quantity>(text: &str) -> Result<Written, String> {
        read(text, &(0..text.len()), Dimension::of::<Q>()).map_err(|fault| fault.message)
    }

    #[test]
    fn every_way_of_writing_a_figure_is_read() {
        let si = |text: &str| get::<Length>(text).unwrap().si;
        assert_eq!(si("mm(16)"), 0.016);
        assert_eq!(si("mm ( /* bore */ 1_6.0 , )"), 0.016);
        assert_eq!(si("between(mm(0.5), cm(0.2))"), 0.00125);
        assert_eq!(get::<Flow>("measured(l_h(3600))").unwrap().known, Provenance::Measured);
        assert!((get::<Flow>("measured(l_h(3600))").unwrap().si - 1e-3).abs() < 1e-12);
        assert!(!get::<Length>("inch(1)").unwrap().said && get::<Length>("stated(inch(1))").unwrap().said);
        assert_eq!(get::<Plain>("guessed(.45)").unwrap().si, 0.45);
        assert!((get::<Temperature>("degf(77)").unwrap().si - 25.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_figure_is_refused() {
        for text in [
            "16",
            "\"16 mm\"",
            "mm",
            "mm()",
            "mm(1, 2)",
            "mm(NaN)",
            "mm(-inf)",
            "mm(1e999)",
            "mm(0x10)",
            "l_h(3)",
            "MM(3)",
            "[mm(3)]",
            "(3)",
            "measured(16)",
            "measured(guessed(mm(1)))",
            "between(mm(1))",
            "mm(1..2)",
            "between(mm(2), mm(1))",
            "measured()",
            "",
            "mm(mm(1))",
            "mm(\"1\")",
            "rising",
        ] {
            assert!(get::<Length>(text).is_err(), "{text}");
        }
        assert!(get::<Plain>("mm(3)").is_err() && get::<Plain>("\"3\"").is_err());
    }
}

#[allow(clippy::string_slice)] // a test may fail loudly
mod lexer {
    use cansift::profile::lexer::*;

    #[test]
    fn a_value_ends_where_it_ends() {
        for (text, value) in [
            ("mm(16), x", "mm(16)"),
            ("\"a, (b\" , x", "\"a, (b\""),
            ("[1, (2, 3)] // , c\n, 4", "[1, (2, 3)]"),
            ("r#\"a\"),\"# )", "r#\"a\"),\"#"),
            ("')' , 2", "')'"),
            ("rising)", "rising"),
            ("1 /* , */ )", "1"),
            ("\"\\\"),\")", "\"\\\"),\""),
        ] {
            assert_eq!(&text[..value_end(text, 0)], value);
        }
    }

    #[test]
    fn what_is_not_closed_is_found() {
        assert_eq!(unclosed("f(a: [1, \")\", ')'], /* ( */ b: r#\"(\"#) // ("), None);
        assert_eq!(unclosed("f(a: [1)"), Some(Unclosed::Mismatch { at: 7, open: Some(5) }));
        assert_eq!(unclosed("f()) "), Some(Unclosed::Mismatch { at: 3, open: None }));
        assert_eq!(unclosed("f(a: [1"), Some(Unclosed::Open { at: 5, depth: 2 }));
        assert_eq!(unclosed("f( /* a"), Some(Unclosed::Comment(3)));
        assert_eq!(unclosed("f(\"a)"), Some(Unclosed::Text(2)));
        assert_eq!(text_over_lines("f(\"a\", \"b\n\")", 12), Some(7..11));
    }

    #[test]
    fn entries_and_items_are_found() {
        let text = "Hose( bore /*x*/ : mm(16), wall: ribbed(pitch: mm(4)), )";
        let keys: Vec<_> = entries(text, &(0..text.len())).into_iter().map(|e| &text[e.key]).collect();
        assert_eq!(keys, ["bore", "wall"]);
        let text = "between(1, /* two */ mm(2))";
        let found: Vec<_> = items(text, &(0..text.len())).into_iter().map(|i| &text[i]).collect();
        assert_eq!(found, ["1", "mm(2)"]);
        assert!(items("f()", &(0..3)).is_empty());
    }
}

#[allow(clippy::string_slice)] // a test may fail loudly
mod message {

    use cansift::profile::Problem;
    use cansift::profile::message::*;
    use std::ops::Range;
    use std::path::Path;

    fn one(source: &str, place: Range<usize>) -> Problem {
        let fault = Diagnostic { place, message: "it is wrong".into(), help: Some("put it right".into()) };
        problems(Path::new("a/b/c.ron"), source, &[fault]).remove(0)
    }

    #[test]
    fn columns_count_characters_and_the_mark_stands_under_the_spot() {
        let problem = one("x\n  \u{e9}\u{4e94} bad y\n", 10..13);
        assert_eq!((problem.line, problem.column), (2, 6));
        let lines: Vec<_> = problem.rendered.lines().collect();
        assert_eq!(lines[0], "error: it is wrong");
        assert_eq!(lines[1].trim(), "--> b/c.ron:2:6");
        let source = lines.iter().find(|line| line.starts_with("2 |")).unwrap();
        let mark = lines.iter().find(|line| line.contains("^^^")).unwrap();
        // The wide character takes two cells but is one character.
        let cells = source.find("bad").map(|i| source[..i].chars().count() + 1).unwrap();
        assert_eq!(mark.find('^'), Some(cells));
    }

    #[test]
    fn nothing_foreign_comes_out_raw() {
        let problem = one("a \u{1b}]52;c;x\u{7}\u{202e} b\u{9b}31m", 2..3);
        assert!(
            !problem.rendered.chars().any(|c| c != '\n' && cansift::hidden::is_hidden(c)),
            "{:?}",
            problem.rendered
        );
        assert!(problem.rendered.contains("\\u{1b}"));
        assert_eq!(problem.column, 3);
    }

    #[test]
    fn a_very_long_line_is_cut_round_the_mark() {
        let line = format!("{}bad{}", "x".repeat(50_000), "y".repeat(50_000));
        let problem = one(&line, 50_000..50_003);
        assert_eq!(problem.column, 50_001);
        assert!(problem.rendered.len() < 2_000 && problem.rendered.contains("bad"));
    }

    #[test]
    fn odd_places_are_survived() {
        for source in ["", "\n", "é", "ab"] {
            for from in 0..5 {
                for to in 0..5 {
                    one(source, from..to);
                }
            }
        }
    }
}

mod diagnostics {

    use cansift::profile::diagnostics::*;

    #[test]
    fn near_words_are_suggested_and_far_ones_not() {
        let fields = ["bore", "wall", "pitch"];
        assert_eq!(nearest("boer", fields), Some("bore"));
        assert_eq!(nearest("Wall", fields), Some("wall"));
        assert_eq!(nearest("colour", fields), None);
    }

    #[test]
    fn text_is_described_as_what_it_is() {
        assert_eq!(describe("\"16 mm\""), "the text \"16 mm\"");
        assert_eq!(describe("[1, 2]"), "a list");
        assert_eq!(describe("mm(3)"), "`mm(…)`");
        assert_eq!(describe("-4"), "the number -4");
    }
}

mod tank {

    #[test]
    fn times_are_written_in_whole_weeks_where_they_are() {
        let days = |days: f64| {
            cansift::profile::write::figures::number_text(
                days,
                &cansift::model::tank::Aims::open_no_more_than_every,
            )
        };
        assert_eq!((days(42.0), days(10.0)), ("week(6)".to_owned(), "day(10)".to_owned()));
        assert_eq!(days(30.5), "day(30.5)");
    }
}

mod figures {
    use cansift::model::fields::{Dimension, Known, Row};
    use cansift::model::filter::Hose;
    use cansift::model::filter::{Body, Label, Repair};
    use cansift::model::medium::Medium;
    use cansift::profile::write::figures::*;
    use cansift::uncertainty::uncertain::{Provenance, Spread};

    use cansift::units::{Flow, Length, Plain, Quantity, Time, Volume};

    fn written<Q: Quantity>(unit: &str, number: f64, spread: Spread, known: Provenance, row: &Row) -> String {
        let of = Dimension::of::<Q>();
        let si = of.unit(unit).map_or(number, |u| u.to_si(number));
        known_text(&Known { si, known, spread, of }, row.unit, row.printed)
    }

    fn stated<Q: Quantity>(unit: &str, number: f64, spread: Spread, row: &Row) -> String {
        written::<Q>(unit, number, spread, Provenance::Stated, row)
    }

    #[test]
    fn figures_are_written_as_a_person_would() {
        let usual = Spread::Normal { sd: 0.025 };
        let mm = |x| stated::<Length>("mm", x, usual, &Hose::bore);
        assert_eq!((mm(16.0), mm(12.5), mm(0.05)), ("mm(16)".into(), "mm(12.5)".into(), "mm(0.05)".into()));
        assert_eq!(stated::<Length>("inch", 0.63, usual, &Hose::bore), "inch(0.63)");
        let flow = Spread::Normal { sd: 0.05 };
        assert_eq!(stated::<Flow>("l_h", 1100.0, flow, &Label::flow), "l_h(1100)");
        assert_eq!(stated::<Flow>("gal_us_h", 290.0, flow, &Label::flow), "gal_us_h(290)");
        assert_eq!(stated::<Volume>("ml", 900.0, usual, &Body::head_space), "ml(900)");
        assert_eq!(stated::<Time>("week", 6.0, usual, &Medium::life), "week(6)");
        assert_eq!(stated::<Plain>("", 9.0, Spread::Exact, &Repair::price), "9");
        assert_eq!(stated::<Plain>("", 9.0, usual, &Repair::price), "stated(9)");
        let guess = Spread::Normal { sd: 0.2 };
        assert_eq!(written::<Length>("mm", 0.4, guess, Provenance::Guessed, &Hose::bore), "guessed(mm(0.4))");
        assert_eq!(text("a \"b\" \\"), "\"a \\\"b\\\" \\\\\"");
    }
}

mod library {
    use cansift::library::*;

    use cansift::model::medium::Medium;

    #[test]
    fn everything_that_ships_is_sound() {
        let (library, problems) = shipped();
        let told: Vec<_> = problems.iter().map(|p| p.rendered.as_str()).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
        assert!(library.media().count() > 0 && library.fittings().count() > 0);
        let demo = demo();
        assert!(demo.broken.is_empty(), "{:?}", demo.broken);
        assert_eq!(demo.filters.len(), DEMO.len());
        assert_eq!(demo_tanks().len(), DEMO_TANKS.len());
        assert_eq!(start_tanks().len(), START_TANKS.len());
    }

    #[test]
    fn a_medium_of_the_user_gives_way_to_none_but_its_own_id() {
        let mut library = Library::shipped().clone();
        let before = library.media().count();
        let mut medium = Medium::clone(library.media().next().unwrap());
        medium.name = "mine".into();
        let id = medium.id.clone();
        library.add_medium(medium);
        assert_eq!(library.media().count(), before);
        assert_eq!(library.medium(&id).unwrap().name, "mine");
        assert_ne!(Library::shipped().medium(&id).unwrap().name, "mine");
    }
}
