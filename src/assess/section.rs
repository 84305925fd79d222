//! The vessel cut open, as the drawing needs it.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::assessment::{Section, Slab, Space};
use super::case::Case;
use super::figures::WaterWay;
use crate::model::shape::Shape;
use crate::model::tray::Seal;
use crate::uncertainty::uncertain::{Provenance, Uncertain};
use crate::units::Length;

const MM: f64 = 1e3;
const LITRES: f64 = 1e3;

/// Draws the case's vessel from its nominal water way.
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
        layers.sort_by_key(|(index, _)| *index);
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
