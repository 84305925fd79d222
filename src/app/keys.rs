//! The keys in force: those that ship in the table of actions, and those a person's own file puts in their place.

use super::actions::{self};
use super::tabs::ALL_PLACES;
use super::{Action, Code, Key, Keys};

/// Always leaves, whatever a file of keys says: a way out that nobody can lose.
pub const WAY_OUT: Key = Key { code: Code::Char('c'), ctrl: true, shift: false };

impl Keys {
    pub fn of(&self, row: &Action) -> Vec<Key> {
        if let Some((_, keys)) = self.own.iter().find(|(name, _)| name == row.name) {
            let mut keys = keys.clone();
            if row.key_list().any(|k| k == WAY_OUT) {
                keys.push(WAY_OUT);
            }
            return keys;
        }
        // A key of one's own means what one gave it wherever that action stands, and nothing else there.
        let taken = |key: &Key| {
            self.own.iter().any(|(name, keys)| keys.contains(key) && share_a_place(name, row.name))
        };
        row.key_list().filter(|key| !taken(key)).collect()
    }

    pub fn labels(&self, row: &Action) -> String {
        self.of(row).into_iter().map(Key::label).collect::<Vec<_>>().join(" ")
    }

    /// The first of its keys as people read it; empty where it has none.
    pub fn first(&self, row: &Action) -> String {
        self.of(row).into_iter().next().map_or(String::new(), Key::label)
    }

    /// Puts keys in force for the names that stand in braces: `choose a pane ({next_pane})`.
    pub fn fill(&self, said: &str) -> String {
        let mut out = String::with_capacity(said.len());
        let mut rest = said;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let named = after.split_once('}').and_then(|(name, after)| Some((actions::named(name)?, after)));
            if let Some((row, after)) = named {
                let key = self.first(row);
                out.push_str(if key.is_empty() { row.name } else { &key });
                rest = after;
            } else {
                out.push('{');
                rest = after;
            }
        }
        out.push_str(rest);
        out
    }

    /// Actions of the table that these keys leave without any, though nobody asked for that: their names, with
    /// the key that went to another.
    pub fn left_without(&self) -> Vec<(&'static str, Key)> {
        let mut out: Vec<(&'static str, Key)> = Vec::new();
        for row in actions::ACTIONS {
            let named = self.own.iter().any(|(name, _)| name == row.name);
            if !named
                && self.of(row).is_empty()
                && let Some(key) = row.key_list().next()
                && !out.iter().any(|(name, _)| *name == row.name)
            {
                out.push((row.name, key));
            }
        }
        out
    }
}

/// Whether two actions of those names work in one place, so that one key cannot be for both.
pub fn share_a_place(a: &str, b: &str) -> bool {
    let there = |name: &str, place| actions::of_place(place).any(|row| row.name == name);
    a != b && ALL_PLACES.iter().any(|place| there(a, *place) && there(b, *place))
}
