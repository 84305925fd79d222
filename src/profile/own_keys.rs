//! A person's own keys: which action, by which keys. What is wrong with one line is told at its place and costs
//! that line alone.

use std::path::Path;

use super::diagnostics;
use super::lexer;
use super::message;
use super::reader::{self, Read, Reader};
use super::{Problem, without_mark};
use crate::hidden::visible;
use crate::model::fields::{Door, Place, Row, form, row};
use crate::model::library::Library;
use crate::uncertainty::key::Source;

/// Most lines of the file, and most keys of a line.
const MAX_LINES: usize = 500;

/// What the table of actions knows of names and keys.
pub trait Known {
    fn names(&self) -> Vec<&'static str>;
    /// A key's one name, whatever way it is written; none where there is no such key.
    fn key(&self, written: &str) -> Option<String>;
    /// Names of keys, to choose from.
    fn key_names(&self) -> Vec<&'static str>;
    /// Whether two actions work in one place, so that a key cannot be for both.
    fn meet(&self, a: &str, b: &str) -> bool;
    /// Keys that have a meaning of their own which nothing may take, and the action they are for.
    fn fixed(&self, key: &str) -> Option<&'static str>;
}

/// What of the file is good, and what is wrong with the rest.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnKeys {
    /// Actions by name, with the names of their keys.
    pub lines: Vec<(String, Vec<String>)>,
    /// What is wrong, in the order of the text.
    pub problems: Vec<Problem>,
}

/// Reads own keys from their text: `[("sort", ["s", "ctrl-s"]), ("help", ["?"])]`.
pub fn read_own_keys(path: &Path, text: &str, known: &dyn Known) -> OwnKeys {
    let text = without_mark(text);
    // An empty file says nothing, as when a shell has just made it for what is to be printed into it.
    if lexer::skip_trivia(text, 0) >= text.len() {
        return OwnKeys::default();
    }
    let nothing = Library::default();
    let Read { thing, faults, .. } = reader::run(text, &nothing, Source::Library, |reader, whole| {
        let mut lines = Lines { known, taken: Vec::new(), out: Vec::new() };
        for item in reader.items(whole, &OWN_KEYS)? {
            lines.add(reader, &item);
        }
        Some(lines.out)
    });
    OwnKeys { lines: thing.unwrap_or_default(), problems: message::problems(path, text, &faults) }
}

static OWN_KEYS: Row = row("own keys").most(MAX_LINES);

form! {
    Line "" "an action with its keys" "(\"sort\", [\"s\", \"ctrl-s\"])" by place {
        action: String = row("the name of an action");
        keys: Vec<String> = row("the keys of an action").most(MAX_LINES);
    }
}

struct Lines<'k> {
    known: &'k dyn Known,
    /// Keys given so far, each with its action.
    taken: Vec<(String, String)>,
    out: Vec<(String, Vec<String>)>,
}

impl Lines<'_> {
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
        self.taken.extend(keys.iter().map(|key| (key.clone(), name.clone())));
        self.out.push((name, keys));
    }

    fn action(&self, reader: &mut Reader<'_>, at: &Place, name: String) -> Option<String> {
        let names = self.known.names();
        let place = at.clone();
        if !names.contains(&name.as_str()) {
            let help = diagnostics::suggest(&name, names.iter().copied(), "the actions are");
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

    fn key(
        &self,
        reader: &mut Reader<'_>,
        at: &Place,
        written: &str,
        action: Option<&str>,
    ) -> Option<String> {
        let place = at.clone();
        let Some(key) = self.known.key(written) else {
            let bare = written.trim_start_matches("ctrl-").trim_start_matches("shift-");
            let near = diagnostics::nearest(bare, self.known.key_names());
            let help = near.map_or_else(
                || {
                    let names = diagnostics::ticked(self.known.key_names());
                    format!("a key is one letter or sign, or one of {names}; before it `ctrl-` or `shift-`")
                },
                |near| format!("did you mean `{near}`?"),
            );
            reader.refuse(place, format!("there is no key `{}`", visible(written)), Some(help));
            return None;
        };
        let action = action?;
        if let Some(owner) = self.known.fixed(&key).filter(|owner| *owner != action) {
            let help = "choose another: it is the way out that always works".to_owned();
            reader.refuse(place, format!("`{key}` is always for `{owner}`"), Some(help));
            return None;
        }
        let other = self.taken.iter().find(|(k, other)| *k == key && self.known.meet(other, action));
        if let Some((_, other)) = other {
            let message = format!("`{key}` is for `{other}` already, and both work in one place");
            reader.refuse(place, message, Some("give one of the two another key".to_owned()));
            return None;
        }
        Some(key)
    }
}
