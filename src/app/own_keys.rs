//! A person's own keys: which action, by which keys. What is wrong with one line is told at its place and costs
//! that line alone.

use std::collections::BTreeSet;
use std::path::Path;

use super::actions::{self, ACTIONS};
use super::keys::{WAY_OUT, share_a_place};
use super::{Key, Keys};
use crate::hidden::visible;
use crate::model::Library;
use crate::model::fields::{Door, Place, Row, form, row};
use crate::profile::reader::{self, Read};
use crate::profile::{Problem, Reader, diagnostics, lexer, message, without_mark};
use crate::uncertainty::Source;

/// Most lines of the file, and most keys of a line.
const MAX_LINES: usize = 500;

/// Reads own keys from their text: `[("sort", ["s", "ctrl-s"]), ("help", ["?"])]`. What is wrong comes in the order of
/// the text; what is right holds all the same.
pub fn read(path: &Path, text: &str) -> (Keys, Vec<Problem>) {
    let text = without_mark(text);
    // An empty file says nothing, as when a shell has just made it for what is to be printed into it.
    if lexer::skip_trivia(text, 0) >= text.len() {
        return (Keys::default(), Vec::new());
    }
    let nothing = Library::default();
    let Read { thing, faults, .. } = reader::run(text, &nothing, Source::Library, |reader, whole| {
        let mut lines = Lines::default();
        for item in reader.items(whole, &OWN_KEYS)? {
            lines.add(reader, &item);
        }
        Some(lines.out)
    });
    (Keys::own(thing.unwrap_or_default()), message::problems(path, text, &faults))
}

static OWN_KEYS: Row = row("own keys").most(MAX_LINES);

form! {
    Line "" "an action with its keys" "(\"sort\", [\"s\", \"ctrl-s\"])" by place {
        action: String = row("the name of an action");
        keys: Vec<String> = row("the keys of an action").most(MAX_LINES);
    }
}

/// Actions by name, with their keys.
#[derive(Default)]
struct Lines {
    out: Vec<(String, Vec<Key>)>,
}

impl Lines {
    fn add(&mut self, reader: &mut Reader<'_>, item: &Place) {
        if !reader.open(Some(item), Line::TABLE) {
            return;
        }
        let places = reader.given(&Line::action).zip(reader.given(&Line::keys));
        reader.close();
        let Some((name_at, keys_at)) = places else { return };
        let name = reader.quoted(&name_at).and_then(|name| self.action(reader, &name_at, name));
        let Some(list) = reader.items(&keys_at, &Line::keys) else { return };
        let mut keys = Vec::new();
        for at in list {
            let Some(written) = reader.quoted(&at) else { continue };
            if let Some(key) = self.key(reader, &at, &written, name.as_deref())
                && !keys.contains(&key)
            {
                keys.push(key);
            }
        }
        let Some(name) = name else { return };
        // Of a line whose every key is wrong nothing is left: the action keeps the keys that ship.
        if keys.is_empty() && !reader.at(&keys_at).trim_matches(['[', ']', ' ']).is_empty() {
            return;
        }
        self.out.push((name, keys));
    }

    fn action(&self, reader: &mut Reader<'_>, at: &Place, name: String) -> Option<String> {
        let place = at.clone();
        if actions::named(&name).is_none() {
            let mut seen = BTreeSet::new();
            let names = ACTIONS.iter().map(|row| row.name).filter(|name| seen.insert(*name));
            let names: Vec<&str> = names.collect();
            let help = diagnostics::suggest(&name, names, "the actions are");
            reader.refuse(place, format!("there is no action `{}`", visible(&name)), Some(help));
            return None;
        }
        if self.out.iter().any(|(other, _)| *other == name) {
            let help = "give all its keys in one line".to_owned();
            reader.refuse(place, format!("`{name}` has its keys already"), Some(help));
            return None;
        }
        Some(name)
    }

    fn key(&self, reader: &mut Reader<'_>, at: &Place, written: &str, action: Option<&str>) -> Option<Key> {
        let place = at.clone();
        let Some(key) = Key::named(written) else {
            let bare = written.trim_start_matches("ctrl-").trim_start_matches("shift-");
            let near = diagnostics::nearest(bare, Key::names());
            let help = near.map_or_else(
                || {
                    let names = diagnostics::ticked(Key::names());
                    format!("a key is one letter or sign, or one of {names}; before it `ctrl-` or `shift-`")
                },
                |near| format!("did you mean `{near}`?"),
            );
            reader.refuse(place, format!("there is no key `{}`", visible(written)), Some(help));
            return None;
        };
        let (action, name) = (action?, key.name());
        let leaves = || ACTIONS.iter().find(|row| row.key_list().any(|k| k == WAY_OUT));
        if let Some(row) = leaves().filter(|row| key == WAY_OUT && row.name != action) {
            let help = "choose another: it is the way out that always works".to_owned();
            reader.refuse(place, format!("`{name}` is always for `{}`", row.name), Some(help));
            return None;
        }
        let taken = self.out.iter().find(|(other, keys)| keys.contains(&key) && share_a_place(other, action));
        if let Some((other, _)) = taken {
            let message = format!("`{name}` is for `{other}` already, and both work in one place");
            reader.refuse(place, message, Some("give one of the two another key".to_owned()));
            return None;
        }
        Some(key)
    }
}
