//! Every key of the table of actions, as a terminal sends it, arrives as the key that the table names.
#![cfg(unix)]

use std::collections::BTreeMap;

use cansift::app::actions::{self, ACTIONS};
use cansift::app::key::{Code, Key};
use cansift::app::keys::WAY_OUT;
use cansift::app::tabs::Place;

use crate::home::Home;

/// Places with few keys, each with the keys to it and what shows that it is reached.
const PLACES: [(Place, &str, &str); 3] = [
    (Place::Columns, "c", "show or hide"),
    (Place::Sources, "7", "wall roughness"),
    (Place::Explain, "e", "how many times an hour"),
];

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

#[test]
fn every_key_of_the_table_arrives() {
    let mut keys: Vec<Key> = ACTIONS.iter().flat_map(actions::Action::key_list).collect();
    keys.sort_by_key(|key| key.label());
    keys.dedup();
    keys.retain(|key| *key != WAY_OUT);
    // A key that does nothing in a place is named there.
    let mut idle: BTreeMap<usize, Vec<Key>> = BTreeMap::new();
    let mut used = Vec::new();
    for key in keys {
        let does = |place| actions::of_place(place).any(|row| row.key_list().any(|k| k == key));
        match PLACES.iter().position(|(place, ..)| !does(*place)) {
            Some(at) => idle.entry(at).or_default().push(key),
            None => used.push(key.label()),
        }
    }
    // Those that work everywhere are pressed in the other tests of this program.
    assert!(used.len() < 20 && idle.values().flatten().count() > 40, "{used:?}");
    let home = Home::new();
    for (at, keys) in idle {
        let (_, to, shows) = PLACES[at];
        let mut s = home.start(&["filters", "--tank", "tank.ron", "--samples", "0"]);
        s.until("Tamsin 1100 · restacked");
        s.press(to);
        s.until(shows);
        for key in keys {
            s.press(&bytes(key));
            s.until(&format!("{} does nothing here", key.label()));
        }
        s.press("\u{3}");
        assert_eq!(s.child.wait().unwrap().exit_code(), 0);
    }
}
