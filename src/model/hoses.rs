//! Hoses, what is fitted into them, and the outlet.

use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Length, Plain};

/// The hose.
#[derive(Clone, Debug, PartialEq)]
pub struct Hose {
    /// Inside diameter, above 0.
    pub bore: Uncertain<Length>,
    /// Its wall.
    pub wall: Wall,
}

/// The inside of a hose.
#[derive(Clone, Debug, PartialEq)]
pub enum Wall {
    /// Smooth inside.
    Smooth,
    /// Ribbed inside.
    Ribbed {
        /// Distance from rib to rib, above 0.
        pitch: Uncertain<Length>,
    },
}

/// Something fitted into a hose.
#[derive(Clone, Debug, PartialEq)]
pub enum Fitting {
    /// Slotted basket over the end.
    Strainer {
        /// Its diameter.
        diameter: Uncertain<Length>,
        /// Its length.
        length: Uncertain<Length>,
        /// Open share of its wall, above 0 to 1.
        open: Uncertain<Plain>,
    },
    /// A narrower piece: barb, union, quick release.
    Connector {
        /// Narrowest bore.
        bore: Uncertain<Length>,
        /// Length of the narrow part.
        length: Uncertain<Length>,
    },
    /// A ball tap, open.
    Tap {
        /// Its bore.
        bore: Uncertain<Length>,
        /// Length of the narrow part.
        length: Uncertain<Length>,
    },
    /// Moulded 90 degree elbows.
    Elbow {
        /// How many.
        count: Uncertain<Plain>,
    },
}

/// Where the water leaves.
#[derive(Clone, Debug, PartialEq)]
pub enum Outlet {
    /// The open hose end.
    Open,
    /// A nozzle.
    Jet {
        /// Its bore.
        bore: Uncertain<Length>,
    },
    /// A tube with holes, closed at its far end.
    SprayBar {
        /// Bore of the tube.
        bore: Uncertain<Length>,
        /// Number of holes, 1 to 200.
        holes: u32,
        /// Diameter of a hole.
        hole: Uncertain<Length>,
        /// From hole to hole.
        pitch: Uncertain<Length>,
    },
}

/// What a named fitting may be.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Fitted into a hose.
    Fitting(Fitting),
    /// The end of the return side.
    Outlet(Outlet),
}
