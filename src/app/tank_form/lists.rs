//! What may stand at the caret of a list: media, measures and musts, offered while they are typed.

use crate::app::line::{Goal, Line as Typed};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::medium::Medium;
use crate::profile::TANK_FIELDS;

/// The word left of the caret, and whether it stands in quotes.
fn word(before: &str) -> (&str, bool) {
    let quoted = before.matches('"').count() % 2 == 1;
    let is_part = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.');
    let from =
        before.char_indices().rev().take_while(|(_, c)| is_part(*c)).last().map_or(before.len(), |(i, _)| i);
    (before.get(from..).unwrap_or(""), quoted)
}

/// All that the list of a field may hold there.
fn allowed(field: usize, quoted: bool) -> Vec<String> {
    let measures = || Measure::ALL.iter().map(|m| m.key().to_owned()).collect();
    let media = || Library::shipped().media().map(|m: &std::sync::Arc<Medium>| m.id.clone()).collect();
    match (TANK_FIELDS.get(field).map_or("", |f| f.row.name), quoted) {
        ("on_hand", true) => media(),
        ("requirements" | "priorities", true) => measures(),
        ("on_hand", false) => vec!["(\"".to_owned()],
        ("priorities", false) => vec!["\"".to_owned()],
        ("requirements", false) => {
            ["fits_cabinet()", "at_least(\"", "at_most(\""].map(str::to_owned).to_vec()
        }
        _ => Vec::new(),
    }
}

/// What fits at the caret: what begins as the word there does, else what holds it.
pub fn fits_here(line: &Typed) -> Vec<String> {
    let Goal::Field(field) = line.goal else { return Vec::new() };
    let (word, quoted) = word(&line.before);
    let all = allowed(field, quoted);
    let begins: Vec<String> = all.iter().filter(|item| item.starts_with(word)).cloned().collect();
    if begins.is_empty() { all.into_iter().filter(|item| item.contains(word)).collect() } else { begins }
}

/// Completes the word at the caret as far as it is sure; whether it did.
pub fn complete(line: &mut Typed) -> bool {
    let (typed, quoted) = word(&line.before);
    if typed.is_empty() {
        return false;
    }
    let fits = fits_here(line);
    let Some(first) = fits.first() else { return false };
    let common = fits.iter().fold(first.as_str(), |common, item| shared(common, item));
    let whole = fits.len() == 1;
    let quote = if whole && quoted && !line.after.starts_with('"') { "\"" } else { "" };
    let starts = common.starts_with(typed);
    if !starts && !whole || starts && common.len() == typed.len() && quote.is_empty() {
        return false;
    }
    let keep = line.before.len() - typed.len();
    let put = format!("{common}{quote}");
    line.before.truncate(keep);
    line.insert(&put);
    true
}

/// What two words begin with.
fn shared<'a>(a: &'a str, b: &str) -> &'a str {
    let end = a
        .char_indices()
        .zip(b.chars())
        .find(|((_, x), y)| x != y)
        .map_or(a.len().min(b.len()), |((i, _), _)| i);
    a.get(..end).unwrap_or("")
}
