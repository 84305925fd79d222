//! Arguments, what they pick, and what is suggested for a slip.

mod pick {

    use cansift::cli::pick::*;

    use std::ffi::OsStr;
    use std::path::Path;

    #[test]
    fn a_hash_parts_file_and_build_unless_the_file_has_it() {
        let files = ["a.ron", "b#2.ron"];
        let exists = |path: &Path| files.iter().any(|f| Path::new(f) == path);
        let cut = |arg: &str| {
            let (path, name) = split(OsStr::new(arg), &exists);
            (path.display().to_string(), name)
        };
        assert_eq!(cut("a.ron"), ("a.ron".to_owned(), None));
        assert_eq!(cut("a.ron#as bought"), ("a.ron".to_owned(), Some("as bought".to_owned())));
        assert_eq!(cut("a.ron#no. #2"), ("a.ron".to_owned(), Some("no. #2".to_owned())));
        assert_eq!(cut("b#2.ron"), ("b#2.ron".to_owned(), None));
        assert_eq!(cut("b#2.ron#x"), ("b#2.ron".to_owned(), Some("x".to_owned())));
        assert_eq!(cut("none.ron#x"), ("none.ron".to_owned(), Some("x".to_owned())));
        assert_eq!(cut("none.ron"), ("none.ron".to_owned(), None));
    }
}

mod console {
    use cansift::cli::console::*;

    use std::io::{self, Write};

    struct Closed(io::ErrorKind);
    impl Write for Closed {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_closed_pipe_is_quiet_and_a_full_disk_is_not() {
        for (kind, status, says) in [
            (io::ErrorKind::BrokenPipe, Status::Fine, false),
            (io::ErrorKind::StorageFull, Status::NothingUsable, true),
        ] {
            let (mut out, mut err) = (Closed(kind), Vec::new());
            let mut console = Console::new(&mut out, &mut err, false);
            let failure = console.result("x").unwrap_err();
            assert_eq!(console.fail(&failure), status);
            assert_eq!(!err.is_empty(), says);
        }
    }

    #[test]
    fn remarks_are_escaped() {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        Console::new(&mut out, &mut err, false).remark("no file `\u{1b}]52;c;x\u{7}`\nhelp");
        assert_eq!(String::from_utf8(err).unwrap(), "no file `\\u{1b}]52;c;x\\u{7}`\nhelp\n");
    }
}

mod args {

    use cansift::cli::args::*;

    use cansift::cli::suggest::SortBy;
    use cansift::measures::Measure;

    use cansift::report::figures::Units;
    use clap::CommandFactory;
    use clap::Parser;

    fn parse(line: &str) -> Result<Args, String> {
        Args::try_parse_from(line.split(' ')).map_err(|e| e.render().to_string())
    }

    #[test]
    fn the_declaration_holds_together() {
        Args::command().debug_assert();
    }

    #[test]
    fn paths_and_commands_are_told_apart() {
        let bare = parse("cansift a.ron folder --tank t.ron --units us").unwrap();
        assert!(bare.command.is_none());
        assert_eq!(bare.bare.paths.len(), 2);
        assert_eq!(bare.look.units, Some(Units::Us));
        let table = parse("cansift table a.ron --sort -flow --columns flow,bypass --units uk").unwrap();
        let Some(Command::Table(args)) = table.command else { panic!("not a table") };
        assert_eq!(args.sort, Some(SortBy { measure: Measure::Flow, down: true }));
        assert_eq!(args.columns, [Measure::Flow, Measure::Bypass]);
        assert_eq!(table.look.units, Some(Units::Uk));
        let before = parse("cansift --ascii --units uk table a.ron").unwrap();
        assert!(matches!(before.command, Some(Command::Table(_))) && before.bare.is_empty());
        assert!(before.look.ascii && before.look.units == Some(Units::Uk));
        assert!(!parse("cansift a.ron table").unwrap().bare.is_empty());
    }

    #[test]
    fn a_wrong_key_gets_the_right_one() {
        let told = parse("cansift table --sort filtered_flo").unwrap_err();
        assert!(told.contains("did you mean `filtered_flow`?"), "{told}");
        let told = parse("cansift table --columns flow,bypas").unwrap_err();
        assert!(told.contains("did you mean `bypass`?"), "{told}");
    }
}

mod man {
    use cansift::cli::args::Args;

