//! The order of the layers along the water: the rules (a) to (g), what breaks them, and the same layers
//! put in order.

pub mod in_order;

use crate::message::worded;
use crate::model::{Build, Filter, Layer, Role, Way};
use crate::order::InOrder;
use crate::place::Space;

worded! {
    /// A rule of staging order. Common practice, no source.
    #[derive(PartialOrd, Ord, Hash)]
    Rule /// Its name in JSON.
    key: &'static str {
        /// (a) A mechanical layer with a coarser one after it.
        FinerBeforeCoarser "finer_before_coarser";
        /// (b) A biological layer before the mechanical ones; polishing may follow it.
        BiologicalOutOfPlace "biological_out_of_place";
        /// (c) A chemical layer with a mechanical one after it.
        ChemicalBeforeMechanical "chemical_before_mechanical";
        /// (d) The settlement floor holds media of another role.
        FloorHoldsOtherMedia "floor_holds_other_media";
        /// (e) An empty tray between layers.
        EmptyTray "empty_tray";
        /// (f) The first mechanical layer is fine or polishing.
        LoneFine "lone_fine";
        /// (g) A pad whose dimples all face away from the flow.
        DimplesFacingAway "dimples_facing_away";
    }
}

/// Why what lies on its like is told again.
const TWO_PADS: &str = " It lies against another of the same medium: two layers are two beds, each with a face and a rim of its own, so the fault is told for each, and the day to open differs from that of one as thick as both.";

/// Where a layer lies: its tray, or none for the floor, and its place in it. Both count from 0 at the bottom.
pub type At = (Option<usize>, usize);

/// A rule broken at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    pub rule: Rule,
    /// Which tray, from 0 at the bottom; none is the floor.
    pub tray: Option<usize>,
    /// Which layer in it, from 0 at the bottom; none is the whole tray or floor.
    pub layer: Option<usize>,
    /// What it does to the water, one sentence.
    pub says: String,
}

impl Found {
    /// The place in words, counted from 1 at the bottom: `tray 1, layer 2`.
    pub fn at(&self) -> String {
        let tray = Space::of(self.tray).to_string();
        self.layer.map_or_else(|| tray.clone(), |layer| format!("{tray}, layer {}", layer + 1))
    }
}

pub fn layer_at(build: &Build, at: At) -> Option<&Layer> {
    let space = match at.0 {
        None => Some(&build.floor),
        Some(tray) => build.trays.get(tray),
    };
    space?.get(at.1)
}

/// Places of the layers in the order the water meets them. Rising: floor, then trays, each from the bottom
/// up. Falling: trays from the top, each from the top down, and the floor last.
pub fn stages(filter: &Filter, build: &Build) -> Vec<At> {
    let floor = (0..build.floor.len()).map(|layer| (None, layer));
    let trays = build
        .trays
        .iter()
        .enumerate()
        .flat_map(|(tray, layers)| (0..layers.len()).map(move |layer| (Some(tray), layer)));
    let mut upward: Vec<At> = floor.chain(trays).collect();
    if filter.way == Way::Falling {
        upward.reverse();
    }
    upward
}

/// The rules that a build breaks: rule by rule, each along the water. In a falling filter the floor stands
/// last and no rule concerns it.
pub fn faults(filter: &Filter, build: &Build) -> Vec<Found> {
    let rising = filter.way == Way::Rising;
    let path: Vec<(At, &Layer)> = stages(filter, build)
        .into_iter()
        .filter(|at| rising || at.0.is_some())
        .filter_map(|at| layer_at(build, at).map(|layer| (at, layer)))
        .collect();
    let mut found = Vec::new();
    for rule in [Rule::FinerBeforeCoarser, Rule::BiologicalOutOfPlace, Rule::ChemicalBeforeMechanical] {
        for (i, (at, layer)) in path.iter().enumerate() {
            let before = path.iter().take(i).map(|(_, layer)| layer.medium.role);
            let after = path.iter().skip(i + 1).map(|(_, layer)| layer.medium.role);
            if let Some(mut says) = order_fault(rule, layer.medium.role, before, after) {
                let same =
                    |(next, other): &(At, &Layer)| next.0 == at.0 && other.medium.id == layer.medium.id;
                if i.checked_sub(1).and_then(|i| path.get(i)).is_some_and(same) {
                    says.push_str(TWO_PADS);
                }
                found.push(Found { rule, tray: at.0, layer: Some(at.1), says });
            }
        }
    }
    if rising && build.floor.iter().any(|layer| layer.medium.role != Role::Settlement) {
        let says = "Media on the floor take the room where dirt settles before it reaches the trays, so more of it reaches the first pad."
            .to_owned();
        found.push(Found { rule: Rule::FloorHoldsOtherMedia, tray: None, layer: None, says });
    }
    found.extend(empty_trays(filter, build, &path));
    found.extend(lone_fine(&path));
    found.extend(path.iter().filter(|(_, layer)| layer.faces_away(filter.way)).map(|(at, _)| {
        let says = "Its dimples face away from the flow, so dirt meets a flat face and blinds it, as it would a plain pad."
            .to_owned();
        Found { rule: Rule::DimplesFacingAway, tray: at.0, layer: Some(at.1), says }
    }));
    found
}

