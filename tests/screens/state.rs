//! Parts of the state, without a screen.

mod key {
    use cansift::app::key::*;

    #[test]
    fn a_string_of_keys_reads_back() {
        let keys = crate::typed::list("/t<enter> <ctrl-c><<shift-up>");
        let labels: Vec<String> = keys.into_iter().map(Key::label).collect();
        for key in crate::typed::list("/ <enter><ctrl-c><shift-up><space>ä") {
            assert_eq!(Key::named(&key.name()), Some(key));
        }
        let sent = |name: &str| Key::named(name).map(Key::name);
        assert_eq!(sent("shift-s").as_deref(), Some("S"));
        assert_eq!(sent("ctrl-S").as_deref(), Some("ctrl-s"));
        assert_eq!(sent("shift-tab").as_deref(), Some("backtab"));
        assert_eq!(sent("ctrl-m").as_deref(), Some("enter"));
        assert_eq!(labels, ["/", "t", "Enter", "space", "Ctrl-C", "<", "Shift-↑"]);
    }
}

mod order {

    use cansift::app::order::*;
    use cansift::measures::Measure;

    #[test]
    fn sorting_again_turns_it_round_and_the_old_key_stays_second() {
        let worked = By::Measure(Measure::FilteredFlow);
        let service = By::Measure(Measure::OpeningInterval);
        let keys = sort_by(&[SortKey::best_first(service)], worked);
        assert_eq!(keys, [SortKey::best_first(worked), SortKey::best_first(service)]);
        let turned = sort_by(&keys, worked);
        assert_eq!(turned.first(), Some(&SortKey { by: worked, falling: false }));
        assert_eq!(turned.get(1), keys.get(1));
        assert!(!SortKey::best_first(By::Measure(Measure::Bypass)).falling);
    }
}

mod actions {
    use cansift::app::actions::*;

    use cansift::app::key::Key;

    use cansift::app::tabs::ALL_PLACES;

    #[test]
    fn every_key_reads_and_means_one_thing_in_a_place() {
        for place in ALL_PLACES {
            let mut seen: Vec<Key> = Vec::new();
            let mut names: Vec<&str> = Vec::new();
            for row in of_place(*place) {
                assert!(row.name.chars().all(|c| c.is_ascii_lowercase() || c == '_') && !row.name.is_empty());
                assert!(!names.contains(&row.name), "{} twice in {place:?}", row.name);
                names.push(row.name);
                assert_eq!(row.keys.split(' ').count(), row.key_list().count(), "{}", row.keys);
                assert!(!row.says.is_empty());
                for key in row.key_list() {
                    assert!(!seen.contains(&key), "{} twice in {place:?}", key.label());
                    seen.push(key);
                }
            }
        }
    }
}

mod keys {
    use cansift::app::actions::{self, Action};
    use cansift::app::key::{Code, Key, Keys};
    use cansift::app::keys::*;

    fn row(name: &str) -> &'static Action {
        actions::named(name).unwrap()
    }

    fn of(own: &[(&str, &str)]) -> Keys {
        Keys::own(
            own.iter()
                .map(|(name, keys)| ((*name).to_owned(), keys.split(' ').filter_map(Key::named).collect()))
                .collect(),
        )
    }

    #[test]
    fn own_keys_stand_in_place_of_those_that_ship_and_take_theirs() {
        let keys = of(&[("sort", "z ctrl-s"), ("mark", "s")]);
        assert_eq!(keys.labels(row("sort")), "z Ctrl-S");
        assert_eq!(keys.labels(row("mark")), "s");
        assert_eq!(keys.labels(row("narrow")), "/");
        let keys = of(&[("mark", "p")]);
        assert_eq!(keys.labels(row("next_pane")), "");
        assert_eq!(keys.left_without(), [("next_pane", Key::plain(Code::Char('p')))]);
    }

    #[test]
    fn there_is_always_a_way_out() {
        assert_eq!(of(&[("leave", "ctrl-q")]).labels(row("leave")), "Ctrl-Q Ctrl-C");
        assert_eq!(of(&[("leave", "")]).labels(row("leave")), "Ctrl-C");
    }

    #[test]
    fn words_name_the_keys_in_force() {
        let said = "mark two ({mark}), {nonsense} {";
        assert_eq!(Keys::default().fill(said), "mark two (space), {nonsense} {");
        assert_eq!(of(&[("mark", "v")]).fill(said), "mark two (v), {nonsense} {");
        assert_eq!(of(&[("mark", "")]).fill(said), "mark two (mark), {nonsense} {");
    }

    #[test]
    fn one_key_may_stand_for_two_actions_that_never_meet() {
        assert!(share_a_place("sort", "mark") && !share_a_place("sort", "toggle"));
        assert!(!share_a_place("sort", "sort"));
    }
}

