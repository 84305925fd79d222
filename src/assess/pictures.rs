//! Curves and timeline of a nominal case, as the drawings need them.

#![allow(clippy::indexing_slicing)]

use super::assessment::{CurvePicture, HeadPart, Opens, Space, Timeline};
use super::figures::{Figures, WaterWay};
use super::findings::OpenedBy;
use super::{Case, Section, Slab, TimePoint};
use crate::assumptions::A;
use crate::clogging::{Aged, Opened};
use crate::hydraulics::hoses::HosePart;
use crate::hydraulics::plan::{Plan, What};
use crate::hydraulics::vessel::Vessel;
use crate::model::{Seal, Shape};
use crate::order::InOrder;
use crate::uncertainty::{Provenance, Uncertain};
use crate::units::{Length, litres_an_hour};

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

const MM: f64 = 1e3;
const LITRES: f64 = 1e3;

pub fn section(case: &Case<'_>, way: &WaterWay<f64>) -> Section {
    let filter = case.filter;
    let space = |tray: Option<usize>, shape: &Shape, told: &Uncertain<Length>, seal: Option<&Seal>| {
        let (extent, height) = match tray {
            None => way.vessel.extents.floor.as_ref()?,
            Some(tray) => way.vessel.extents.trays.get(tray)?,
        };
        let mut layers: Vec<(usize, Slab)> = case
            .plan
            .layers
            .iter()
            .enumerate()
            .filter(|(_, l)| l.tray == tray)
            .filter_map(|(n, l)| Some((l.index, slab(case, way, n)?)))
            .collect();
        layers.order_by_key(|(index, _)| *index);
        let layers: Vec<Slab> = layers.into_iter().map(|(_, slab)| slab).collect();
        let stands: f64 = layers.iter().map(|l| l.height_mm).sum();
        let excess = stands - height * MM;
        Some(Space {
            height_mm: height * MM,
            assumed: assumed(told),
            outline: shape.word(),
            from_above: shape.corners(),
            box_mm: shape.has_box().then_some((extent.width * MM, extent.depth * MM)),
            fills_box: shape.has_box().then(|| extent.area / (extent.width * extent.depth)),
            layers,
            seal: seal.map(|s| (s.condition, s.gap.si() * MM)),
            seal_assumed: seal.is_some_and(|s| assumed(&s.gap)),
            excess_mm: if excess > ROUNDING_MM { excess } else { 0.0 },
        })
    };
    let top = way.vessel.extents.trays.last().map(|(extent, _)| extent.area);
    Section {
        way: filter.way,
        tube_mm: filter.body.down_tube.as_ref().map(|t| t.bore.si() * MM),
        tube_assumed: filter.body.down_tube.as_ref().is_some_and(|t| assumed(&t.bore)),
        floor: filter.body.floor.as_ref().and_then(|f| space(None, &f.shape, &f.height, None)),
        trays: filter
            .trays
            .iter()
            .enumerate()
            .filter_map(|(t, tray)| space(Some(t), &tray.shape, &tray.height, tray.seal.as_ref()))
            .collect(),
        head_mm: filter
            .body
            .head_space
            .as_ref()
            .zip(top)
            .map(|(volume, area)| volume.si() / area.max(1e-6) * MM),
        head_assumed: filter.body.head_space.as_ref().is_some_and(assumed),
        uv: filter.uv.is_some(),
    }
}

fn assumed<Q>(told: &Uncertain<Q>) -> bool {
    told.known == Provenance::Assumed
}

/// Heights that differ by less are the same to a ruler, mm.
const ROUNDING_MM: f64 = 0.01;

fn slab(case: &Case<'_>, way: &WaterWay<f64>, number: usize) -> Option<Slab> {
    let at = case.plan.layers.get(number)?;
    let layer = at.of(case.build)?;
    let lain = way.vessel.lain.get(number)?;
    let share = way.flow.ok().map(|flow| way.flows[at.media] / flow);
    Some(Slab {
        id: layer.medium.id.clone(),
        name: layer.medium.name.clone(),
        role: at.role,
        height_mm: lain.standing * MM,
        slack_mm: lain.slack * MM,
        hole_mm: layer.hole.as_ref().map(|_| lain.hole * MM),
        share,
        litres: lain.volume() * LITRES,
        kilograms: layer.medium.dry.si() * lain.free_volume(),
        pad: layer.medium.is_pad(),
        dimples: layer.dimples,
    })
}
