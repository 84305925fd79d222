//! What the vessel holds, weighs and takes up. Geometry and sums (derived); lengths, volumes and masses are from 0
//! up, which the door keeps, and nothing here holds them to it but where it says so.

use std::f64::consts::PI;

use crate::simd::Real;

/// Space of a tray or floor, m3: plan `area` m2 times clear `height` m.
pub fn room<L: Real>(area: L, height: L) -> L {
    area * height
}

/// What trays and floor could hold, m3: the sum of each [`room`], given as (area m2, clear height m).
pub fn capacity<L: Real>(rooms: &[(L, L)]) -> L {
    rooms.iter().fold(L::zero(), |sum, (area, height)| sum + room(*area, *height))
}

/// Inside of a tube, m3: `pi bore² length/4`; `bore` and `length` m.
pub fn tube<L: Real>(bore: L, length: L) -> L {
    bore.squared() * length * (PI / 4.0)
}

/// Inside of the vessel, m3: floor and trays (`capacity`), head space, down pipe, all m3.
pub fn vessel<L: Real>(capacity: L, head_space: L, tube: L) -> L {
    capacity + head_space + tube
}

/// Solid matter of a layer, m3: `bulk (1 - void)(1 - inner)`; open pores fill with water.
///
/// `bulk` m3 of the free bed and `void` of the free bed, or both of the pressed one: the product is the same.
/// `void` and `inner` (open pores over the grain) are shares, 0 to 1.
pub fn solid<L: Real>(bulk: L, void: L, inner: L) -> L {
    bulk * (L::one() - void) * (L::one() - inner)
}

/// Water in the vessel, m3, not below 0: `vessel` less the `solids` of all layers, m3.
pub fn water<L: Real>(vessel: L, solids: L) -> L {
    (vessel - solids).max(L::zero())
}

/// What has to be lifted, kg: `body + media + water · density`, dry `body` and `media` in kg, `water` m3 of
/// `density` kg/m3.
pub fn full_weight<L: Real>(body: L, media: L, water: L, density: L) -> L {
    body + media + water * density
}

/// A box, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cuboid<L> {
    /// Left to right.
    pub width: L,
    /// Front to back.
    pub depth: L,
    /// Bottom to top.
    pub height: L,
}

impl<L: Real> Cuboid<L> {
    pub fn volume(&self) -> L {
        self.width * self.depth * self.height
    }
}

/// Media volume (m3, as it sits) over the outside box, a share; without a box's volume it is infinite.
pub fn media_share<L: Real>(media: L, outside: &Cuboid<L>) -> L {
    media / outside.volume()
}

/// Does the vessel fit the cabinet, either way round, with `bores` hose bores of `bore` m free above its ports
/// (`A::HoseClearance`; ours: a hose bends no tighter without kinking)?
pub fn fits<L: Real>(outside: &Cuboid<L>, cabinet: &Cuboid<L>, bore: L, bores: L) -> L::Mask {
    let straight = L::and(outside.width.le(cabinet.width), outside.depth.le(cabinet.depth));
    let turned = L::and(outside.depth.le(cabinet.width), outside.width.le(cabinet.depth));
    let stands = (outside.height + bore * bores).le(cabinet.height);
    L::and(L::or(straight, turned), stands)
}
