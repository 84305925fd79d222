//! Media: what water loses on its way through grains, rings, foam and fibre.
//!
//! All are `dp = a q + b q²` on the bed's own area, flow spread evenly over it, the bed clean.

use std::f64::consts::PI;

use super::QuadraticLoss;
use super::water::Water;
use crate::assumptions::A;
use crate::model::medium::Bed;
use crate::simd::Real;
use crate::uncertainty::key::Key;
use crate::uncertainty::uncertain::{Draw, Spread, Uncertain};
use crate::units::Plain;

/// The keys of a filter's own halves of the constants that it shares with all others only in part.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnKeys {
    grains: Key,
    foam: Key,
    fibre: Key,
    /// [`A::Slime`] and [`A::SlimeRibbed`].
    pub slime: Key,
    /// [`A::StrandGrowth`].
    pub strands: Key,
    /// [`A::GrainGrowth`].
    pub grown_grains: Key,
    /// [`A::CaptureFactor`].
    pub capture: Key,
}

impl OwnKeys {
    /// Those of a filter, by the first part of its keys.
    pub fn new(filter: &str) -> Self {
        Self {
            grains: A::GrainFactor.own_key(filter),
            foam: A::FoamA.own_key(filter),
            fibre: A::FibreFactor.own_key(filter),
            slime: A::Slime.own_key(filter),
            strands: A::StrandGrowth.own_key(filter),
            grown_grains: A::GrainGrowth.own_key(filter),
            capture: A::CaptureFactor.own_key(filter),
        }
    }
}

/// Metres in an inch: pores are counted per inch.
const INCH: f64 = 0.0254;
/// Least void share a draw may give; keeps a heavily pressed pad passable and every figure finite.
const LEAST_VOID: f64 = 0.02;
/// Greatest void share a draw may give.
const MOST_VOID: f64 = 0.999;

/// Loss over a bed of that free `depth`, m, on `area`, m2, in one draw, as `dp = a q + b q²`, Pa at m3/s. Both
/// above 0: a layer of no depth is no passage.
///
/// `squeeze` is the strain a pad is pressed by, 0 to 0.9 (0 where it is not); only foam and fibre give way,
/// grains and rings take no notice. A pressed pad keeps its struts: their surface per volume and the solid
/// share grow by 1/(1−s) and the depth shrinks by 1−s (derived).
///
/// - grains: Ergun, Chem. Eng. Prog. 48 (1952) 89, on d = sphericity × size; 1 < Re d/(1−e) < 2300.
/// - rings: Ergun on d = 6 × solid volume / whole surface, bore and ends included; the void counts the bores.
/// - foam: the form of Dietrich et al., Chem. Eng. Sci. 64 (2009) 3633 and 74 (2012) 192, Hg = A Re + B Re² on the
///   hydraulic diameter; geometry of a Kelvin cell after Buciuman & Kraushaar-Czarnetzki 2003; `A::FoamA`, `A::FoamB`.
/// - fibre: Davies, Proc. Instn Mech. Engrs B1 (1953) 185; 0.006 < solid share < 0.3, Re of a fibre below 1; no `b`.
///
/// Outside those ranges each goes on in its own form; a factor of the kind (`A::GrainFactor`, `A::FibreFactor`)
/// multiplies it. `own` are the filter's halves of those constants.
pub fn bed<L: Real>(
    bed: &Bed,
    depth: L,
    area: L,
    squeeze: L,
    water: &Water<L>,
    own: &OwnKeys,
    draw: &dyn Draw<L>,
) -> QuadraticLoss<L> {
    let (rho, mu) = (water.density, water.viscosity);
    let void = pressed_void(bed, squeeze, draw);
    let left = remaining(squeeze);
    match bed {
        Bed::Pieces { size, sphericity, .. } => {
            let d = draw.of(size) * draw.of(sphericity).clamp(0.05, 1.0);
            ergun(d, void, depth, area, water).scaled(draw.paired(A::GrainFactor, &own.grains))
        }
        Bed::Rings { outer, inner, length, .. } => {
            let d = ring_diameter(draw.of(outer), draw.of(inner), draw.of(length));
            ergun(d, void, depth, area, water).scaled(draw.paired(A::GrainFactor, &own.grains))
        }
        Bed::Foam { ppi, .. } => {
            let free_solid = L::one() - self::void(bed, draw);
            let surface = strut_surface(draw.of(ppi), free_solid) / left;
            let d = void * 4.0 / surface;
            let height = depth * left;
            QuadraticLoss {
                a: mu * draw.paired(A::FoamA, &own.foam) * height / (void * d.squared() * area),
                b: rho * draw.paired(A::FoamB, &own.foam) * height / (void.squared() * d * area.squared()),
            }
        }
        Bed::Fibre { diameter, .. } => {
            let solid = L::one() - void;
            let drag = solid * solid.sqrt() * (solid.powi(3) * 56.0 + 1.0) * 64.0;
            QuadraticLoss { a: mu * drag * depth * left / (draw.of(diameter).squared() * area), b: L::zero() }
                .scaled(draw.paired(A::FibreFactor, &own.fibre))
        }
    }
}

