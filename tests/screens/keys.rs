//! Keys in, state out: nothing is drawn and no terminal is there.

use std::sync::Arc;

use crate::things::{self, here, listed, press, state};
use cansift::app::actions::{self, ACTIONS};
use cansift::app::effect::{Effect, Message, Mouse};
use cansift::app::entry::Id;
use cansift::app::key::Key;
use cansift::app::layout;
use cansift::app::order::By;
use cansift::app::overlay::{Of, Overlay};
use cansift::app::panes::Pane;
use cansift::app::screens::{builds, compare, ranking};
use cansift::app::tabs::Tab;
use cansift::app::update::update;
use cansift::measures::Measure;
use cansift::model::tank::Tank;

#[test]
fn the_best_clearing_stands_first_and_broken_files_last() {
    let s = state((120, 40));
    assert_eq!(
        listed(&s),
        [
            "Tamsin 1100 · restacked",
            "Orrin 900 · as sold",
            "Tamsin 1100 · as bought",
            "Dunlow 300 · floss only",
            "demo/wherry.ron"
        ]
    );
    assert_eq!(here(&s), "Tamsin 1100 · restacked");
}

#[test]
fn sorting_by_the_column_and_again_turns_it_round() {
    let mut s = state((120, 40));
    press(&mut s, "<right>s");
    assert_eq!(s.sort[0].by, By::Measure(Measure::BypassDirty));
    assert_eq!(s.sort[1].by, By::Measure(Measure::Clearing));
    assert_eq!(listed(&s)[0], "Orrin 900 · as sold");
    assert!(listed(&s)[4].ends_with("wherry.ron"));
    press(&mut s, "s");
    assert_eq!(listed(&s)[0], "Dunlow 300 · floss only");
    assert!(listed(&s)[4].ends_with("wherry.ron"));
    press(&mut s, "<left><left>s");
    assert_eq!(s.sort[0].by, By::Name);
    assert_eq!(listed(&s)[0], "Dunlow 300 · floss only");
}

#[test]
fn the_cursor_stays_on_its_build_when_rows_move() {
    let mut s = state((120, 40));
    press(&mut s, "<down><down>");
    assert_eq!(here(&s), "Tamsin 1100 · as bought");
    press(&mut s, "ss<right><right>s");
    assert_eq!(here(&s), "Tamsin 1100 · as bought");
}

#[test]
fn narrowing_by_typing_and_stepping_back() {
    let mut s = state((120, 40));
    press(&mut s, "/TAM");
    assert_eq!(listed(&s).len(), 2);
    // Keys that mean something elsewhere are letters here.
    assert!(press(&mut s, "q<backspace><enter>").is_empty());
    assert!(!s.typing && s.narrow == "TAM");
    press(&mut s, "<esc>");
    assert_eq!((s.narrow.as_str(), listed(&s).len()), ("", 5));
    press(&mut s, "/wherry");
    assert_eq!(here(&s), "demo/wherry.ron");
    press(&mut s, "<esc>/nothing like it<enter><down><up>s e");
    assert_eq!(listed(&s).len(), 0);
}

#[test]
fn esc_never_leaves_and_q_does() {
    let mut s = state((120, 40));
    press(&mut s, " <down> dp?x");
    for _ in 0..10 {
        assert!(press(&mut s, "<esc>").is_empty());
    }
    assert_eq!((s.screen, s.pane, s.overlay.clone()), (Tab::Builds, Pane::Table, None));
    assert_eq!(press(&mut s, "q"), [Effect::Quit]);
    assert_eq!(press(&mut s, "?<ctrl-c>"), [Effect::Quit]);
}

#[test]
fn marks_and_diff() {
    let mut s = state((120, 40));
    press(&mut s, "d");
    assert_eq!(s.screen, Tab::Builds);
    assert!(s.status.as_ref().unwrap().contains("mark two builds"));
    // One marked, the cursor goes on by itself: that one and the one under the cursor.
    press(&mut s, " d");
    assert_eq!(s.screen, Tab::Compare);
    let names: Vec<_> = compare::builds(&s).into_iter().map(|id| s.entry(id).unwrap().name.clone()).collect();
    assert_eq!(names, ["Tamsin 1100 · restacked", "Orrin 900 · as sold"]);
    press(&mut s, "<esc><up> ");
    assert!(s.marks.is_empty(), "space on a marked build unmarks it");
    press(&mut s, "<home> <end>");
    press(&mut s, " ");
    assert!(s.status.as_ref().unwrap().contains("broken file"));
    press(&mut s, "x");
    assert!(s.marks.is_empty());
}

