//! From the file's forms to the things: what every subject's check uses.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use super::explain::nearest;
use super::quantity::{self, Written};
use super::scan;
use super::spanned::{At, Form, List, Reader};
use crate::hidden::{is_hidden, is_joiner};
use crate::library::Library;
use crate::model::medium::Medium;
use crate::uncertainty::field::Field;
use crate::uncertainty::key::{Key, Source, Spot};
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::{Plain, Quantity, UnitOf, trimmed};

/// The one format there is.
const FORMAT: f64 = 1.0;
/// Longest name, in characters.
const MAX_NAME: usize = 120;
/// Longest free text, in characters.
const MAX_NOTES: usize = 4000;

/// One file being checked.
pub struct Check<'r, 's, 'm> {
    /// Reads it and gathers its problems.
    pub reader: &'r mut Reader<'s>,
    /// Media and fittings it may name.
    pub library: &'m Library,
    /// Media it brings along.
    pub own: BTreeMap<String, Arc<Medium>>,
    /// What its keys come from.
    pub source: Source,
}

/// A structure that fields belong to.
#[derive(Clone, Debug)]
pub struct Owner {
    /// Its name and bracket: marked when something is missing from it.
    pub head: Range<usize>,
    /// What it is, with its article.
    pub what: &'static str,
}

impl<'r, 's, 'm> Check<'r, 's, 'm> {
    /// Checks what `reader` reads, with keys of that source.
    pub fn new(reader: &'r mut Reader<'s>, library: &'m Library, source: Source) -> Self {
        Self { reader, library, own: BTreeMap::new(), source }
    }

    /// Reads a structure and tells where it stands.
    pub fn form<T: Form>(&mut self, at: &At<T>) -> Option<(T, Owner)> {
        let form = self.reader.get(at)?;
        let head = scan::head(self.reader.source(), &self.reader.place(at));
        Some((form, Owner { head, what: T::WHAT }))
    }

    /// A word or literal, if given.
    pub fn optional<T: Form>(&mut self, at: Option<&At<T>>) -> Option<T> {
        self.reader.get(at?)
    }

