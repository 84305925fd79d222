//! Did you mean: the nearest word to a misspelt one, and the parsing of measure keys.

use std::ffi::OsStr;

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, Command, Error};

use crate::library::Library;
use crate::measures::Measure;
use crate::model::fields::Row;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SortBy {
    pub measure: Measure,
    pub down: bool,
}

/// The nearest of the words, if any is near enough to have been meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    // Long arguments are no slips of the finger, and the comparison takes time with the square of them.
    if word.chars().count() > 200 {
        return None;
    }
    known
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(&word, &candidate.to_lowercase()), candidate))
        .min_by_key(|(distance, _)| *distance)
        .filter(|(distance, candidate)| *distance <= 1.max(candidate.chars().count().max(word.len()) / 3))
        .map(|(_, candidate)| candidate)
}

/// `; did you mean …?`, or nothing.
pub fn hint<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(word, known).map(|near| format!("; did you mean `{near}`?")).unwrap_or_default()
}

pub fn measure(key: &str) -> Result<Measure, String> {
    // As the screens call it, too.
    let plain = |name: &str| name.to_lowercase().replace(['_', '-'], " ");
    let called = |m: &Measure| [m.row().head, m.as_priority()].iter().any(|name| plain(name) == plain(key));
    let found = Measure::from_key(key).or_else(|| Measure::ALL.into_iter().find(called));
    found.ok_or_else(|| {
        if let Some(now) = Measure::from_old_key(key) {
            return format!("`{key}` is called `{}` now", now.key());
        }
        let keys = Measure::ALL.map(Measure::key);
        format!("there is no measure of that key{}\nkeys: {}", hint(key, keys), keys.join(", "))
    })
}

pub fn sort_by(text: &str) -> Result<SortBy, String> {
    let (down, key) = text.strip_prefix('-').map_or((false, text), |key| (true, key));
    measure(key).map(|measure| SortBy { measure, down })
}

/// A parser that shells complete by a list of words, though it may take others.
#[derive(Clone)]
pub struct Listed<P> {
    parser: P,
    words: fn() -> Vec<PossibleValue>,
}

impl<P: TypedValueParser> TypedValueParser for Listed<P> {
    type Value = P::Value;
    fn parse_ref(&self, command: &Command, arg: Option<&Arg>, value: &OsStr) -> Result<P::Value, Error> {
        self.parser.parse_ref(command, arg, value)
    }
    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new((self.words)().into_iter()))
    }
}

pub fn key() -> impl TypedValueParser<Value = Measure> {
    Listed { parser: measure as fn(&str) -> Result<Measure, String>, words: keys }
}

pub fn order() -> impl TypedValueParser<Value = SortBy> {
    Listed { parser: sort_by as fn(&str) -> Result<SortBy, String>, words: keys }
}

/// Takes the id of a medium, of the library or of one's own.
pub fn medium() -> impl TypedValueParser<Value = String> {
    Listed { parser: StringValueParser::new(), words: media }
}

fn keys() -> Vec<PossibleValue> {
    Measure::ALL.map(|measure| PossibleValue::new(measure.key()).help(measure.row().says)).to_vec()
}

fn media() -> Vec<PossibleValue> {
    let media = Library::shipped().media();
    media.map(|medium| PossibleValue::new(medium.id.as_str()).help(medium.name.as_str())).collect()
}

/// Parses a figure that a file would hold in that field, in the field's unit.
pub fn within(row: Row) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| match text.parse::<f64>() {
        Ok(x) if (row.low..=row.high).contains(&x) => Ok(x),
        Ok(_) => {
            let unit = row.read_in().map_or("", |unit| unit.sign);
            Err(format!("expected {} to {} {unit}", row.low, row.high).trim_end().to_owned())
        }
        Err(_) if text.contains(',') => Err("decimals take a point: 1.5".to_owned()),
        Err(_) => Err("a number is wanted, such as 62 or 1.5".to_owned()),
    }
}
