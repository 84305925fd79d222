//! What the screens look like, without colour, at three sizes; and that every size draws.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use crate::things::{self, press, state};
use cansift::app::columns;
use cansift::app::effect::{Effect, Message};
use cansift::app::entry::Entry;
use cansift::app::jobs::Hooks;
use cansift::app::panes::{Pane, View};
use cansift::app::screens::compare::{self, Compared};
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::assess::monte_carlo::Simulated;
use cansift::cli::args::Run;
use cansift::library::Library;
use cansift::measures::{Measure, Outcome};
use cansift::report::figures::Units;
use cansift::ui::theme::Theme;
use cansift::ui::widgets::{section, table};
use cansift::ui::{plain, view};
use cansift::uncertainty::summary::Band;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

fn draw(state: &mut State) -> String {
    let mut terminal = Terminal::new(TestBackend::new(state.size.0, state.size.1)).unwrap();
    terminal.draw(|frame| state.drawn = view::draw(state, frame)).unwrap();
    let buffer = terminal.backend().buffer();
    let width = usize::from(buffer.area.width.max(1));
    buffer
        .content
        .chunks(width)
        .map(|row| row.iter().map(ratatui::buffer::Cell::symbol).collect::<String>().trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The screen after some keys.
fn shown(size: (u16, u16), keys: &str) -> String {
    let mut state = state(size);
    draw(&mut state);
    press(&mut state, keys);
    draw(&mut state)
}

const SIZES: [(u16, u16); 3] = [(60, 15), (80, 24), (120, 40)];

macro_rules! pictures {
    ($($name:ident $keys:literal;)+) => { $(
        #[test]
        fn $name() {
            for (w, h) in SIZES {
                insta::assert_snapshot!(format!("{}-{w}x{h}", stringify!($name)), shown((w, h), $keys));
            }
        }
    )+ };
}

pictures! {
    builds "";
    as_bought "<down><down>";
    inside "<down><down>p";
    inside_falling "<down>p";
    slows "pp";
    media_order "<down><down>ppp";
    curve "pppp";
    when_to_open "ppppp";
    suits "pppppp";
    notes "ppppppp";
    list_alone "vv";
    pane_alone "v";
    broken_file "<end>p";
    searched "/tam";
    no_match "/zz<enter>";
    searched_and_marked "  /tam";
    help "?";
    help_searched "?sort";
    columns "c";
    compare " <down> d";
    compare_all " <down> da";
    ranking_without_a_tank "3";
    dash "<right><right><right><right><right><right>e";
}

/// The same with doubt beside the figures.
fn doubted(size: (u16, u16)) -> State {
    let mut state = state(size);
    state.samples = Some(512);
    let done = state
        .entries
        .iter()
        .enumerate()
        .map(|(i, e)| {
            let mut doubts = Simulated::empty(64, Vec::new());
            for m in Measure::ALL {
                let spread = e.outcome(m).and_then(Outcome::number).map(|x| Band {
                    low: x * 0.9,
                    median: x,
                    high: x * 1.12,
                });
                doubts.set_band(m, spread);
            }
            (i, Arc::new(doubts))
        })
        .collect();
    let round = state.round;
    update(&mut state, Message::Doubted { round, done, share: 0.88 });
    state
}

#[test]
fn the_curve_shows_how_far_its_point_may_lie_off() {
    let mut state = doubted((80, 24));
    draw(&mut state);
    press(&mut state, "pppp");
    insta::assert_snapshot!("doubt-curve-80x24", draw(&mut state));
}

#[test]
fn doubt_stands_beside_each_figure() {
    for (w, h) in SIZES {
        let mut state = doubted((w, h));
        insta::assert_snapshot!(format!("doubt-{w}x{h}"), draw(&mut state));
        press(&mut state, " <down> d");
        insta::assert_snapshot!(format!("doubt-compare-{w}x{h}"), draw(&mut state));
    }
}

/// The section alone, as narrow as it is legible and wider.
#[test]
fn the_section_is_legible_at_thirty_columns_and_better_at_sixty() {
    for build in ["as bought", "restacked"] {
        let mut state = state((120, 40));
        press(&mut state, &format!("/{build}<enter>"));
        let judged = state.here().unwrap().judged.clone().unwrap();
        for (w, h) in [(16, 16), (30, 20), (60, 34)] {
            let theme = Theme::new(state.look);
            let rows = section::rows(&judged, (w, h), Units::Metric, theme);
            let text: Vec<String> =
                rows.iter().map(|r| r.spans.iter().map(|s| s.content.as_ref()).collect()).collect();
            insta::assert_snapshot!(format!("section-{build}-{w}"), text.join("\n"));
        }
    }
}

#[test]
fn ascii_draws_only_ascii() {
    for size in SIZES {
        for keys in ["", "p", "pp", "ppp", "pppp", "ppppp", "?", "c", " <down> d", "<end>p"] {
            let mut state = state(size);
            state.look.ascii = true;
            press(&mut state, keys);
            let text = draw(&mut state);
            assert!(text.is_ascii(), "{size:?} {keys}: {text}");
        }
    }
    let mut state = state((120, 40));
    state.look.ascii = true;
    press(&mut state, "<down><down>");
    insta::assert_snapshot!(draw(&mut state));
}

#[test]
fn every_size_draws_every_view() {
    let views = [
        "",
        "p",
        "pp",
        "ppp",
        "pppp",
        "ppppp",
        "pppppp",
        "ppppppp",
        "v",
        "vv",
        "?",
        "c",
        "e",
        " <down> d",
        " <down> da",
        "<end>p",
        "/zz",
    ];
    for keys in views {
        let mut state = state((80, 24));
        press(&mut state, keys);
        for h in (1..=80).step_by(5).chain([2, 3, 80]) {
            for w in (1..=250).step_by(11).chain([2, 3, 250]) {
                update(&mut state, Message::Size(w, h));
                let mut buffer = Buffer::empty(Rect::new(0, 0, w, h));
                state.drawn = view::paint_all(&state, &mut buffer);
            }
        }
    }
}

#[test]
fn resizing_keeps_the_place() {
    let mut state = state((120, 40));
    press(&mut state, "<down><down><right>");
    let was = (things::here(&state), state.measure_here());
    for size in [(20, 5), (1, 1), (80, 24), (200, 60), (120, 40)] {
        update(&mut state, Message::Size(size.0, size.1));
        draw(&mut state);
        assert_eq!((things::here(&state), state.measure_here()), was);
    }
}

#[test]
fn foreign_names_cannot_drive_the_terminal() {
    let mut state = state((120, 40));
    let mut loaded = things::loaded();
    let mut foul = things::tamsin();
    foul.name = "Ev\u{1b}]52;c;AAAA\u{7}il\u{202e}\n濾過器".to_owned();
    foul.builds[0].name = "\u{9b}2J".to_owned();
    loaded.filters = vec![cansift::profile::Sound {
        path: "\u{1b}[31m.ron".into(),
        filter: std::sync::Arc::new(foul),
        hints: Vec::new(),
    }];
    update(&mut state, Message::Loaded(loaded));
    for keys in ["", "p", "<left><left>", "d", "?"] {
        press(&mut state, keys);
        let text = draw(&mut state);
        let bad = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{202a}'..='\u{202e}');
        assert!(!text.contains(bad), "{text:?}");
        assert!(!plain::pane(&state).contains(bad));
    }
}

#[test]
fn unreal_numbers_never_reach_a_screen() {
    for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300] {
        let mut state = state((120, 40));
        let mut j = state.entries[0].judged.as_deref().unwrap().clone();
        for m in Measure::ALL {
            j.set(m, Outcome::Value(x));
        }
        j.head_budget.iter_mut().for_each(|p| (p.m, p.share) = (x, x));
        j.pump_head = Some(x);
        j.leaks.iter_mut().for_each(|l| (l.share, l.share_at_service) = (x, Some(x)));
        for space in j.section.trays.iter_mut().chain(j.section.floor.iter_mut()) {
            (space.height_mm, space.fills_box, space.excess_mm) = (x, Some(x), x);
            space.layers.iter_mut().for_each(|l| (l.height_mm, l.share, l.slack_mm) = (x, Some(x), x));
            space.from_above.iter_mut().for_each(|p| *p = (x, x));
        }
        j.section.head_mm = Some(x);
        let c = j.curve.as_mut().unwrap();
        (c.pump, c.clean, c.works_at) = (vec![(x, x), (0.0, x)], vec![(x, 1.0), (5.0, 2.0)], (x, x));
        j.timeline.as_mut().unwrap().points.iter_mut().for_each(|p| (p.day, p.flow, p.bypass) = (x, x, x));
        j.helps.iter_mut().for_each(|h| (h.worked, h.bypass, h.cost) = (Some(x), Some(x), Some(x)));
        let round = state.round;
        let done = (0..4).map(|i| (i, Arc::new(j.clone()))).collect();
        update(&mut state, Message::Judged { round, done });
        for keys in ["", "p", "pp", "p", "p", "p", "e", "<esc><esc> <down> d", "a"] {
            press(&mut state, keys);
            let text = draw(&mut state) + &plain::pane(&state);
            assert!(!text.contains("NaN") && !text.contains("inf "), "{x} {keys}:\n{text}");
        }
    }
}

#[test]
fn the_copy_of_a_pane_holds_what_it_shows() {
    let mut state = state((80, 24));
    let table = plain::pane(&state);
    for name in things::listed(&state) {
        assert!(name.contains("wherry") || table.contains(&name), "{name} in\n{table}");
    }
    for measure in &state.columns {
        let (above, below) = cansift::app::columns::heads(&state, *measure);
        assert!(table.contains(&above) && table.contains(&below), "{above} {below} in\n{table}");
    }
    press(&mut state, "<down><down>p");
    assert_eq!(state.pane, Pane::Inside);
    insta::assert_snapshot!(plain::pane(&state));
}

/// The demo, judged and doubted by the program itself, with few draws.
fn demo(size: (u16, u16)) -> (State, Hooks) {
    let tank = cansift::library::demo_tanks().into_iter().next().unwrap().tank;
    let run = Run { tank: None, as_found: false, samples: Some(64), seed: None, log: None, threads: None };
    let hooks = cansift::cli::screens::hooks(Vec::new(), Library::shipped(), &run);
    let mut state = State::new("built-in demo", Some(tank));
    state.samples = Some(64);
    update(&mut state, Message::Size(size.0, size.1));
    update(&mut state, Message::Loaded((hooks.load)()));
    let (round, tank) = (state.round, state.tank.clone());
    let judged = state.entries.iter().map(|e| (hooks.judge)(&e.filter, e.build, tank.as_deref()));
    let done = judged.map(Arc::new).enumerate().collect();
    update(&mut state, Message::Judged { round, done });
    (state, hooks)
}

fn doubt(state: &mut State, hooks: &Hooks) {
    let never = AtomicBool::new(false);
    let many = |e: &Entry| (hooks.doubt.as_ref().unwrap())(&e.filter, e.build, state.tank.as_deref(), &never);
    let done: Vec<_> = state.entries.iter().map(|e| Arc::new(many(e).unwrap())).enumerate().collect();
    let round = state.round;
    update(state, Message::Doubted { round, done, share: 1.0 });
}

/// Answers what the screens ask for, as the background would.
fn answer(state: &mut State, hooks: &Hooks, effects: Vec<Effect>) {
    for effect in effects {
        let said = match effect {
            Effect::Rank(ask) => Message::Ranked { number: ask.number, stood: Box::new((hooks.rank)(&ask)) },
            Effect::Why(pair) => {
                let of = |i: usize| (&*state.entries[i].filter, state.entries[i].build);
                let tank = state.tank.as_deref();
                let because = (hooks.why)(of(pair.first), of(pair.other), pair.measure, tank);
                Message::Whied { pair, round: state.round, because }
            }
            other => panic!("{other:?}"),
        };
        update(state, said);
    }
}

#[test]
fn ranking_and_reasons_of_the_demo() {
    for (w, h) in SIZES {
        let (mut state, hooks) = demo((w, h));
        // Before doubt is there, the nominal order stands, and it says so.
        let effects = press(&mut state, "3");
        answer(&mut state, &hooks, effects);
        insta::assert_snapshot!(format!("ranking-nominal-{w}x{h}"), draw(&mut state));
        doubt(&mut state, &hooks);
        let effects = press(&mut state, "<esc>3");
        answer(&mut state, &hooks, effects);
        insta::assert_snapshot!(format!("ranking-{w}x{h}"), draw(&mut state));
        press(&mut state, "<end>");
        insta::assert_snapshot!(format!("ranking-end-{w}x{h}"), draw(&mut state));
        press(&mut state, "?<end>");
        let help: String = (0..80)
            .map(|_| {
                press(&mut state, "<down>");
                draw(&mut state)
            })
            .collect();
        assert!(help.contains("clearing: 0.2 1/h to 3.0 1/h"), "{w}x{h}");
        state.overlay = None;
        let effects = press(&mut state, "1/tamsin<enter> <down>d");
        answer(&mut state, &hooks, effects);
        insta::assert_snapshot!(format!("compare-reasons-{w}x{h}"), draw(&mut state));
    }
}

/// What is told first where room is short: how far the work is, then what is broken, then the tank.
#[test]
fn the_header_tells_the_progress_at_every_width() {
    for w in 60..=130 {
        let mut state = doubted((w, 24));
        state.source = "/a/long/way/to/the/folder/of/filters".to_owned();
        let header = draw(&mut state).lines().nth(1).unwrap().to_owned();
        assert!(header.contains("512 cases") && header.contains("88 %"), "{w}: {header}");
        assert!(header.contains("! 1 "), "{w}: {header}");
    }
}

/// At the same view a wider window never shows fewer figures.
#[test]
fn a_wider_window_never_shows_fewer_measures() {
    let mut state = doubted((60, 24));
    for view in View::ALL {
        state.view = view;
        let mut before = 0;
        for w in 60..=200 {
            update(&mut state, Message::Size(w, 24));
            let table = usize::from(state.parts().main.unwrap().inner().w);
            let count = columns::shown(&state, table, 0).len();
            assert!(count >= before, "{view:?} at {w}: {count} after {before}");
            before = count;
        }
    }
    // As the plan of widths has it.
    for (w, view, least) in
        [(60, View::List, 3), (80, View::List, 5), (100, View::List, 7), (120, View::List, 9)]
            .into_iter()
            .chain([(160, View::List, 12), (80, View::Both, 5), (120, View::Both, 5), (160, View::Both, 8)])
    {
        state.view = view;
        update(&mut state, Message::Size(w, 24));
        let table = usize::from(state.parts().main.unwrap().inner().w);
        let count = columns::shown(&state, table, 0).len();
        assert!(count >= least, "{view:?} at {w}: {count}");
    }
}

/// In one column it is a middle with its low–high, low–high alone, or a middle alone, in each row the same.
#[test]
fn a_column_shows_one_kind_of_figure() {
    let (mut state, hooks) = demo((80, 24));
    doubt(&mut state, &hooks);
    state.view = View::List;
    let mut both = 0;
    for w in [60, 80, 100, 120, 160, 200, 250] {
        update(&mut state, Message::Size(w, 40));
        let text = draw(&mut state);
        let rows: Vec<Vec<char>> = text.lines().map(|line| line.chars().collect()).collect();
        let first =
            rows.iter().position(|row| row.first() == Some(&'►') && row.get(1) == Some(&' ')).unwrap();
        for shown in columns::shown(&state, usize::from(state.parts().main.unwrap().inner().w), 0) {
            let mut kinds = std::collections::BTreeSet::new();
            for (i, id) in state.rows.iter().enumerate() {
                let Some(entry) = state.entry(*id) else { continue };
                let figure = table::cell(&state, entry, shown.column);
                if figure.span.is_some() {
                    let said: String = rows[first + i].iter().skip(shown.x).take(shown.w).collect();
                    let kind = [figure.both(), figure.narrow(), figure.middle_alone()];
                    kinds.insert(kind.iter().position(|kind| kind == said.trim()));
                }
            }
            both += usize::from(kinds.contains(&Some(0)));
            assert!(
                kinds.len() <= 1 && !kinds.contains(&None),
                "{:?} at {w}: {kinds:?}\n{text}",
                shown.column
            );
        }
    }
    assert!(both > 20, "{both}");
}

/// What the column under the cursor means stands whole, however narrow the list.
#[test]
fn each_column_can_be_read_whole() {
    for size in [(60, 24), (80, 24)] {
        let mut state = state(size);
        press(&mut state, "c");
        for column in cansift::app::screens::columns::lines(&state) {
            let text = draw(&mut state).replace('│', " ");
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains(column.says()), "{column:?}: {text}");
            press(&mut state, "<down>");
        }
    }
}

