//! Reads a file's text by the tables of fields: each value at its place, every problem noted, and on.

use std::any::Any;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use ron::error::Position;
use ron::extensions::Extensions;

use super::explain::{self, describe, nearest, suggest};
use super::message::Fault;
use super::quantity::{self, Written};
use super::rules::room::Rooms;
use super::scan;
use crate::hidden::{is_hidden, is_joiner, visible};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::fields::{
    Brackets, Choice, Dimension, Door, Field, Known, Place, Row, Step, Table, Variant, Wording, variant_of,
};
use crate::model::filter::OWN_MEDIA;
use crate::model::hoses::{Outlet, Part};
use crate::model::medium::Medium;
use crate::place::Space;
use crate::uncertainty::key::{Key, Source, Spot};
use crate::uncertainty::uncertain::Spread;
use crate::units::{Plain, trimmed};

/// The one format there is.
const FORMAT: f64 = 1.0;
/// Longest name, in characters.
const MAX_NAME: usize = 120;
/// Longest free text, in characters.
const MAX_NOTES: usize = 4000;
/// Most layers of a tray or floor.
const MAX_LAYERS: usize = 20;
/// Words of a choice that were others before, with those they are now.
const OLD_WORDS: [(&str, &str); 1] = [("fits", "fits_cabinet")];

/// Deepest nesting of brackets.
pub const MAX_DEPTH: usize = 48;

static OPTIONS: LazyLock<ron::Options> = LazyLock::new(|| {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
        // One bracket costs two of the limit.
        .with_recursion_limit(2 * MAX_DEPTH)
});

/// A form that is being read.
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

/// What was read of a file: the thing, its problems, and hints that refuse nothing, in the order of the text.
pub struct Read<T> {
    pub thing: Option<T>,
    pub faults: Vec<Fault>,
    pub hints: Vec<Fault>,
}

/// A text that is being read.
pub struct Reader<'s> {
    pub source: &'s str,
    library: &'s Library,
    /// Media that the file brings along.
    pub own: BTreeMap<String, Arc<Medium>>,
    keys_of: Source,
    open: Vec<Open>,
    pub path: Vec<Step>,
    faults: Vec<Fault>,
    hints: Vec<Fault>,
    outlet: Option<Outlet>,
    /// What rules remember.
    pub rooms: Rooms,
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
    let mut reader = Reader {
        source,
        library,
        own: BTreeMap::new(),
        keys_of,
        open: Vec::new(),
        path: Vec::new(),
        faults: Vec::new(),
        hints: Vec::new(),
        outlet: None,
        rooms: Rooms::default(),
    };
    let mut thing = None;
    if let Some(found) = scan::unclosed(source) {
        reader.faults.push(explain::unclosed(source, &found));
    } else if let Some(whole) = reader.whole() {
        thing = read(&mut reader, &whole);
    }
    let Reader { mut faults, mut hints, .. } = reader;
    for told in [&mut faults, &mut hints] {
        told.sort_by_key(|fault| (fault.place.start, fault.place.end));
        told.dedup();
    }
    Read { thing, faults, hints }
}

