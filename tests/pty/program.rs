//! The program itself on a pseudo-terminal: what it shows of real files, what it keeps for next time, and how it
//! ends.
#![cfg(unix)]

use std::fs;
use std::time::Duration;

use crate::binary;
use crate::home::Home;
use crate::session::{self, Session};

const FEW: [&str; 5] = ["filters", "--tank", "tank.ron", "--samples", "16"];

/// Waits until one line of the screen holds all of these.
fn until_line(session: &Session, parts: &[&str]) {
    let end = std::time::Instant::now() + session::LIMIT;
    while !session.text().lines().any(|line| parts.iter().all(|part| line.contains(part))) {
        assert!(std::time::Instant::now() < end, "{parts:?} in no line of\n{}", session.text());
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn leave(mut session: Session) -> u32 {
    session.press("q");
    session.child.wait().unwrap().exit_code()
}

#[test]
fn doubt_ranking_and_reasons_come_by_themselves() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("Tamsin 1100 · restacked");
    s.until("16 cases");
    s.until("–");
    s.press(" jj d");
    s.until("Why clearing differs");
    s.until("▼ worse");
    s.until("surely");
    s.press("3");
    s.until("of the 2 marked (a: all");
    s.press("a");
    s.until("meets all");
    s.press("l+");
    s.until("1.5*");
    // What was moved outlives every screen.
    s.press("1\t\t");
    s.until("1.5*");
    s.press("0");
    s.until_gone("1.5*");
    assert_eq!(leave(s), 0);

    let place = Home::new();
    let mut s = place.start(&["filters", "--samples", "0"]);
    s.until("Tamsin 1100 · restacked");
    s.press("3");
    s.until("choose one on the Tank screen (6)");
    assert!(!s.sent("±") && !s.sent("draws") && !s.sent("cases"));
    assert_eq!(leave(s), 0);
}

#[test]
fn a_tank_beside_the_filters_is_the_first_the_marked_one_before_others() {
    let place = Home::new();
    fs::create_dir(place.path("filters/tanks")).unwrap();
    fs::rename(place.path("tank.ron"), place.path("filters/tanks/z.ron")).unwrap();
    place.change("filters/tanks/z.ron", "reading-room tank", "tank of the second file");
    fs::write(place.path("filters/tanks/a.ron"), "Tank(format: 1, name: \"tank of the first file\")")
        .unwrap();
    let s = place.start(&["filters", "--samples", "0"]);
    s.until("tank: tank of the second file, from filters/tanks/z.ron");
    s.until("Tamsin 1100");
    assert_eq!(leave(s), 0);

    fs::remove_file(place.state()).unwrap();
    place.change("filters/tanks/z.ron", "default: true", "default: false");
    let s = place.start(&["filters", "--samples", "0"]);
    s.until("tank: tank of the first file, from filters/tanks/a.ron");
    s.until("Tamsin 1100");
    assert_eq!(leave(s), 0);
}

#[test]
fn own_keys_hold_and_a_broken_line_of_theirs_is_told() {
    let place = Home::new();
    let keys = place.path("home/.config/cansift");
    fs::create_dir_all(&keys).unwrap();
    fs::write(
        keys.join("keys.ron"),
        "[\n  (\"sotr\", [\"z\"]),\n  (\"mark\", [\"v\"]),\n  (\"leave\", [\"Q\"]),\n]",
    )
    .unwrap();
    let mut s = place.start(&FEW);
    s.until("keys.ron line 2, column 4: there is no action `sotr`");
    s.until("Tamsin 1100");
    s.press("j");
    s.until("v mark");
    s.press("?leave the");
    s.until("Q Ctrl-C");
    s.press("\u{1b}");
    s.press("\u{1b}");
    s.press("v");
    s.until("1 marked");
    s.press("q");
    s.until("q does nothing here (? lists the keys)");
    s.press("\u{3}");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    // Told once more behind the screens.
    s.until("did you mean `sort`?");
    s.given_back();

    // Another file of keys for once; one that is no such file changes nothing.
    let mut s = place.start(&["--keys", "tank.ron", "filters", "--samples", "0"]);
    s.until("tank.ron line 3, column 1: own keys is a list");
    s.until("Tamsin 1100");
    s.press("j");
    s.until("? help");
    assert_eq!(leave(s), 0);
}

#[test]
fn files_that_change_are_read_again_and_the_cursor_stays() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("Orrin 900 · as sold");
    s.press("/as sold\r ");
    s.until("►• Orrin 900 · as sold");
    s.press("\u{1b}");
    place.change("filters/tamsin-1100.ron", "Tamsin 1100", "Velmore 1100");
    s.until("Velmore 1100 · restacked");
    s.until("►• Orrin 900 · as sold");
    place.change("tank.ron", "reading-room tank", "window tank");
    s.until("window tank");

    // Half of a file, and the rest before long: nobody is told.
    let path = place.path("filters/tamsin-1100.ron");
    let text = fs::read_to_string(&path).unwrap().replacen("Velmore", "Linmoor", 1);
    let half: String = text.chars().take(text.chars().count() / 2).collect();
    let began = std::time::Instant::now();
    fs::write(&path, half).unwrap();
    std::thread::sleep(Duration::from_millis(200));
    fs::write(&path, text).unwrap();
    let took = began.elapsed();
    s.until("Linmoor 1100 · restacked");
    // A machine so busy that the rest came late has seen a broken file for a while.
    assert!(!s.sent("broken") || took > cansift::profile::watch::AGAIN, "a half-written file flashed");

    fs::write(&path, "Filter(").unwrap();
    s.until("! 1");
    s.until("►• Orrin 900 · as sold");
    fs::remove_file(&path).unwrap();
    s.until_gone("! 1");
    assert_eq!(leave(s), 0);
}

