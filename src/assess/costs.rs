//! What a fault of staging costs: the same layers put in order, and the model run again.

use std::sync::Arc;

use super::case::Case;
use super::findings::{Costs, LeftOver};
use super::rerun::{Run, case_of, gain, left_over, reordered};
use crate::media_order::{Found, Rule};
use crate::model::edit::{Edit, Workpiece};
use crate::model::filter::Way;
use crate::model::tray::Dimples;

/// Relative difference that is worth a word.
const WORTH: f64 = 0.02;

/// What each fault of the case costs that was run. Faults of order share one re-run with the layers put in order; a pad
/// that faces away is turned. Untold where the flow cannot be told.
pub fn costs(case: &Case<'_>, now: &Run, faults: &[Found]) -> Vec<Costs> {
    if now.flow.is_none() {
        return vec![Costs::Untold; faults.len()];
    }
    let order = reordered(case, &now.told.way).map(|ordered| {
        let then = Run::of(&Case::new(case.filter, &ordered.build, case.tank));
        between(now, &then, left_over(&ordered))
    });
    faults
        .iter()
        .map(|fault| match (fault.rule, &order) {
            (Rule::DimplesFacingAway, _) => turned(case, now, fault),
            (Rule::LoneFine, None) => Costs::Coarser,
            (_, Some(order)) => order.clone(),
            (_, None) => between(now, now, Vec::new()),
        })
        .collect()
}

/// What a pad costs that faces away: the same pad, turned over.
fn turned(case: &Case<'_>, now: &Run, fault: &Found) -> Costs {
    let mut piece = Workpiece::new(
        Arc::new(case.filter.clone()),
        case.build.clone(),
        case.tank.map(|tank| Arc::new(tank.clone())),
    );
    let dimples = Some(if case.filter.way == Way::Rising { Dimples::Down } else { Dimples::Up });
    let at = (fault.tray, fault.layer.unwrap_or(0));
    match piece.apply(&Edit::SetDimples { at, dimples }) {
        Ok(_) => between(now, &Run::of(&case_of(&piece)), Vec::new()),
        Err(_) => Costs::Untold,
    }
}

fn between(now: &Run, then: &Run, left: Vec<LeftOver>) -> Costs {
    if then.flow.is_none() {
        return Costs::Untold;
    }
    let better = |is: Option<f64>, then: Option<f64>| is.zip(then).filter(|_| gain(is, then) >= WORTH);
    // A leak must not earn a longer interval: the service of a leaky build is not held against one in order.
    let service = better(now.service, then.service).filter(|_| !now.leaky() && !then.leaky());
    let shorter =
        (now.service.zip(then.service)).filter(|_| !now.leaky() && gain(now.service, then.service) <= -WORTH);
    // What stands in front shields the pads.
    let shield =
        now.on_bacteria.zip(then.on_bacteria).filter(|(is, less)| shorter.is_some() && *is > less + 0.01);
    Costs::Figures {
        service,
        filtered: better(now.worked, then.worked),
        ammonia: better(now.ammonia, then.ammonia),
        shorter,
        shield,
        left,
    }
}