/// What a layer's place does by one of the rules (a) to (c), if it breaks it.
fn order_fault(
    rule: Rule,
    role: Role,
    mut before: impl Iterator<Item = Role>,
    mut after: impl Iterator<Item = Role>,
) -> Option<String> {
    match (rule, role) {
        (Rule::FinerBeforeCoarser, _) => {
            let own = role.fineness()?;
            let coarser = after.find(|next| next.fineness().is_some_and(|fineness| fineness < own))?;
            Some(format!(
                "This {} layer meets the dirt that the {} one after it was meant to catch, and clogs while that one stays nearly clean.",
                role.called(),
                coarser.word()
            ))
        }
        (Rule::BiologicalOutOfPlace, Role::Biological) => {
            if !before.any(|role| role.fineness().is_some()) {
                return Some(
                    "Dirty water reaches it first, and mulm covers the surface its bacteria live on."
                        .to_owned(),
                );
            }
            let late = after.find(|role| role.fineness().is_some() && *role != Role::Polishing)?;
            Some(format!(
                "Dirt that the {} layer after it should hold passes it first and settles on its bacteria.",
                late.word()
            ))
        }
        (Rule::ChemicalBeforeMechanical, Role::Chemical) => {
            // Polishing may stand last, as after biological media: it then guards what leaves.
            let late = after.find(|role| role.fineness().is_some() && *role != Role::Polishing)?;
            Some(format!(
                "Dirt that the {} layer after it should hold coats its grains first, and it stops binding early.",
                late.word()
            ))
        }
        _ => None,
    }
}

fn empty_trays(filter: &Filter, build: &Build, path: &[(At, &Layer)]) -> Vec<Found> {
    // Trays in the water's order; the floor, where it counts at all, stands before them.
    let rank = |tray: usize| match filter.way {
        Way::Rising => tray,
        Way::Falling => filter.trays.len().saturating_sub(tray + 1),
    };
    let place = |at: &At| at.0.map_or(0, |tray| rank(tray) + 1);
    let mut empty: Vec<usize> =
        (0..filter.trays.len()).filter(|tray| build.trays.get(*tray).is_none_or(Vec::is_empty)).collect();
    empty.order_by_key(|tray| rank(*tray));
    empty
        .into_iter()
        .filter(|tray| {
            let own = rank(*tray) + 1;
            path.iter().any(|(at, _)| place(at) < own) && path.iter().any(|(at, _)| place(at) > own)
        })
        .map(|tray| Found {
            rule: Rule::EmptyTray,
            tray: Some(tray),
            layer: None,
            says: "Water crosses it without being cleaned, and its seal is one more place to slip past."
                .to_owned(),
        })
        .collect()
}

fn lone_fine(path: &[(At, &Layer)]) -> Option<Found> {
    let (at, first) = path.iter().find(|(_, layer)| layer.medium.role.fineness().is_some())?;
    matches!(first.medium.role, Role::Fine | Role::Polishing).then(|| Found {
        rule: Rule::LoneFine,
        tray: at.0,
        layer: Some(at.1),
        says: format!(
            "Nothing coarser stands before this {} layer, so all the dirt lands on its face and blinds it.",
            first.medium.role.called()
        ),
    })
}