/// Whichever two of the demo are set side by side, the trays come in their order.
#[test]
fn the_media_of_two_builds_stand_from_the_top_tray_down() {
    let (mut state, _) = demo((80, 24));
    let ids: Vec<_> = state.rows.iter().copied().filter(|id| state.entry(*id).is_some()).collect();
    let mut seen = 0;
    for (i, first) in ids.iter().enumerate() {
        for other in ids.iter().skip(i + 1) {
            state.compare.two = Some((*first, *other));
            let lines = compare::lines(&state);
            if !lines.contains(&Compared::Head("Media, top tray first")) {
                continue;
            }
            let trays: Vec<usize> = lines
                .iter()
                .filter_map(|l| if let Compared::Step(row) = l { Some(row.tray()) } else { None })
                .collect();
            seen += usize::from(trays.len() > 3);
            assert!(trays.is_sorted_by(|a, b| a >= b), "{trays:?}");
        }
    }
    assert!(seen > 50, "{seen}");
}

/// Words that a keeper would have to learn, and signs that say less than they seem to.
#[test]
fn no_screen_says_the_old_words() {
    let (mut state, hooks) = demo((120, 40));
    doubt(&mut state, &hooks);
    press(&mut state, "/tamsin<enter> <down> ");
    for keys in
        ["", "p", "p", "p", "p", "p", "p", "p", "p", "2", "a", "3", "4", "p", "5", "6", "1?", "<esc>2?"]
    {
        let effects = press(&mut state, keys);
        for effect in effects {
            if matches!(effect, Effect::Rank(_) | Effect::Why(_)) {
                answer(&mut state, &hooks, vec![effect]);
            }
        }
        let text = draw(&mut state);
        for old in ["±", "100 %", "draws", "doubt", "worked", "staging", "Diff", "judged for"] {
            assert!(!text.contains(old), "{old} after {keys}:\n{text}");
        }
    }
}

