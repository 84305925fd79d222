//! What caught dirt does to a layer: how much of it there is room for, and how it resists.

use crate::assumptions::A;
use crate::hydraulics::beds::{OwnKeys, pressed_void, strands};
use crate::model::filter::Way;
use crate::model::medium::{Bed, Role};
use crate::model::tray::{Layer, LayerGeometry};
use crate::simd::{Real, lanes};
use crate::uncertainty::uncertain::Draw;

/// What dirt does to one layer in one draw.
#[derive(Clone, Copy, Debug)]
pub struct Deposit<L> {
    /// Passage of its media.
    pub media: usize,
    /// Bed volume that holds dirt, m3.
    pub holds: L,
    /// Void share.
    pub void: L,
    /// Share of the layer's resistance that lies in the part that holds dirt.
    part: L,
    /// Volume that fills first without raising resistance, m3: half the hollows of an egg-crate side.
    free: L,
    kind: Grown,
    /// For strands, times the rise; for grains, the rise per wet volume.
    growth: L,
    /// Chemical media are changed by their own life.
    counts: bool,
}

lanes! { Deposit { holds, void, part, free, growth } }

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grown {
    /// Struts of foam.
    Foam,
    Fibre,
    /// Pieces and rings.
    Grains,
}

/// Most of the voids that deposit fills in the laws of resistance.
const MOST_FULL: f64 = 0.95;

/// Resistance of a bed over clean: of its viscous and of its inertial part.
///
/// - strands, coated evenly, in Davies's law: `√x (1 + 56 (s0+σ)³)/(1 + 56 s0³)`, `x = (s0+σ)/s0`; the inertial part of
///   foam `√x (e0/(e0-σ))²`; of each then `1 + growth (R - 1)` (derived).
/// - grains: `(1 + γσ)²` and `1 + γσ`, `growth` being γ: O'Melia & Ali 1978 as simplified by Mays & Hunt, Environ. Sci.
///   Technol. 39 (2005) 577, from memory.
///
/// `void` e0 and `deposit` σ (wet volume over bed volume) are shares; σ is held to 0.95 of the voids.
pub fn resistance<L: Real>(kind: Grown, void: L, deposit: L, growth: L) -> (L, L) {
    let deposit = deposit.min(void * MOST_FULL);
    if kind == Grown::Grains {
        let grown = growth * deposit + 1.0;
        return (grown.squared(), grown);
    }
    let solid = L::one() - void;
    let root = ((solid + deposit) / solid).sqrt();
    let crowding = ((solid + deposit).powi(3) * 56.0 + 1.0) / (solid.powi(3) * 56.0 + 1.0);
    let grow = |r: L| (r - 1.0) * growth + 1.0;
    (grow(root * crowding), grow(root * (void / (void - deposit)).squared()))
}

impl<L: Real> Deposit<L> {
    /// A layer as it lies; of all that is caught up to and including it, `share_before` was caught before it (clean).
    pub fn new(
        layer: &Layer,
        way: Way,
        lain: &LayerGeometry<L>,
        share_before: L,
        media: usize,
        own: &OwnKeys,
        draw: &dyn Draw<L>,
    ) -> Self {
        let dimpled = layer.faces_flow(way);
        let whole = lain.standing;
        let depth = if dimpled { whole * draw.constant(A::DimpledShare) } else { whole };
        // How far a face this fine blinds when nothing stands before it: 0 not at all, 1 wholly.
        let (kind, fine) = match &layer.medium.bed {
            Bed::Foam { ppi, .. } => (Grown::Foam, (draw.of(ppi) - 20.0) / 25.0),
            Bed::Fibre { diameter, .. } => (Grown::Fibre, (L::splat(100e-6) - draw.of(diameter)) / 60e-6),
            Bed::Pieces { .. } | Bed::Rings { .. } => (Grown::Grains, L::zero()),
        };
        let blind = (depth - draw.constant(A::BlindDepth)).max(L::zero());
        let holds = depth - fine.clamp(0.0, 1.0) * (L::one() - share_before) * blind;
        let hollows = if dimpled { (whole - depth) * 0.5 } else { L::zero() };
        Self {
            media,
            holds: holds * lain.area,
            void: pressed_void(&layer.medium.bed, lain.pressed, draw),
            part: holds / depth,
            free: hollows * lain.area,
            kind,
            growth: if strands(&layer.medium.bed) {
                draw.paired(A::StrandGrowth, &own.strands)
            } else {
                draw.paired(A::GrainGrowth, &own.grown_grains)
            },
            counts: layer.medium.role != Role::Chemical,
        }
    }
    /// Wet deposit, m3, over the bed volume that holds it, hollows apart.
    pub fn share(&self, wet: L) -> L {
        (wet - self.free).max(L::zero()) / self.holds
    }
    /// Resistance of the whole layer over clean, viscous and inertial, with that [`Self::share`].
    pub fn resistance(&self, share: L) -> (L, L) {
        let (a, b) = resistance(self.kind, self.void, share, self.growth);
        let whole = |r: L| (r - 1.0) * self.part + 1.0;
        (whole(a), whole(b))
    }
    /// Share of the voids that are full; nothing of media that are changed by the calendar.
    pub fn fullness(&self, wet: L) -> L {
        if self.counts { self.share(wet) / self.void } else { L::zero() }
    }
    /// Wet deposit, m3, at which so much of the voids is full.
    pub fn room(&self, full: L) -> L {
        self.holds * self.void * full + self.free
    }
}
