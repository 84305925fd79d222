//! What would help most: the model run again with each single repair a person can make.

use std::sync::Arc;

use super::Assessment;
use super::findings::Help;
use super::repairs::{Candidate, Kind, candidates};
use super::rerun::{Run, case_of, costs, gain};
use crate::media_order;
use crate::model::{Build, Edit, Filter, Tank, Workpiece};
use crate::order::InOrder;

pub const MOST: usize = 5;
/// Gain that is worth a word, relative.
const WORTH: f64 = 0.02;
/// A lamp's gain counts so much: its dose is one measure, a repair of the water way is judged by two.
const LAMP: f64 = 0.5;
/// Part of what all of a kind gain together that one of them must gain to be told on its own.
const ALONE: f64 = 0.5;
/// From this part on, mending the others gains so little that only the one is told.
const ENOUGH: f64 = 0.9;

#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    pub help: Help,
    pub edit: Edit,
    /// By what they are ranked: the relative gain in filtered flow (in flow where nothing catches dirt by design)
    /// plus that in service, each cut off at 1.
    pub score: f64,
}

/// What would help a build most, with the edits that make it, best first, at most [`MOST`]; `now` is its own run.
///
/// The rule: relative gain in filtered flow plus relative gain in service, each cut off at ±1 so that neither
/// dominates; half the relative gain in dose for a lamp. Dropped: what gains less than 2 % in both, and what
/// loses as much in one as it gains in the other. The service of a build that most water passes counts as
/// nothing. Of several alike (seals, slack, equal fittings) all of them together are told, and the best of
/// them alone if it gains half of that; the one alone if it gains nine tenths.
pub fn repairs(piece: &Workpiece, now: &Run) -> Vec<Repair> {
    if now.flow.is_none() {
        return Vec::new();
    }
    let mut found: Vec<(Candidate, Repair)> = candidates(piece, now)
        .into_iter()
        .filter_map(|candidate| {
            let repair = tried(piece, now, &candidate)?;
            Some((candidate, repair))
        })
        .collect();
    // Stable, so that equals stand in the order of the candidates.
    found.order_by(|a, b| b.1.score.total_cmp(&a.1.score));
    let mut out: Vec<Repair> = Vec::new();
    for (candidate, repair) in &found {
        if out.len() < MOST && told(candidate, repair, &found) {
            out.push(repair.clone());
        }
    }
    out
}

fn told(candidate: &Candidate, repair: &Repair, found: &[(Candidate, Repair)]) -> bool {
    let alike = || found.iter().filter(|(other, _)| other.kind.family() == candidate.kind.family());
    let best_alone = alike().find(|(other, _)| other.kind.count() == 1);
    let together = alike().find(|(other, _)| other.kind.count() > 1);
    match (candidate.kind.count(), together, best_alone) {
        (1, together, Some((_, best))) => {
            *best == *repair && together.is_none_or(|(_, all)| repair.score >= ALONE * all.score)
        }
        (_, _, Some((_, best))) => best.score < ENOUGH * repair.score,
        _ => true,
    }
}

/// The repair with what it gains; none if it gains nothing, or cannot be made or solved.
fn tried(piece: &Workpiece, now: &Run, candidate: &Candidate) -> Option<Repair> {
    let mut edited = piece.clone();
    edited.apply(&candidate.edit).ok()?;
    let then = Run::of(&case_of(&edited));
    then.flow?;
    let score = score(now, &then, candidate)?;
    let help = Help {
        what: candidate.kind.mend(piece, now, &then),
        worked: then.worked,
        flow: then.flow,
        service: then.service,
        bypass: then.bypass,
        cost: candidate.kind.cost(&edited, &then),
    };
    Some(Repair { help, edit: candidate.edit.clone(), score })
}

/// By the rule of [`repairs`]; none for what is dropped.
fn score(now: &Run, then: &Run, candidate: &Candidate) -> Option<f64> {
    if matches!(candidate.kind, Kind::Lamp) {
        let dose = if now.dose.is_none() && then.dose.is_some() { 1.0 } else { gain(now.dose, then.dose) };
        return (dose >= WORTH).then_some(dose * LAMP);
    }
    let flow = gain(now.judged_flow(), then.judged_flow());
    let service = gain(now.interval(), then.interval());
    let score = flow + service;
    ((flow >= WORTH || service >= WORTH) && score > 0.0).then_some(score)
}

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
