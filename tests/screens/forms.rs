//! The Tank screen: keys in, state out; what it looks like. And of Tank and Sources together: every size draws, and no
//! keys and no foreign text do harm.

use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::demo::{SIZES, answer, at, cursor, draw, fill, form, go, lines, on, text, told};
use crate::things::press;
use cansift::app::actions::ACTIONS;
use cansift::app::effect::{Effect, Message, Mouse};
use cansift::app::key::Key;
use cansift::app::line::Goal;
use cansift::app::state::State;
use cansift::app::tabs::Tab;
use cansift::app::tank_form::{Answer, Ask};
use cansift::app::update::update;
use cansift::library::{self, Library};
use cansift::measures::{Measure, Outcome};
use cansift::model::tank::{Feed, Requirement, Stock};
use cansift::profile::form::At;
use cansift::profile::read_tank;
use cansift::ui::{plain, view};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

#[test]
fn every_field_can_be_filled_in_and_the_tank_follows() {
    let mut s = form((80, 24));
    for (path, typed, stands) in [
        ("name", "window \"tank\"", "\"window \\\"tank\\\"\""),
        ("volume", "measured(l(200))", "measured(l(200))"),
        ("water/temperature", "75 f", "degf(75)"),
        ("water/ph", "6,8", "6.8"),
        ("water/tap_nitrate", "~5", "guessed(5)"),
        ("feed/daily", "1-2 g", "between(g_day(1), g_day(2))"),
        ("feed/protein", "50 %", "0.5"),
        ("plants", "0.3", "0.3"),
        ("hoses/intake", "4 ft", "ft(4)"),
        ("hoses/return", "170 cm", "cm(170)"),
        ("hoses/bends", "3", "3"),
        ("hoses/outlet_above_water", "5", "cm(5)"),
        ("water_change", "30 % every 2 weeks", "(share: 0.3, every: week(2))"),
        ("aims/turnover", "5", "5"),
        ("aims/nitrate", "30 mg/l", "30"),
        ("aims/open_no_more_than_every", "4", "week(4)"),
        ("budget", "99 EUR", "99"),
        ("currency", "GBP", "\"GBP\""),
        ("power_price", "0.25", "0.25"),
        ("hz", "60 Hz", "60"),
        ("cabinet", "50x40x61 cm", "(width: cm(50), depth: cm(40), height: cm(61))"),
        ("on_hand/0", "lava-15 3 l", "(\"lava-15\", l(3))"),
        ("priorities/clearing", "2", "2"),
    ] {
        let was = s.tank.clone();
        let effects = fill(&mut s, path, typed);
        assert!(effects.contains(&Effect::Judge), "{path}: {}", told(&s));
        assert_eq!(text(&s, path), stands, "{path}");
        assert_ne!(s.tank, was, "{path}");
        assert_eq!(s.unjudged(), 0, "{path}: judged at once");
    }
    on(&mut s, "water/salt");
    assert!(go(&mut s, "<enter>").contains(&Effect::Judge));
    // Food that was weighed wins: the tank is the same.
    let was = s.tank.clone();
    on(&mut s, "stock");
    go(&mut s, "<enter>light<enter>");
    assert_eq!((s.tank.clone(), text(&s, "stock").as_str()), (was, "light"));
    let tank = s.tank.as_deref().unwrap();
    assert_eq!(tank.name, "window \"tank\"");
    assert!(tank.priorities.contains(&("clearing".to_owned(), 2.0)));
    assert!(tank.water.salt && tank.currency == "GBP" && tank.budget == Some(99.0));
    // And all of it away again: each is left out, the name is needed.
    for _ in 0..100 {
        let all = lines(&s);
        let goes = |l: &cansift::profile::form::Line| {
            l.at.is_some()
                && l.trail.len() == 1
                && !matches!(l.trail.first(), Some(At::Field(row)) if row.name == "name")
        };
        let Some(line) = all.iter().position(goes) else { break };
        s.tank_form.form.as_mut().unwrap().list.cursor = line;
        go(&mut s, "<delete>");
    }
    let tank = s.tank.clone().unwrap();
    let bare = read_tank("t".as_ref(), "Tank(format: 1, name: \"window \\\"tank\\\"\")", Library::shipped());
    assert_eq!(tank, bare.unwrap().tank, "{}", s.tank_form.form.as_ref().unwrap().text);
    on(&mut s, "volume");
    go(&mut s, "<delete>");
    assert!(told(&s).contains("left out already"));
    on(&mut s, "name");
    go(&mut s, "x");
    assert!(told(&s).contains("is needed"));
}