/// Who saves in an editor sees it within two seconds; a machine that has other things to do may be late once.
#[test]
fn a_change_on_disk_is_on_screen_within_two_seconds() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("Orrin 900 · as sold");
    s.press("/as sold\r ");
    s.until("►• Orrin 900 · as sold");
    s.press("\u{1b}");
    let names = ["Tamsin 1100", "Velmore 1100", "Linmoor 1100", "Harmoor 1100"];
    let mut took = Vec::new();
    for pair in names.windows(2) {
        let began = std::time::Instant::now();
        place.change("filters/tamsin-1100.ron", pair[0], pair[1]);
        s.until(&format!("{} · restacked", pair[1]));
        took.push(began.elapsed());
        s.until("►• Orrin 900 · as sold");
    }
    assert!(s.sent("read again"));
    assert!(took.iter().min().unwrap() < &Duration::from_secs(2), "{took:?}");
    assert_eq!(leave(s), 0);
}

#[test]
fn files_are_left_alone_when_asked() {
    let place = Home::new();
    let mut s = place.start(&[&FEW[..], &["--no-watch"]].concat());
    s.until("Tamsin 1100 · restacked");
    s.until("16 cases");
    place.change("filters/tamsin-1100.ron", "Tamsin 1100", "Velmore 1100");
    std::thread::sleep(Duration::from_millis(700));
    assert!(!s.text().contains("Velmore"));
    s.press("r");
    s.until("Velmore 1100 · restacked");
    assert_eq!(leave(s), 0);
}

#[test]
fn what_was_set_up_is_there_next_time() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("u");
    s.until(" us");
    // Bypass becomes the first key of the order.
    s.press("ls");
    s.until("by bypass dirty");
    assert_eq!(leave(s), 0);

    // Without a tank given, last time's.
    let s = place.start(&["filters", "--samples", "16"]);
    s.until("by bypass dirty");
    s.until(" us");
    s.until("reading-room");
    assert_eq!(leave(s), 0);

    fs::remove_file(place.path("tank.ron")).unwrap();
    let s = place.start(&["filters", "--samples", "0", "--units", "metric"]);
    s.until("cannot be used now");
    s.until(" metric");
    assert_eq!(leave(s), 0);

    fs::write(place.state(), "(units: ").unwrap();
    let s = place.start(&["filters", "--samples", "0"]);
    s.until("is damaged");
    s.until("by clearing");
    assert_eq!(leave(s), 0);
    let aside = place.state().with_file_name("state.ron.bad");
    assert_eq!(fs::read_to_string(aside).unwrap(), "(units: ");
}

