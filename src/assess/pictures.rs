//! Curves and timeline of a nominal case, as the drawings need them.

use super::assessment::{CurvePicture, HeadPart, Opens, TimePoint, Timeline};
use super::case::Case;
use super::figures::Figures;
use super::findings::OpenedBy;
use crate::assumptions::A;
use crate::clogging::{Aged, Opened};
use crate::hydraulics::hoses::HosePart;
use crate::hydraulics::plan::{Plan, What};
use crate::hydraulics::vessel::Vessel;
use crate::units::litres_an_hour;

const POINTS: usize = 33;

/// Pump and system curves. `dirty` is the vessel as it stood at the end of its timeline.
pub fn curve(
    clean: &mut Vessel<f64>,
    flow: f64,
    inside: f64,
    late: Option<(f64, f64)>,
) -> Option<CurvePicture> {
    let outside = clean.laws.outside.as_mut()?;
    let weight = outside.weight();
    let most = outside.largest_flow();
    let mut points = |f: &mut dyn FnMut(&mut crate::hydraulics::outside::Outside<f64>, f64) -> f64| {
        (0..POINTS)
            .map(|i| {
                let q = most * i as f64 / (POINTS - 1) as f64;
                (litres_an_hour(q), f(outside, q) / weight)
            })
            .collect::<Vec<_>>()
    };
    // The vessel's own share grows nearly with the square of the flow; hoses and outlet are told by their law.
    let system = |inside: f64, at: f64| {
        move |o: &mut crate::hydraulics::outside::Outside<f64>, q: f64| {
            o.hoses.at(q).loss + o.hoses.rise + inside * (q / at).powi(2)
        }
    };
    let pump = points(&mut |o, q| o.pump(q).loss);
    let clean_curve = points(&mut system(inside, flow));
    let dirty = late.map_or_else(Vec::new, |(q, inside)| points(&mut system(inside, q)));
    let mut meets = |q: f64| (litres_an_hour(q), outside.pump(q).loss / weight);
    Some(CurvePicture {
        works_at: meets(flow),
        works_dirty_at: late.map(|(q, _)| meets(q)),
        pump: pump.into_iter().filter(|(_, h)| *h >= 0.0).collect(),
        clean: clean_curve,
        dirty,
    })
}

pub fn timeline(case: &Case<'_>, aged: &Aged<f64>) -> Timeline {
    let points = aged
        .history
        .iter()
        .map(|m| TimePoint {
            day: m.day,
            flow: litres_an_hour(m.flow),
            worked: litres_an_hour(m.filtered()),
            bypass: m.bypass,
            voids: m.fullest,
        })
        .collect();
    Timeline { points, opens: opens(case, aged) }
}

/// What says "open it", named by what really happened.
pub fn opens(case: &Case<'_>, aged: &Aged<f64>) -> Opens {
    let why = match aged.opened.first() {
        None | Some(Opened::Calendar) => return Opens::Calendar,
        Some(Opened::SlipsPast) => OpenedBy::SlipsPast,
        Some(Opened::LessFlow) => OpenedBy::LessFlow,
        Some(Opened::Slime) => OpenedBy::Slime,
        Some(Opened::Dirt) => OpenedBy::Dirt,
        Some(Opened::Voids(layer)) => match case.plan.layers.get(*layer) {
            Some(layer) => OpenedBy::Voids((layer.tray, layer.index)),
            None => return Opens::Calendar,
        },
    };
    Opens::On { day: aged.interval, why }
}

/// Does so much of the water pass the stage from the first day that its service says little?
pub fn leaky(figures: &Figures<f64>) -> bool {
    figures.way.bypass.is_ok_and(|b| b > A::MostPasses.value())
}

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