#[test]
fn requirements_priorities_and_media_are_added_and_removed() {
    let mut s = form((120, 40));
    on(&mut s, "requirements");
    let was = s.tank.as_ref().unwrap().requirements.len();
    go(&mut s, "aat most<enter>");
    let now = s.tank.as_ref().unwrap().requirements.clone();
    assert_eq!(now.len(), was + 1, "{}", told(&s));
    // Measure and limit are fields of their own.
    on(&mut s, &format!("requirements/{was}/0"));
    go(&mut s, "<enter>first_year<enter>");
    fill(&mut s, &format!("requirements/{was}/1"), "150");
    let last = s.tank.as_ref().unwrap().requirements.last().cloned();
    assert_eq!(last, Some(Requirement::AtMost { measure: "first_year_cost".to_owned(), limit: 150.0 }));
    on(&mut s, &format!("requirements/{was}"));
    go(&mut s, "x");
    assert_eq!(s.tank.as_ref().unwrap().requirements.len(), was);
    on(&mut s, "on_hand");
    let had = s.tank.as_ref().unwrap().on_hand.len();
    go(&mut s, "afoam-20 2 l<enter>");
    assert_eq!(s.tank.as_ref().unwrap().on_hand.len(), had + 1);
    assert_eq!(s.tank.as_ref().unwrap().on_hand[had].medium, "foam-20");
    // What is not understood stays to be mended.
    go(&mut s, "afoam-20<enter>");
    assert!(s.line.is_some() && told(&s).contains("1 number belongs here"), "{}", told(&s));
}

#[test]
fn turnover_is_flow_over_the_volume_as_it_is_typed() {
    // The definition of turnover: with all else as it was, half as much again of water is two thirds of it.
    let mut s = form((120, 40));
    let turnover = |s: &State| -> Vec<f64> {
        let of = |e: &cansift::app::entry::Entry| e.outcome(Measure::Turnover).and_then(Outcome::number);
        s.entries.iter().filter_map(of).collect()
    };
    let was = turnover(&s);
    assert!(was.len() > 10);
    fill(&mut s, "volume", "270");
    for (was, now) in was.iter().zip(turnover(&s)) {
        assert!((now * 1.5 - was).abs() < 1e-9 * was, "{was} {now}");
    }
    let moved = cansift::app::tank_form::to_show(&s, &[0]);
    assert_eq!(moved[..2], [Measure::Clearing, Measure::ClearingDirty], "what moved stands first");
    assert!(moved.contains(&Measure::Turnover) && moved.contains(&Measure::FilteredFlow));
}

#[test]
fn a_broken_form_is_never_judged_and_says_whose_figures_are_in_view() {
    let mut s = form((80, 24));
    let tank = s.tank.clone();
    // As it is typed, and taken: what is not understood is not taken.
    on(&mut s, "volume");
    assert!(press(&mut s, "<enter><ctrl-u>l(1").is_empty());
    assert!(draw(&mut s).contains("not closed"), "{}", draw(&mut s));
    assert!(press(&mut s, "<enter>").is_empty() && s.line.is_some());
    assert!(press(&mut s, "<esc>").is_empty());
    assert_eq!((text(&s, "volume").as_str(), s.tank_form.changed()), ("l(180)", false));
    fill(&mut s, "volume", "180 kg");
    assert!(told(&s).contains("no unit of volume") && s.line.is_some(), "{}", told(&s));
    press(&mut s, "<esc>");
    // What breaks a rule across fields is taken, told, and never judged.
    on(&mut s, "on_hand");
    go(&mut s, "anothing-such 2 l<enter>");
    assert_eq!(s.tank, tank);
    assert!(
        told(&s).contains("the form has one problem: figures are still for the tank as it was"),
        "{}",
        told(&s)
    );
    assert!(told(&s).contains("no medium is called `nothing-such`"), "{}", told(&s));
    let seen = draw(&mut s);
    assert!(
        seen.contains("! one problem: figures as before") && seen.contains("! no medium is called"),
        "{seen}"
    );
    press(&mut s, "S");
    assert!(told(&s).contains("problems") && s.line.is_none(), "a broken tank is not saved");
    // Taken back, it is as it was.
    go(&mut s, "z");
    assert!(s.tank_form.problems() == 0 && !s.tank_form.changed());
}

