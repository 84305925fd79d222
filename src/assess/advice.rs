//! What a judgement says beyond its figures: what would help most, and what each fault costs. Dozens of runs
//! of the model, so it is asked for apart from judging.

use std::sync::Arc;

use super::assessment::Assessment;
use super::costs::costs;
use super::improvements::repairs;
use super::rerun::{Run, case_of};
use crate::media_order;
use crate::model::edit::Workpiece;
use crate::model::filter::{Build, Filter};
use crate::model::tank::Tank;

/// Fills in `helps` and each fault's `costs` of a judgement of that build.
pub fn advise(filter: &Filter, build: &Build, tank: Option<&Tank>, judgement: &mut Assessment) {
    // The builds of the file play no part in the runs; copying them each time a filter is edited would.
    let filter = Filter { builds: Vec::new(), ..filter.clone() };
    let piece = Workpiece::new(Arc::new(filter), build.clone(), tank.map(|tank| Arc::new(tank.clone())));
    let case = case_of(&piece);
    let now = Run::of(&case);
    let faults = media_order::faults(&piece.filter, &piece.build);
    for (found, costs) in faults.iter().zip(costs(&case, &now, &faults)) {
        let at = found.at();
        for fault in judgement.faults.iter_mut().filter(|f| f.rule == found.rule && f.at == at) {
            fault.costs.clone_from(&costs);
        }
    }
    judgement.helps = repairs(&piece, &now).into_iter().map(|repair| repair.help).collect();
}
