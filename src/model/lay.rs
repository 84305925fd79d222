//! How layers lie in a tray or on the floor: area, depth, standing height.

use super::{Amount, Layer};
use crate::simd::Real;
use crate::uncertainty::Draw;

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerGeometry<L> {
    /// Area of media: the tray's less the rim and the hole, m2.
    pub area: L,
    /// Depth of the free pad, m.
    pub free_depth: L,
    /// Height it stands, pressed, m.
    pub standing: L,
    /// Share it is pressed by.
    pub pressed: L,
    /// Clear width at its edge, m.
    pub slack: L,
    /// Diameter of the hole through it, m; 0 without one.
    pub hole: L,
}

impl<L: Real> LayerGeometry<L> {
    /// Volume it takes up as it stands, m3.
    pub fn volume(&self) -> L {
        self.area * self.standing
    }
    /// Volume of the free pad, m3: what was bought.
    pub fn free_volume(&self) -> L {
        self.area * self.free_depth
    }
}

/// Least area and depth of a layer in a draw, so that no draw divides by nothing, m2 and m.
const LEAST: f64 = 1e-5;

/// Lays `layers` into a space of that area, perimeter (m) and height (m). A layer "to the top" gets what the
/// others leave; in a draw that leaves nothing it keeps a hundredth of a millimetre. A layer that comes out higher than
/// the space in a draw is as high as the space: what the door lets in is refused in no draw.
pub fn lay<L: Real>(
    layers: &[Layer],
    area: L,
    perimeter: L,
    height: L,
    draw: &dyn Draw<L>,
) -> Vec<LayerGeometry<L>> {
    let none = L::zero();
    let mut lain: Vec<LayerGeometry<L>> = layers
        .iter()
        .map(|layer| {
            let slack = layer.slack.as_ref().map_or(none, |f| draw.of(f)).max(none);
            let hole = layer.hole.as_ref().map_or(none, |f| draw.of(f)).max(none);
            let pressed = layer.squeezed.as_ref().map_or(none, |f| draw.of(f)).clamp(0.0, 0.9);
            let cut = perimeter * slack + hole * hole * std::f64::consts::FRAC_PI_4;
            let area = (area - cut).max(L::splat(LEAST));
            let free_depth = match &layer.amount {
                Amount::Depth(depth) => draw.of(depth),
                Amount::Volume(volume) => draw.of(volume) / area,
                Amount::Mass(mass) => draw.of(mass) / draw.of(&layer.medium.dry) / area,
                Amount::Rest => none,
            };
            let standing = free_depth * (L::one() - pressed);
            LayerGeometry { area, free_depth, standing, pressed, slack, hole }
        })
        .collect();
    let used = lain.iter().fold(none, |sum, l| sum + l.standing);
    for (layer, lain) in layers.iter().zip(&mut lain) {
        if layer.amount == Amount::Rest {
            lain.standing = height - used;
        }
        if !draw.is_nominal() {
            lain.standing = lain.standing.min(height);
        }
        lain.standing = lain.standing.max(L::splat(LEAST));
        lain.free_depth = lain.standing / (L::one() - lain.pressed);
    }
    lain
}