/// At 80 by 24 each measure's verdict stands whole in its row.
#[test]
fn the_verdict_is_whole_at_eighty_columns() {
    let (mut state, hooks) = demo((80, 24));
    doubt(&mut state, &hooks);
    let effects = press(&mut state, "/tamsin<enter> <down> d");
    answer(&mut state, &hooks, effects);
    let text = draw(&mut state);
    let rows: Vec<&str> =
        text.lines().filter(|l| l.contains("l/h ") || l.contains("EUR ") || l.contains("×/h ")).collect();
    assert!(rows.len() >= 4, "{text}");
    for row in rows.iter().filter(|r| !r.contains("Why")) {
        let marks = ["▲ better", "▼ worse", "≈ same", "? unsure"];
        assert!(marks.iter().any(|mark| row.contains(mark)), "{row}\n{text}");
    }
}

/// What was told last takes the place of the basis, and the last of it is in Notes.
#[test]
fn what_was_told_is_kept_in_notes() {
    let mut state = state((120, 40));
    press(&mut state, "u");
    assert!(draw(&mut state).lines().nth(1).unwrap().contains("units: us"));
    press(&mut state, "<down>ppppppp");
    assert_eq!(state.pane, Pane::Notes);
    let text = draw(&mut state);
    assert!(text.contains("Messages so far") && text.contains("units: us"), "{text}");
    for _ in 0..80 {
        press(&mut state, "uu");
    }
    assert_eq!(state.told.len(), 50);
}

/// Names in wide letters, which take two cells each, keep to the width of the table of ranks.
#[test]
fn ranks_of_wide_names_keep_to_the_width() {
    let (mut state, hooks) = demo((80, 24));
    for e in &mut state.entries {
        e.name = format!("{} · 二段重ね", "外部式濾過器の大きな箱".repeat(3));
    }
    let effects = press(&mut state, "3");
    answer(&mut state, &hooks, effects);
    for w in [60, 80, 120] {
        for row in cansift::ui::screens::ranking::rows(&state, w, Theme::new(state.look)) {
            assert!(row.width() <= w, "{w}: {row:?}");
        }
    }
}

#[test]
fn ascii_takes_two_signs_where_one_would_mislead() {
    let said = cansift::ui::theme::to_ascii("2.3 → 2.4 ×/h · restac… ≈ same ≈≈ ░░ ▒▒ ▓▓ ·· 0.5–2.8 ▲▼ −3");
    assert_eq!(said, "2.3 -> 2.4 x/h / restac.. = same ~~ :: %% ## .. 0.5-2.8 ^v -3");
    assert_eq!(cansift::ui::theme::to_ascii("café tank ≤30 Ölfilter"), "cafe tank <30 Olfilter");
}
