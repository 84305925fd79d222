//! A case judged again after a change: the few figures by which repairs and faults are told.

use std::sync::Arc;

use super::figures::{Figures, WaterWay, figures};
use super::findings::LeftOver;
use super::{Case, Costs, Effort};
use crate::measures::Measure;
use crate::media_order::in_order::{Ordered, in_order};
use crate::media_order::{Found, Rule};
use crate::model::{Dimples, Edit, Layer, LayerGeometry, Role, Way, Workpiece};
use crate::uncertainty::{Nominal, Uncertain};

pub struct Run {
    pub told: Figures<f64>,
    /// Filtered flow, l/h.
    pub worked: Option<f64>,
    /// Flow, l/h.
    pub flow: Option<f64>,
    /// Service, days.
    pub service: Option<f64>,
    /// Bypass, share.
    pub bypass: Option<f64>,
    /// Dose of the lamp, mJ/cm2.
    pub dose: Option<f64>,
    /// What the media can nitrify over what the feeding makes.
    pub ammonia: Option<f64>,
    /// Share of the dirt that biological layers catch, clean.
    pub on_bacteria: Option<f64>,
}

impl Run {
    pub fn of(case: &Case<'_>) -> Self {
        let told = figures(case, &Nominal, Effort::FULL);
        let number = |measure| told.outcome(measure).number();
        let on_bacteria = told.aged.as_ref().ok().map(|aged| {
            let layers = case.plan.layers.iter().zip(&aged.shares);
            layers.filter(|(at, _)| at.role == Role::Biological).map(|(_, share)| share).sum()
        });
        Self {
            worked: number(Measure::FilteredFlow),
            flow: number(Measure::Flow),
            service: number(Measure::OpeningInterval),
            bypass: number(Measure::Bypass),
            dose: number(Measure::UvDose),
            ammonia: number(Measure::AmmoniaCapacity),
            on_bacteria,
            told,
        }
    }

    /// Does most of the water pass its finest stage from the first day? Its service then says little: a leak
    /// must not earn a longer interval.
    pub fn leaky(&self) -> bool {
        self.bypass.is_some_and(|bypass| bypass > 0.5)
    }

    /// What flow is judged by: filtered flow, or all of it where nothing catches dirt by design.
    pub fn judged_flow(&self) -> Option<f64> {
        self.worked.or(self.flow)
    }

    /// Service as far as it counts: nothing for a leaky build.
    pub fn interval(&self) -> Option<f64> {
        self.service.map(|days| if self.leaky() { 0.0 } else { days })
    }
}

pub fn case_of(piece: &Workpiece) -> Case<'_> {
    Case::new(&piece.filter, &piece.build, piece.tank.as_deref())
}

/// Gain from one figure to another, relative, from -1 to 1; 0 where either cannot be told.
pub(super) fn gain(before: Option<f64>, after: Option<f64>) -> f64 {
    match (before, after) {
        (Some(before), Some(after)) if before > 0.0 => ((after - before) / before).clamp(-1.0, 1.0),
        (Some(_), Some(after)) if after > 0.0 => 1.0,
        _ => 0.0,
    }
}

/// The case's own layers put in order. None when they lie in order already.
pub(super) fn reordered(case: &Case<'_>, way: &WaterWay<f64>) -> Option<Ordered> {
    let lain = |at: (Option<usize>, usize)| {
        let place = case.plan.layers.iter().position(|l| (l.tray, l.index) == at);
        place.and_then(|n| way.vessel.lain.get(n))
    };
    let extents = &way.vessel.extents;
    let ordered = in_order(
        case.filter,
        case.build,
        |at| lain(at).map_or(0.0, LayerGeometry::free_volume),
        |layer, tray| {
            let extent = match tray {
                None => extents.floor.as_ref(),
                Some(t) => extents.trays.get(t),
            };
            let hole = layer.hole.as_ref().map_or(0.0, Uncertain::si);
            let slack = layer.slack.as_ref().map_or(0.0, Uncertain::si);
            extent.map_or(0.0, |(plan, _)| {
                plan.area - plan.perimeter * slack - hole * hole * std::f64::consts::FRAC_PI_4
            })
        },
    );
    let same = |a: &[Layer], b: &[Layer]| {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.medium.id == b.medium.id)
    };
    let unmoved = same(&ordered.build.floor, &case.build.floor)
        && ordered.build.trays.iter().zip(&case.build.trays).all(|(a, b)| same(a, b));
    (!unmoved || !ordered.left_over.is_empty()).then_some(ordered)
}

pub(super) fn left_over(ordered: &Ordered) -> Vec<LeftOver> {
    let left = ordered.left_over.iter().filter(|left| left.volume > 5e-6);
    left.map(|left| (left.medium.name.clone(), left.volume * 1e3)).collect()
}

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
