//! Values with their places, and the reader that keeps going after a problem.
//!
//! Every field of a file structure is an [`At`]: `ron` hands over the raw text of the value, and only
//! where it stands is kept. Each is read on its own when it is asked for, so one bad value costs one
//! problem and the rest of the file goes on. Unknown and repeated fields are noted, blanked out (nothing
//! moves) and the file is read once more.

use std::collections::HashSet;
use std::marker::PhantomData;
use std::ops::Range;
use std::sync::LazyLock;

use ron::error::{Error, Position, SpannedError};
use ron::extensions::Extensions;
use ron::value::RawValue;
use serde::de::{DeserializeOwned, IgnoredAny};
use serde::{Deserialize, Deserializer};

use super::explain;
use super::message::Fault;
use super::scan;

/// A value of kind `T` somewhere in the source, not yet read.
pub struct At<T> {
    /// Address of its first byte: an offset once the reader takes its source's own address off.
    address: usize,
    kind: PhantomData<T>,
}

impl<'de, T> Deserialize<'de> for At<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw = <&'de RawValue>::deserialize(deserializer)?;
        Ok(Self { address: raw.get_ron().as_ptr().addr(), kind: PhantomData })
    }
}

/// A list whose items are read one by one.
pub type List<T> = Vec<At<T>>;
/// Two values in brackets.
pub type Pair<A, B> = (At<A>, At<B>);

/// A structure, word or literal that a file may hold.
pub trait Form: DeserializeOwned {
    /// What it is, with its article: `a hose`.
    const WHAT: &'static str;
    /// How it is written: `Hose(bore: mm(16))`.
    const LIKE: &'static str;
}

/// Deepest nesting of brackets.
pub const MAX_DEPTH: usize = 48;
/// Times a file is read again because unknown fields were blanked; structures nest no deeper.
const MAX_PASSES: usize = 12;

pub static OPTIONS: LazyLock<ron::Options> = LazyLock::new(|| {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
        // One bracket costs two of the limit.
        .with_recursion_limit(2 * MAX_DEPTH)
});

/// Reads values at their places and gathers the problems.
pub struct Reader<'s> {
    source: &'s str,
    faults: Vec<Fault>,
    /// Problems of entries that are to be blanked, with the entries.
    blanked: Vec<(Fault, Range<usize>)>,
    /// Fields that somebody misspelt, with the start of their structure: they are not missed as well.
    misspelt: Vec<(usize, &'static str)>,
}

impl<'s> Reader<'s> {
    /// Reads `source` with `read`, again and again while unknown fields come up. Gives what the last
    /// pass gave, and every problem in the order of the text.
    pub fn run<R>(
        source: &str,
        mut read: impl FnMut(&mut Reader<'_>) -> Option<R>,
    ) -> (Option<R>, Vec<Fault>) {
        if let Some(found) = scan::unclosed(source) {
            return (None, vec![explain::unclosed(source, &found)]);
        }
        let mut text = source.to_owned();
        let (mut noted, mut misspelt) = (Vec::new(), Vec::new());
        let mut passes = 0;
        loop {
            let mut reader = Reader { source: &text, faults: Vec::new(), blanked: Vec::new(), misspelt };
            let result = read(&mut reader);
            let Reader { faults, blanked, misspelt: known, .. } = reader;
            misspelt = known;
            passes += 1;
            let last = blanked.is_empty() || passes >= MAX_PASSES || noted.len() > super::MAX_PROBLEMS;
            let entries: Vec<_> = blanked.iter().map(|(_, entry)| entry.clone()).collect();
            noted.extend(blanked.into_iter().map(|(fault, _)| fault));
            if last {
                noted.extend(faults);
                noted.sort_by_key(|fault| (fault.place.start, fault.place.end));
                noted.dedup();
                return (result, noted);
            }
            text = blank(&text, &entries);
        }
    }

    /// The text being read.
    pub fn source(&self) -> &'s str {
        self.source
    }

    /// The whole file as one value.
    pub fn whole<T>(&self) -> At<T> {
        At { address: self.source.as_ptr().addr(), kind: PhantomData }
    }

    /// Where a value stands, without white space and comments around it.
    pub fn place<T>(&self, at: &At<T>) -> Range<usize> {
        let start = at.address.saturating_sub(self.source.as_ptr().addr()).min(self.source.len());
        let start = scan::skip_trivia(self.source, start);
        start..scan::value_end(self.source, start)
    }