#[test]
fn a_tank_is_edited_saved_and_there_next_time() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("6");
    s.until("180 l");
    // A field is typed into; what was understood is told at once.
    s.press("\r\u{15}18 kg");
    s.until("no unit of volume");
    s.press("\u{1b}");
    s.until_gone("no unit of volume");
    // Twice the water: clearing falls, and the line of figures says so.
    s.press("360\r");
    s.until("unsaved changes");
    until_line(&s, &["restacked: clearing", "↓"]);
    s.press("q");
    s.until("q again leaves");
    s.press("S");
    s.until("save in:");
    s.press("\u{15}tank.ron\r");
    s.until("nothing was written");
    s.press("\u{15}bigger\r");
    s.until("saved, and the tank next time");
    s.until_gone("unsaved");
    assert_eq!(leave(s), 0);
    let saved = fs::read_to_string(place.path("bigger.ron")).unwrap();
    assert!(saved.contains("volume: l(360)"), "{saved}");
    assert!(fs::read_to_string(place.path("tank.ron")).unwrap().contains("volume: l(180)"));

    // The saved one is the tank next time, and it is followed.
    let mut s = place.start(&["filters", "--samples", "16"]);
    s.until("16 cases");
    s.press("6");
    s.until("bigger.ron");
    s.until("360 l");
    place.change("bigger.ron", "l(360)", "l(240)");
    s.until("240 l");
    // Changes of one's own stay when the file changes under them.
    s.press("l");
    s.until("250 l");
    place.change("bigger.ron", "l(240)", "l(300)");
    s.until("changed on disk");
    s.until("250 l");
    // Another tank, and back to none, which is kept.
    s.press("o");
    s.until("small, lightly stocked");
    s.press("\u{1b}[H\r");
    s.until("judged without one");
    s.until("no tank");
    assert_eq!(leave(s), 0);
    let mut s = place.start(&["--samples", "0"]);
    s.until("no tank");
    s.press("6");
    s.until("café window tank");
    // One of those inside the program is found again, too.
    s.press("\u{1b}[F\r");
    s.until("400 l");
    assert_eq!(leave(s), 0);
    let s = place.start(&["--samples", "0"]);
    s.until("large, heavily");
    assert_eq!(leave(s), 0);
}

#[test]
fn sources_are_searched_and_shown_whole() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("7");
    s.until("standard gravity");
    s.press("/seal's gap\r");
    s.until("1 of ");
    s.press("e");
    // The pane below the list holds the same words: the whole page has no list.
    s.until_gone("Sources · holding");
    s.until("used by: clearing");
    s.until("key: model/seal-length");
    s.press("\u{1b}");
    s.until("Sources · holding");
    s.press("\u{1b}");
    s.until("wall roughness");
    s.press("\u{1b}[F");
    s.until("remove all nitrate");
    assert_eq!(leave(s), 0);
}

#[test]
fn what_was_set_up_outlives_a_program_that_is_killed() {
    let place = Home::new();
    let mut s = place.start(&["filters", "--samples", "0"]);
    s.until("Tamsin 1100 · restacked");
    s.press("u");
    s.until("Sources       us");
    let end = std::time::Instant::now() + session::LIMIT;
    while !place.state().exists() {
        assert!(std::time::Instant::now() < end, "nothing was kept while it ran");
        std::thread::sleep(Duration::from_millis(50));
    }
    let pid = s.child.process_id().unwrap().to_string();
    std::process::Command::new("kill").args(["-KILL", &pid]).status().unwrap();
    s.child.wait().unwrap();
    assert!(fs::read_to_string(place.state()).unwrap().contains("\"us\""));

    // With no path and no folder of one's own: what was shown then, and it says so.
    let s = place.start(&["--samples", "0"]);
    s.until("Tamsin 1100 · restacked");
    s.until("Sources       us");
    s.screen.lock().unwrap().0.screen_mut().set_size(session::cells(24), session::cells(200));
    s.master.resize(portable_pty::PtySize { rows: 24, cols: 200, pixel_width: 0, pixel_height: 0 }).unwrap();
    s.until("last time's /");
    assert_eq!(leave(s), 0);
    let s = place.start(&["--samples", "0", "--demo"]);
    s.until("22 builds");
    assert_eq!(leave(s), 0);
    // Looking at the demo does not forget the folder; a folder that is gone does no harm.
    assert!(fs::read_to_string(place.state()).unwrap().contains("filters"));
    fs::rename(place.path("filters"), place.path("elsewhere")).unwrap();
    let s = place.start(&["--samples", "0"]);
    s.until("22 builds");
    assert_eq!(leave(s), 0);
}

