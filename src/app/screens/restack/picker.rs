//! The picker: all media, to add one or to put one in another's place.

use std::sync::Arc;

use crate::app::list::holds;
use crate::app::{State, Typing, Work};
use crate::model::{Medium, Role};
use crate::order::InOrder;
use crate::propose::allowed;
use crate::report::figures;
use crate::uncertainty::Uncertain;

#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    pub medium: Arc<Medium>,
    /// What the keeper has of it, litres.
    pub on_hand: Option<f64>,
    pub comes: bool,
    /// It lies in the build as it was.
    pub there: bool,
    /// It must not go into this tank's water.
    pub harms: bool,
}

impl Choice {
    /// Surface for a biofilm, m2 a litre.
    pub fn surface(&self) -> Option<f64> {
        self.medium.surface.as_ref().map(|s| s.si() * 1e-3)
    }
    /// Price a litre.
    pub fn price(&self) -> Option<f64> {
        self.medium.price.as_ref().map(Uncertain::si)
    }
}

pub fn there(state: &State, choice: &Choice) -> String {
    if choice.harms {
        return "! not in salt water".to_owned();
    }
    let mut out = Vec::new();
    if choice.comes {
        out.push("comes with it".to_owned());
    } else if choice.there {
        out.push("in the build".to_owned());
    }
    if let Some(litres) = choice.on_hand {
        out.push(format!("on hand {}", figures::volume(litres, state.units)));
    }
    out.join(", ")
}

/// What one is told of a medium below the list.
pub fn says(state: &State, choice: &Choice) -> String {
    let m = &choice.medium;
    let there = there(state, choice);
    let there = if there.is_empty() { there } else { format!("; {there}") };
    format!("{}, {}{there}. {}", m.name, m.role.called(), m.source)
}

/// Media that are known: those that lie in the filter's builds, those of lists among the files read, then those that
/// ship or were given.
pub fn known(state: &State) -> Vec<Arc<Medium>> {
    let own = |w: &Work| {
        let builds = w.first.filter.builds.iter().chain([&w.piece.build]);
        let layers = builds.flat_map(|b| b.floor.iter().chain(b.trays.iter().flatten()));
        layers.map(|l| Arc::clone(&l.medium)).collect::<Vec<_>>()
    };
    let own = state.restack.work.as_deref().map(own).unwrap_or_default();
    let mut out: Vec<Arc<Medium>> = Vec::new();
    for medium in own.iter().chain(&state.restack.listed).chain(&state.restack.media) {
        if !out.iter().any(|m| m.id == medium.id) {
            out.push(Arc::clone(medium));
        }
    }
    out
}

/// What the picker lists now, in the order of a good stack.
pub fn choices(state: &State) -> Vec<Choice> {
    let Some(work) = &state.restack.work else { return Vec::new() };
    let wanted = match (&state.line, &state.restack.picker) {
        (Some(line), _) if state.restack_typing() == Some(Typing::Narrow) => line.text(),
        (_, Some(picker)) => picker.wanted.clone(),
        _ => String::new(),
    };
    let there = allowed::held(&work.first.filter, &work.first.build, None);
    let unit = work.first.filter.unit.as_ref();
    let tank = work.piece.tank.as_deref();
    let mut out: Vec<Choice> = known(state)
        .into_iter()
        .map(|medium| {
            let held = tank.into_iter().flat_map(|t| &t.on_hand).filter(|h| h.medium == medium.id);
            let litres: f64 = held.map(|h| h.volume.si() * 1e3).sum();
            Choice {
                on_hand: (litres > 0.0).then_some(litres),
                comes: unit.is_some_and(|u| u.includes.contains(&medium.id)),
                there: there.iter().any(|(m, _)| m.id == medium.id),
                harms: medium.freshwater_only && tank.is_some_and(|t| t.water.salt),
                medium,
            }
        })
        .filter(|c| !state.restack.on_hand || c.comes || c.there || c.on_hand.is_some())
        .filter(|c| holds(&format!("{} {} {}", c.medium.name, c.medium.id, c.medium.role.word()), &wanted))
        .collect();
    let place = |role: Role| Role::ALL.iter().position(|r| *r == role);
    out.order_by(|a, b| {
        let by = |c: &Choice| {
            (place(c.medium.role), c.medium.capture.si().max(0.0).to_bits(), c.medium.id.clone())
        };
        by(a).cmp(&by(b))
    });
    out
}
