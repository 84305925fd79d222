//! The finest mechanical stage on the solved network: what crosses it, what slips past, and where.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::findings::{Leak, LeakPlace};
use crate::hydraulics::plan::{Plan, What};
use crate::hydraulics::transport::{Carried, carry};
use crate::model::Role;
use crate::simd::Real;

/// The part of untreated water that each passage lets through untreated: none through the media of the stage.
pub fn keep<L: Real>(plan: &Plan, stage: Role) -> Vec<L> {
    plan.what
        .iter()
        .map(|what| match what {
            What::Media { layer } if plan.layers[*layer].role == stage => L::zero(),
            _ => L::one(),
        })
        .collect()
}

/// Share of the water that crosses no layer of the stage.
pub fn bypass<L: Real>(plan: &Plan, flows: &[L], keep: &[L], carry_over: L, carried: &mut Carried<L>) -> L {
    carry(&plan.walk, flows, keep, carry_over, L::zero(), carried);
    carried.at_pump.clamp(0.0, 1.0)
}

/// Where a passage lies in the section; none for one that is no leak.
fn place(plan: &Plan, what: What) -> Option<LeakPlace> {
    let at = |layer: usize| (plan.layers[layer].tray, plan.layers[layer].index);
    match what {
        What::Seal { tray } => Some(LeakPlace::Seal { tray }),
        What::Joint { tray } => Some(LeakPlace::Joint { tray }),
        What::Slack { layer } => {
            let (tray, layer) = at(layer);
            Some(LeakPlace::Slack { tray, layer })
        }
        What::Hole { layer } => {
            let (tray, layer) = at(layer);
            Some(LeakPlace::Hole { tray, layer })
        }
        _ => None,
    }
}

/// Does water in this gap pass a layer of the stage?
fn passes_stage(plan: &Plan, what: What, stage: Role) -> bool {
    let in_tray = |tray: usize| plan.layers.iter().any(|l| l.role == stage && l.tray == Some(tray));
    match what {
        What::Slack { layer } | What::Hole { layer } => plan.layers[layer].role == stage,
        What::Seal { tray } => in_tray(tray),
        // A joint cuts off the floor and every tray up to its own, whichever way the water goes.
        What::Joint { tray } => {
            plan.layers.iter().any(|l| l.role == stage && l.tray.is_none_or(|t| t <= tray))
        }
        _ => false,
    }
}

/// Words for a layer: `tray 1, layer 2`, counted from the bottom.
pub fn words_of_layer(tray: Option<usize>, layer: usize) -> String {
    match tray {
        Some(tray) => format!("tray {}, layer {}", tray + 1, layer + 1),
        None => format!("floor, layer {}", layer + 1),
    }
}

/// Words for a place: `tray 3 seal`, counted from the bottom.
pub fn words(place: LeakPlace) -> String {
    match place {
        LeakPlace::Seal { tray } => format!("tray {} seal", tray + 1),
        LeakPlace::Slack { tray, layer } => format!("{} edge", words_of_layer(tray, layer)),
        LeakPlace::Hole { tray, layer } => format!("{} hole", words_of_layer(tray, layer)),
        LeakPlace::Joint { tray } => format!("joint above tray {}", tray + 1),
    }
}

/// The gaps past the stage with their share of the pumped water, in the order of the water; they add to
/// `bypass`. `carried` is what [`bypass`] left.
pub fn leaks(plan: &Plan, flows: &[f64], carried: &Carried<f64>, stage: Role, bypass: f64) -> Vec<Leak> {
    let mut found: Vec<(LeakPlace, f64)> = Vec::new();
    for (p, &what) in plan.what.iter().enumerate() {
        if let Some(place) = place(plan, what).filter(|_| passes_stage(plan, what, stage)) {
            found.push((place, flows[p] * carried.entering[p]));
        }
    }
    let total: f64 = found.iter().map(|(_, share)| share).sum();
    let scale = if total > 0.0 { bypass / total } else { 0.0 };
    found
        .into_iter()
        .map(|(place, share)| Leak { at: words(place), place, share: share * scale, share_at_service: None })
        .collect()
}