/// Void share of the free bed in one draw, bores of rings counted. Pores inside a grain take no flow and are
/// not in it.
///
/// A stated ± belongs to the smaller share: 0.97 ± 5 % is taken on the 0.03 that is solid, as no maker could
/// mean a void above 1. Bounds from one value to another are taken as they stand. Held between 0.02 and 0.999.
pub fn void<L: Real>(bed: &Bed, draw: &dyn Draw<L>) -> L {
    let share = match bed {
        Bed::Foam { void, .. } | Bed::Pieces { void, .. } | Bed::Rings { void, .. } => {
            smaller_in_doubt(void, draw)
        }
        Bed::Fibre { solidity, .. } => L::one() - smaller_in_doubt(solidity, draw),
    };
    share.clamp(LEAST_VOID, MOST_VOID)
}

/// Void share of the bed as it sits: a pad pressed by the strain `squeeze` keeps its solid in less room,
/// `1 - (1-e)/(1-s)` (derived). `squeeze` is held between 0 and 0.9, the share as in [`void`].
pub fn pressed_void<L: Real>(bed: &Bed, squeeze: L, draw: &dyn Draw<L>) -> L {
    let free = void(bed, draw);
    if strands(bed) {
        (L::one() - (L::one() - free) / remaining(squeeze)).clamp(LEAST_VOID, MOST_VOID)
    } else {
        free
    }
}

/// Strands (foam and fibre), not grains: they can be pressed, and dirt grows on them otherwise.
pub fn strands(bed: &Bed) -> bool {
    matches!(bed, Bed::Foam { .. } | Bed::Fibre { .. })
}

/// What is left of the height of a pad pressed by a strain.
fn remaining<L: Real>(squeeze: L) -> L {
    L::one() - squeeze.clamp(0.0, 0.9)
}

fn smaller_in_doubt<L: Real>(share: &Uncertain<Plain>, draw: &dyn Draw<L>) -> L {
    let value = share.si();
    match share.spread {
        Spread::Normal { .. } | Spread::Factor { .. } if value > 0.5 => {
            L::one() - draw.spread(1.0 - value, share.spread, &share.key)
        }
        _ => draw.of(share),
    }
}

/// 6 × solid volume / whole surface of a hollow cylinder, m.
fn ring_diameter<L: Real>(outer: L, inner: L, length: L) -> L {
    // A draw may bring bore and outside close; a wall of a fiftieth of the diameter always stays.
    let inner = inner.min(outer * 0.98);
    let ends = outer.squared() - inner.squared();
    let solid = ends * length * (PI / 4.0);
    let surface = (outer + inner) * length * PI + ends * (PI / 2.0);
    solid * 6.0 / surface
}

/// Surface of the struts per volume of foam, 1/m, from the pores per inch: a Kelvin cell, whose window and
/// strut together span a pore pitch, times 1.5 for struts that are hollow-sided triangles (from memory, set so
/// that 20 PPI has about 1000 m2/m3).
fn strut_surface<L: Real>(ppi: L, solid: L) -> L {
    solid.sqrt() * ppi * (1.5 * 4.82 / INCH)
}

fn ergun<L: Real>(d: L, void: L, depth: L, area: L, water: &Water<L>) -> QuadraticLoss<L> {
    let solid = L::one() - void;
    let cubed = void.powi(3);
    QuadraticLoss {
        a: water.viscosity * 150.0 * solid.squared() * depth / (cubed * d.squared() * area),
        b: water.density * 1.75 * solid * depth / (cubed * d * area.squared()),
    }
}

impl<L: Real> QuadraticLoss<L> {
    /// So many times the loss at every flow, `by` from 0 up.
    pub fn scaled(self, by: L) -> Self {
        Self { a: self.a * by, b: self.b * by }
    }
}
