//! Whatever comes in, however much and however broken: the picture goes on, the next key is that key, and Ctrl-C
//! leaves.
#![cfg(target_os = "linux")]
// Helpers of a test may fail as a test fails.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use std::fs;
use std::time::{Duration, Instant};

use portable_pty::PtySize;

use crate::home::Home;
use crate::session::{LIMIT, Session, cells};

/// A line of the program's status (proc(5)), as a number.
fn status(process: u32, name: &str) -> u64 {
    let text = fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix(name));
    line.and_then(|line| line.trim_start_matches(':').split_whitespace().next()?.parse().ok()).unwrap_or(0)
}

fn resize(s: &Session, columns: u16, rows: u16) {
    s.screen.lock().unwrap().0.screen_mut().set_size(cells(rows), cells(columns));
    s.master.resize(PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }).unwrap();
}

/// How long it took from Ctrl-C until the terminal was given back; the program has to leave as a person leaves.
fn way_out(mut s: Session) -> Duration {
    assert!(s.screen.lock().unwrap().0.screen().alternate_screen(), "it left by itself");
    let pressed = Instant::now();
    s.press("\u{3}");
    while s.screen.lock().unwrap().0.screen().alternate_screen() {
        assert!(pressed.elapsed() < LIMIT, "Ctrl-C was not seen");
        let _ = s.news.recv_timeout(Duration::from_millis(5));
    }
    let took = pressed.elapsed();
    s.given_back();
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    took
}

/// Any bytes, and pieces of sequences, without a key that leaves or hands over the terminal.
fn noise(seed: &mut u64, length: usize) -> Vec<u8> {
    const PIECES: [&[u8]; 8] = [
        b"\x1b[<0;1",
        b"\x1b[200~",
        b"\x1b[?",
        b"\x1b[",
        b"\x1b]0;",
        b"\xf0\x9f",
        b"\x1b[<64;3;3M",
        b"\x1b[1;2",
    ];
    let mut out = Vec::new();
    while out.len() < length {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let chance = (*seed >> 33) as usize;
        match (chance % 256) as u8 {
            // q leaves, Ctrl-Z hands over, Ctrl-C is what is tested.
            b'q' | 0x1a | 3 => {}
            0 => out.extend_from_slice(PIECES[chance / 256 % PIECES.len()]),
            byte => out.push(byte),
        }
    }
    out
}

#[test]
fn a_flood_with_resizes_leaves_the_keyboard_alive() {
    let place = Home::new();
    let mut s = place.start(&["filters", "--samples", "16"]);
    s.until("Tamsin 1100 · restacked");
    // Unbracketed, as a terminal without that pastes.
    for turn in 0..30 {
        s.press(&"jk".repeat(500));
        resize(&s, 80 + turn % 3, 24 + turn % 2);
    }
    s.until("keys came at once");
    resize(&s, 100, 30);
    s.press("/orr");
    s.until("holding /orr");
    s.press("\u{1b}");
    s.until("Tamsin 1100");
    // 2.4 KB at once: none of it fires with the keys after it.
    s.press(&"j".repeat(2400));
    s.until("keys came at once");
    s.press("/tam");
    s.until("holding /tam");
    s.press("x");
    s.until("holding /tamx");
    let took = way_out(s);
    println!("Ctrl-C after a flood: {took:?}");
}

#[test]
fn what_is_cut_off_holds_up_neither_keys_nor_picture() {
    let place = Home::new();
    let mut s = place.start(&["filters", "--samples", "16"]);
    s.until("Tamsin 1100 · restacked");
    let pieces = [
        "\u{1b}[<",
        "\u{1b}[?",
        "\u{1b}[200~",
        "\u{1b}[200~abc",
        "\u{1b}[",
        "\u{1b}O",
        "\u{1b}]0;",
        "\u{1b}P1",
    ];
    for (turn, piece) in pieces.into_iter().enumerate() {
        s.press(piece);
        // Well past the pause after which it is given up: the machine may be busy.
        std::thread::sleep(Duration::from_millis(400));
        // The picture goes on without a key.
        let rows = 25 + turn as u16;
        resize(&s, 90, rows);
        let end = Instant::now() + LIMIT;
        let last = |s: &Session| {
            s.text().lines().nth(usize::from(rows) - 1).is_some_and(|line| !line.trim().is_empty())
        };
        while !last(&s) {
            assert!(Instant::now() < end, "after {piece:?} nothing is drawn:\n{}", s.text());
            let _ = s.news.recv_timeout(Duration::from_millis(50));
        }
        s.press("/orr");
        s.until("holding /orr");
        if piece.ends_with("abc") {
            s.until("a paste broke off and was left out");
        }
        s.press("\u{1b}");
        s.until_gone("holding");
    }
    for piece in pieces {
        let s = {
            let mut s = place.start(&["filters", "--samples", "0"]);
            s.until("Tamsin 1100 · restacked");
            s.press(piece);
            s
        };
        way_out(s);
    }
}

/// Twice at least, and one of six in time: what the program takes, not what a busy machine adds.
#[test]
fn ctrl_c_is_answered_in_the_middle_of_a_flood() {
    // FLOOD_KEYS=1000000 tries more.
    let keys = std::env::var("FLOOD_KEYS").ok().and_then(|n| n.parse().ok()).unwrap_or(60_000_usize);
    let mut seed = 18;
    let mut flood = || {
        let place = Home::new();
        let mut s = place.start(&["filters"]);
        s.until("Tamsin 1100 · restacked");
        let process = s.child.process_id().unwrap();
        let (mut sent, mut threads) = (0, 0);
        while sent < keys {
            let length = 1 + seed as usize % 3000;
            let some = noise(&mut seed, length);
            s.keys.write_all(&some).unwrap();
            sent += some.len();
            resize(&s, 20 + (seed >> 20) as u16 % 200, 5 + (seed >> 30) as u16 % 80);
            threads = threads.max(status(process, "Threads"));
        }
        let memory = status(process, "VmHWM") / 1024;
        println!("{sent} bytes: at most {threads} threads, {memory} MiB");
        assert!(memory < 200, "{memory} MiB");
        way_out(s)
    };
    let mut took = vec![flood(), flood()];
    while took.len() < 6 && took.iter().all(|took| *took >= Duration::from_millis(200)) {
        took.push(flood());
    }
    println!("Ctrl-C in the middle of a flood: {took:?}");
    assert!(took.iter().any(|took| *took < Duration::from_millis(200)), "{took:?}");
}

/// A thousand keys a second, each of which has every build judged again.
#[test]
fn undo_and_redo_held_down_take_no_more_threads() {
    let place = Home::new();
    let mut s = place.start(&["filters", "--tank", "tank.ron"]);
    s.until("Tamsin 1100 · restacked");
    s.press("6");
    s.until("volume: water in the tank");
    s.press("200\r");
    s.until("200 l");
    s.until("unsaved changes");
    let process = s.child.process_id().unwrap();
    let before = status(process, "Threads");
    let mut most = 0;
    for _ in 0..1500 {
        s.press("zZ");
        std::thread::sleep(Duration::from_millis(2));
        most = most.max(status(process, "Threads"));
    }
    let memory = status(process, "VmHWM") / 1024;
    println!("{before} threads at rest, at most {most}, {memory} MiB");
    assert!(most <= before + 2 && memory < 200, "{before} threads, then {most}, {memory} MiB");
    way_out(s);
}