mod layout {
    use cansift::app::layout::*;
    use cansift::app::panes::Pane;
    use cansift::app::panes::View;
    use cansift::app::tabs::Tab;

    #[test]
    fn parts_tile_the_window_at_every_size() {
        for w in 1..=250 {
            for h in 1..=80 {
                for (pane, view) in Pane::ALL.into_iter().flat_map(|p| View::ALL.map(|v| (p, v))) {
                    let p = parts((w, h), Tab::Builds, view, pane);
                    let areas: Vec<Area> = p
                        .header
                        .iter()
                        .chain(p.footer.iter())
                        .chain(p.main.iter())
                        .chain(p.side.iter().map(|(_, a)| a))
                        .copied()
                        .collect();
                    let cells: u32 = areas.iter().map(|a| u32::from(a.w) * u32::from(a.h)).sum();
                    assert_eq!(cells, u32::from(w) * u32::from(h), "{w}x{h} {pane:?} {view:?}");
                    assert!(areas.iter().all(|a| a.x + a.w <= w && a.y + a.h <= h));
                }
            }
        }
    }
}

mod panes {
    use cansift::app::panes::*;

    #[test]
    fn every_side_pane_is_in_its_own_group() {
        for count in 1..=7 {
            for pane in Pane::ALL.into_iter().skip(1) {
                let group = pane.group(count);
                assert!(group.contains(&pane) && group.len() == count, "{pane:?} {count}");
            }
        }
        assert_eq!(Pane::Table.group(2), [Pane::Inside, Pane::Slows]);
        assert_eq!(Pane::Slows.group(2), [Pane::Inside, Pane::Slows]);
        assert_eq!(Pane::Notes.turned(1), Pane::Table);
    }
}

mod narrow {
    use cansift::app::list::*;

    #[test]
    fn words_are_looked_for_anywhere() {
        assert!(holds("Tamsin 1100 · restacked", "tam"));
        assert!(holds("Tamsin 1100 · restacked", "rest TAM"));
        assert!(!holds("Tamsin 1100 · restacked", "tam orrin"));
        assert!(holds("anything", "  "));
        assert_eq!(one_line("a\u{1b}[31mb\nc"), "a[31mb");
    }
}

mod list {
    use cansift::app::list::*;

    #[test]
    fn the_window_moves_as_little_as_may_be() {
        assert_eq!(keep_row_in_window(0, 4, 5, 100), 0);
        assert_eq!(keep_row_in_window(0, 5, 5, 100), 1);
        assert_eq!(keep_row_in_window(10, 3, 5, 100), 3);
        assert_eq!(keep_row_in_window(98, 99, 5, 100), 95);
        assert_eq!(keep_row_in_window(3, 0, 0, 0), 0);
    }
}

mod settings {
    use cansift::app::columns::Column;
    use cansift::app::order::{By, SortKey};

    use cansift::app::settings::*;
    use cansift::app::state::State;
    use cansift::measures::Measure;
    use cansift::report::figures::Units;

    #[test]
    fn what_is_kept_comes_back_and_nonsense_is_left_out() {
        let mut state = State::new("demo", None);
        state.columns = vec![Measure::Power.into(), Column::Known, Measure::Flow.into()];
        state.units = Units::Us;
        let kept = state.settings();
        let mut other = State::new("demo", None);
        other.restore(&kept);
        assert_eq!(other.settings(), kept);
        let odd = Settings {
            columns: vec!["nonsense".to_owned()],
            sort: vec![("more nonsense".to_owned(), true), ("flow".to_owned(), false)],
            units: "cubits".to_owned(),
            mouse: true,
            tank: None,
            no_tank: false,
            paths: Vec::new(),
            priorities: vec![("nonsense".to_owned(), 2.0), ("clearing".to_owned(), f64::NAN)],
            ..Settings::default()
        };
        other.restore(&odd);
        assert_eq!(
            other.columns,
            kept.columns.iter().filter_map(|k| Column::from_key(k)).collect::<Vec<_>>()
        );
        assert_eq!(other.sort, [SortKey { by: By::Measure(Measure::Flow), falling: false }]);
        assert_eq!((other.units, other.mouse), (Units::Us, true));
    }