impl Reader<'_> {
    /// Where the file's one value stands; `None` where that is not well formed or not alone.
    fn whole(&mut self) -> Option<Place> {
        let text = self.source;
        let mut at = scan::skip_trivia(text, 0);
        // A header such as `#![enable(implicit_some)]` is not needed, but allowed.
        while text.get(at..).is_some_and(|rest| rest.starts_with("#!")) {
            let end = text.get(at..).and_then(|rest| rest.find(']')).map_or(text.len(), |i| at + i + 1);
            at = scan::skip_trivia(text, end);
        }
        let place = at..scan::value_end(text, at);
        if let Err(broken) = OPTIONS.from_str::<serde::de::IgnoredAny>(self.at(&(0..place.end))) {
            let from = offset(text, &broken.span.start);
            let to = offset(text, &broken.span.end);
            self.faults.push(explain::syntax(&broken.code, text, from..to.max(from)));
            return None;
        }
        let start = scan::skip_trivia(text, place.end);
        if start < text.len() {
            let word = scan::word(text, start).len().max(1);
            self.faults.push(explain::left_over(start..(start + word).min(text.len())));
            return None;
        }
        Some(place)
    }

    /// The text of a place.
    pub fn at(&self, place: &Place) -> &str {
        self.source.get(place.clone()).unwrap_or("")
    }

    /// Notes a problem.
    pub fn refuse(&mut self, place: Place, message: impl Into<String>, help: Option<String>) {
        if !self.full() {
            self.faults.push(Fault { place, message: message.into(), help });
        }
    }

    /// Nothing wrong so far.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }

    /// Where a field of the open form stands.
    pub fn place_of(&self, name: &str) -> Option<Place> {
        let open = self.open.last()?;
        open.entries.iter().find(|(field, _)| *field == name).map(|(_, place)| place.clone())
    }

    /// Where a field of the form at that place stands.
    pub fn inside(&self, at: &Place, name: &str) -> Option<Place> {
        let entry = scan::entries(self.source, at).into_iter().find(|e| self.at(&e.key) == name)?;
        let colon = scan::skip_trivia(self.source, entry.key.end);
        let start = scan::skip_trivia(self.source, colon + 1);
        Some(start..scan::value_end(self.source, start))
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

    /// What a list is called in messages.
    fn list_name(&self, row: &Row) -> String {
        match (row.words, self.path.last()) {
            ("a build's `trays`", Some(Step::Item(i))) => format!("what lies in tray {}", i + 1),
            ("what lies on the floor", _) => "what lies in the floor".to_owned(),
            _ => row.words.to_owned(),
        }
    }

    /// The name and bracket of the open form.
    pub fn head(&self) -> Place {
        self.open.last().map_or(0..0, |open| open.head.clone())
    }

    fn form_of(&mut self, place: &Place, what: &str, like: &str) {
        self.refuse(
            scan::head(self.source, place),
            format!("this does not have the form of {what}"),
            Some(format!("write it like this: `{like}`")),
        );
    }

    fn expected(&mut self, place: &Place, what: &str, like: &str) {
        let text = self.at(place);
        let word = visible(scan::word(text, 0));
        // A word that stands without its brackets.
        let bare = !word.is_empty() && !text.contains('(');
        let help = if bare && like.contains('(') {
            format!("brackets belong to it: `{word}(…)`, or `{word}()` with nothing to say")
        } else {
            format!("write it like this: `{like}`")
        };
        let message = format!("expected {what}, found {}", describe(text));
        self.refuse(scan::head(self.source, place), message, Some(help));
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
        let head = scan::head(self.source, place);
        let mut open = Open { head, what, rows, entries: Vec::new(), misspelt: Vec::new() };
        if by_place {
            let items = scan::items(self.source, place);
            if items.len() != open.rows.len() {
                return false;
            }
            open.entries = open.rows.iter().map(|row| row.name).zip(items).collect();
            self.open.push(open);
            return true;
        }
        let entries = scan::entries(self.source, place);
        let end = entries.last().map_or(open.head.end, |entry| entry.whole.end);
        let rest = scan::skip_trivia(self.source, end);
        if rest + 1 < place.end {
            if scan::word(self.source, rest).is_empty() {
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
                let fault = explain::unknown_field(&key, &names, what, entry.key.clone());
                self.refuse(fault.place, fault.message, fault.help);
                continue;
            };
            if open.entries.iter().any(|(name, _)| *name == row.name) {
                let twice = format!("field `{key}` is given twice");
                let both = format!("`{}` and `{}` are the same field, and both are given", row.was, row.name);
                let old = !row.was.is_empty() && self.says_both(place, row);
                let help =
                    if old { format!("keep `{}`", row.name) } else { "keep one of the two".to_owned() };
                self.refuse(entry.key, if old { both } else { twice }, Some(help));
                continue;
            }
            if row.name != key {
                self.hints.push(Fault {
                    place: entry.key.clone(),
                    message: format!("`{key}` is called `{}` now", row.name),
                    help: Some(format!("write `{}`: the next version no longer reads `{key}`", row.name)),
                });
            }
            let colon = scan::skip_trivia(self.source, entry.key.end);
            let start = scan::skip_trivia(self.source, colon + 1);
            let value = start..scan::value_end(self.source, start);
            // What other programs write for a value that is there, or is not.
            match self.at(&value) {
                "None" => {}
                text if text.starts_with("Some(") => {
                    open.entries.extend(
                        scan::items(self.source, &value).first().map(|inner| (row.name, inner.clone())),
                    );
                }
                _ => open.entries.push((row.name, value)),
            }
        }
        self.open.push(open);
        true
    }

    fn says_both(&self, place: &Place, row: &Row) -> bool {
        let keys = scan::entries(self.source, place);
        [row.name, row.was].iter().all(|name| keys.iter().any(|entry| self.at(&entry.key) == *name))
    }

    /// Checks that the open form says which format it is written in, and that it is one we read.
    fn format(&mut self) {
        static FORMAT_ROW: Row = crate::model::fields::row("format").file("format").like("1");
        let Some(place) = self.given(&FORMAT_ROW) else {
            self.missing(&FORMAT_ROW);
            return;
        };
        match quantity::read(self.source, &place, Dimension::of::<Plain>()) {
            Ok(written) if written.si == FORMAT && !written.said => {}
            Ok(_) => {
                let found = self.at(&place).to_owned();
                self.fault(
                    Some(&place),
                    format!("format {found} is not known here"),
                    "this program reads format 1; a newer program may be needed for this file",
                );
            }
            Err(fault) => self.refuse(fault.place, fault.message, fault.help),
        }
    }

    /// Media that the open form brings along.
    fn own_media(&mut self) {
        static MEDIA: Row = OWN_MEDIA;
        if !self.open.last().is_some_and(|open| open.rows.iter().any(|row| row.name == MEDIA.name)) {
            return;
        }
        let media: Option<Vec<Medium>> = Field::take(self, &MEDIA);
        for medium in media.into_iter().flatten() {
            self.own.insert(medium.id.clone(), Arc::new(medium));
        }
    }

    fn written(&mut self, at: &Place, row: &Row, of: Dimension) -> Option<Written> {
        let written = match quantity::read(self.source, at, of) {
            Ok(written) => written,
            Err(fault) => {
                self.refuse(fault.place, fault.message, fault.help);
                return None;
            }
        };
        let (low, high) = written.bounds.unwrap_or((written.si, written.si));
        for si in [low, high] {
            let (number, sign) = in_unit(si, row, of);
            let slack = 1e-9 * number.abs();
            if number < row.low - slack || number > row.high + slack {
                let unit = if sign.is_empty() { String::new() } else { format!(" {sign}") };
                let [found, low, high] = [number, row.low, row.high].map(digits);
                let message = format!("{} of {found}{unit}: expected {low} to {high}{unit}", row.words);
                self.refuse(at.clone(), message, Some(range_help(number, row)));
                return None;
            }
        }
        Some(written)
    }

    /// A text without what could drive a terminal; line ends and tabs become spaces.
    fn clean(&mut self, at: &Place, what: &str, most: usize) -> Option<String> {
        let text = self.quoted(at)?;
        let long = text.chars().count();
        if long > most {
            self.fault(
                Some(at),
                format!("{what} is {long} characters long: expected at most {most}"),
                "shorten it",
            );
            return None;
        }
        let text: String =
            text.chars().map(|c| if matches!(c, '\n' | '\r' | '\t') { ' ' } else { c }).collect();
        if let Some(c) = text.chars().find(|c| is_hidden(*c) && !is_joiner(*c)) {
            self.fault(
                Some(at),
                format!("{what} holds the invisible character {}", c.escape_unicode()),
                "take it out: control and direction characters could disturb a terminal",
            );
            return None;
        }
        Some(text)
    }

    /// A text in quotes.
    pub fn quoted(&mut self, at: &Place) -> Option<String> {
        self.literal(at, "a text in quotes", "\"…\"")
    }

    fn literal<T: serde::de::DeserializeOwned>(&mut self, at: &Place, what: &str, like: &str) -> Option<T> {
        match OPTIONS.from_str::<T>(self.at(at)) {
            Ok(value) => Some(value),
            Err(ron::error::SpannedError { code: ron::error::Error::InvalidEscape(_), span }) => {
                let [from, to] = [span.start, span.end].map(|p| at.start + offset(self.at(at), &p));
                let help = "write a backslash as `\\\\`".to_owned();
                self.refuse(from..to, "this text holds a backslash that starts no known escape", Some(help));
                None
            }
            Err(_) => {
                let message = format!("expected {what}, found {}", describe(self.at(at)));
                self.refuse(
                    scan::head(self.source, at),
                    message,
                    Some(format!("write it like this: `{like}`")),
                );
                None
            }
        }
    }

    /// The key of a measure.
    fn measure(&mut self, at: &Place) -> Option<String> {
        let key = self.quoted(at)?;
        if Measure::from_key(&key).is_some() {
            return Some(key);
        }
        if let Some(measure) = Measure::from_old_key(&key) {
            self.hints.push(Fault {
                place: at.clone(),
                message: format!("the measure `{key}` is called `{}` now", measure.key()),
                help: Some(format!("write \"{}\": the next version no longer reads `{key}`", measure.key())),
            });
            return Some(measure.key().to_owned());
        }
        let help = suggest(&key, Measure::ALL.map(Measure::key), "measures are");
        self.fault(Some(at), format!("no measure is called `{key}`"), &help);
        None
    }
}

