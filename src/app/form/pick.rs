//! Lists to pick from, narrowed by what is typed: words of a choice, media, measures.

use super::{commit, here, list, of};
use crate::app::list::{edit, holds, steps};
use crate::app::{Code, Key, Overlay, State, moved};
use crate::library::Library;
use crate::measures::Measure;
use crate::model::fields::{Choice, Wording};
use crate::profile::form::What;
use crate::profile::plain;
use crate::profile::write::figures::text;

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pick {
    pub says: String,
    /// As it stands in a file; none leaves the field out.
    pub ron: Option<String>,
}

fn pick(says: impl Into<String>, ron: String) -> Pick {
    Pick { says: says.into(), ron: Some(ron) }
}

pub fn words(choice: &'static Choice) -> Vec<Pick> {
    choice.told().map(|variant| pick(variant.says, plain::chosen(choice, variant))).collect()
}

pub fn media(as_layer: bool) -> Vec<Pick> {
    let of = |medium: &std::sync::Arc<crate::model::medium::Medium>| {
        let ron = match (as_layer, medium.is_pad()) {
            (false, _) => text(&medium.id),
            (true, true) => format!("Layer(media: {}, depth: guessed(mm(25)))", text(&medium.id)),
            (true, false) => format!("Layer(media: {}, volume: guessed(l(1)))", text(&medium.id)),
        };
        pick(format!("{}  {}, {}", medium.id, medium.name, medium.role.word()), ron)
    };
    Library::shipped().media().map(of).collect()
}

/// What can be picked now, as far as it holds what was typed.
pub fn picks(state: &State) -> Vec<Pick> {
    let Some(Overlay::Pick { adds, wanted, .. }) = &state.overlay else { return Vec::new() };
    let Some(line) = here(state) else { return Vec::new() };
    let all = match (adds, line.what, line.row.wording) {
        (true, ..) => list::picks(state),
        (_, What::Choice(choice), _) => {
            let none = (!line.row.is_needed()).then(|| Pick { says: left_out(line.row), ron: None });
            let nothing =
                line.row.none.then(|| pick(format!("none: {}", line.row.without), "none".to_owned()));
            none.into_iter().chain(nothing).chain(words(choice)).collect()
        }
        (_, _, Wording::Measure) => {
            let measure = |m: &Measure| pick(format!("{}  {}", m.key(), m.row().says), text(m.key()));
            Measure::ALL.iter().map(measure).collect()
        }
        _ => media(false),
    };
    all.into_iter().filter(|pick| holds(&pick.says, wanted)).collect()
}

fn left_out(row: &crate::model::fields::Row) -> String {
    let what = row.left_out();
    if what.is_empty() { "left out".to_owned() } else { format!("left out: {what}") }
}

pub fn open(state: &mut State, adds: bool) {
    let given = of(state).and_then(|form| Some(form.here()?.given(&form.text)?.to_owned()));
    state.overlay = Some(Overlay::Pick { adds, wanted: String::new(), cursor: 0 });
    state.overlay_scroll = 0;
    let word = |ron: &str| ron.split('(').next().unwrap_or_default().to_owned();
    let now = given.map(|ron| word(&ron));
    let at = picks(state).iter().position(|pick| pick.ron.as_deref().map(word) == now && now.is_some());
    if let (Some(at), Some(Overlay::Pick { cursor, .. })) = (at.filter(|_| !adds), &mut state.overlay) {
        *cursor = at;
    }
}

pub fn key(state: &mut State, key: Key) {
    let Some(Overlay::Pick { adds, mut wanted, cursor }) = state.overlay.clone() else { return };
    match key.code {
        _ if steps(key) != 0 => {
            let cursor = moved(cursor, steps(key), picks(state).len());
            state.overlay = Some(Overlay::Pick { adds, wanted, cursor });
        }
        Code::Esc => state.overlay = None,
        Code::Enter | Code::Tab => {
            let picked = picks(state).into_iter().nth(cursor);
            state.overlay = None;
            if let Some(picked) = picked {
                take(state, adds, picked);
            }
        }
        _ => {
            if edit(&mut wanted, key) {
                state.overlay = Some(Overlay::Pick { adds, wanted, cursor: 0 });
            }
        }
    }
}

fn take(state: &mut State, adds: bool, picked: Pick) {
    let Some(ron) = picked.ron else { return super::leave_out(state) };
    if adds {
        return list::put(state, &ron);
    }
    let (Some(line), Some(form)) = (here(state), of(state)) else { return };
    let with = form.with(&line, &ron);
    commit(state, with);
}
