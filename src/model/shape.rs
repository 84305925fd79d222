//! Outlines of trays seen from above, as a profile gives them. What they measure stands in `outline`.

pub use super::outline::Plan;
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Length, Plain, Volume};

/// An outline, less whatever stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The outline.
    pub outline: Outline,
    /// What stands in it: down-tube, posts. Takes area, not perimeter.
    pub less: Vec<Shape>,
}

/// An outline.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// A rectangle with rounded corners.
    Rect {
        /// Left to right.
        width: Uncertain<Length>,
        /// Front to back.
        depth: Uncertain<Length>,
        /// Radius of the corners, 0 and up, at most half the shorter side.
        corner: Option<Uncertain<Length>>,
    },
    /// A circle.
    Round {
        /// Diameter.
        diameter: Uncertain<Length>,
    },
    /// An ellipse.
    Oval {
        /// One axis.
        width: Uncertain<Length>,
        /// The other.
        depth: Uncertain<Length>,
    },
    /// A half circle on a rectangle; half an ellipse when it is shallower than the half circle.
    Dee {
        /// Along the flat side.
        width: Uncertain<Length>,
        /// Across it.
        depth: Uncertain<Length>,
    },
    /// A slice of a circle.
    Sector {
        /// Radius.
        radius: Uncertain<Length>,
        /// Angle, degrees, above 0 to 360.
        angle: Uncertain<Plain>,
    },
    /// Points traced from a photo, mm; does not cross itself.
    Points {
        /// Corners in order.
        points: Vec<(f64, f64)>,
    },
    /// Nobody told: a rectangle with a share of it taken off by rounded corners and what stands in it.
    Unseen {
        /// Left to right.
        width: Uncertain<Length>,
        /// Front to back.
        depth: Uncertain<Length>,
        /// Share of the rectangle that it fills.
        fill: Uncertain<Plain>,
    },
    /// Filled with water and measured.
    MeasuredFill {
        /// Water it took, to the tray's height.
        volume: Uncertain<Volume>,
        /// Length round it.
        perimeter: Uncertain<Length>,
    },
}
