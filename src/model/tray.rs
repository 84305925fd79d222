//! Trays, their seals, and the layers that lie in them.

use std::sync::Arc;

use super::filter::Way;
use super::medium::Medium;
use super::shape::Shape;
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Length, Mass, Plain, Volume};

/// One tray.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    /// Outline seen from above.
    pub shape: Shape,
    /// Usable height, above 0.
    pub height: Uncertain<Length>,
    /// Open share of its floor grid, above 0 to below 1; none where it is left out.
    pub grid: Option<Uncertain<Plain>>,
    /// Seal to the wall of the vessel; none where it is left out.
    pub seal: Option<Seal>,
}

/// A tray's seal.
#[derive(Clone, Debug, PartialEq)]
pub struct Seal {
    /// What stands there.
    pub condition: SealCondition,
    /// Clear width of the gap, 0 and up.
    pub gap: Uncertain<Length>,
}

/// Condition of a seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SealCondition {
    /// A lip in good order.
    Lip,
    /// A worn one.
    Worn,
    /// None.
    Missing,
}

/// One layer of media.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// What it is made of.
    pub medium: Arc<Medium>,
    /// How much of it.
    pub amount: Amount,
    /// Clear width between its edge and the tray's wall, as it sits; 0 and up.
    pub slack: Option<Uncertain<Length>>,
    /// Diameter of a round hole through it.
    pub hole: Option<Uncertain<Length>>,
    /// Share it is pressed by: 0.1 stands at 90 % of its free height. 0 to 0.9.
    pub squeezed: Option<Uncertain<Plain>>,
    /// Egg-crate side.
    pub dimples: Option<Dimples>,
}

impl Layer {
    /// Does the water meet an egg-crate side of it first? `Both` counts.
    pub fn faces_flow(&self, way: Way) -> bool {
        matches!(
            (self.dimples, way),
            (Some(Dimples::Both), _) | (Some(Dimples::Down), Way::Rising) | (Some(Dimples::Up), Way::Falling)
        )
    }
    /// Is it a pad with dimples on the lee side only?
    pub fn faces_away(&self, way: Way) -> bool {
        self.medium.is_pad() && self.dimples.is_some() && !self.faces_flow(way)
    }
}

/// How much of a medium a layer holds; figures are those of the free, unpressed pad.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// So deep.
    Depth(Uncertain<Length>),
    /// So much volume.
    Volume(Uncertain<Volume>),
    /// So much dry mass.
    Mass(Uncertain<Mass>),
    /// To the top of the tray.
    Rest,
}

/// Which side of a pad is an egg-crate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimples {
    /// The upper.
    Up,
    /// The lower.
    Down,
    /// Both.
    Both,
}