#[test]
fn without_a_home_nothing_is_kept_and_nothing_fails() {
    let place = Home::new();
    let mut command = place.command(&["filters", "--samples", "0"]);
    command.env("HOME", "/dev/null");
    let mut s = Session::start(command);
    s.until("Tamsin 1100 · restacked");
    s.press("u");
    s.until("Sources       us");
    assert_eq!(leave(s), 0);
}

#[test]
fn a_signal_shows_in_the_exit_status() {
    let place = Home::new();
    for (name, number) in [("TERM", 15), ("INT", 2), ("HUP", 1)] {
        let mut s = place.start(&["filters", "--samples", "0"]);
        s.until("Tamsin 1100 · restacked");
        let pid = s.child.process_id().unwrap().to_string();
        std::process::Command::new("kill").args([format!("-{name}").as_str(), &pid]).status().unwrap();
        assert_eq!(s.child.wait().unwrap().exit_code(), 128 + number);
        s.until_gone("Tamsin");
    }
}

#[test]
fn escape_and_a_key_in_one_read_are_both_heeded() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("?");
    s.until("search:");
    s.press("\u{1b}3");
    s.until("your priorities");
    s.until_gone("search:");
    assert_eq!(leave(s), 0);
}

#[test]
fn no_colour_where_none_is_wanted() {
    let coloured = |wanted: bool| {
        let place = Home::new();
        let mut command = place.command(&["filters", "--samples", "0"]);
        if !wanted {
            command.env("NO_COLOR", "1");
        }
        let mut s = Session::start(command);
        s.until("Tamsin 1100 · restacked");
        s.press("/as bought\rp");
        s.until("lid, pump");
        let colour = s.sent("\u{1b}[38;5;");
        assert_eq!(leave(s), 0);
        colour
    };
    assert!(coloured(true));
    assert!(!coloured(false));
}

#[test]
fn a_report_is_written_from_the_screens_and_never_over_another() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("W");
    s.until("write the report into: cansift-report");
    s.press("\u{1b}");
    s.until_gone("write the report into");
    s.press("W\u{15}pages\r");
    s.until("the report is written");
    for name in ["report.html", "table.csv", "data.json"] {
        assert!(place.path("pages").join(name).is_file(), "{name}");
    }
    // What was judged for the screens is what the command judges.
    let command = ["report", "filters", "--tank", "tank.ron", "--samples", "16", "--to", "again"];
    binary::told(place.path(""), &command);
    for name in ["report.html", "table.csv", "data.json"] {
        let read = |folder: &str| fs::read_to_string(place.path(folder).join(name)).unwrap();
        assert!(read("pages") == read("again"), "{name} differs");
    }
    let page = fs::read_to_string(place.path("pages/report.html")).unwrap();
    assert!(page.contains("reading-room tank") && page.contains("<svg"));
    s.press("W\u{15}pages\r");
    s.until("no report was written");
    assert_eq!(fs::read_to_string(place.path("pages/report.html")).unwrap(), page);
    assert_eq!(leave(s), 0);
}

/// Keys of a script: what counts as one press.
fn count(keys: &[&str]) -> usize {
    keys.iter().map(|keys| keys.replace("\u{1b}[C", "→").replace("\u{1b}[B", "↓").chars().count()).sum()
}

