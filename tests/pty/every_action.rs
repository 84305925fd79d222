//! Every row of the table of actions, in every place where it stands, with the program itself on a
//! pseudo-terminal: its first key is pressed, and either the screen changes or a reason is told.
#![cfg(unix)]

use std::time::{Duration, Instant};

use crate::home::Home;
use crate::session::{self, Session};
use cansift::app::actions;
use cansift::app::key::{Code, Key};
use cansift::app::tabs::{ALL_PLACES, Place};

/// Keys from the start to a place, and what shows that it is reached.
fn way(place: Place) -> (&'static str, &'static str) {
    match place {
        Place::Builds => ("j", "j does"),
        // Three columns, the cursor on the middle one, and what comes late is there.
        Place::Diff => ("   djjl", "why worked late"),
        Place::Ranking => ("3lk", "rank 1"),
        Place::Restack => ("4jj", "water rises"),
        Place::Picker => ("4jjajj", "Which medium"),
        Place::Proposals => ("4b", "take it"),
        Place::Tank => ("5j", "l(180)"),
        Place::Tanks => ("5o", "no tank"),
        Place::Sources => ("6j", "wall roughness"),
        Place::Explain => ("je", "filtered flow = "),
        Place::Columns => ("cjj", "show or hide"),
    }
}

/// What a terminal sends for a key.
fn bytes(key: Key) -> String {
    let arrow = |end: char| {
        if key.shift { format!("\u{1b}[1;2{end}") } else { format!("\u{1b}[{end}") }
    };
    match key.code {
        Code::Char(c) if key.ctrl => char::from((c as u8) & 0x1f).to_string(),
        Code::Char(c) => c.to_string(),
        Code::Enter => "\r".to_owned(),
        Code::Esc => "\u{1b}".to_owned(),
        Code::Tab => "\t".to_owned(),
        Code::BackTab => "\u{1b}[Z".to_owned(),
        Code::Backspace => "\u{7f}".to_owned(),
        Code::Delete => "\u{1b}[3~".to_owned(),
        Code::Up => arrow('A'),
        Code::Down => arrow('B'),
        Code::Right => arrow('C'),
        Code::Left => arrow('D'),
        Code::Home => arrow('H'),
        Code::End => arrow('F'),
        Code::PageUp => "\u{1b}[5~".to_owned(),
        Code::PageDown => "\u{1b}[6~".to_owned(),
    }
}

/// Looks in a row that have to show the same: what comes late must not pass for the work of a key.
const LOOKS: usize = 4;

/// The screen, once it stands still.
fn still(s: &Session) -> String {
    let (mut text, mut same) = (s.text(), 1);
    let end = Instant::now() + session::LIMIT;
    while same < LOOKS {
        assert!(Instant::now() < end, "never still:\n{text}");
        std::thread::sleep(Duration::from_millis(50));
        let now = s.text();
        same = if now == text { same + 1 } else { 1 };
        text = now;
    }
    text
}

/// Presses it in a program of its own; what went wrong.
fn tried(home: &Home, place: Place, row: &actions::Action) -> Result<(), String> {
    let mut s = home.start(&["filters", "--tank", "tank.ron", "--samples", "16"]);
    s.until("Tamsin 1100 · restacked");
    s.until("16 draws");
    let (keys, shows) = way(place);
    s.press(keys);
    if place != Place::Builds {
        s.until(shows);
    }
    let before = still(&s);
    let key = row.key_list().next().ok_or("has no key")?;
    s.press(&bytes(key));
    let end = Instant::now() + session::LIMIT;
    let gone = |s: &mut Session| matches!(s.child.try_wait(), Ok(Some(_)));
    let happened = loop {
        match row.name {
            "leave" if gone(&mut s) => return Ok(()),
            // Drawn afresh it looks the same: it has to be there still.
            "redraw" if !gone(&mut s) => break true,
            "suspend" if !s.screen.lock().unwrap().0.screen().alternate_screen() => break true,
            "leave" | "redraw" | "suspend" => {}
            _ if s.text() != before => break true,
            _ => {}
        }
        if Instant::now() > end {
            break false;
        }
        std::thread::sleep(Duration::from_millis(10));
    };
    let text = s.text();
    let _ = s.child.kill();
    let _ = s.child.wait();
    if happened && !text.contains("does nothing here") {
        return Ok(());
    }
    Err(format!("{place:?}: {} ({}) did nothing:\n{text}", row.name, key.label()))
}

#[test]
fn each_action_of_each_place_does_something_or_says_why_not() {
    let jobs: Vec<(Place, &actions::Action)> =
        ALL_PLACES.iter().flat_map(|place| actions::of_place(*place).map(|row| (*place, row))).collect();
    assert!(jobs.len() > 100);
    let next = std::sync::atomic::AtomicUsize::new(0);
    let failed = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..6 {
            scope.spawn(|| {
                let home = Home::new();
                while let Some((place, row)) =
                    jobs.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed))
                {
                    if let Err(why) = tried(&home, *place, row) {
                        failed.lock().unwrap().push(why);
                    }
                }
            });
        }
    });
    let failed = failed.into_inner().unwrap();
    assert!(failed.is_empty(), "{} of {}:\n{}", failed.len(), jobs.len(), failed.join("\n\n"));
}