impl Door for Reader<'_> {
    fn given(&mut self, row: &'static Row) -> Option<Place> {
        self.place_of(row.name)
    }

    fn missing(&mut self, row: &'static Row) {
        let Some(open) = self.open.last() else { return };
        if open.misspelt.contains(&row.name) {
            return;
        }
        let (head, what) = (open.head.clone(), open.what);
        let like =
            if row.like.is_empty() || row.wording == Wording::Name { like(row) } else { row.like.to_owned() };
        self.refuse(
            head,
            format!("field `{}` is missing from {what}", row.name),
            Some(format!("add it, for example `{}: {like}`", row.name)),
        );
    }

    fn open(&mut self, at: Option<&Place>, table: &'static Table) -> bool {
        let rows: Vec<&Row> = table.rows().collect();
        let Some(place) = at else {
            let head = self.head();
            self.open.push(Open { head, what: table.what, rows, entries: Vec::new(), misspelt: Vec::new() });
            return true;
        };
        if table.by_place {
            let found = describe(self.at(place));
            let opened =
                self.at(place).starts_with('(') && self.brackets(place, table.what, table.like, rows, true);
            if !opened {
                self.refuse(
                    place.clone(),
                    format!("{} is a pair, found {found}", table.what),
                    Some(format!("write it like this: `{}`", table.like)),
                );
            }
            return opened;
        }
        let text = self.at(place);
        let name = scan::word(text, 0).to_owned();
        let bracket = scan::skip_trivia(text, name.len());
        if text.as_bytes().get(bracket) != Some(&b'(') {
            if text.contains('(') && name.is_empty() {
                self.form_of(place, table.what, table.like);
            } else {
                self.expected(place, table.what, table.like);
            }
            return false;
        }
        if !name.is_empty() && name != table.name {
            self.refuse(
                place.start..place.start + name.len(),
                format!("expected {}, found `{}(…)`", table.what, visible(&name)),
                Some(format!("write `{}(…)`, or leave the name out: `(…)`", table.name)),
            );
            return false;
        }
        let is_file = self.open.is_empty() && matches!(table.name, "Filter" | "Tank");
        static FORMAT_ROW: Row = crate::model::fields::row("format").file("format");
        let rows = if is_file { std::iter::once(&FORMAT_ROW).chain(rows).collect() } else { rows };
        self.name_step(place, table);
        self.rooms.opened(table);
        let opened = self.brackets(place, table.what, table.like, rows, false);
        if opened && is_file {
            self.format();
            self.own_media();
        }
        opened
    }

    fn choose(
        &mut self,
        at: Option<&Place>,
        choice: &'static Choice,
        word: &'static str,
    ) -> Option<&'static Variant> {
        let Some(place) = at else {
            let head = self.head();
            self.open.push(Open {
                head,
                what: choice.what,
                rows: Vec::new(),
                entries: Vec::new(),
                misspelt: Vec::new(),
            });
            return Some(variant_of(choice, word));
        };
        let text = self.at(place);
        let mut word = scan::word(text, 0).to_owned();
        let called = text.len() > word.len();
        if word.is_empty() {
            self.expected(place, choice.what, choice.like);
            return None;
        }
        if let Some((old, new)) =
            OLD_WORDS.iter().find(|(old, new)| *old == word && choice.variants.iter().any(|v| v.word == *new))
        {
            self.hints.push(Fault {
                place: place.start..place.start + word.len(),
                message: format!("`{old}` is called `{new}` now"),
                help: Some(format!("write `{new}`: the next version no longer reads `{old}`")),
            });
            (*new).clone_into(&mut word);
        }
        let Some(variant) = choice.variants.iter().find(|variant| variant.word == word) else {
            let words: Vec<&str> =
                choice.variants.iter().map(|variant| variant.word).filter(|word| !word.is_empty()).collect();
            let old = OLD_WORDS.iter().filter(|(_, new)| words.contains(new));
            let help = match nearest(&word, words.iter().copied())
                .or(old.filter(|(old, _)| nearest(&word, [*old]).is_some()).map(|(_, new)| *new).next())
            {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("use one of {}", explain::ticked(words.iter().copied())),
            };
            self.refuse(
                place.start..place.start + word.len(),
                format!("expected {}, found `{}`", choice.what, visible(&word)),
                Some(help),
            );
            return None;
        };
        let rows: Vec<&Row> = variant.rows.iter().chain(choice.common).collect();
        let opened = match variant.brackets {
            Brackets::None if called => {
                self.form_of(place, choice.what, choice.like);
                false
            }
            Brackets::None => {
                let head = place.clone();
                self.open.push(Open {
                    head,
                    what: choice.what,
                    rows,
                    entries: Vec::new(),
                    misspelt: Vec::new(),
                });
                true
            }
            _ if !called => {
                let help = format!("brackets belong to it: `{word}(…)`, or `{word}()` with nothing to say");
                let message = format!("expected {}, found `{}`", choice.what, visible(&word));
                self.refuse(place.clone(), message, Some(help));
                false
            }
            Brackets::Named => self.brackets(place, choice.what, choice.like, rows, false),
            Brackets::ByPlace => {
                let opened = self.brackets(place, choice.what, choice.like, rows, true);
                if !opened {
                    self.form_of(place, choice.what, choice.like);
                }
                opened
            }
        };
        opened.then_some(variant)
    }

    fn close(&mut self) {
        self.open.pop();
    }

    fn enter(&mut self, step: Step) {
        self.path.push(step);
    }

    fn leave(&mut self) {
        self.path.pop();
    }

    fn items(&mut self, at: &Place, row: &'static Row) -> Option<Vec<Place>> {
        let text = self.at(at);
        if !text.starts_with('[') {
            let found = describe(text);
            let inside = scan::word(text, 0);
            let like = if inside.is_empty() { "…".to_owned() } else { format!("{inside}(…)") };
            self.refuse(
                scan::head(self.source, at),
                format!("{} is a list: expected `[…]`, found {found}", self.list_name(row)),
                Some(format!("put it in square brackets, even where it is one: `[{like}]`")),
            );
            return None;
        }
        let items = scan::items(self.source, at);
        // A list within a list holds layers.
        let most = if matches!(self.path.last(), Some(Step::Item(_))) { MAX_LAYERS } else { row.most };
        if items.len() > most {
            self.refuse(
                scan::head(self.source, at),
                format!("{} holds {} entries: expected at most {most}", self.list_name(row), items.len()),
                Some("leave some out".into()),
            );
            return None;
        }
        self.rooms.counted(row, items.len());
        Some(items)
    }

    fn pairs(&mut self, at: &Place, row: &'static Row) -> Option<Vec<(Place, Place)>> {
        if !self.at(at).starts_with('{') {
            self.form_of(at, &format!("{} by measure", row.name), row.like);
            return None;
        }
        let (mut found, mut from) = (Vec::new(), at.start + 1);
        loop {
            let start = scan::skip_trivia(self.source, from);
            if start + 1 >= at.end {
                return Some(found);
            }
            let key = start..scan::value_end(self.source, start);
            let colon = scan::skip_trivia(self.source, key.end);
            let start = scan::skip_trivia(self.source, colon + 1);
            let value = start..scan::value_end(self.source, start);
            from = scan::skip_trivia(self.source, value.end) + 1;
            found.push((key, value));
        }
    }

    fn figure(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<Known> {
        let Written { si, known, said, bounds } = self.written(at, row, of)?;
        let spread = match bounds {
            Some((low, high)) if low < high => Spread::Uniform { low, high },
            Some(_) => Spread::Exact,
            None => row.printed.spread(known, said, si),
        };
        Some(Known { si, known, spread, of })
    }

    fn exact(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<f64> {
        let written = self.written(at, row, of)?;
        if written.said {
            self.fault(
                Some(at),
                format!("{}: no word of doubt belongs here", row.words),
                "write the plain value",
            );
            return None;
        }
        Some(in_unit(written.si, row, of).0)
    }

    fn text(&mut self, at: &Place, row: &'static Row) -> Option<String> {
        match row.wording {
            Wording::Medium => return self.medium(at).map(|medium| medium.id.clone()),
            Wording::Measure => return self.measure(at),
            Wording::Notes => return self.clean(at, row.words, MAX_NOTES),
            Wording::Short(most) => {
                let text = self.clean(at, row.words, MAX_NOTES)?;
                if text.chars().count() > most {
                    let message = format!("{} is longer than {most} characters", row.words);
                    self.fault(Some(at), message, "write its short name, such as \"EUR\"");
                    return None;
                }
                return Some(text);
            }
            Wording::Name | Wording::Id => {}
        }
        let text = self.clean(at, row.words, MAX_NAME)?;
        if text.trim().is_empty() {
            let message = format!("{} is empty", row.words);
            self.fault(Some(at), message, "give it a name that people can tell from others");
            return None;
        }
        let odd = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
        if row.wording == Wording::Id && text.contains(odd) {
            let message = format!("{} may hold letters, digits, `-`, `_` and `.` only", row.words);
            self.fault(Some(at), message, "such as \"foam-20\"");
            return None;
        }
        Some(text)
    }

    fn flag(&mut self, at: &Place) -> Option<bool> {
        self.literal(at, "`true` or `false`", "true")
    }

    fn medium(&mut self, at: &Place) -> Option<Arc<Medium>> {
        let id = self.quoted(at)?;
        if let Some(medium) = self.own.get(&id).or_else(|| self.library.medium(&id)) {
            return Some(Arc::clone(medium));
        }
        let known: Vec<&str> =
            self.own.keys().map(String::as_str).chain(self.library.media().map(|m| m.id.as_str())).collect();
        let help = nearest(&id, known).map_or_else(
            || {
                "`cansift media` lists those that ship; a profile may bring its own in `media: [Medium(…)]`"
                    .to_owned()
            },
            |near| format!("did you mean `{near}`?"),
        );
        self.fault(Some(at), format!("no medium is called `{id}`"), &help);
        None
    }

    fn part(&mut self, at: &Place) -> Option<Part> {
        let id = self.quoted(at)?;
        if let Some(named) = self.library.fitting(&id) {
            return Some(named.part.clone());
        }
        let help = nearest(&id, self.library.fittings().map(|named| named.id.as_str())).map_or_else(
            || {
                "write the fitting itself, such as `tap(bore: mm(12.5))`, or add it to a list of fittings"
                    .to_owned()
            },
            |near| format!("did you mean `{near}`?"),
        );
        self.fault(Some(at), format!("no fitting is called `{id}`"), &help);
        None
    }

    fn fault(&mut self, at: Option<&Place>, message: String, help: &str) {
        let place = at.cloned().unwrap_or_else(|| self.head());
        self.refuse(place, message, (!help.is_empty()).then(|| help.to_owned()));
    }

    fn full(&self) -> bool {
        self.faults.len() > super::MAX_PROBLEMS
    }

    fn key(&self, row: &'static Row) -> Key {
        let (mut at, mut list, mut packed) = (Spot::default(), "", false);
        for step in &self.path {
            at = match step {
                Step::Field("floor", _) if packed => at.space(Space::Floor),
                Step::Field(name @ ("trays" | "builds"), _) => {
                    list = name;
                    continue;
                }
                Step::Field(_, "") => continue,
                Step::Field(_, key) => at.part(key),
                Step::Item(i) if list == "trays" => at.space(Space::Tray(*i)),
                Step::Item(i) => at.item(*i),
                Step::Id(id) if list == "builds" => {
                    packed = true;
                    Spot::build(id)
                }
                Step::Id(id) => at.id(id),
            };
            list = "";
        }
        Key::new(self.keys_of.clone(), at, &row.of_key())
    }

    fn built(&mut self, what: &dyn Any, at: &[Place]) -> bool {
        super::rules::check(self, what, at)
    }

    fn keep_outlet(&mut self, outlet: Outlet) {
        self.outlet = Some(outlet);
    }

    fn kept_outlet(&mut self) -> Option<Outlet> {
        self.outlet.take()
    }

    fn usual_priorities(&self) -> Vec<(String, f64)> {
        super::DEFAULT_PRIORITIES
            .iter()
            .map(|(measure, weight)| (measure.key().to_owned(), *weight))
            .collect()
    }
}

/// An SI value in the row's unit, and that unit's sign.
fn in_unit(si: f64, row: &Row, of: Dimension) -> (f64, &'static str) {
    of.unit(row.unit).map_or((si, ""), |unit| (unit.from_si(si), unit.sign))
}

/// What to do about a value out of range.
fn range_help(number: f64, row: &Row) -> String {
    let share = row.unit.is_empty() && row.high <= 1.0;
    if share && number > 1.0 && number <= 100.0 {
        let [written, said] = [number / 100.0, number].map(digits);
        return format!("a share is written from 0 to 1: `{written}` for {said} %");
    }
    if row.unit.is_empty() { "check the digits".into() } else { "check the digits and the unit".into() }
}

/// How a row's value is written: its example, or one from the middle of its range.
fn like(row: &Row) -> String {
    if row.high.is_infinite() {
        return match row.kind {
            crate::model::fields::Kind::Text => "\"…\"".to_owned(),
            crate::model::fields::Kind::Form(table) => table().like.to_owned(),
            crate::model::fields::Kind::Choice(choice) => choice().like.to_owned(),
            _ => row.like.to_owned(),
        };
    }
    let middle = (row.low.max(row.high / 1e3) * row.high).sqrt();
    let step = 10_f64.powf(middle.log10().floor());
    let value = digits((middle / step).round() * step);
    if row.unit.is_empty() { value } else { format!("{}({value})", row.unit) }
}

/// A number with at most six significant digits and no zeros at its end.
pub fn digits(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return "0".into();
    }
    let places = (5.0 - number.abs().log10().floor()).clamp(0.0, 12.0) as usize;
    trimmed(&format!("{number:.places$}")).to_owned()
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