#[test]
fn words_and_figures_are_stepped() {
    let mut s = form((80, 24));
    on(&mut s, "feed/daily");
    go(&mut s, "<backspace>");
    on(&mut s, "stock");
    assert_eq!(go(&mut s, "<right>"), [Effect::Judge]);
    assert_eq!(s.tank.as_ref().unwrap().feed(), Feed::Stock(Stock::Normal), "what most have comes first");
    go(&mut s, "+");
    assert_eq!(s.tank.as_ref().unwrap().feed(), Feed::Stock(Stock::Heavy));
    assert!(draw(&mut s).contains("= 2.16 g a day"), "1.2 g for each of 1.8 hundred litres");
    go(&mut s, "<left>-");
    assert_eq!(s.tank.as_ref().unwrap().feed(), Feed::Stock(Stock::Light));
    // 0.25 g a day for each 100 l of its 180 l.
    let said = cansift::app::screens::tank::stocking_says(&s).unwrap();
    assert_eq!(said, "= 0.45 g a day, ×/÷ 2: assumed (common practice)");
    on(&mut s, "volume");
    go(&mut s, "x");
    assert!(cansift::app::screens::tank::stocking_says(&s).unwrap().contains("the volume is missing"));
    on(&mut s, "water/ph");
    go(&mut s, "-");
    assert_eq!(text(&s, "water/ph"), "7.3");
    // The reader's own end of the range is the end.
    on(&mut s, "hz");
    go(&mut s, "++");
    assert!(go(&mut s, "+").is_empty());
    assert_eq!(text(&s, "hz"), "70");
    assert!(told(&s).contains("as far as it goes"), "{}", told(&s));
    on(&mut s, "requirements");
    go(&mut s, "+");
    assert!(told(&s).contains("Enter opens it"), "{}", told(&s));
}

#[test]
fn figures_go_to_the_next_round_one_in_their_own_unit() {
    let mut s = form((80, 24));
    for (path, text_was, by, text_now) in [
        ("volume", "l(180)", "+", "l(190)"),
        ("volume", "l(183)", "+", "l(190)"),
        ("volume", "l(183)", "-", "l(180)"),
        ("volume", "measured( gal_us(40) )", "+", "measured( gal_us(42) )"),
        ("hoses/intake", "m(1.3)", "+", "m(1.4)"),
        ("hoses/intake", "cm(130)", "+", "cm(140)"),
        ("hoses/intake", "ft(4)", "+", "ft(4.2)"),
        ("water/temperature", "degf(77)", "+", "degf(78)"),
        ("water/ph", "7.4", "+", "7.5"),
        ("feed/protein", "0.42", "+", "0.43"),
    ] {
        fill(&mut s, path, text_was);
        on(&mut s, path);
        go(&mut s, by);
        assert_eq!(text(&s, path), text_now, "{path} {text_was}");
    }
    // What is no single figure is left to typing.
    fill(&mut s, "volume", "100-200");
    on(&mut s, "volume");
    go(&mut s, "+");
    assert!(told(&s).contains("is typed"), "{}", told(&s));
    assert_eq!(text(&s, "volume"), "between(l(100), l(200))");
}