    use cansift::cli::man::*;
    use clap::CommandFactory;

    #[test]
    fn every_command_and_its_options_are_on_the_page() {
        let text = page().unwrap();
        assert!(text.contains(".TH"));
        for sub in Args::command().get_subcommands() {
            assert!(
                text.contains(&format!("CANSIFT {}", sub.get_name().to_uppercase())),
                "{}",
                sub.get_name()
            );
        }
        assert!(text.contains("SH KEYS") && text.contains("again turns it round"));
        assert!(text.contains("columns") && text.contains("filtered_flow"));
    }
}

mod new {
    use cansift::model::filter::Way;
    use cansift::profile::starter::{FILTER, filter};

    #[test]
    fn as_many_trays_as_asked_for_and_the_pads_where_the_water_comes_first() {
        let [flow, _, outside] = FILTER.map(|asked| asked.guess());
        for way in [Way::Rising, Way::Falling] {
            for trays in 1..=12 {
                let text = filter("x", [&flow, &format!("count({trays})"), &outside], way).unwrap();
                let lists = text.lines().filter(|line| line.starts_with("                [Layer(")).count();
                assert_eq!(lists, trays, "{text}");
            }
        }
        let falling = filter("x", [&flow, "count(3)", &outside], Way::Falling).unwrap();
        let (coarse, rings) = (falling.rfind("foam-10").unwrap(), falling.find("ceramic").unwrap());
        assert!(rings < coarse, "falling water meets the top tray first, so the pads lie there");
    }

    #[test]
    fn numbers_that_do_not_go_together_are_told() {
        let broken = filter(
            "x",
            ["l_h(900)", "count(20)", "(width: mm(220), depth: mm(220), height: mm(30))"],
            Way::Rising,
        );
        assert!(!broken.unwrap_err().problems.is_empty());
    }
}

mod keys {
    use cansift::app::actions::{self, ACTIONS};
    use cansift::app::key::Keys;

    use cansift::cli::keys::*;

    use std::path::Path;

    fn told(text: &str) -> (Keys, Vec<String>) {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("keys.ron");
        std::fs::write(&file, text).unwrap();
        let found = in_force(Some(&file));
        let lines = found.problems.iter().map(|p| format!("{}:{} {}", p.line, p.column, p.message)).collect();
        (found.keys, lines)
    }

    fn labels(keys: &Keys, name: &str) -> String {
        keys.labels(actions::named(name).unwrap())
    }

    #[test]
    fn what_is_printed_reads_back_as_the_same_keys() {
        let (keys, problems) = told(&page(&InForce::default()));
        assert!(problems.is_empty(), "{problems:?}");
        // A name that means the same in several places has all its keys everywhere now; nothing is lost.
        for row in ACTIONS {
            for key in row.key_list() {
                assert!(keys.of(row).contains(&key), "{} {}", row.name, key.name());
            }
        }
    }

    #[test]
    fn what_is_wrong_is_told_at_its_place_and_the_rest_holds() {
        let text = "[\n  (\"sotr\", [\"z\"]),\n  (\"mark\", [\"v\", \"spce\"]),\n  (\"narrow\", [\"v\"]),\n  \
                    (\"units\", [\"ctrl-c\"]),\n  (\"mark\", [\"b\"]),\n  (\"copy\", \"w\"),\n  (\"help\", [\"f\"]),\n]";
        let (keys, problems) = told(text);
        let wanted = [
            "2:4 there is no action `sotr`",
            "3:18 there is no key `spce`",
            "4:15 `v` is for `mark` already, and both work in one place",
            "5:14 `ctrl-c` is always for `leave`",
            "6:4 `mark` has its keys already",
            "7:12 the keys of an action is a list",
        ];
        assert_eq!(problems.len(), wanted.len(), "{problems:?}");
        for (problem, wanted) in problems.iter().zip(wanted) {
            assert!(problem.starts_with(wanted), "{problem}\n{wanted}");
        }
        assert_eq!(labels(&keys, "mark"), "v");
        assert_eq!(labels(&keys, "help"), "f");
        // Of what is wrong the keys that ship stay.
        assert_eq!((labels(&keys, "narrow"), labels(&keys, "units")), ("/".to_owned(), "u".to_owned()));
    }

