//! The clean water way of a case: flows, and what crosses the finest mechanical stage.

use std::sync::Arc;

use super::case::Case;
use super::stage;
use crate::assumptions::A;
use crate::clogging::Capture;
use crate::hydraulics::network::Tolerance;
use crate::hydraulics::transport::Carried;
use crate::hydraulics::vessel::Vessel;
use crate::measures::Missing;
use crate::model::medium::Role;
use crate::simd::Real;
use crate::uncertainty::uncertain::Draw;

/// A solved vessel with its stage.
#[derive(Clone, Debug)]
pub struct WaterWay<L: Real> {
    /// The vessel, solved clean where its pump is known.
    pub vessel: Vessel<L>,
    /// Clean flows of all passages, m3/s.
    pub flows: Vec<L>,
    /// Delivered flow, m3/s.
    pub flow: Result<L, Missing>,
    /// The finest mechanical stage, with what each passage lets through untreated.
    pub stage: Option<(Role, Arc<[L]>)>,
    /// Untreated share entering each passage, clean.
    pub carried: Carried<L>,
    /// Share that crosses no layer of the stage.
    pub bypass: Result<L, Missing>,
    /// Share of rim water that stays at the rim.
    pub carry_over: L,
    /// Share of the dirt that one pass takes, clean.
    pub efficiency: Result<L, Missing>,
    pub solved: L::Mask,
}

pub fn water_way<L: Real, D: Draw<L>>(case: &Case<'_>, draw: &D) -> WaterWay<L> {
    let plan = &case.plan;
    let mut vessel = Vessel::new(plan, case.filter, case.build, case.tank, draw);
    let carry_over = draw.constant(A::CarryOver);
    let mut carried = Carried::new(plan.what.len());
    let stage = plan.finest().map(|role| (role, Arc::from(stage::keep(plan, role))));
    let (flow, solved) = match &vessel.laws.outside {
        None => (Err(Missing::NoPumpCurve), L::mask(true)),
        Some(outside) => {
            let sound = outside.sound();
            if let Some(start) = &case.start {
                vessel.network.start_near(start);
            }
            let status = vessel.solve(plan, Tolerance::FULL);
            let flow = vessel.flow(plan);
            // A height that the pump cannot lift, or figures that make no sense, run backward: no answer.
            let forward = L::and(flow.gt(L::zero()), flow.finite());
            (Ok(flow), L::and(L::and(status.solved, sound), forward))
        }
    };
    let flow = if L::any(solved) { flow } else { flow.and(Err(Missing::NotSolved)) };
    let flows = vessel.network.flows().to_vec();
    let bypass = match (&stage, flow) {
        (_, Err(why)) => Err(why),
        (None, _) => Err(Missing::NoMechanicalMedia),
        (Some((_, keep)), Ok(_)) => Ok(stage::bypass(plan, &flows, keep, carry_over, &mut carried)),
    };
    let efficiency =
        flow.map(|_| Capture::new(plan, case.build, &vessel, carry_over, draw).pass(plan, &flows));
    WaterWay { vessel, flows, flow, stage, carried, bypass, carry_over, efficiency, solved }
}
