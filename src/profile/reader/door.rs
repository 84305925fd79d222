//! The reader as the door that tables of fields are read through.

use super::{MAX_LAYERS, OLD_WORDS, Open};
use crate::hidden::visible;
use crate::model::Medium;
use crate::model::fields::{Brackets, Choice, Door, Place, Row, Step, Table, Variant, Wording, variant_of};
use crate::place::Space;
use crate::profile::diagnostics::{bracketed, describe, digits, near_or, nearest, ticked, written_like};
use crate::profile::{Reader, lexer};
use crate::uncertainty::{Key, Spot};
use std::any::Any;
use std::sync::Arc;

/// What a file that stands alone begins with.
static FORMAT_ROW: Row = crate::model::fields::row("format").file("format");

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

    fn left_out(&mut self, row: &'static Row) {
        let misspelt = self.open.last().is_some_and(|open| open.misspelt.contains(&row.name));
        if !misspelt {
            self.left.keys.insert(self.key(row));
        }
    }

    fn says_none(&self, at: &Place) -> bool {
        self.at(at) == "none"
    }

    fn begins(&self, at: &Place, with: char) -> bool {
        self.at(at).starts_with(with)
    }

    fn open(&mut self, at: Option<&Place>, table: &'static Table) -> bool {
        let rows: Vec<&Row> = table.rows().collect();
        let Some(place) = at else {
            let head = self.head();
            self.open.push(Open::new(head, table.what, rows));
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
                    Some(written_like(table.like)),
                );
            }
            return opened;
        }
        let text = self.at(place);
        let name = lexer::word(text, 0).to_owned();
        let bracket = lexer::skip_trivia(text, name.len());
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
            self.open.push(Open::new(head, choice.what, Vec::new()));
            return Some(variant_of(choice, word));
        };
        let text = self.at(place);
        if text.starts_with('"')
            && let Some(other) = choice.variants.iter().find(|variant| variant.word == "other")
        {
            self.once_a_text(place, choice, other);
            return Some(other);
        }
        let mut word = lexer::word(text, 0).to_owned();
        let called = text.len() > word.len();
        if word.is_empty() {
            self.expected(place, choice.what, choice.like);
            return None;
        }
        if let Some((old, new)) =
            OLD_WORDS.iter().find(|(old, new)| *old == word && choice.variants.iter().any(|v| v.word == *new))
        {
            self.hint(
                place.start..place.start + word.len(),
                format!("`{old}` is called `{new}` now"),
                format!("write `{new}`: the next version no longer reads `{old}`"),
            );
            (*new).clone_into(&mut word);
        }
        let Some(variant) = choice.variants.iter().find(|variant| variant.word == word) else {
            let words: Vec<&str> =
                choice.variants.iter().map(|variant| variant.word).filter(|word| !word.is_empty()).collect();
            let old = OLD_WORDS.iter().filter(|(_, new)| words.contains(new));
            let near = nearest(&word, words.iter().copied())
                .or(old.filter(|(old, _)| nearest(&word, [*old]).is_some()).map(|(_, new)| *new).next());
            let help = near_or(near, &format!("use one of {}", ticked(words.iter().copied())));
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
                self.open.push(Open::new(place.clone(), choice.what, rows));
                true
            }
            _ if !called => {
                let help = bracketed(&word);
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
        if row.words == "`trays`" && lexer::word(text, 0) == "count" {
            return self.counted(&at.clone(), row);
        }
        if !text.starts_with('[') {
            let found = describe(text);
            let inside = lexer::word(text, 0);
            let like = if inside.is_empty() { "…".to_owned() } else { format!("{inside}(…)") };
            self.refuse(
                lexer::head(self.source, at),
                format!("{} is a list: expected `[…]`, found {found}", self.list_name(row)),
                Some(format!("put it in square brackets, even where it is one: `[{like}]`")),
            );
            return None;
        }
        let items = lexer::items(self.source, at);
        // A list within a list holds layers.
        let most = if matches!(self.path.last(), Some(Step::Item(_))) { MAX_LAYERS } else { row.most };
        if items.len() > most {
            self.refuse(
                lexer::head(self.source, at),
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
            let start = lexer::skip_trivia(self.source, from);
            if start + 1 >= at.end {
                return Some(found);
            }
            let key = start..lexer::value_end(self.source, start);
            let colon = lexer::skip_trivia(self.source, key.end);
            let start = lexer::skip_trivia(self.source, colon + 1);
            let value = start..lexer::value_end(self.source, start);
            from = lexer::skip_trivia(self.source, value.end) + 1;
            found.push((key, value));
        }
    }

    fn text(&mut self, at: &Place, row: &'static Row) -> Option<String> {
        self.worded(at, row)
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
        let help = near_or(
            nearest(&id, known),
            "`cansift media` lists those that ship; a profile may bring its own in `media: [Medium(…)]`",
        );
        self.fault(Some(at), format!("no medium is called `{id}`"), &help);
        None
    }

    fn part(&mut self, at: &Place) -> Option<Box<dyn Any>> {
        let id = self.quoted(at)?;
        if let Some(named) = self.library.fitting(&id) {
            return Some(Box::new(named.part.clone()));
        }
        let help = near_or(
            nearest(&id, self.library.fittings().map(|named| named.id.as_str())),
            "write the fitting itself, such as `tap(bore: mm(12.5))`, or add it to a list of fittings",
        );
        self.fault(Some(at), format!("no fitting is called `{id}`"), &help);
        None
    }

    fn fault(&mut self, at: Option<&Place>, message: String, help: &str) -> bool {
        let place = at.cloned().unwrap_or_else(|| self.head());
        self.refuse(place, message, (!help.is_empty()).then(|| help.to_owned()));
        false
    }

    fn full(&self) -> bool {
        self.faults.len() > crate::profile::MAX_PROBLEMS
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
        Key::new(self.keys_of.clone(), at, &row.held)
    }

    fn built(&mut self, what: &dyn Any, at: &[Place]) -> bool {
        crate::profile::rules::check(self, what, at)
    }

    fn keep(&mut self, what: Box<dyn Any>) {
        self.kept = Some(what);
    }

    fn kept(&mut self) -> Option<Box<dyn Any>> {
        self.kept.take()
    }

    fn usual_priorities(&self) -> Vec<(String, f64)> {
        crate::profile::DEFAULT_PRIORITIES
            .iter()
            .map(|(measure, weight)| (measure.key().to_owned(), *weight))
            .collect()
    }
}

impl Reader<'_> {
    /// A text where a part is named now: it is read as the other part that it names.
    fn once_a_text(&mut self, place: &Place, choice: &'static Choice, other: &'static Variant) {
        let (text, lower) = (self.at(place).to_owned(), self.at(place).to_lowercase());
        let better = [
            ("lid seal", "lid_seal"),
            ("tray seal", "seals([1, 2])"),
            ("lamp", "lamp"),
            ("impeller", "impeller"),
            ("hose", "hose"),
        ]
        .into_iter()
        .find(|(words, _)| lower.contains(words));
        let better = better.map_or_else(String::new, |(_, word)| format!(", or better `{word}`"));
        self.hint(
            place.clone(),
            "a part is no bare text now".to_owned(),
            format!("write `other({text})`{better}: the next version no longer reads a bare text"),
        );
        let entries = other.rows.iter().map(|row| (row.name, place.clone())).collect();
        let open = Open::new(place.clone(), choice.what, other.rows.iter().collect());
        self.open.push(Open { entries, ..open });
    }
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
