//! Outlines of trays seen from above, as a profile gives them. What they measure stands in `outline`.

pub use super::outline::Plan;
use crate::doubt::figure::Figure;
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
        width: Figure<Length>,
        /// Front to back.
        depth: Figure<Length>,
        /// Radius of the corners, 0 and up, at most half the shorter side.
        corner: Option<Figure<Length>>,
    },
    /// A circle.
    Round {
        /// Diameter.
        diameter: Figure<Length>,
    },
    /// An ellipse.
    Oval {
        /// One axis.
        width: Figure<Length>,
        /// The other.
        depth: Figure<Length>,
    },
    /// A half circle on a rectangle; half an ellipse when it is shallower than the half circle.
    Dee {
        /// Along the flat side.
        width: Figure<Length>,
        /// Across it.
        depth: Figure<Length>,
    },
    /// A slice of a circle.
    Sector {
        /// Radius.
        radius: Figure<Length>,
        /// Angle, degrees, above 0 to 360.
        angle: Figure<Plain>,
    },
    /// Points traced from a photo, mm; does not cross itself.
    Points {
        /// Corners in order.
        points: Vec<(f64, f64)>,
    },
    /// Filled with water and measured.
    MeasuredFill {
        /// Water it took, to the tray's height.
        volume: Figure<Volume>,
        /// Length round it.
        perimeter: Figure<Length>,
    },
}