#[test]
fn enter_and_down_take_what_was_typed_and_go_on() {
    let mut s = form((80, 24));
    on(&mut s, "volume");
    go(&mut s, "2<enter>");
    assert_eq!((text(&s, "volume").as_str(), cursor(&s)), ("l(2)", at(&s, "stock")), "a digit begins anew");
    on(&mut s, "cabinet");
    go(&mut s, "40 35 60<down>");
    assert_eq!(cursor(&s), at(&s, "budget"));
    assert_eq!(text(&s, "cabinet"), "(width: cm(40), depth: cm(35), height: cm(60))");
    // Nothing typed changes nothing.
    go(&mut s, "<enter><ctrl-u><enter>");
    assert_eq!(cursor(&s), at(&s, "budget"));
}

#[test]
fn a_new_tank_and_its_reply_within_forty_keys() {
    let mut s = form((120, 40));
    go(&mut s, "g1");
    let keys = [
        "6",
        "n",
        "180<enter>",
        "<right>",
        "<down>",
        "40 35 60<enter>",
        "120<enter>",
        "6<enter>",
        "g3",
        "w",
        "y",
    ];
    let count: usize = keys.iter().map(|keys| crate::typed::list(keys).len()).sum();
    assert!(count <= 40, "{count}");
    for keys in &keys[..8] {
        go(&mut s, keys);
    }
    let tank = s.tank.clone().unwrap();
    assert_eq!(tank.volume.as_ref().map(cansift::uncertainty::uncertain::Uncertain::si), Some(0.18));
    assert_eq!(
        (tank.stock, tank.budget, tank.aims.open_no_more_than_every),
        (Some(Stock::Normal), Some(120.0), 42.0)
    );
    let cabinet = tank.cabinet.as_ref().unwrap();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
    assert!(
        near(cabinet.width.si(), 0.40) && near(cabinet.depth.si(), 0.35) && near(cabinet.height.si(), 0.60)
    );
    press(&mut s, "g3");
    assert_eq!(s.screen, Tab::Ranking);
}

#[test]
fn leaving_with_unsaved_changes_is_asked_about_once() {
    let mut s = form((80, 24));
    assert_eq!(press(&mut s.clone(), "q"), [Effect::Quit]);
    on(&mut s, "volume");
    go(&mut s, "+");
    assert!(press(&mut s, "q").is_empty());
    assert!(told(&s).contains("q again leaves") && told(&s).contains("S on the Tank"));
    assert_eq!(press(&mut s.clone(), "q"), [Effect::Quit]);
    // From any screen; another change asks again; Ctrl-C never asks.
    go(&mut s, "+g1");
    assert!(press(&mut s, "q").is_empty());
    assert_eq!(press(&mut s, "<ctrl-c>"), [Effect::Quit]);
    // Taken back, there is nothing to ask.
    go(&mut s, "6zz");
    assert_eq!(press(&mut s, "q"), [Effect::Quit]);
}

#[test]
fn saving_asks_for_a_name_and_a_refusal_keeps_it() {
    let mut s = form((80, 24));
    s.tank_form.folder = "/tanks".to_owned();
    on(&mut s, "volume");
    go(&mut s, "+S");
    assert_eq!(s.line.as_ref().unwrap().goal, Goal::SaveTank);
    assert_eq!(s.line.as_ref().unwrap().text(), "/tanks/reading-room-tank.ron");
    let effects = press(&mut s, "<enter>");
    let [Effect::Form(Ask::Save { file, text, over: None })] = effects.as_slice() else {
        panic!("{effects:?}")
    };
    assert_eq!(file, "/tanks/reading-room-tank.ron");
    let again = read_tank("t.ron".as_ref(), text, Library::shipped()).unwrap();
    assert_eq!(Some(again.tank), s.tank, "what is saved is the tank in view");
    update(&mut s, Message::Form(Answer::Saved(Err("there is a file".to_owned()))));
    assert!(told(&s).contains("not saved: there is a file") && s.tank_form.changed());
    assert_eq!(s.line.as_ref().unwrap().text(), "/tanks/reading-room-tank.ron");
    press(&mut s, "<ctrl-u>b<enter>");
    // What is changed while it is being saved is not saved.
    go(&mut s, "+");
    update(&mut s, Message::Form(Answer::Saved(Ok("/tanks/b.ron".to_owned()))));
    assert_eq!(s.tank_file.as_deref(), Some("/tanks/b.ron"));
    assert!(s.tank_form.changed());
    go(&mut s, "z");
    assert!(!s.tank_form.changed());
    // Saved once more it may be written over, if it is as it was written.
    go(&mut s, "+S");
    assert_eq!(s.line.as_ref().unwrap().text(), "/tanks/b.ron");
    let effects = press(&mut s, "<enter>");
    assert!(matches!(effects.as_slice(), [Effect::Form(Ask::Save { over: Some(_), .. })]), "{effects:?}");
    press(&mut s, "S<ctrl-u><enter>");
    assert!(told(&s).contains("nothing is saved"));
}

