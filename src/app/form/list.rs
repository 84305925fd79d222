//! Items of lists: added by picking, by typing, or as one more like the last.

use super::pick::{self, Pick};
use super::{commit, here, of};
use crate::app::{Goal, Line as Typed, State, only_if};
use crate::model::fields::{Kind, Wording};
use crate::profile::form::{At, Line, What, fresh, place};
use crate::profile::plain::{self, Unclear, Understood};

/// The list that the cursor is in, and what it holds.
fn around(state: &State) -> Option<(Line, Kind)> {
    let form = of(state)?;
    let lines = form.lines();
    let here = lines.get(form.list.cursor)?;
    let holds = |line: &&Line| matches!(line.what, What::List) && here.trail.starts_with(&line.trail);
    let list = lines.iter().rev().skip_while(|line| line.trail != here.trail).find(holds)?;
    let mut kind = list.row.kind;
    // Within a list of lists an item is a list.
    for step in list.trail.iter().rev().take_while(|step| matches!(step, At::Item(_))) {
        let _ = step;
        kind = match kind {
            Kind::List(inner) => *inner,
            other => other,
        };
    }
    match kind {
        Kind::List(inner) => Some((list.clone(), *inner)),
        _ => None,
    }
}

pub fn add(state: &mut State) {
    let Some((list, inner)) = around(state) else {
        return state.tell_keys("nothing is added here: put the cursor on a list");
    };
    match inner {
        Kind::Choice(_) => pick::open(state, true),
        Kind::Form(table) if plain::is_one_line(table()) => {
            state.line = Some(Typed::new(Goal::Form(true), ""));
        }
        Kind::Form(table) if table().rows().next().is_some_and(|row| row.wording == Wording::Medium) => {
            pick::open(state, true);
        }
        Kind::Form(_) => {
            let ron = like_the_last(state, &list).or_else(|| fresh(inner)).unwrap_or_default();
            put(state, &ron);
        }
        _ => state.tell_keys("each tray of the filter has its list already"),
    }
}

pub fn picks(state: &State) -> Vec<Pick> {
    match around(state) {
        Some((_, Kind::Choice(choice))) => pick::words(choice()),
        Some(_) => pick::media(true),
        None => Vec::new(),
    }
}

pub fn item_of(state: &State, typed: &str) -> Option<Result<Understood, Unclear>> {
    let (list, inner) = around(state)?;
    Some(plain::understand_as(list.row, inner, typed, state.units))
}

pub fn typed(state: &mut State, text: &str) {
    match item_of(state, text) {
        Some(Ok(read)) => put(state, &read.ron),
        Some(Err(unclear)) => {
            state.tell(unclear.said);
            state.line = Some(Typed::new(Goal::Form(true), text));
        }
        None => {}
    }
}

/// One more item; the cursor goes to it.
pub fn put(state: &mut State, ron: &str) {
    let (Some((list, _)), Some(form)) = (around(state), of(state)) else { return };
    let with = form.with_item(&list, ron);
    commit(state, with);
    if let Some(form) = super::of_mut(state) {
        let lines = form.lines();
        let inside =
            |line: &Line| line.trail.len() == list.trail.len() + 1 && line.trail.starts_with(&list.trail);
        if let Some(at) = lines.iter().rposition(inside) {
            form.list.cursor = at;
        }
    }
    crate::app::screens::keep(state);
}

/// The last item once more; what has a name gets another.
fn like_the_last(state: &State, list: &Line) -> Option<String> {
    let form = of(state)?;
    let lines = form.lines();
    let last = lines
        .iter()
        .rev()
        .find(|line| line.trail.len() == list.trail.len() + 1 && line.trail.starts_with(&list.trail))?;
    let text = last.given(&form.text)?;
    let name = lines.iter().find(|line| {
        line.trail.len() == last.trail.len() + 1
            && line.trail.starts_with(&last.trail)
            && matches!(line.trail.last(), Some(At::Field(row)) if row.wording == Wording::Name)
    });
    let Some(at) = name.and_then(|name| place(&form.text, &name.trail)) else { return Some(text.to_owned()) };
    let start = last.at.as_ref()?.start;
    let (from, to) = (at.start.checked_sub(start)?, at.end.checked_sub(start)?);
    let was = form.text.get(at)?.trim_matches('"');
    let mut out = text.to_owned();
    let taken = |name: &str| form.text.contains(&format!("\"{name}\""));
    let next = (2..1000).map(|n| format!("{was} {n}")).find(|name| !taken(name))?;
    out.replace_range(from..to, &format!("\"{next}\""));
    Some(out)
}

pub fn allowed(state: &State) -> crate::app::screen::May {
    only_if(
        here(state).is_some() && around(state).is_some(),
        "nothing is added here: put the cursor on a list",
    )
}
