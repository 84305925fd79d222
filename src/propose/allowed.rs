//! Which media a search may use, and how hard it looks.

use std::sync::Arc;

use crate::assess::Case;
use crate::assess::figures::{bought, water_way};
use crate::model::medium::Bed;
use crate::model::{Build, Filter, Medium, Role, Tank};
use crate::parallel::processors;
use crate::uncertainty::Nominal;

#[derive(Clone, Debug, PartialEq)]
pub struct Allowed {
    pub medium: Arc<Medium>,
    /// Free bed there is, m3; none: as much as is wanted can be bought.
    pub amount: Option<f64>,
}

/// Thicknesses that pads are sold in, mm. Common practice, no source.
pub const TRADE: [u16; 5] = [10, 20, 25, 40, 50];

/// What may be proposed, and how hard to look.
#[derive(Clone, Debug)]
pub struct Options {
    /// Media that may be used, with the amounts there are.
    pub media: Vec<Allowed>,
    /// Thicknesses pads come in, mm.
    pub thicknesses: Vec<u16>,
    /// The least fine that the finest mechanical layer may be; none: anything.
    pub finest: Option<Role>,
    pub top: usize,
    pub seed: u64,
    /// Simulated cases of the best 20; 0 for none.
    pub samples: usize,
    /// Stacks worked on at once.
    pub beam: usize,
    /// Stacks judged at most, before only the best is worked on further.
    pub most: usize,
    pub threads: usize,
    /// Stacks without biological media are as good as others.
    pub foam_only: bool,
}

impl Options {
    pub fn new(media: Vec<Allowed>) -> Self {
        Self {
            media,
            thicknesses: TRADE.to_vec(),
            finest: None,
            top: 3,
            seed: 1,
            samples: 64,
            beam: 12,
            most: 60_000,
            threads: processors(),
            foam_only: false,
        }
    }
    /// Asks for stacks that filter as finely as this build does, up to fine, as far as the media allow: worked
    /// flow counts what crosses the finest stage, so a coarser one would win by letting more through. Polishing
    /// is not asked for: it has to stand last, where the seal may not be worth it.
    pub fn as_fine_as(mut self, build: &Build) -> Self {
        let fineness = |role: &Role| role.fineness();
        let has = build.floor.iter().chain(build.trays.iter().flatten()).map(|l| l.medium.role);
        let may = self.media.iter().map(|m| m.medium.role);
        let (has, may) = (has.max_by_key(fineness), may.max_by_key(fineness));
        let has = has.map(|role| if role == Role::Polishing { Role::Fine } else { role });
        self.finest = has.zip(may).map(|(has, may)| if fineness(&has) <= fineness(&may) { has } else { may });
        self.finest = self.finest.filter(|role| role.fineness().is_some());
        self
    }
}

/// Grains below this size, such as gravel, are proposed to nobody who does not ask for them or have them, m. They
/// are cheap and have much surface, and would win; but they pack tight, and no capture figure for them was found
/// that fits a filter of this kind: theirs is that of larger pieces, so they clog sooner than the model tells. The
/// size is our own choice.
pub const FINE_GRAINS: f64 = 6e-3;

/// All that are known, and those the build holds. Chemical media come in only when the build holds them: what
/// they bind is not in the model, so nobody gets them unasked. Fine grains come in only when the build holds them,
/// they come with the unit, or the tank's keeper has them: see [`FINE_GRAINS`].
pub fn all(
    known: impl IntoIterator<Item = Arc<Medium>>,
    filter: &Filter,
    build: &Build,
    tank: &Tank,
) -> Vec<Allowed> {
    let held = held(filter, build, None);
    let had = |id: &str| {
        let comes = filter.unit.as_ref().is_some_and(|unit| unit.includes.iter().any(|i| i == id));
        comes || tank.on_hand.iter().any(|held| held.medium == id)
    };
    let mut media: Vec<Arc<Medium>> = held.iter().map(|(medium, _)| Arc::clone(medium)).collect();
    for medium in known {
        // Fine grains pack as gravel does.
        let fine = matches!(&medium.bed, Bed::Pieces { size, .. } if size.si() < FINE_GRAINS);
        let unasked = medium.role == Role::Chemical || (fine && !had(&medium.id));
        if !unasked && !media.iter().any(|m| m.id == medium.id) {
            media.push(medium);
        }
    }
    // What comes with a second-hand unit costs nothing, but there is no more of it than lies in it.
    let includes = |id: &str| filter.unit.as_ref().is_some_and(|unit| unit.includes.iter().any(|i| i == id));
    let amount = |id: &str| held.iter().find(|(m, _)| m.id == id).map(|(_, volume)| *volume);
    media
        .into_iter()
        .map(|medium| {
            let amount = if includes(&medium.id) { amount(&medium.id) } else { None };
            Allowed { medium, amount }
        })
        .collect()
}

/// Only what is there: what lies in the build and what the tank's keeper has on hand, in these amounts. `known`
/// finds a medium by its id.
pub fn on_hand(
    known: impl Fn(&str) -> Option<Arc<Medium>>,
    filter: &Filter,
    build: &Build,
    tank: &Tank,
) -> Vec<Allowed> {
    let mut out: Vec<Allowed> = held(filter, build, Some(tank))
        .into_iter()
        .map(|(medium, volume)| Allowed { medium, amount: Some(volume) })
        .collect();
    for held in &tank.on_hand {
        let volume = held.volume.si();
        if let Some(there) = out.iter_mut().find(|a| a.medium.id == held.medium) {
            there.amount = there.amount.map(|amount| amount + volume);
        } else if let Some(medium) = known(&held.medium) {
            out.push(Allowed { medium, amount: Some(volume) });
        }
    }
    out
}

/// What lies in a build: each medium once with its free bed, m3.
pub fn held(filter: &Filter, build: &Build, tank: Option<&Tank>) -> Vec<(Arc<Medium>, f64)> {
    let case = Case::new(filter, build, tank);
    let way = water_way::<f64>(&case, &Nominal);
    let mut out: Vec<(Arc<Medium>, f64)> = Vec::new();
    for (medium, volume) in bought(&case, &way) {
        match out.iter_mut().find(|(m, _)| m.id == medium.id) {
            Some((_, sum)) => *sum += volume,
            None => out.push((medium, volume)),
        }
    }
    out
}