#[test]
fn another_tank_an_empty_one_and_none() {
    let mut s = form((80, 24));
    on(&mut s, "volume");
    go(&mut s, "+o<end>");
    assert!(s.tank_form.choosing);
    let effects = go(&mut s, "<enter>");
    assert!(effects.contains(&Effect::Judge));
    assert!(effects.contains(&Effect::Form(Ask::Follow(Some("large-heavy.ron".to_owned())))), "{effects:?}");
    assert_eq!(text(&s, "volume"), "l(400)");
    assert!(told(&s).contains("z brings it back"));
    assert_eq!(s.settings().tank.as_deref(), Some("large-heavy.ron"));
    go(&mut s, "o<home><down><enter>");
    assert_eq!((text(&s, "name").as_str(), s.tank.as_ref().unwrap().volume.is_none()), ("\"my tank\"", true));
    assert!(!s.tank_form.changed(), "nothing of one's own is in it yet");
    go(&mut s, "o<home><enter>");
    assert!(s.tank.is_none() && s.settings().no_tank && s.settings().tank.is_none());
    assert!(s.entries.iter().all(|e| e.outcome(Measure::Turnover).and_then(Outcome::number).is_none()));
    press(&mut s, "S");
    assert!(told(&s).contains("no tank to save"));
    // Esc in the list changes nothing.
    go(&mut s, "zzo<down><esc>");
    assert!(!s.tank_form.choosing && s.screen == Tab::Tank);
    assert_eq!(text(&s, "volume"), "l(400)");
    go(&mut s, "z");
    assert_eq!(text(&s, "volume"), "l(190)");
    assert!(s.tank_form.changed());
    press(&mut s, "<esc>");
    assert_eq!((s.screen, text(&s, "volume").as_str()), (Tab::Builds, "l(190)"));
}

#[test]
fn a_tank_that_cannot_be_used_says_why_and_changes_nothing() {
    let mut s = form((80, 24));
    let mut choices = s.tank_form.choices.clone().unwrap();
    choices[0].tank = Err("line 3: a bare number".to_owned());
    update(&mut s, Message::Form(Answer::Listed(choices)));
    let was = s.tank.clone();
    press(&mut s, "o<home><down><down><enter>");
    assert!(told(&s).contains("cannot be used: line 3"));
    assert_eq!(s.tank, was);
}

#[test]
fn a_file_that_changes_is_followed_unless_there_are_changes_of_ones_own() {
    let mut s = form((80, 24));
    let other = library::demo_tanks()[1].tank.clone();
    let same = Arc::new((*s.tank.clone().unwrap()).clone());
    assert!(update(&mut s, Message::Tank(same)).is_empty(), "the same tank again");
    assert!(!s.tank_form.form.as_ref().unwrap().can_undo());
    let effects = update(&mut s, Message::Tank(other.clone()));
    assert_eq!(effects, [Effect::Judge]);
    assert_eq!(text(&s, "name"), format!("\"{}\"", other.name));
    answer(&mut s, effects);
    on(&mut s, "volume");
    go(&mut s, "+");
    let mine = s.tank.clone();
    assert!(update(&mut s, Message::Tank(library::demo_tanks()[2].tank.clone())).is_empty());
    assert!(s.tank == mine && told(&s).contains("changed on disk"));
}