    #[test]
    fn moved_priorities_view_search_and_marks_are_there_next_time() {
        let tank = cansift::library::demo_tanks().remove(0).tank;
        let mut state = State::new("demo", Some(tank.clone()));
        state.restore(&Settings::default());
        assert!(state.settings().priorities.is_empty(), "the tank's own are the tank's");
        let (first, was) = state.ranking.weights[0];
        let mut kept = Settings {
            priorities: vec![(first.key().to_owned(), was + 0.5)],
            view: "list".to_owned(),
            search: "tam".to_owned(),
            marks: vec![("a.ron".to_owned(), "as bought".to_owned())],
            place: Some(("b.ron".to_owned(), "restacked".to_owned())),
            ..Settings::default()
        };
        let mut next = State::new("demo", Some(tank));
        next.restore(&kept);
        assert_eq!(next.ranking.weights[0], (first, was + 0.5));
        let again = next.settings();
        assert_eq!(again.priorities[0], (first.key().to_owned(), was + 0.5));
        kept.priorities.clone_from(&again.priorities);
        assert_eq!(again, kept);
    }
}

mod line {
    use cansift::app::line::*;

    fn typed(text: &str, keys: &str) -> String {
        let mut line = Line::new(Goal::Sources, text);
        for key in crate::typed::list(keys) {
            assert_eq!(line.key(key), Done::No);
        }
        format!("{}|{}", line.before, line.after)
    }

    #[test]
    fn letters_go_where_the_caret_is() {
        assert_eq!(typed("l(180)", "<left><backspace>5"), "l(185|)");
        assert_eq!(typed("l(180)", "<home><delete>ml<end>!"), "ml(180)!|");
        assert_eq!(typed("abc", "<ctrl-u>x"), "x|");
        assert_eq!(typed("", "<left><right><backspace><delete>"), "|");
    }

    #[test]
    fn words_are_stepped_over_and_taken_away_whole() {
        assert_eq!(typed("on hand 40 gal", "<ctrl-w>"), "on hand 40 |");
        assert_eq!(typed("on hand 40 gal", "<ctrl-left><ctrl-w>x"), "on hand x|gal");
        assert_eq!(typed("on hand", "<ctrl-a>x<ctrl-e>y"), "xon handy|");
        assert_eq!(typed("on hand", "<home><ctrl-right>,"), "on,| hand");
        assert_eq!(typed("", "<ctrl-w><ctrl-left><ctrl-right>"), "|");
    }

    #[test]
    fn a_letter_of_several_characters_is_one() {
        // An e with a combining accent, and a family.
        assert_eq!(typed("e\u{301}", "<backspace>"), "|");
        assert_eq!(typed("a👨‍👩‍👧", "<left>"), "a|👨‍👩‍👧");
        assert_eq!(typed("濾過", "<left><backspace>"), "|過");
    }

    #[test]
    fn pasted_text_stays_one_harmless_line() {
        let mut line = Line::new(Goal::Sources, "");
        line.insert("l(1\u{1b}80)\nq");
        assert_eq!(line.text(), "l(180)");
        line.insert(&"x".repeat(MOST * 2));
        assert!(line.text().chars().count() <= MOST);
    }
}

mod typed {

    use cansift::app::screens::restack::typed::*;

    use cansift::model::ranges;

    use cansift::report::figures::Units;

