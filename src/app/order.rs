//! The order of the table's rows: sorted by one measure, then by the one sorted by before, then by name; what
//! cannot be told comes last whichever way it is turned, and broken files after that.

use std::cmp::Ordering;

use super::{Column, Entry, Id};
use crate::app::list::holds;
use crate::measures::{Better, Measure};
use crate::order::InOrder;
use crate::profile::Broken;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    Name,
    Measure(Measure),
    /// How little of it is assumed or guessed.
    Known,
}

impl From<Column> for By {
    fn from(column: Column) -> Self {
        column.measure().map_or(Self::Known, Self::Measure)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SortKey {
    pub by: By,
    /// Greatest first.
    pub falling: bool,
}

impl SortKey {
    /// By that, better builds first.
    pub fn best_first(by: By) -> Self {
        let falling = match by {
            By::Name => false,
            By::Known => true,
            By::Measure(m) => !matches!(m.row().better, Better::Less),
        };
        Self { by, falling }
    }
}

/// The keys after sorting by `by`: turned round when it led already, else put in front and the old one kept
/// as second.
pub fn sort_by(keys: &[SortKey], by: By) -> Vec<SortKey> {
    match keys.first() {
        Some(first) if first.by == by => {
            let turned = SortKey { by, falling: !first.falling };
            std::iter::once(turned).chain(keys.iter().skip(1).copied()).collect()
        }
        first => std::iter::once(SortKey::best_first(by)).chain(first.copied()).collect(),
    }
}

pub fn rows(entries: &[Entry], broken: &[Broken], keys: &[SortKey], wanted: &str) -> Vec<Id> {
    let mut kept: Vec<usize> = entries
        .iter()
        .enumerate()
        .filter(|(_, e)| wanted.is_empty() || holds(&searched(e), wanted))
        .map(|(i, _)| i)
        .collect();
    kept.order_by(|a, b| match (entries.get(*a), entries.get(*b)) {
        (Some(x), Some(y)) => keys
            .iter()
            .map(|k| compare(x, y, *k))
            .find(|o| *o != Ordering::Equal)
            .unwrap_or_else(|| x.name.cmp(&y.name).then(a.cmp(b))),
        _ => a.cmp(b),
    });
    let broken = broken
        .iter()
        .enumerate()
        .filter(|(_, b)| holds(&b.path.to_string_lossy(), wanted))
        .map(|(i, _)| Id::Broken(i));
    kept.into_iter().map(Id::Build).chain(broken).collect()
}

fn searched(entry: &Entry) -> String {
    let file = entry.path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    format!("{} {file}", entry.name)
}

fn compare(a: &Entry, b: &Entry, key: SortKey) -> Ordering {
    let turn = |o: Ordering| if key.falling { o.reverse() } else { o };
    match key.by {
        By::Name => turn(a.name.cmp(&b.name)),
        By::Known => {
            let sure = |e: &Entry| e.judged.as_ref().map(|judged| judged.known.sure());
            match (sure(a), sure(b)) {
                (Some(x), Some(y)) => turn(x.total_cmp(&y)),
                (x, y) => y.is_some().cmp(&x.is_some()),
            }
        }
        By::Measure(m) => {
            let number = |e: &Entry| e.outcome(m).and_then(crate::measures::Outcome::number);
            match (number(a), number(b)) {
                (Some(x), Some(y)) => turn(x.total_cmp(&y)),
                (Some(_), None) => Ordering::Less,
                (None, Some(_)) => Ordering::Greater,
                (None, None) => Ordering::Equal,
            }
        }
    }
}