#[test]
fn the_mouse_selects_edits_and_takes() {
    let mut s = form((80, 24));
    let at_volume = at(&s, "volume");
    let at = |x, y, what| Message::Mouse { what, x, y };
    // Two lines of header, the title, then the volume, the stocking, the cabinet.
    update(&mut s, at(10, 4, Mouse::Press));
    assert_eq!((cursor(&s), s.line.is_some()), (at_volume + 1, false));
    update(&mut s, at(10, 3, Mouse::Press));
    update(&mut s, at(10, 3, Mouse::Press));
    assert_eq!(s.line.as_ref().map(|l| l.goal), Some(Goal::Form(false)));
    press(&mut s, "<ctrl-u>99");
    // Pressing elsewhere takes it.
    let effects = update(&mut s, at(10, 5, Mouse::Press));
    assert_eq!((text(&s, "volume").as_str(), cursor(&s)), ("l(99)", at_volume + 2));
    assert!(effects.contains(&Effect::Judge) && s.line.is_none());
    update(&mut s, at(10, 7, Mouse::WheelDown));
    assert_eq!(cursor(&s), at_volume + 3);
    press(&mut s, "o");
    update(&mut s, at(5, 4, Mouse::Press));
    update(&mut s, at(5, 4, Mouse::Press));
    assert!(s.tank.is_none());
    press(&mut s, "g7");
    update(&mut s, at(5, 6, Mouse::Press));
    assert_eq!(s.sources.list.cursor, 2);
    update(&mut s, at(5, 6, Mouse::Press));
    assert!(s.sources.whole);
    for x in 0..90 {
        for y in 0..26 {
            for screen in ["g6", "g7"] {
                (s.line, s.overlay) = (None, None);
                press(&mut s, screen);
                update(&mut s, at(x, y, Mouse::Press));
                update(&mut s, at(x, y, Mouse::WheelUp));
            }
        }
    }
}

#[test]
fn pictures_of_the_tank() {
    for (w, h) in SIZES {
        let mut s = form((w, h));
        insta::assert_snapshot!(format!("tank-{w}x{h}"), draw(&mut s));
        on(&mut s, "volume");
        go(&mut s, "+++");
        insta::assert_snapshot!(format!("tank_changed-{w}x{h}"), draw(&mut s));
        on(&mut s, "stock");
        go(&mut s, "<right>");
        on(&mut s, "feed/daily");
        go(&mut s, "<delete>");
        on(&mut s, "stock");
        insta::assert_snapshot!(format!("tank_stock-{w}x{h}"), draw(&mut s));
        on(&mut s, "requirements");
        press(&mut s, "aat least");
        insta::assert_snapshot!(format!("tank_typing-{w}x{h}"), draw(&mut s));
        press(&mut s, "<esc>");
        on(&mut s, "on_hand");
        press(&mut s, "anothing-such 2<enter>");
        s.status = None;
        insta::assert_snapshot!(format!("tank_broken-{w}x{h}"), draw(&mut s));
        press(&mut s, "zo");
        insta::assert_snapshot!(format!("tank_choosing-{w}x{h}"), draw(&mut s));
        press(&mut s, "<esc>S");
        insta::assert_snapshot!(format!("tank_saving-{w}x{h}"), draw(&mut s));
        press(&mut s, "<esc>?");
        insta::assert_snapshot!(format!("tank_help-{w}x{h}"), draw(&mut s));
    }
}

#[test]
fn any_keys_in_any_order_leave_form_and_tank_in_step() {
    let whole = form((80, 24));
    let mut keys: Vec<Key> = ACTIONS.iter().flat_map(cansift::app::actions::Action::key_list).collect();
    keys.retain(|k| !matches!(k.label().as_str(), "q" | "Ctrl-C" | "r"));
    keys.extend(crate::typed::list("555566zzZZoo(),[]\"1234l.<tab><backspace><enter><enter><esc><esc>"));
    let mut seed = 5_u32;
    for run in 0..30 {
        let mut s = whole.clone();
        update(&mut s, Message::Size(40 + 5 * run, 8 + run));
        for _ in 0..400 {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let key = keys[(seed >> 8) as usize % keys.len()];
            update(&mut s, Message::Key(key));
            let Some(form) = &s.tank_form.form else { continue };
            assert!(form.list.cursor < form.lines().len());
            if s.tank_form.is_blank() {
                assert!(s.tank.is_none() && form.problems.is_empty());
            } else {
                // The form has the problems its text has; without any it is the tank.
                match read_tank("tank.ron".as_ref(), &form.text, Library::shipped()) {
                    Ok(sound) => assert!(form.problems.is_empty() && s.tank == Some(sound.tank)),
                    Err(broken) => assert_eq!(form.problems, broken.problems),
                }
            }
            assert!(s.sources.list.cursor <= s.sources.items.len());
        }
        draw(&mut s);
    }
}