    #[test]
    fn a_file_cut_off_leaves_all_as_it_ships() {
        for text in ["[(\"sort\", [\"z\"]", "sort = z", "[(\"sort\", [\"z\"])] more", "\u{0}"] {
            let (keys, problems) = told(text);
            assert!(!problems.is_empty(), "{text:?}");
            assert_eq!(keys, Keys::default(), "{text:?}");
        }
        for text in ["", " \n", "// nothing yet\n"] {
            assert_eq!(told(text), (Keys::default(), Vec::new()), "{text:?}");
        }
    }

    #[test]
    fn a_file_asked_for_that_is_not_there_is_told() {
        let found = in_force(Some(Path::new("/no/such/keys.ron")));
        assert_eq!(found.keys, Keys::default());
        assert!(found.told().unwrap().contains("keys.ron"));
    }
}

mod context {

    use cansift::cli::args::{Look, Run};
    use cansift::cli::console::Console;
    use cansift::cli::context::*;

    use cansift::library::{self};
    use cansift::measures::Measure;

    use std::path::Path;

    #[test]
    fn what_is_known_is_not_judged_again() {
        let loaded = library::demo();
        let cases: Vec<Case> = cases(&loaded).into_iter().take(2).collect();
        let (mut out, mut err) = (std::io::sink(), std::io::sink());
        let mut console = Console::new(&mut out, &mut err, false);
        let context = Context::new(&mut console, Look::default());
        let run = Run { tank: None, as_found: false, samples: Some(8), seed: None, log: None, threads: None };
        let wanted = (Depth::Whole, Kept::All);
        let anew = context.judge(&cases, &[], None, &run, wanted);
        // The second build's figures given as the first's: they are taken as they are.
        let known = |i: usize| (i == 0).then(|| anew.sheet.rows[1].clone());
        let judged = context.judge_rest(&cases, &[], None, &run, wanted, &known);
        let flow = |judged: &Judged, i: usize| {
            let row = &judged.sheet.rows[i];
            (row.outcome(Measure::Flow), row.band(Measure::Flow).unwrap())
        };
        assert_ne!(flow(&anew, 0), flow(&anew, 1));
        assert_eq!([flow(&judged, 0), flow(&judged, 1)], [flow(&anew, 1), flow(&anew, 1)]);
        assert_ne!(judged.sheet.rows[0].build, judged.sheet.rows[1].build);
    }

    #[test]
    fn a_file_is_called_by_its_bare_name_unless_two_share_it() {
        let paths = [Path::new("x/a.ron"), Path::new("y/a.ron"), Path::new("y/b.ron"), Path::new("y/b.ron")];
        let named = Names::new(paths.into_iter());
        assert_eq!(named.of(paths[0]), "x/a.ron");
        assert_eq!(named.of(paths[2]), "b.ron");
    }
}

mod suggest {
    use cansift::cli::suggest::*;
    use cansift::measures::Measure;

    #[test]
    fn near_words_are_found_and_far_ones_are_not() {
        let builds = ["as bought", "restacked"];
        assert_eq!(nearest("restaked", builds), Some("restacked"));
        assert_eq!(nearest("As Bought", builds), Some("as bought"));
        assert_eq!(nearest("something else", builds), None);
        assert_eq!(nearest(&"x".repeat(10_000), builds), None);
        assert_eq!(nearest("", []), None);
    }

    #[test]
    fn a_measure_may_be_called_as_the_screens_call_it() {
        for name in ["thumb rule", "thumb_rule", "Porous media", "rule_of_thumb_tank"] {
            assert_eq!(measure(name), Ok(Measure::RuleOfThumbTank), "{name}");
        }
        assert_eq!(measure("1st year"), Ok(Measure::FirstYearCost));
    }

    #[test]
    fn an_old_key_gets_the_new_one() {
        assert_eq!(measure("worked_flow"), Err("`worked_flow` is called `filtered_flow` now".to_owned()));
    }

    #[test]
    fn a_dash_turns_the_order_round() {
        assert_eq!(
            sort_by("-opening_interval"),
            Ok(SortBy { measure: Measure::OpeningInterval, down: true })
        );
        assert_eq!(
            sort_by("opening_interval"),
            Ok(SortBy { measure: Measure::OpeningInterval, down: false })
        );
        assert!(sort_by("--service").is_err());
    }
}