    /// The text of a place.
    pub fn text(&self, place: &Range<usize>) -> &'s str {
        self.source.get(place.clone()).unwrap_or("")
    }

    /// Reads a value; a problem is noted and gives `None`.
    pub fn get<T: Form>(&mut self, at: &At<T>) -> Option<T> {
        let place = self.place(at);
        match OPTIONS.from_str::<T>(self.text(&place)) {
            Ok(_) if self.is_whole(at) && self.left_over(&place) => None,
            Ok(value) => Some(value),
            Err(error) => {
                self.refuse::<T>(&error, &place);
                None
            }
        }
    }

    /// A value at an offset. Only for text that `ron` has found well formed.
    fn at<T>(&self, offset: usize) -> At<T> {
        At { address: self.source.as_ptr().addr() + offset, kind: PhantomData }
    }

    /// Notes where the syntax of the text breaks, if it does.
    fn bad_syntax(&mut self, place: &Range<usize>) -> bool {
        let text = self.text(place);
        let Err(broken) = OPTIONS.from_str::<IgnoredAny>(text) else { return false };
        let from = place.start + offset(text, &broken.span.start);
        let to = place.start + offset(text, &broken.span.end);
        self.faults.push(explain::syntax(&broken.code, self.source, from..to.max(from)));
        true
    }

    /// Whether a value is the file itself.
    fn is_whole<T>(&self, at: &At<T>) -> bool {
        at.address == self.source.as_ptr().addr()
    }

    /// Notes what stands behind the file's one value.
    fn left_over(&mut self, place: &Range<usize>) -> bool {
        let start = scan::skip_trivia(self.source, place.end);
        let over = start < self.source.len();
        if over {
            let word = scan::word(self.source, start).len().max(1);
            self.faults.push(explain::left_over(start..(start + word).min(self.source.len())));
        }
        over
    }

    /// Was the field `name` of the structure that starts at `start` misspelt rather than left out?
    pub fn is_misspelt(&self, start: usize, name: &str) -> bool {
        self.misspelt.iter().any(|(place, field)| *place == start && *field == name)
    }

    /// Reads a list of at most `most` items; `what` names it with its article.
    pub fn list<T>(&mut self, at: &At<List<T>>, what: &str, most: usize) -> Option<List<T>> {
        let place = self.place(at);
        if self.is_whole(at) && (self.bad_syntax(&place) || self.left_over(&place)) {
            return None;
        }
        if !self.text(&place).starts_with('[') {
            let text = self.text(&place);
            let found = explain::describe(text);
            let inside = scan::word(text, 0);
            let like = if inside.is_empty() { "…".to_owned() } else { format!("{inside}(…)") };
            self.fault(
                scan::head(self.source, &place),
                format!("{what} is a list: expected `[…]`, found {found}"),
                Some(format!("put it in square brackets, even where it is one: `[{like}]`")),
            );
            return None;
        }
        let items = scan::items(self.source, &place);
        if items.len() > most {
            self.fault(
                scan::head(self.source, &place),
                format!("{what} holds {} entries: expected at most {most}", items.len()),
                Some("leave some out".into()),
            );
            return None;
        }
        Some(items.into_iter().map(|item| self.at(item.start)).collect())
    }

    /// Reads a pair; `what` names it with its article, `like` shows one.
    pub fn pair<A, B>(&mut self, at: &At<Pair<A, B>>, what: &str, like: &str) -> Option<Pair<A, B>> {
        let place = self.place(at);
        if self.text(&place).starts_with('(')
            && let [first, second] = scan::items(self.source, &place).as_slice()
        {
            return Some((self.at(first.start), self.at(second.start)));
        }
        let found = explain::describe(self.text(&place));
        self.fault(
            place,
            format!("{what} is a pair, found {found}"),
            Some(format!("write it like this: `{like}`")),
        );
        None
    }

    /// Notes a problem.
    pub fn fault(&mut self, place: Range<usize>, message: impl Into<String>, help: Option<String>) {
        if !self.full() {
            self.faults.push(Fault { place, message: message.into(), help });
        }
    }

    /// Enough problems: whoever walks a list may stop.
    pub fn full(&self) -> bool {
        self.faults.len() + self.blanked.len() > super::MAX_PROBLEMS
    }

    /// Nothing wrong so far.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty() && self.blanked.is_empty()
    }

    fn refuse<T: Form>(&mut self, error: &SpannedError, place: &Range<usize>) {
        let text = self.text(place);
        let before = self.blanked.len();
        match &error.code {
            Error::NoSuchStructField { expected, .. } => self.blank_unknown::<T>(expected, place),
            Error::DuplicateStructField { .. } => self.blank_repeated(place),
            _ => {}
        }
        if self.blanked.len() > before {
            return;
        }
        // Inner values are well formed or the outer one would not have been read: only a file as a whole
        // can have broken syntax.
        if self.full() || self.bad_syntax(place) {
            return;
        }
        let spot = place.start + offset(text, &error.span.start)..place.start + offset(text, &error.span.end);
        self.faults.push(explain::shape::<T>(&error.code, self.source, place, &spot));
    }

    fn blank_unknown<T: Form>(&mut self, known: &'static [&'static str], place: &Range<usize>) {
        for entry in scan::entries(self.source, place) {
            let key = self.text(&entry.key);
            if !known.contains(&key) && !self.full() {
                let meant = explain::nearest(key, known.iter().copied());
                self.misspelt.extend(meant.map(|field| (place.start, field)));
                self.blanked
                    .push((explain::unknown_field(key, known, T::WHAT, entry.key.clone()), entry.whole));
            }
        }
    }

    fn blank_repeated(&mut self, place: &Range<usize>) {
        let mut seen = HashSet::new();
        for entry in scan::entries(self.source, place) {
            let key = self.text(&entry.key);
            if !seen.insert(key) && !self.full() {
                let fault = Fault {
                    place: entry.key.clone(),
                    message: format!("field `{key}` is given twice"),
                    help: Some("keep one of the two".into()),
                };
                self.blanked.push((fault, entry.whole));
            }
        }
    }
}

/// The text with those entries overwritten by spaces; lines and offsets stay.
fn blank(text: &str, entries: &[Range<usize>]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for entry in entries {
        for byte in bytes.get_mut(entry.clone()).into_iter().flatten() {
            if *byte != b'\n' {
                *byte = b' ';
            }
        }
    }
    // Entries start and end between characters, so this never has anything to replace.
    String::from_utf8(bytes).unwrap_or_else(|_| text.to_owned())
}

/// The byte offset of one of ron's positions: lines and columns from 1, columns in characters.
pub fn offset(text: &str, position: &Position) -> usize {
    let start = match position.line {
        0 | 1 => 0,
        line => text.match_indices('\n').nth(line - 2).map_or(text.len(), |(i, _)| i + 1),
    };
    let line = text.get(start..).unwrap_or("");
    line.char_indices().nth(position.col.saturating_sub(1)).map_or(text.len(), |(i, _)| start + i)
}