#[test]
fn three_numbers_make_a_profile_in_twenty_five_keys() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    let keys = ["n", "1200\r", "3\r", "235 200 410\r", "S", "\r"];
    assert!(count(&keys) <= 25, "{}", count(&keys));
    let seen = ["three numbers", "1200", "3", "so far: clearing", "save the filter as", "saved as"];
    for (keys, seen) in keys.iter().zip(seen) {
        s.press(keys);
        s.until(seen);
    }
    s.until("measure next");
    assert_eq!(leave(s), 0);
    let made = place.path("filters/new-filter-1.ron");
    let text = fs::read_to_string(&made).unwrap();
    assert!(text.contains("label: Label(flow: l_h(1200))") && text.contains("trays: count(3)"), "{text}");
    // It was written here and is as it was written: changed again, it is saved over, till somebody else changes it.
    let mut s = place.start(&FEW);
    s.until("16 cases");
    s.press("/new fil\r5");
    s.until("saves as new-filter-1.ron");
    s.press("jjjj19\r");
    s.until("changed");
    s.press("S\r");
    s.until("saved as");
    assert!(fs::read_to_string(&made).unwrap().contains("bore: mm(19)"));
    place.change("filters/new-filter-1.ron", "mm(19)", "mm(25)");
    s.until("25 mm");
    s.press("jjjj16\r");
    s.until("changed");
    s.press("S\r");
    s.until("was changed since it was saved here");
    s.press("\u{1b}");
    assert!(fs::read_to_string(&made).unwrap().contains("bore: mm(25)"));
}

/// A used unit of four trays with a seal missing, a dead lamp and two priced repairs, without an editor.
#[test]
fn a_used_unit_of_four_trays_is_written_on_the_screen_alone() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    let script = [
        ("n1300\r4\r240 240 460\r", "so far: clearing"),
        ("\r\u{15}Fen 1300\r", "Filter · Fen 1300"),
        ("/tray 3\r\r", "outline"),
        ("/seal\r\rmiss\r", "missing"),
        ("/uv\r\r9\r", "9 W"),
        ("/asking\r60\r", "asking price            60"),
        ("j~7\r", "7 years"),
        ("jj\rburn\r", "burnt out"),
        ("jajj3\r", "repair 1"),
        ("9\r", "tray seals, 9"),
        ("/to fix\raj\rlamp\r", "repair 2"),
        ("j18\r", "lamp, 18"),
        ("S\r", "saved as"),
    ];
    for (keys, seen) in script {
        s.press(keys);
        s.until(seen);
    }
    let keys: Vec<&str> = script.iter().map(|(keys, _)| *keys).collect();
    assert!(count(&keys) <= 130, "{}", count(&keys));
    assert_eq!(leave(s), 0);
    let path = place.path("filters/new-filter-1.ron");
    let text = fs::read_to_string(&path).unwrap();
    let read = cansift::profile::read_filter(&path, &text, cansift::library::Library::shipped());
    let filter = read.unwrap_or_else(|broken| panic!("{broken:#?}\n{text}")).filter;
    assert_eq!((filter.name.as_str(), filter.trays.len()), ("Fen 1300", 4));
    let unit = filter.unit.as_ref().unwrap();
    let fixed: Vec<String> = unit.to_fix.iter().map(|repair| repair.part.words()).collect();
    assert_eq!(fixed, ["seal of tray 3", "lamp"], "{text}");
    assert!(text.contains("seal: missing(") && text.contains("lamp: burnt_out"), "{text}");
}

#[test]
fn a_tank_is_typed_and_its_reply_copied_in_forty_keys() {
    let place = Home::new();
    let mut s = place.start(&FEW);
    s.until("16 cases");
    let keys = ["6", "n", "180\r", "\u{1b}[C", "\u{1b}[B", "40 35 60\r", "120\r", "6\r", "g3", "w", "y"];
    assert!(count(&keys) <= 40, "{}", count(&keys));
    let seen = [
        "180 l",
        "my tank",
        "180 l",
        "normal",
        "cabinet",
        "400 × 350 × 600 mm",
        "120",
        "6 wk",
        "Why it comes first",
        "words",
        "",
    ];
    for (keys, seen) in keys.iter().zip(seen) {
        s.press(keys);
        s.until(seen);
    }
    s.until("cop");
    drop(s);
}