#[test]
fn diff_shows_what_differs_and_all_on_request() {
    let mut s = state((120, 40));
    press(&mut s, " <down> d");
    let few = compare::lines(&s);
    assert!(few.iter().any(|l| matches!(l, compare::Compared::Measure(Measure::FilteredFlow))));
    assert!(!few.iter().any(|l| matches!(l, compare::Compared::Measure(Measure::Power))));
    press(&mut s, "a");
    assert_eq!(
        compare::lines(&s).iter().filter(|l| matches!(l, compare::Compared::Measure(_))).count(),
        Measure::ALL.len()
    );
    // The two builds of one file: the same inputs, other stacks.
    press(&mut s, "a<esc>x/tamsin<enter><home> <down> d");
    let lines = compare::lines(&s);
    assert!(lines.iter().any(|l| matches!(l, compare::Compared::Step(_))));
    let fields: Vec<_> = lines
        .iter()
        .filter_map(|l| match l {
            compare::Compared::Field(f) => Some(f.path.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(fields, ["build"]);
}

#[test]
fn explaining_asks_outside_and_only_its_own_answer_counts() {
    let mut s = state((120, 40));
    let asked = press(&mut s, "e");
    let [Effect::Explain { number, of, measure }] = asked[..] else { panic!("{asked:?}") };
    assert_eq!((of, measure), (Of::Listed(1), Measure::Clearing));
    update(&mut s, Message::Explained { number: number - 1, lines: vec!["another".to_owned()] });
    assert!(matches!(&s.overlay, Some(Overlay::Explain { lines: None, .. })));
    update(&mut s, Message::Explained { number, lines: vec!["so".to_owned()] });
    assert!(matches!(&s.overlay, Some(Overlay::Explain { lines: Some(l), .. }) if l == &["so"]));
    press(&mut s, "<esc><left>e");
    assert!(s.overlay.is_none() && s.status.as_ref().unwrap().contains("on the name"));
}

#[test]
fn help_finds_and_does_and_says_why_not() {
    let mut s = state((120, 40));
    press(&mut s, "<right>?sort by<enter>");
    assert_eq!(s.sort[0].by, By::Measure(Measure::BypassDirty));
    assert!(s.overlay.is_none());
    press(&mut s, "?side by side<enter>");
    assert!(s.status.as_ref().unwrap().contains("mark two builds"));
}

#[test]
fn columns_are_chosen_and_moved_and_the_cursor_keeps_its_column() {
    let mut s = state((120, 40));
    press(&mut s, "<right>");
    assert_eq!(s.measure_here(), Some(Measure::BypassDirty));
    press(&mut s, "c ");
    assert_eq!(s.columns[0], Measure::BypassDirty);
    assert_eq!(s.measure_here(), Some(Measure::BypassDirty));
    press(&mut s, "<home><right>");
    assert_eq!(s.columns[1], Measure::BypassDirty);
    assert_eq!(s.measure_here(), Some(Measure::BypassDirty));
    press(&mut s, "<end> ");
    assert_eq!(s.columns.len(), 13);
    for _ in 0..30 {
        press(&mut s, "<home> ");
    }
    press(&mut s, "<esc>se<left><right>");
}

#[test]
fn an_older_round_of_judging_is_dropped() {
    let mut s = state((120, 40));
    let was = s.entries[0].judged.clone();
    let other = Arc::new(things::judgement(&things::tamsin(), 0, 1.0, 0.1, 1.0));
    let round = s.round - 1;
    update(&mut s, Message::Judged { round, done: vec![(0, other)] });
    assert_eq!(s.entries[0].judged, was);
}

#[test]
fn reloading_keeps_cursor_marks_and_figures() {
    let mut s = state((120, 40));
    press(&mut s, " <down>");
    assert_eq!(here(&s), "Tamsin 1100 · as bought");
    assert_eq!(press(&mut s, "r"), [Effect::Load]);
    let mut again = things::loaded();
    again.filters.remove(2);
    again.filters.reverse();
    update(&mut s, Message::Loaded(again));
    assert_eq!(here(&s), "Tamsin 1100 · as bought");
    assert_eq!(s.entry(s.marks[0]).unwrap().name, "Tamsin 1100 · restacked");
    assert_eq!(s.unjudged(), 0, "what did not change keeps its figures until it is judged again");
    // The file breaks under the cursor: the cursor goes to its problems.
    let mut worse = things::loaded();
    worse.filters.remove(0);
    let mut bad = things::broken();
    bad.path = "demo/tamsin-1100.ron".into();
    worse.broken.push(bad);
    update(&mut s, Message::Loaded(worse));
    assert_eq!(here(&s), "demo/tamsin-1100.ron");
    assert!(s.marks.is_empty());
}

#[test]
fn a_build_that_cannot_be_judged_is_told_and_not_waited_for() {
    let mut s = state((120, 40));
    s.entries[0].judged = None;
    assert_eq!(s.unjudged(), 1);
    let round = s.round;
    update(&mut s, Message::Failed { round, entry: 0, why: "a fault".to_owned() });
    assert_eq!(s.unjudged(), 0);
    assert!(s.status.as_ref().unwrap().contains("could not be judged"));
}

#[test]
fn pasted_text_is_text() {
    let mut s = state((120, 40));
    update(&mut s, Message::Paste("q\nq".to_owned()));
    assert!(s.status.is_some() && s.narrow.is_empty());
    press(&mut s, "/");
    update(&mut s, Message::Paste("orr\u{1b}in\nq".to_owned()));
    assert_eq!(s.narrow, "orrin");
    assert_eq!(listed(&s).len(), 1);
}

#[test]
fn the_mouse_selects_sorts_and_scrolls() {
    let mut s = state((120, 40));
    let at = |x, y, what| Message::Mouse { what, x, y };
    // Two lines of header, the title, two lines of head, then the rows.
    update(&mut s, at(8, 6, Mouse::Press));
    assert_eq!(here(&s), "Orrin 900 · as sold");
    update(&mut s, at(8, 7, Mouse::WheelDown));
    assert_eq!(here(&s), "Tamsin 1100 · as bought");
    update(&mut s, at(8, 3, Mouse::Press));
    assert_eq!(s.sort[0].by, By::Name);
    update(&mut s, at(100, 6, Mouse::Press));
    assert_eq!(s.pane, Pane::Inside);
    update(&mut s, at(12, 0, Mouse::Press));
    assert_eq!(s.screen, Tab::Compare);
    update(&mut s, at(2, 0, Mouse::Press));
    assert_eq!(s.screen, Tab::Builds);
    for x in 0..130 {
        for y in 0..45 {
            update(&mut s, at(x, y, Mouse::Press));
            update(&mut s, at(x, y, Mouse::WheelUp));
        }
    }
}

#[test]
fn ten_thousand_rows_are_walked_and_only_those_in_view_are_drawn() {
    let mut s = state((120, 40));
    let one = s.entries[0].clone();
    s.entries = (0..10_000)
        .map(|i| {
            let mut e = one.clone();
            e.name = format!("build {i}");
            e
        })
        .collect();
    builds::settle(&mut s);
    press(&mut s, "<end><up><up>");
    let main = s.parts().main.unwrap();
    let rows = cansift::ui::widgets::table::rows(
        &s,
        80,
        s.top,
        layout::table_rows(main),
        2,
        cansift::ui::theme::Theme::new(s.look),
    );
    assert_eq!(rows.len(), 2 + layout::table_rows(main));
    assert!(s.top > 9_000 && s.row_here() == 9_998);
    press(&mut s, "<pageup>");
    assert_eq!(s.row_here(), 9_998 - (layout::table_rows(main) - 1));
}

#[test]
fn any_keys_in_any_order_leave_a_sound_state() {
    let mut keys: Vec<Key> = ACTIONS.iter().flat_map(cansift::app::actions::Action::key_list).collect();
    keys.retain(|k| !matches!(k.label().as_str(), "q" | "Ctrl-C"));
    keys.extend(crate::typed::list("abc <backspace><tab><enter><esc><esc><esc>"));
    let mut seed = 11_u32;
    for run in 0..40 {
        let mut s = state((60 + 3 * run, 10 + run));
        for _ in 0..500 {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let key = keys[(seed >> 8) as usize % keys.len()];
            update(&mut s, Message::Key(key));
            assert!(s.column <= s.columns.len() && s.top <= s.rows.len());
            assert!(s.cursor.is_none_or(|id| s.rows.contains(&id)) || s.rows.is_empty());
            assert!(s.marks.iter().all(|m| matches!(m, Id::Build(_))));
        }
    }
}

#[test]
fn whatever_the_footer_offers_is_in_the_table() {
    let s = state((120, 40));
    for row in actions::of_place(actions::behind(&s)) {
        for key in s.keys.of(row) {
            assert!(actions::for_key(&s, key).is_some(), "{}", key.label());
        }
    }
}

/// A state that is judged for the demo's own tank.
fn with_tank() -> cansift::app::state::State {
    let mut s = state((120, 40));
    s.tank = Some(cansift::library::demo_tanks()[0].tank.clone());
    s
}

#[test]
fn priorities_move_with_minus_and_plus_and_the_ranks_are_asked_for_again() {
    let mut s = with_tank();
    let asked = press(&mut s, "3");
    let [Effect::Rank(ask)] = asked.as_slice() else { panic!("{asked:?}") };
    let ask = &**ask;
    assert_eq!((ask.builds.len(), ask.weights.len()), (4, s.ranking.weights.len()));
    let before = s.ranking.weights[1].1;
    let again = press(&mut s, "<right>++");
    assert_eq!(again.len(), 2, "one question a step: {again:?}");
    assert_eq!(s.ranking.weights[1].1, before + 1.0);
    press(&mut s, "------------");
    assert_eq!(s.ranking.weights[1].1, 0.0, "no weight falls below nothing");
    press(&mut s, "0");
    assert_eq!(s.ranking.weights[1].1, before);
    // An answer to an older question is dropped, the latest is shown.
    let number = s.ranking.asked;
    let stood = things::stood(ask);
    update(&mut s, Message::Ranked { number: number - 1, stood: stood.clone() });
    assert!(s.ranking.stood.is_none());
    update(&mut s, Message::Ranked { number, stood });
    assert_eq!(ranking::rows(&s).len(), 4);
    assert!(press(&mut s, "<esc>").is_empty() && s.screen == Tab::Builds);
}

#[test]
fn diff_asks_once_why_two_builds_differ() {
    let mut s = with_tank();
    let asked = press(&mut s, " <down> d");
    let [Effect::Why(pair)] = asked.as_slice() else { panic!("{asked:?}") };
    assert!(press(&mut s, "<down>").iter().all(|e| matches!(e, Effect::Why(p) if p != pair)));
    let again = press(&mut s, "<up>");
    assert!(
        matches!(again.as_slice(), [Effect::Why(p)] if p == pair),
        "the newest took its place: {again:?}"
    );
    let round = s.round;
    update(&mut s, Message::Whied { pair: *pair, round, because: Err("stack +1".into()) });
    assert_eq!(s.whys.get(pair).cloned().flatten(), Some(Err("stack +1".into())));
    press(&mut s, "<down>");
    assert!(press(&mut s, "<up>").is_empty(), "it is known");
    update(&mut s, Message::Whied { pair: *pair, round: round + 1, because: Err("of another round".into()) });
    assert_eq!(s.whys.get(pair).cloned().flatten(), Some(Err("stack +1".into())));
}

/// Keys with Ctrl that terminal multiplexers take as their prefix (a, b, o) or that a terminal takes for its flow
/// (s, q), its end of input (d) and its quoting (v) never reach a program for sure. Common practice, no source.
#[test]
fn no_key_is_one_that_a_multiplexer_or_the_terminal_takes() {
    use cansift::app::key::Code;
    let mut with_ctrl = 0;
    for row in ACTIONS {
        for key in row.key_list().filter(|key| key.ctrl) {
            with_ctrl += 1;
            assert!(!matches!(key.code, Code::Char('a' | 'b' | 'd' | 'o' | 'q' | 's' | 'v')), "{}", row.name);
        }
        // What works only with Ctrl is what terminals themselves mean by it.
        let all_ctrl = row.key_list().count() > 0 && row.key_list().all(|key| key.ctrl);
        assert!(!all_ctrl || matches!(row.name, "redraw" | "suspend"), "{}", row.name);
    }
    assert!(with_ctrl > 0);
}

#[test]
fn letters_move_as_arrows_do() {
    let mut arrows = state((120, 40));
    let mut letters = state((120, 40));
    for (a, l) in [("<down>", "j"), ("<right>", "l"), ("<down>", "j"), ("<up>", "k"), ("<left>", "h")] {
        press(&mut arrows, a);
        press(&mut letters, l);
        assert_eq!((here(&arrows), arrows.column), (here(&letters), letters.column), "{a} {l}");
    }
}

#[test]
fn another_tank_has_every_build_judged_again() {
    let mut s = state((120, 40));
    press(&mut s, "<down> ");
    let (cursor, marks, round) = (s.cursor, s.marks.clone(), s.round);
    let tank = demo_tank();
    assert_eq!(update(&mut s, Message::Tank(tank)), [Effect::Judge]);
    assert!(s.entries.iter().all(|e| e.judged.is_none()), "figures of the tank before");
    assert!(s.round > round && s.doubted.is_none());
    assert_eq!((s.cursor, s.marks.clone()), (cursor, marks));
    // What comes in late for the tank before is dropped.
    let late = things::judgement(&s.entries[0].filter, 0, 1.0, 0.0, 1.0);
    update(&mut s, Message::Judged { round, done: vec![(0, Arc::new(late))] });
    assert!(s.entries[0].judged.is_none());
}

#[test]
fn changed_files_are_read_quietly_and_cursor_and_marks_stay() {
    let mut s = state((120, 40));
    press(&mut s, "<down> ");
    let (name, marked) = (here(&s), s.entry(s.marks[0]).unwrap().name.clone());
    assert_eq!(update(&mut s, Message::Changed), [Effect::Load]);
    assert!(!s.loading && s.status.is_none(), "nothing flashes");
    let mut loaded = things::loaded();
    // A file that comes before moves every place.
    loaded.filters.rotate_right(1);
    assert_eq!(update(&mut s, Message::Loaded(loaded)), [Effect::Judge]);
    assert_eq!((here(&s), s.entry(s.marks[0]).unwrap().name.clone()), (name, marked));
}

#[test]
fn ranking_asks_once_for_every_weight_moved_and_never_judges() {
    let mut s = state((80, 24));
    update(&mut s, Message::Tank(demo_tank()));
    let round = s.round;
    let done =
        s.entries.iter().map(|e| things::judgement(&e.filter, e.build, 500.0, 0.1, 60.0)).map(Arc::new);
    let done = done.enumerate().collect();
    update(&mut s, Message::Judged { round, done });
    let asked = |effects: Vec<Effect>| -> Vec<f64> {
        let [Effect::Rank(ask)] = effects.as_slice() else { panic!("{effects:?}") };
        ask.weights.clone()
    };
    let first = press(&mut s, "3");
    let [Effect::Rank(ask)] = first.as_slice() else { panic!("{first:?}") };
    let stood = things::stood(ask);
    let before = asked(first);
    let after = asked({
        press(&mut s, "<right>");
        press(&mut s, "+")
    });
    assert_eq!(before.len(), after.len());
    assert_eq!(after[1], before[1] + 0.5);
    assert_eq!((after[0], s.round), (before[0], round));
    assert_eq!(asked(press(&mut s, "0")), before);
    let number = s.ranking.asked;
    update(&mut s, Message::Ranked { number: number - 1, stood: stood.clone() });
    assert!(s.ranking.stood.is_none(), "of an older question");
    update(&mut s, Message::Ranked { number, stood });
    assert!(s.ranking.stood.is_some());
}

fn demo_tank() -> Arc<Tank> {
    cansift::library::demo_tanks().into_iter().next().unwrap().tank
}

/// What the disk did is said once, with the file and how many builds; a key's own news is not written over.
#[test]
fn files_read_again_are_told() {
    let mut s = state((120, 40));
    let mut loaded = things::loaded();
    let mut other = (*loaded.filters[0].filter).clone();
    other.notes = "another".to_owned();
    loaded.filters[0].filter = Arc::new(other);
    update(&mut s, Message::Loaded(loaded.clone()));
    let said = s.status.clone().unwrap();
    assert!(said.starts_with("read again: ") && said.ends_with("2 builds changed"), "{said}");
    press(&mut s, "<down>");
    update(&mut s, Message::Loaded(loaded));
    assert!(s.status.is_none(), "nothing changed");
}