    #[test]
    fn figures_are_read_as_people_type_them() {
        let mm = |text| length(text, &ranges::LAYER_DEPTH, Units::Metric);
        assert_eq!(mm("25"), Ok(25.0));
        assert_eq!(mm(" 2.5 cm"), Ok(25.0));
        assert_eq!(mm("mm(25)"), Ok(25.0));
        // The international inch is 25.4 mm exactly (NIST SP 811).
        assert_eq!(mm("1 in"), Ok(25.4));
        assert_eq!(length("1", &ranges::LAYER_DEPTH, Units::Us), Ok(25.4));
        assert_eq!(mm("0"), Ok(0.0));
        for bad in ["", "x", "2,5", "-3", "25 l", "9999", "1e9", "nan", "inf"] {
            assert!(mm(bad).is_err(), "{bad}");
        }
        assert_eq!(share("10 %", &ranges::SQUEEZED), Ok(0.1));
        assert!(share("95", &ranges::SQUEEZED).is_err());
    }
}

mod logs {
    use std::sync::Arc;

    use cansift::app::effect::{Effect, Message};
    use cansift::app::update::update;
    use cansift::assess::log::Mode;
    use cansift::assess::monte_carlo::Simulated;
    use cansift::model::Day;
    use cansift::model::log::{Dated, Reading, When};
    use cansift::profile::Loaded;

    use super::super::things::{loaded, press, state};

    /// With a log in the first build, or another reading in it.
    fn logged(watts: f64) -> Loaded {
        let mut files = loaded();
        let filter = Arc::make_mut(&mut files.filters[0].filter);
        let kept = &mut filter.builds[0].kept;
        kept.packed = Day::read("2026-03-01");
        let what = Reading::Meter { power: watts };
        kept.log = vec![Dated { on: When::Since(3), trusted: true, what }];
        files
    }

    /// Builds whose cases are to be worked out anew once the log has changed.
    fn again(mode: Mode) -> (usize, usize) {
        let mut state = state((80, 24));
        state.samples = Some(64);
        update(&mut state, Message::Loaded(logged(17.0)));
        for entry in &mut state.entries {
            entry.judge(Arc::new(super::super::things::judgement(
                &entry.filter,
                entry.build,
                500.0,
                0.1,
                60.0,
            )));
            entry.simulate(Arc::new(Simulated::empty(64, Vec::new())));
        }
        assert!(state.to_judge().is_empty());
        state.log_moves = mode;
        update(&mut state, Message::Loaded(logged(19.0)));
        (state.to_judge().len(), state.entries.iter().filter(|e| e.path == state.entries[0].path).count())
    }

    #[test]
    fn a_changed_log_is_learnt_from_by_those_whom_it_moves() {
        let (all, _) = again(Mode::All);
        let (own, of_its_file) = again(Mode::Own);
        assert_eq!(all, loaded().filters.iter().map(|f| f.filter.builds.len()).sum::<usize>());
        assert_eq!(own, of_its_file);
        assert!(own < all);
    }

    /// Why two differ hangs on what the log says, which is learnt with the cases.
    #[test]
    fn why_waits_for_what_logs_say() {
        for logs in [true, false] {
            let mut state = state((80, 24));
            state.samples = Some(64);
            update(&mut state, Message::Loaded(if logs { logged(17.0) } else { loaded() }));
            for (entry, flow) in state.entries.iter_mut().zip([500.0, 300.0, 200.0, 100.0]) {
                let judged = super::super::things::judgement(&entry.filter, entry.build, flow, 0.1, 60.0);
                entry.judge(Arc::new(judged));
            }
            let asked = |effects: Vec<Effect>| effects.iter().any(|e| matches!(e, Effect::Why(_)));
            assert_eq!(asked(press(&mut state, " <down> 2")), !logs);
            let (round, cases) = (state.round, Arc::new(Simulated::empty(64, Vec::new())));
            let done = (0..state.entries.len()).map(|i| (i, Arc::clone(&cases))).collect();
            assert_eq!(asked(update(&mut state, Message::Doubted { round, done, share: 1.0 })), logs);
        }
    }

    #[test]
    fn a_key_says_whose_figures_logs_move() {
        let mut state = state((80, 24));
        assert_eq!(press(&mut state, "L"), []);
        update(&mut state, Message::Loaded(logged(17.0)));
        assert_eq!(press(&mut state, "L"), [Effect::Judge]);
        assert_eq!(state.log_moves, Mode::Own);
        press(&mut state, "LL");
        assert_eq!(state.log_moves, Mode::All);
    }
}