    /// A word or structure that must be there.
    pub fn required<'a, T: Form>(
        &mut self,
        at: Option<&'a At<T>>,
        owner: &Owner,
        name: &str,
    ) -> Option<&'a At<T>> {
        if at.is_none() {
            self.missing(owner, name, T::LIKE);
        }
        at
    }

    /// Notes a field that is missing.
    pub fn missing(&mut self, owner: &Owner, name: &str, like: &str) {
        if self.reader.is_misspelt(owner.head.start, name) {
            return;
        }
        self.reader.fault(
            owner.head.clone(),
            format!("field `{name}` is missing from {}", owner.what),
            Some(format!("add it, for example `{name}: {like}`")),
        );
    }

    /// Notes a problem with a value.
    pub fn fault<T>(&mut self, at: &At<T>, message: impl Into<String>, help: &str) {
        let place = self.reader.place(at);
        self.reader.fault(place, message, (!help.is_empty()).then(|| help.to_owned()));
    }

    /// Items of a list, if given.
    pub fn list<T>(&mut self, at: Option<&At<List<T>>>, what: &str, most: usize) -> List<T> {
        at.and_then(|at| self.reader.list(at, what, most)).unwrap_or_default()
    }

    /// A figure, if given.
    pub fn figure<Q: Quantity>(
        &mut self,
        at: Option<&At<Q>>,
        field: &'static Field,
        key: impl Into<Spot>,
    ) -> Option<Uncertain<Q>> {
        let written = self.written(at?, field)?;
        let value = Q::new(written.si)?;
        let spread = match written.bounds {
            Some((low, high)) if low < high => Spread::Uniform { low, high },
            Some(_) => Spread::Exact,
            None => field.printed.spread(written.known, written.said, written.si),
        };
        Some(Uncertain { value, known: written.known, spread, key: self.key(key, field) })
    }

    /// A figure that must be there.
    pub fn needed<Q: Quantity>(
        &mut self,
        at: Option<&At<Q>>,
        owner: &Owner,
        name: &str,
        field: &'static Field,
        key: impl Into<Spot>,
    ) -> Option<Uncertain<Q>> {
        if at.is_none() {
            self.missing(owner, name, &like(field));
        }
        self.figure(at, field, key)
    }

    /// A value that nobody doubts, such as an aim: no word may be wrapped round it. In the field's unit.
    pub fn exact<Q: Quantity>(&mut self, at: Option<&At<Q>>, field: &Field) -> Option<f64> {
        let at = at?;
        let written = self.written(at, field)?;
        if written.said {
            self.fault(at, format!("{}: no word of doubt belongs here", field.name), "write the plain value");
            return None;
        }
        Some(in_unit::<Q>(written.si, field).0)
    }

    /// A whole number.
    pub fn count(&mut self, at: Option<&At<Plain>>, field: &Field) -> Option<u32> {
        let number = self.exact(at, field)?;
        if number.fract() != 0.0 {
            self.fault(at?, format!("{} of {number}: expected a whole number", field.name), "count again");
            return None;
        }
        // The field's bounds keep it small and positive.
        Some(number as u32)
    }

    fn written<Q: Quantity>(&mut self, at: &At<Q>, field: &Field) -> Option<Written> {
        let place = self.reader.place(at);
        let written =
            match quantity::read(self.reader.source(), &place, crate::model::fields::Dimension::of::<Q>()) {
                Ok(written) => written,
                Err(fault) => {
                    self.reader.fault(fault.place, fault.message, fault.help);
                    return None;
                }
            };
        let (low, high) = written.bounds.unwrap_or((written.si, written.si));
        for si in [low, high] {
            let (number, sign) = in_unit::<Q>(si, field);
            let slack = 1e-9 * number.abs();
            if number < field.low - slack || number > field.high + slack {
                let unit = if sign.is_empty() { String::new() } else { format!(" {sign}") };
                self.reader.fault(
                    place,
                    format!(
                        "{} of {}{unit}: expected {} to {}{unit}",
                        field.name,
                        digits(number),
                        digits(field.low),
                        digits(field.high)
                    ),
                    Some(range_help(number, field)),
                );
                return None;
            }
        }
        Some(written)
    }

    /// A name or short text: not empty, not endless, nothing that could drive a terminal.
    pub fn name(&mut self, at: &At<String>, what: &str) -> Option<String> {
        let text = self.clean(at, what, MAX_NAME)?;
        if text.trim().is_empty() {
            self.fault(at, format!("{what} is empty"), "give it a name that people can tell from others");
            return None;
        }
        Some(text)
    }

    /// Free text; line ends and tabs become spaces.
    pub fn notes(&mut self, at: Option<&At<String>>, what: &str) -> String {
        at.and_then(|at| self.clean(at, what, MAX_NOTES)).unwrap_or_default()
    }

    fn clean(&mut self, at: &At<String>, what: &str, most: usize) -> Option<String> {
        let text = self.reader.get(at)?;
        let long = text.chars().count();
        if long > most {
            self.fault(
                at,
                format!("{what} is {long} characters long: expected at most {most}"),
                "shorten it",
            );
            return None;
        }
        let text: String =
            text.chars().map(|c| if matches!(c, '\n' | '\r' | '\t') { ' ' } else { c }).collect();
        if let Some(c) = text.chars().find(|c| is_hidden(*c) && !is_joiner(*c)) {
            self.fault(
                at,
                format!("{what} holds the invisible character {}", c.escape_unicode()),
                "take it out: control and direction characters could disturb a terminal",
            );
            return None;
        }
        Some(text)
    }

    /// An id: letters, digits, `-`, `_` and `.`.
    pub fn id(&mut self, at: &At<String>, what: &str) -> Option<String> {
        let id = self.name(at, what)?;
        if id.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.')) {
            return Some(id);
        }
        self.fault(
            at,
            format!("{what} may hold letters, digits, `-`, `_` and `.` only"),
            "such as \"foam-20\"",
        );
        None
    }

    /// The medium of that id, the file's own first.
    pub fn medium(&mut self, at: &At<String>) -> Option<Arc<Medium>> {
        let id = self.reader.get(at)?;
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
        self.fault(at, format!("no medium is called `{id}`"), &help);
        None
    }

    /// Checks that the file says which format it is written in, and that it is one we read.
    pub fn format(&mut self, at: Option<&At<Plain>>, owner: &Owner) {
        let Some(at) = at else {
            self.missing(owner, "format", "1");
            return;
        };
        let place = self.reader.place(at);
        match quantity::read(self.reader.source(), &place, crate::model::fields::Dimension::of::<Plain>()) {
            Ok(written) if written.si == FORMAT && !written.said => {}
            Ok(_) => self.fault(
                at,
                format!("format {} is not known here", self.reader.text(&place)),
                "this program reads format 1; a newer program may be needed for this file",
            ),
            Err(fault) => self.reader.fault(fault.place, fault.message, fault.help),
        }
    }

    /// A figure, or the program's own value where it is left out.
    pub fn or_assumed<Q: Quantity>(
        &mut self,
        at: Option<&At<Q>>,
        field: &'static Field,
        key: impl Into<Spot>,
        usual: Q,
    ) -> Option<Uncertain<Q>> {
        match at {
            Some(_) => self.figure(at, field, key),
            None => Some(self.assumed(usual, key, field)),
        }
    }

    /// An assumed figure: a default of the program's own, without doubt of its own.
    pub fn assumed<Q: Quantity>(
        &self,
        value: Q,
        key: impl Into<Spot>,
        field: &'static Field,
    ) -> Uncertain<Q> {
        Uncertain::exact(value, self.key(key, field))
    }

    pub fn key(&self, at: impl Into<Spot>, field: &'static Field) -> Key {
        Key::new(self.source.clone(), at, field)
    }
}

/// An SI value in the field's unit, and that unit's sign.
fn in_unit<Q: Quantity>(si: f64, field: &Field) -> (f64, &'static str) {
    let unit: Option<&UnitOf> = Q::UNITS.iter().find(|unit| unit.name == field.unit);
    unit.map_or((si, ""), |unit| (unit.from_si(si), unit.sign))
}

/// What to do about a value out of range.
fn range_help(number: f64, field: &Field) -> String {
    let share = field.unit.is_empty() && field.high <= 1.0;
    if share && number > 1.0 && number <= 100.0 {
        return format!(
            "a share is written from 0 to 1: `{}` for {} %",
            digits(number / 100.0),
            digits(number)
        );
    }
    if field.unit.is_empty() { "check the digits".into() } else { "check the digits and the unit".into() }
}

/// How a field is written, with a value from the middle of its range.
fn like(field: &Field) -> String {
    let middle = (field.low.max(field.high / 1e3) * field.high).sqrt();
    let step = 10_f64.powf(middle.log10().floor());
    let value = digits((middle / step).round() * step);
    if field.unit.is_empty() { value } else { format!("{}({value})", field.unit) }
}

/// A number with at most six significant digits and no zeros at its end.
pub fn digits(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return "0".into();
    }
    let places = (5.0 - number.abs().log10().floor()).clamp(0.0, 12.0) as usize;
    trimmed(&format!("{number:.places$}")).to_owned()
}
