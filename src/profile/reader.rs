//! Reads a file's text by the tables of fields: each value at its place, every problem noted, and on.

mod door;
mod texts;

use std::any::Any;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use ron::error::Position;
use ron::extensions::Extensions;

use super::diagnostics::{self, KEEP_ONE, bracketed, describe, nearest, written_like};
use super::lexer;
use super::message::Diagnostic;
use super::rules::room::Rooms;
use crate::hidden::visible;
use crate::model::assumed::LeftOut;
use crate::model::fields::{Door, Field, Place, Row, Step, Table};
use crate::model::filter::OWN_MEDIA;
use crate::model::{Library, Medium};
use crate::order::InOrder;
use crate::uncertainty::Source;

/// Most layers of a tray or floor.
const MAX_LAYERS: usize = 20;
/// Words of a choice that were others before, with those they are now.
const OLD_WORDS: [(&str, &str); 1] = [("fits", "fits_cabinet")];

static OPTIONS: LazyLock<ron::Options> = LazyLock::new(|| {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
        // One bracket costs two of the limit.
        .with_recursion_limit(2 * lexer::MAX_DEPTH)
});

struct Open {
    /// Its name and bracket: marked when something is missing from it.
    head: Place,
    what: &'static str,
    rows: Vec<&'static Row>,
    /// Its entries: name and place of the value; without names in the order of the rows.
    entries: Vec<(&'static str, Place)>,
    /// Fields that somebody misspelt: they are not missed as well.
    misspelt: Vec<&'static str>,
}

impl Open {
    fn new(head: Place, what: &'static str, rows: Vec<&'static Row>) -> Self {
        Self { head, what, rows, entries: Vec::new(), misspelt: Vec::new() }
    }
}

/// What was read of a file: the thing, its problems, and hints that refuse nothing, in the order of the text.
pub struct Read<T> {
    pub thing: Option<T>,
    pub faults: Vec<Diagnostic>,
    pub hints: Vec<Diagnostic>,
    pub left: LeftOut,
}

pub struct Reader<'s> {
    pub source: &'s str,
    library: &'s Library,
    /// Media that the file brings along.
    pub own: BTreeMap<String, Arc<Medium>>,
    keys_of: Source,
    open: Vec<Open>,
    pub path: Vec<Step>,
    faults: Vec<Diagnostic>,
    hints: Vec<Diagnostic>,
    kept: Option<Box<dyn Any>>,
    /// Fields for which something is made when all is read.
    pub left: LeftOut,
    pub rooms: Rooms,
    /// The file is written for another program: nothing else that seems wrong with it counts.
    pub newer: Option<Diagnostic>,
}

/// Reads the one thing of a file, with keys of that source.
pub fn read<T: Field>(source: &str, library: &Library, keys_of: Source, row: &'static Row) -> Read<T> {
    run(source, library, keys_of, |reader, whole| {
        // A list of media or fittings is known by its name, as one within a profile is.
        if !row.key.is_empty() {
            reader.enter(Step::Field(row.name, row.key));
        }
        T::read(reader, whole, row)
    })
}

