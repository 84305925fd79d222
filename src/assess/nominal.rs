//! One build judged at nominal values, with the pictures that show why.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::assessment::Fault;
use super::figures::{Figures, figures};
use super::notes::notes;
use super::pictures::{curve, head_budget, section, timeline};
use super::{Assessment, Case, Costs, Effort, Leak, stage};
use crate::hydraulics::transport::Carried;
use crate::media_order;
use crate::model::{Build, Filter, Tank};
use crate::uncertainty::Nominal;

/// Judges build number `build` of a filter; one that is not there gives dashes.
pub fn judge(filter: &Filter, build: usize, tank: Option<&Tank>) -> Assessment {
    let nothing = Build::empty(filter.trays.len());
    judge_build(filter, filter.builds.get(build).unwrap_or(&nothing), tank)
}

/// Judges any build, also one that is not in the filter's file.
pub fn judge_build(filter: &Filter, build: &Build, tank: Option<&Tank>) -> Assessment {
    let case = Case::new(filter, build, tank);
    let mut told: Figures<f64> = figures(&case, &Nominal, Effort::FULL);
    let mut out = Assessment::of(&case, section(&case, &told.way), &told);
    out.stages = case.plan.layers.iter().map(|l| l.role).collect();
    out.faults = media_order::faults(filter, build)
        .into_iter()
        .map(|found| Fault { rule: found.rule, at: found.at(), says: found.says, costs: Costs::Untold })
        .collect();
    if let (Some((role, _)), Ok(bypass)) = (&told.way.stage, told.way.bypass) {
        out.leaks = stage::leaks(&case.plan, &told.way.flows, &told.way.carried, *role, bypass);
        late_shares(&case, &told, &mut out.leaks);
    }
    if told.way.flow.is_ok() {
        clean_pictures(&case, &mut told, &mut out);
    }
    out.notes = notes(&case, &told);
    out.timeline = told.aged.as_ref().ok().map(|aged| timeline(&case, aged));
    out
}

/// Each leak's share on the day the timeline ended.
fn late_shares(case: &Case<'_>, told: &Figures<f64>, leaks: &mut [Leak]) {
    let (Ok(aged), Some((role, keep))) = (&told.aged, &told.way.stage) else { return };
    let flows = told.way.vessel.network.flows();
    let mut carried = Carried::new(case.plan.what.len());
    stage::bypass(&case.plan, flows, keep, told.way.carry_over, &mut carried);
    let late = stage::leaks(&case.plan, flows, &carried, *role, aged.dirty.bypass);
    for (leak, late) in leaks.iter_mut().zip(late) {
        leak.share_at_service = Some(late.share);
    }
}

/// Head budget and curves, on the clean flows; the vessel comes from the timeline dirty.
fn clean_pictures(case: &Case<'_>, told: &mut Figures<f64>, out: &mut Assessment) {
    let plan = &case.plan;
    let inlet = plan.graph.passages().get(plan.outside()).map_or(0, |&(_, to)| usize::from(to));
    let vessel = &mut told.way.vessel;
    let late = told.aged.is_ok().then(|| (vessel.flow(plan), vessel.network.head(inlet)));
    vessel.clean_again();
    vessel.network.restore_flows(&told.way.flows);
    vessel.solve(plan, crate::hydraulics::network::Tolerance::FULL);
    let (budget, head) = head_budget(plan, vessel);
    out.head_budget = budget;
    out.pump_head = head;
    let (flow, inside) = (vessel.flow(plan), vessel.network.head(inlet));
    out.curve = curve(vessel, flow, inside, late);
}
