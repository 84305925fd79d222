//! The program itself on a pseudo-terminal, from a badly packed unit to a better one in a file of its own: by hand,
//! by proposal, saved, read again, and the two beside each other.
#![cfg(unix)]
// Helpers of a test may fail as a test fails.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "screens/session.rs"]
mod session;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use portable_pty::CommandBuilder;
use session::{LIMIT, Session};
use tempfile::TempDir;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
const DOWN: &str = "\u{1b}[B";
const HOME: &str = "\u{1b}[H";
const END: &str = "\u{1b}[F";

/// A home of its own, with the badly packed unit and the reading-room tank in it.
struct Place(TempDir);

impl Place {
    fn new() -> Self {
        let place = Self(tempfile::tempdir().unwrap());
        fs::create_dir_all(place.path("filters")).unwrap();
        for (from, to) in
            [("tamsin-1100.ron", "filters/tamsin-1100.ron"), ("tanks/reading-room.ron", "tank.ron")]
        {
            fs::copy(Path::new(DEMO).join(from), place.path(to)).unwrap();
        }
        place
    }
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    fn start(&self) -> Session {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_cansift"));
        command.args(["filters", "--tank", "tank.ron", "--samples", "16"]);
        command.cwd(self.0.path());
        for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("XDG_") || name == "NO_COLOR") {
            command.env_remove(name);
        }
        command.env("HOME", self.path("home"));
        Session::start(command)
    }
}

/// The line of figures under the list.
fn figures_line(text: &str) -> Option<&str> {
    text.lines().find(|l| l.contains("worked") && l.contains("bypass"))
}

/// A measure before and now, from the line of figures under the list, as in `worked 190 → 675 l/h`.
fn before_and_now(text: &str, measure: &str) -> Option<(f64, f64)> {
    let said = figures_line(text)?.split_once(measure)?.1.split('·').next()?;
    // Less than one per cent counts as one.
    let number = |said: &str| said.trim().trim_start_matches('<').split(' ').next()?.parse().ok();
    let (before, now) = said.split_once('→')?;
    Some((number(before)?, number(now)?))
}

/// The line of figures, once it has stood for a while: figures follow a change without a word.
fn settled(s: &Session) -> String {
    let line = |s: &Session| figures_line(&s.text()).map(str::to_owned);
    let (mut last, mut since) = (line(s), Instant::now());
    while since.elapsed() < Duration::from_millis(500) {
        std::thread::sleep(Duration::from_millis(50));
        let now = line(s);
        if now != last {
            (last, since) = (now, Instant::now());
        }
    }
    last.unwrap()
}

/// Waits until more is worked, and less goes by, by these factors at least.
fn until_better(s: &Session, worked: f64, bypass: f64) {
    let end = Instant::now() + LIMIT;
    loop {
        let text = s.text();
        let found = (before_and_now(&text, "worked"), before_and_now(&text, "bypass"));
        if let (Some((was, now)), Some((was_past, past))) = found
            && now > worked * was
            && past < bypass * was_past
        {
            return;
        }
        assert!(Instant::now() < end, "no better: {found:?}\n{text}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Where texts stand on the screen, in this order from top to bottom.
fn in_order(s: &Session, names: &[&str]) {
    let text = s.text();
    let at: Vec<_> = names.iter().map(|n| text.lines().position(|l| l.contains(n))).collect();
    assert!(at.iter().all(Option::is_some) && at.is_sorted(), "{names:?} at {at:?} in\n{text}");
}

#[test]
fn a_badly_packed_unit_is_restacked_saved_read_again_and_compared() {
    let place = Place::new();
    let source = fs::read(place.path("filters/tamsin-1100.ron")).unwrap();
    let mut s = place.start();
    s.until("16 draws");
    s.press("/as bought\r4");
    s.until("Restack Tamsin 1100 · as bought");
    s.until("hole 25");

    // The hole out of the floss and its rim closed, and the tray's seal in order.
    s.press(&format!("{END}H"));
    s.until_gone("hole 25");
    s.press("[[c");
    s.until_gone("no seal");
    // Coarse foam before the pad there is: it is laid behind it, then moved back against the water.
    s.press(&format!("{HOME}{DOWN}{DOWN}[[[[[["));
    s.until_gone("slack 3 mm");
    s.press("a/10 ppi\r");
    s.until("only media with /10 ppi");
    s.press("\r");
    s.until_gone("Which medium");
    in_order(&s, &["tray 1", "foam, 20 PPI", "foam, 10 PPI", "tray 2"]);
    s.press("K");
    s.until("unsaved");
    // The empty tray filled with lumps.
    s.press(&format!("{DOWN}{DOWN}a/pumice\r"));
    s.until("only media with /pumice");
    s.press("\r");
    s.until_gone("Which medium");
    in_order(&s, &["tray 1", "foam, 10 PPI", "foam, 20 PPI", "tray 2", "pumice", "tray 3", "floss"]);
    until_better(&s, 1.5, 0.5);
    let by_hand = settled(&s);

    // Undone and made again.
    s.press("z");
    s.until("taken back: pumice, 8 to 16 mm added");
    s.until_gone("fills");
    s.until_gone(&by_hand);
    s.press("Z");
    s.until_gone("taken back");
    s.until("fills");
    s.until(&by_hand);

    // Proposed, and one taken: as one change.
    s.press("b");
    s.until("Enter take it");
    s.press("\r");
    s.until("z takes it back");
    // The figures of what was taken, and no longer those of the hand's work.
    s.until_gone(&by_hand);
    until_better(&s, 1.5, 0.5);
    let taken = before_and_now(&settled(&s), "worked").unwrap();

    // Saved in a new file; the old one is as it was.
    s.press("S");
    s.until("tamsin-1100-restacked.ron");
    s.press("\r");
    s.until("saved as");
    s.until_gone("unsaved");
    let saved = fs::read_to_string(place.path("filters/tamsin-1100-restacked.ron")).unwrap();
    assert!(saved.contains("Written from tamsin-1100.ron, build \"as bought\""), "{saved}");
    assert_eq!(fs::read(place.path("filters/tamsin-1100.ron")).unwrap(), source);
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);

    // Read again by another run: it is in the list, with the figure that was shown.
    let mut s = place.start();
    s.until("16 draws");
    s.until("3 builds");
    s.press("/as bought\r");
    s.until_gone("Tamsin 1100 · restacked");
    // The name is longer than its column.
    let line = s.text().lines().find(|l| l.contains("as bought, re")).unwrap().to_owned();
    assert!(line.contains(&format!(" {} ", taken.1)), "{} in {line}", taken.1);
    // Both marked, and beside each other: the measures, and the layers that differ.
    s.press(&format!("{HOME} {DOWN} "));
    s.until("2 marked");
    s.press("d");
    s.until("why worked differs");
    s.until("100 %");
    s.press("q");
    assert_eq!(s.child.wait().unwrap().exit_code(), 0);
}