/// Reads a file's one value with `read`.
pub fn run<T>(
    source: &str,
    library: &Library,
    keys_of: Source,
    read: impl FnOnce(&mut Reader<'_>, &Place) -> Option<T>,
) -> Read<T> {
    let (own, left, rooms) = (BTreeMap::new(), LeftOut::default(), Rooms::default());
    let (open, path, faults, hints) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let (kept, newer) = (None, None);
    let mut reader =
        Reader { source, library, own, keys_of, open, path, faults, hints, kept, left, rooms, newer };
    let mut thing = None;
    if let Some(found) = lexer::unclosed(source) {
        reader.faults.push(diagnostics::unclosed(source, &found));
    } else if let Some(whole) = reader.whole() {
        thing = read(&mut reader, &whole);
    }
    let Reader { mut faults, mut hints, left, newer, .. } = reader;
    if let Some(newer) = newer {
        (faults, hints) = (vec![newer], Vec::new());
    }
    for told in [&mut faults, &mut hints] {
        told.order_by_key(|fault| (fault.place.start, fault.place.end));
        told.dedup();
    }
    Read { thing, faults, hints, left }
}

impl Reader<'_> {
    /// Where the file's one value stands; `None` where that is not well formed or not alone.
    fn whole(&mut self) -> Option<Place> {
        let text = self.source;
        let mut at = lexer::skip_trivia(text, 0);
        // A header such as `#![enable(implicit_some)]` is not needed, but allowed.
        while text.get(at..).is_some_and(|rest| rest.starts_with("#!")) {
            let end = text.get(at..).and_then(|rest| rest.find(']')).map_or(text.len(), |i| at + i + 1);
            at = lexer::skip_trivia(text, end);
        }
        let place = at..lexer::value_end(text, at);
        if let Err(broken) = OPTIONS.from_str::<serde::de::IgnoredAny>(self.at(&(0..place.end))) {
            let from = offset(text, &broken.span.start);
            let to = offset(text, &broken.span.end);
            self.faults.push(diagnostics::syntax(&broken.code, text, from..to.max(from)));
            return None;
        }
        let start = lexer::skip_trivia(text, place.end);
        if start < text.len() {
            let word = lexer::word(text, start).len().max(1);
            self.faults.push(diagnostics::left_over(start..(start + word).min(text.len())));
            return None;
        }
        Some(place)
    }

    pub fn at(&self, place: &Place) -> &str {
        self.source.get(place.clone()).unwrap_or("")
    }

    pub fn refuse(&mut self, place: Place, message: impl Into<String>, help: Option<String>) {
        if !self.full() {
            self.faults.push(Diagnostic { place, message: message.into(), help });
        }
    }

    /// Notes a problem at a field of the open form, or at the form's head where it is not given.
    pub fn fault_at(&mut self, field: &str, message: impl Into<String>, help: &str) -> bool {
        let place = self.place_of(field);
        self.fault(place.as_ref(), message.into(), help)
    }

    fn hint(&mut self, place: Place, message: String, help: String) {
        self.hints.push(Diagnostic::new(place, message, help));
    }

    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }

    pub fn place_of(&self, name: &str) -> Option<Place> {
        let open = self.open.last()?;
        open.entries.iter().find(|(field, _)| *field == name).map(|(_, place)| place.clone())
    }

    /// Where a field of the form at that place stands.
    pub fn inside(&self, at: &Place, name: &str) -> Option<Place> {
        let entry = lexer::entries(self.source, at).into_iter().find(|e| self.at(&e.key) == name)?;
        Some(entry.value)
    }

    /// A thing of a list that has an id or a name is known by it from now on.
    fn name_step(&mut self, place: &Place, table: &Table) {
        let field = match table.name {
            "Medium" | "Fitting" => "id",
            "Build" => "name",
            _ => return,
        };
        let named = self.inside(place, field).and_then(|at| OPTIONS.from_str::<String>(self.at(&at)).ok());
        if let (Some(last), Some(name)) = (self.path.last_mut(), named) {
            *last = Step::Id(name);
        }
    }

    /// Trays that are only counted: `count(3)`. None where that is not what stands there.
    fn counted(&mut self, at: &Place, row: &Row) -> Option<Vec<Place>> {
        let items = lexer::items(self.source, at);
        let number =
            items.first().filter(|_| items.len() == 1).and_then(|at| self.at(at).parse::<u32>().ok());
        let Some(count) = number.filter(|count| (1..=row.most).contains(&(*count as usize))) else {
            let help = format!("write how many there are, 1 to {}: `count(3)`", row.most);
            self.refuse(at.clone(), "this does not count the trays", Some(help));
            return None;
        };
        if !self.rooms.count(&self.keys_of, count) {
            let help = "add `body: Body(outside: (width: mm(…), depth: mm(…), height: mm(…)))`, which stands before `trays`, or measure the trays";
            self.refuse(at.clone(), "trays that are only counted need an outside size", Some(help.into()));
            return None;
        }
        self.left.counted = Some(count);
        Some(Vec::new())
    }

    fn list_name(&self, row: &Row) -> String {
        match (row.words, self.path.last()) {
            ("a build's `trays`", Some(Step::Item(i))) => format!("what lies in tray {}", i + 1),
            ("what lies on the floor", _) => "what lies in the floor".to_owned(),
            _ => row.words.to_owned(),
        }
    }

    pub fn head(&self) -> Place {
        self.open.last().map_or(0..0, |open| open.head.clone())
    }

    fn form_of(&mut self, place: &Place, what: &str, like: &str) {
        self.refuse(
            lexer::head(self.source, place),
            format!("this does not have the form of {what}"),
            Some(written_like(like)),
        );
    }

    fn expected(&mut self, place: &Place, what: &str, like: &str) {
        let text = self.at(place);
        let word = visible(lexer::word(text, 0));
        // A word that stands without its brackets.
        let bare = !word.is_empty() && !text.contains('(');
        let help = if bare && like.contains('(') { bracketed(&word) } else { written_like(like) };
        let message = format!("expected {what}, found {}", describe(text));
        self.refuse(lexer::head(self.source, place), message, Some(help));
    }

    /// Opens what stands in the brackets at `place`.
    fn brackets(
        &mut self,
        place: &Place,
        what: &'static str,
        like: &str,
        rows: Vec<&'static Row>,
        by_place: bool,
    ) -> bool {
        let head = lexer::head(self.source, place);
        let mut open = Open::new(head, what, rows);
        if by_place {
            let items = lexer::items(self.source, place);
            if items.len() != open.rows.len() {
                return false;
            }
            open.entries = open.rows.iter().map(|row| row.name).zip(items).collect();
            self.open.push(open);
            return true;
        }
        let entries = lexer::entries(self.source, place);
        let end = entries.last().map_or(open.head.end, |entry| entry.whole.end);
        let rest = lexer::skip_trivia(self.source, end);
        if rest + 1 < place.end {
            if lexer::word(self.source, rest).is_empty() {
                self.expected(place, what, like);
            } else {
                self.form_of(place, what, like);
            }
            return false;
        }
        for entry in entries {
            let key = self.at(&entry.key).to_owned();
            let Some(row) =
                open.rows.iter().find(|row| row.name == key || !row.was.is_empty() && row.was == key)
            else {
                let names: Vec<&str> = open.rows.iter().map(|row| row.name).collect();
                let meant = nearest(&key, names.iter().copied());
                open.misspelt.extend(open.rows.iter().map(|row| row.name).find(|name| Some(*name) == meant));
                let fault = diagnostics::unknown_field(&key, &names, what, entry.key.clone());
                self.refuse(fault.place, fault.message, fault.help);
                continue;
            };
            if open.entries.iter().any(|(name, _)| *name == row.name) {
                let twice = format!("field `{key}` is given twice");
                let both = format!("`{}` and `{}` are the same field, and both are given", row.was, row.name);
                let old = !row.was.is_empty() && self.says_both(place, row);
                let help = if old { format!("keep `{}`", row.name) } else { KEEP_ONE.to_owned() };
                self.refuse(entry.key, if old { both } else { twice }, Some(help));
                continue;
            }
            if row.name != key {
                self.hint(
                    entry.key.clone(),
                    format!("`{key}` is called `{}` now", row.name),
                    format!("write `{}`: the next version no longer reads `{key}`", row.name),
                );
            }
            let value = entry.value;
            // What other programs write for a value that is there, or is not.
            match self.at(&value) {
                "None" => {}
                text if text.starts_with("Some(") => {
                    open.entries.extend(
                        lexer::items(self.source, &value).first().map(|inner| (row.name, inner.clone())),
                    );
                }
                _ => open.entries.push((row.name, value)),
            }
        }
        self.open.push(open);
        true
    }

    fn says_both(&self, place: &Place, row: &Row) -> bool {
        let keys = lexer::entries(self.source, place);
        [row.name, row.was].iter().all(|name| keys.iter().any(|entry| self.at(&entry.key) == *name))
    }

    /// Media that the open form brings along.
    fn own_media(&mut self) {
        static MEDIA: Row = OWN_MEDIA;
        if !self.open.last().is_some_and(|open| open.rows.iter().any(|row| row.name == MEDIA.name)) {
            return;
        }
        let media: Option<Vec<Medium>> = Field::take(self, &MEDIA);
        for medium in media.into_iter().flatten() {
            self.own.insert(medium.id.clone(), Arc::new(medium.ranged()));
        }
    }
}

/// The byte offset of one of ron's positions: lines and columns from 1, columns in characters.
fn offset(text: &str, position: &Position) -> usize {
    let start = match position.line {
        0 | 1 => 0,
        line => text.match_indices('\n').nth(line - 2).map_or(text.len(), |(i, _)| i + 1),
    };
    let line = text.get(start..).unwrap_or("");
    line.char_indices().nth(position.col.saturating_sub(1)).map_or(text.len(), |(i, _)| start + i)
}
