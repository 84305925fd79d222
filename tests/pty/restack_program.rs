//! The job of the Restack screen from end to end, with the program itself on a pseudo-terminal: the badly packed
//! unit of the demo is restacked by hand to better figures, a proposal is taken, the file is saved, read again and
//! set against the build it came from.
#![cfg(unix)]

use std::fs;
use std::time::{Duration, Instant};

use crate::home::Home;
use crate::session::{LIMIT, Session, cells};
use portable_pty::PtySize;

/// In a terminal of 120 by 40.
fn open(home: &Home) -> Session {
    let session = home.start(&["filters", "--tank", "tank.ron", "--samples", "64"]);
    session.screen.lock().unwrap().0.screen_mut().set_size(cells(40), cells(120));
    session.master.resize(PtySize { rows: 40, cols: 120, pixel_width: 0, pixel_height: 0 }).unwrap();
    session
}

/// Waits for a number behind a word on the screen, the first or a later one, that is as wanted: what was worked out
/// for the change before may stand there for a while.
fn figure(session: &Session, word: &str, which: usize, wanted: impl Fn(f64) -> bool) -> f64 {
    let end = Instant::now() + LIMIT;
    loop {
        let text = session.text();
        let after = text.lines().find_map(|line| line.split_once(word)).map(|(_, after)| after);
        let numbers = after.into_iter().flat_map(str::split_whitespace);
        let number = numbers.clone().nth(which).and_then(|number| number.parse().ok());
        if let Some(number) = number.filter(|number| wanted(*number)) {
            return number;
        }
        assert!(Instant::now() < end, "not the number behind {word} in\n{text}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[test]
fn a_badly_packed_unit_is_restacked_saved_and_set_against_what_it_was() {
    let home = Home::with(&["tamsin-1100.ron"]);
    let mut s = open(&home);
    s.until("64 cases");
    s.press("/as bought\r");
    s.until("1 of 2");
    // As it stands there, before its seals are renewed.
    s.press("f");
    s.until("as found");
    s.until("64 cases");
    s.press("4");
    s.until("water rises");
    s.until("nothing in this tray");
    let was = figure(&s, "filtered l/h", 0, |_| true);

    // By hand: lumps into the empty tray, to the top; the pads cut to size; the hole closed; a seal that seals.
    s.press("jj");
    s.press("a");
    s.until("Which medium to add");
    s.press("/sintered porous lumps, 20\r\r");
    s.until("sintered porous lump");
    s.press("t");
    s.until("fills");
    s.press("jj");
    s.press("G");
    s.until("edge gap");
    s.press("\u{15}0.5\r");
    s.until_gone("edge gap 3 mm");
    s.press("\u{1b}[Hj");
    s.until("hole 25");
    s.press("H");
    s.until_gone("hole 25");
    s.press("G\u{15}0.5\r");
    s.until_gone("edge gap 1 mm");
    s.press("k");
    s.until("seal missing");
    s.press("c");
    s.until_gone("seal missing");
    // A change is taken back and made again.
    s.press("z");
    s.until("seal missing");
    s.press("Z");
    s.until_gone("seal missing");
    s.until("▲ better");
    comes_above(&s, 2.0 * was);

    // A better one for this tank, taken as one change.
    s.press("b");
    s.until("take it");
    s.press("\r");
    s.until("taken as one change");

    // Saved in a new file, beside the old one, which stays as it is.
    let before = fs::read(home.path("filters/tamsin-1100.ron")).unwrap();
    s.press("S");
    s.until("filters/");
    s.press("\u{15}filters/tamsin-again.ron\r");
    s.until("saved as");
    let file = home.path("filters/tamsin-again.ron");
    assert!(fs::read_to_string(&file).unwrap().contains("Layer("));
    assert_eq!(fs::read(home.path("filters/tamsin-1100.ron")).unwrap(), before);

    // It is read again by itself; old and new stand side by side, and the new one is really better.
    s.press("g1\u{1b}");
    s.until("3 builds");
    s.press("/as bought\r");
    s.until("2 of 3");
    // Rows stand still once all is judged.
    s.until("64 cases");
    s.press("\u{1b}[F ");
    s.until("• Tamsin 1100 · as bought  ");
    s.press("\u{1b}[H ");
    s.press("d");
    s.until("Compare · ");
    s.until("Why clearing differs");
    s.until("▲ better");
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    s.given_back();
}

/// Filtered flow of the working copy comes above a bound: figures come a moment after the change they are of.
fn comes_above(session: &Session, bound: f64) {
    let start = Instant::now();
    while now(session) <= bound {
        assert!(start.elapsed() < LIMIT, "not above {bound}:\n{}", session.text());
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// Filtered flow of the working copy: the second figure of its line among the measures.
fn now(session: &Session) -> f64 {
    let text = session.text();
    let line = text.lines().find(|l| l.contains("filtered l/h")).unwrap();
    let (_, after) = line.split_once("filtered l/h").unwrap();
    after.split_whitespace().nth(1).unwrap().parse().unwrap()
}
