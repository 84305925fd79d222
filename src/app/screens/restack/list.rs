//! The working copy as it stands: trays from the top down, the floor last, and so the layers of each.

use crate::app::Work;
use crate::model::edit::Place;
use crate::model::tray::lay;
use crate::model::{Amount, Dimples, Layer, LayerGeometry, Role, SealCondition, Workpiece};
use crate::uncertainty::{Nominal, Uncertain};

#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Which tray, from 0 at the bottom; none is the floor.
    pub tray: Option<usize>,
    pub height_mm: f64,
    /// Of that, what the layers take, mm.
    pub used_mm: f64,
    /// What is left, mm; below zero the layers stand too high.
    pub left_mm: f64,
    /// Its seal, with the gap, mm.
    pub seal: Option<(SealCondition, f64)>,
    /// The uppermost first.
    pub layers: Vec<Shown>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    pub at: Place,
    pub role: Role,
    pub name: String,
    /// Height it stands, mm.
    pub mm: f64,
    /// It fills what the others leave.
    pub fills: bool,
    /// Bed as bought, litres.
    pub litres: f64,
    /// The same dry, kg.
    pub kilograms: f64,
    /// Clear width at its edge, mm.
    pub slack_mm: f64,
    pub hole_mm: Option<f64>,
    pub pressed: f64,
    /// Its egg-crate side, and whether the water meets that first.
    pub dimples: Option<(Dimples, bool)>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Head of a space, by its place in the list of spaces.
    Space(usize),
    /// A layer: its space, and its place among that one's layers.
    Layer(usize, usize),
}

pub fn spaces(piece: &Workpiece) -> Vec<Space> {
    order(piece).into_iter().filter_map(|tray| space(piece, tray)).collect()
}

pub fn order(piece: &Workpiece) -> Vec<Option<usize>> {
    let floor = piece.filter.body.floor.iter().map(|_| None);
    (0..piece.filter.trays.len()).rev().map(Some).chain(floor).collect()
}

/// What lies in a space, from the bottom up.
pub fn layers(piece: &Workpiece, tray: Option<usize>) -> &[Layer] {
    match tray {
        None => &piece.build.floor,
        Some(t) => piece.build.trays.get(t).map_or(&[], Vec::as_slice),
    }
}

/// The layers of a space as they lie, from the bottom up.
pub fn lain(piece: &Workpiece, tray: Option<usize>) -> Vec<LayerGeometry<f64>> {
    let Ok((plan, height)) = piece.plan(tray) else { return Vec::new() };
    lay(layers(piece, tray), plan.area, plan.perimeter, height, &Nominal)
}

fn space(piece: &Workpiece, tray: Option<usize>) -> Option<Space> {
    let (_, height) = piece.plan(tray).ok()?;
    let seal = tray.and_then(|t| piece.filter.trays.get(t)?.seal.as_ref());
    let all = layers(piece, tray);
    let lain = lain(piece, tray);
    let mut shown: Vec<Shown> =
        all.iter().zip(&lain).enumerate().map(|(i, (l, lain))| layer(piece, (tray, i), l, lain)).collect();
    // One that fills the rest counts for nothing where nothing is left for it.
    let fixed: f64 = shown.iter().filter(|s| !s.fills).map(|s| s.mm).sum();
    let fills = shown.iter().any(|s| s.fills);
    let height_mm = height * 1e3;
    let left_mm = if fills && fixed < height_mm { 0.0 } else { height_mm - fixed };
    shown.reverse();
    Some(Space {
        tray,
        height_mm,
        used_mm: height_mm - left_mm,
        left_mm,
        seal: seal.map(|s| (s.condition, s.gap.si() * 1e3)),
        layers: shown,
    })
}

fn layer(piece: &Workpiece, at: Place, layer: &Layer, lain: &LayerGeometry<f64>) -> Shown {
    Shown {
        at,
        role: layer.medium.role,
        name: layer.medium.name.clone(),
        mm: lain.standing * 1e3,
        fills: layer.amount == Amount::Rest,
        litres: lain.free_volume() * 1e3,
        kilograms: lain.free_volume() * layer.medium.dry.si(),
        slack_mm: layer.slack.as_ref().map_or(0.0, Uncertain::si) * 1e3,
        hole_mm: layer.hole.as_ref().map(|h| h.si() * 1e3).filter(|h| *h > 0.0),
        pressed: layer.squeezed.as_ref().map_or(0.0, Uncertain::si),
        dimples: layer.dimples.map(|d| (d, layer.faces_flow(piece.filter.way))),
    }
}

pub fn lines(spaces: &[Space]) -> Vec<Spot> {
    let one = |(s, space): (usize, &Space)| {
        let layers = (0..space.layers.len()).map(move |l| Spot::Layer(s, l));
        std::iter::once(Spot::Space(s)).chain(layers)
    };
    spaces.iter().enumerate().flat_map(one).collect()
}

#[derive(Clone, Debug, PartialEq)]
pub enum Here {
    Space(Space),
    Layer(Shown, Space),
}

pub fn here(work: &Work, cursor: usize) -> Option<Here> {
    let spaces = spaces(&work.piece);
    match *lines(&spaces).get(cursor)? {
        Spot::Space(s) => spaces.into_iter().nth(s).map(Here::Space),
        Spot::Layer(s, l) => {
            let space = spaces.into_iter().nth(s)?;
            Some(Here::Layer(space.layers.get(l)?.clone(), space))
        }
    }
}

pub fn line_of(piece: &Workpiece, at: Place) -> Option<usize> {
    let spaces = spaces(piece);
    let on = |line: &Spot| match *line {
        Spot::Layer(s, l) => spaces.get(s).and_then(|s| s.layers.get(l)).is_some_and(|l| l.at == at),
        Spot::Space(_) => false,
    };
    lines(&spaces).iter().position(on)
}

pub fn line_count(work: Option<&Work>) -> usize {
    work.map_or(0, |w| lines(&spaces(&w.piece)).len())
}
