//! Texts of a file: names, ids, measures, literals.

use super::{OPTIONS, offset};
use crate::hidden::{is_hidden, is_joiner, visible};
use crate::measures::Measure;
use crate::model::Day;
use crate::model::fields::{Door, Place, Row, Wording};
use crate::profile::diagnostics::{describe, suggest, written_like};
use crate::profile::{Reader, lexer};

const MAX_NAME: usize = 120;
const MAX_NOTES: usize = 4000;

impl Reader<'_> {
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

    pub fn quoted(&mut self, at: &Place) -> Option<String> {
        self.literal(at, "a text in quotes", "\"…\"")
    }

    pub(super) fn literal<T: serde::de::DeserializeOwned>(
        &mut self,
        at: &Place,
        what: &str,
        like: &str,
    ) -> Option<T> {
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
                self.refuse(lexer::head(self.source, at), message, Some(written_like(like)));
                None
            }
        }
    }

    fn measure(&mut self, at: &Place) -> Option<String> {
        let key = self.quoted(at)?;
        if Measure::from_key(&key).is_some() {
            return Some(key);
        }
        if let Some(measure) = Measure::from_old_key(&key) {
            self.hint(
                at.clone(),
                format!("the measure `{key}` is called `{}` now", measure.key()),
                format!("write \"{}\": the next version no longer reads `{key}`", measure.key()),
            );
            return Some(measure.key().to_owned());
        }
        let help = suggest(&key, Measure::ALL.map(Measure::key), "measures are");
        self.fault(Some(at), format!("no measure is called `{key}`"), &help).then_some(key)
    }

    /// A day of the calendar, as it is written.
    fn date(&mut self, at: &Place, row: &Row) -> Option<String> {
        let text = self.quoted(at)?;
        let message = || format!("{}: `{}` is no day of the calendar", row.words, visible(&text));
        let sound = Day::read(&text).is_some()
            || self.fault(Some(at), message(), "write year, month and day, such as \"2026-03-01\"");
        sound.then_some(text)
    }

    /// A text as its row wants it.
    pub(super) fn worded(&mut self, at: &Place, row: &'static Row) -> Option<String> {
        match row.wording {
            Wording::Medium => return self.medium(at).map(|medium| medium.id.clone()),
            Wording::Measure => return self.measure(at),
            Wording::Date => return self.date(at, row),
            Wording::Notes => return self.clean(at, row.words, MAX_NOTES),
            Wording::Short(most) => {
                let text = self.clean(at, row.words, MAX_NOTES)?;
                let message = format!("{} is longer than {most} characters", row.words);
                let sound = text.chars().count() <= most
                    || self.fault(Some(at), message, "write its short name, such as \"EUR\"");
                return sound.then_some(text);
            }
            Wording::Name | Wording::Id => {}
        }
        let text = self.clean(at, row.words, MAX_NAME)?;
        let odd = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
        let (wrong, help) = if text.trim().is_empty() {
            ("is empty", "give it a name that people can tell from others")
        } else if row.wording == Wording::Id && text.contains(odd) {
            ("may hold letters, digits, `-`, `_` and `.` only", "such as \"foam-20\"")
        } else {
            return Some(text);
        };
        self.fault(Some(at), format!("{} {wrong}", row.words), help).then_some(text)
    }
}