/// Keys that lead to each view of the two screens.
const VIEWS: [&str; 11] = [
    "g6",
    "g6<end><enter>",
    "g6j<enter>x",
    "g6o",
    "g6S",
    "g6j<enter>",
    "g5",
    "g7",
    "g7e",
    "g7/media",
    "g7<end>e",
];

/// A text that its line cuts stands whole below the form.
#[test]
fn a_long_text_can_be_read_whole() {
    for size in SIZES {
        let mut s = form(size);
        press(&mut s, "g5/notes<enter>");
        let text = draw(&mut s);
        let flat: Vec<&str> = text.lines().filter_map(|line| line.split('│').next()).collect();
        let flat = flat.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
        let notes = &s.here().unwrap().filter.notes;
        assert!(notes.len() > 60 && flat.contains(&format!("notes: {notes}")), "{notes:?}: {text}");
    }
}

#[test]
fn ascii_draws_only_ascii() {
    let mut whole = form((120, 40));
    whole.look.ascii = true;
    for size in SIZES {
        for keys in VIEWS {
            let mut s = whole.clone();
            update(&mut s, Message::Size(size.0, size.1));
            press(&mut s, keys);
            let text = draw(&mut s);
            assert!(text.is_ascii(), "{size:?} {keys}: {text}");
            assert!(plain::pane(&s).is_ascii());
        }
    }
    press(&mut whole, "<down><right>");
    insta::assert_snapshot!("tank_ascii", draw(&mut whole));
}

#[test]
fn every_size_draws_every_view() {
    let whole = form((80, 24));
    for keys in VIEWS {
        let mut s = whole.clone();
        press(&mut s, keys);
        for h in (1..=80).step_by(5).chain([2, 3, 4, 5, 7, 8, 80]) {
            for w in (1..=250).step_by(11).chain([2, 3, 16, 17, 99, 100, 250]) {
                update(&mut s, Message::Size(w, h));
                let mut buffer = Buffer::empty(Rect::new(0, 0, w, h));
                s.drawn = view::paint_all(&s, &mut buffer);
            }
        }
        update(&mut s, Message::Size(80, 24));
        let text = |s: &State| s.tank_form.form.as_ref().unwrap().text.clone();
        assert_eq!(text(&s), text(&whole), "resizing changes nothing");
    }
}

#[test]
fn foreign_text_cannot_drive_the_terminal() {
    let mut s = form((120, 40));
    let mut choices = s.tank_form.choices.clone().unwrap();
    choices[0].from = "\u{1b}[31m\u{202e}x".to_owned();
    choices[1].tank = Err("\u{9b}2J".to_owned());
    update(&mut s, Message::Form(Answer::Listed(choices)));
    fill(&mut s, "currency", "a\u{202e}\u{1b}]52;b");
    s.tank_file = Some("x/\u{1b}[2J.ron".to_owned());
    for keys in ["", "o", "<esc>/\u{1b}[31m"] {
        press(&mut s, keys);
        let text = draw(&mut s) + &plain::pane(&s);
        let bad = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{202a}'..='\u{202e}');
        assert!(!text.contains(bad), "{text:?}");
    }
}

#[test]
fn drawing_the_form_takes_no_time() {
    // Key to frame within 8 ms is what a hand does not feel; ten times that stands for a busy machine.
    let mut s = form((200, 60));
    let begun = Instant::now();
    for _ in 0..100 {
        press(&mut s, "<enter>x");
        draw(&mut s);
        press(&mut s, "<esc>j");
        draw(&mut s);
        press(&mut s, "g6");
    }
    assert!(begun.elapsed() < Duration::from_secs(16), "{:?}", begun.elapsed());
}
