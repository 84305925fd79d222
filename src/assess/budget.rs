//! Where the pump's head goes, in the order of the water.

use super::assessment::HeadPart;
use crate::hydraulics::hoses::HosePart;
use crate::hydraulics::plan::{Plan, What};
use crate::hydraulics::vessel::Vessel;

/// The parts, which add to the pump's head, and that head, m of water. Empty when the flow is not known.
pub fn head_budget(plan: &Plan, vessel: &mut Vessel<f64>) -> (Vec<HeadPart>, Option<f64>) {
    let flow = vessel.flow(plan);
    let outside = plan.outside();
    let tube: f64 = plan
        .what
        .iter()
        .enumerate()
        .filter(|(_, w)| matches!(w, What::TubeIn | What::TubeOut))
        .map(|(p, _)| vessel.network.loss(p))
        .sum();
    let inlet = plan.graph.passages().get(outside).map_or(0, |&(_, to)| usize::from(to));
    let inside = vessel.network.head(inlet) - tube;
    let Some(outside) = &mut vessel.laws.outside else { return (Vec::new(), None) };
    let weight = outside.weight();
    let gives = outside.pump(flow).loss;
    let hose = outside.hoses.parts(flow);
    let of = |part: HosePart| hose.iter().filter(|(p, _)| *p == part).map(|(_, pa)| pa).sum::<f64>();
    let parts = [
        ("intake hose", of(HosePart::IntakeHose)),
        ("intake fittings", of(HosePart::IntakeFittings)),
        ("down pipe", tube),
        ("trays and media", inside),
        ("return hose", of(HosePart::ReturnHose)),
        ("return fittings", of(HosePart::ReturnFittings)),
        ("outlet", of(HosePart::Outlet)),
        ("height of the outlet", outside.hoses.rise),
    ];
    let parts = parts
        .into_iter()
        .filter(|(_, pa)| *pa != 0.0)
        .map(|(part, pa)| HeadPart { part: part.to_string(), m: pa / weight, share: pa / gives })
        .collect();
    (parts, Some(gives / weight))
}
