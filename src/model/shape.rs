//! Outlines of trays seen from above, as a profile gives them. What they measure stands in `outline`.

use super::fields::{Choice, Door, Field, Figures, Kind, Place, Row, Value, choice, row, rows};
pub use super::outline::Plan;
use super::outline::first_crossing;
use crate::uncertainty::Uncertain;
use crate::units::{Length, Plain, Volume};

/// An outline, less whatever stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    pub outline: Outline,
    /// What stands in it: down pipe, posts. Takes area, not perimeter.
    pub less: Vec<Shape>,
}

impl Shape {
    rows! {
        pub LESS "less": Vec<Self> = row("`less`").label("less").most(20).or_nothing().like("[round(diameter: mm(30))]")
            .says("what stands in it: down pipe, posts").without("nothing");
    }
}

rows! {
    pub SIDE = row("width of an outline").range(1.0, 1_000.0, "mm").length().like("mm(180)").measure("ruler");
}

choice! {
    Outline "an outline" "rect(width: mm(180), depth: mm(160))" with [Shape::LESS], {
        Rect "rect" "rectangle" (named) {
            width: Uncertain<Length> = SIDE.label("width").says("left to right");
            depth: Uncertain<Length> = SIDE.label("depth").says("front to back");
            /// At most half the shorter side.
            corner: Option<Uncertain<Length>> = row("radius of a corner").label("corner").range(0.0, 500.0, "mm").length()
                .like("mm(10)").says("radius of the corners").without("sharp").measure("against a coin or a drill");
        },
        Round "round" "round" (named) {
            diameter: Uncertain<Length> = SIDE.label("diameter").says("across");
        },
        Oval "oval" "oval" (named) {
            width: Uncertain<Length> = SIDE.label("width").says("one axis");
            depth: Uncertain<Length> = SIDE.label("depth").says("the other axis");
        },
        /// A half circle on a rectangle; half an ellipse when it is shallower than the half circle.
        Dee "dee" "dee" (named) {
            width: Uncertain<Length> = SIDE.label("width").says("along the flat side");
            depth: Uncertain<Length> = SIDE.label("depth").says("across it");
        },
        Sector "sector" "sector" (named) {
            radius: Uncertain<Length> = SIDE.label("radius").says("from the corner to the round side");
            angle: Uncertain<Plain> = row("angle of a sector (degrees)").label("angle").range(1.0, 360.0, "").like("90")
                .says("degrees").measure("protractor");
        },
        /// Traced from a photo, mm; does not cross itself.
        Points "outline" "outline" (named) {
            points: Vec<(f64, f64)> = row("an outline's `points`").label("points").most(1000)
                .like("[(0, 0), (180, 0), (180, 160), (0, 160)]").says("corners in order, mm, traced from a photo");
        },
        /// Nobody told: a rectangle with a share of it taken off by rounded corners and what stands in it.
        Unseen "" "outline not told" (named) {
            width: Uncertain<Length> = SIDE.label("width");
            depth: Uncertain<Length> = SIDE.label("depth");
            /// Share of the rectangle that it fills.
            fill: Uncertain<Plain> = row("share filled").range(0.0, 1.0, "");
        },
        /// Filled with water and measured.
        MeasuredFill "measured_fill" "measured fill" (named) {
            volume: Uncertain<Volume> = row("volume of a measured fill").label("volume").range(0.005, 200.0, "l")
                .like("l(2.1)").says("water it took, to the tray's height")
                .measure("fill it with water from a measuring jug");
            perimeter: Uncertain<Length> = row("perimeter").range(5.0, 5_000.0, "mm").length().like("mm(560)")
                .says("length round it").measure("string round it, then a ruler");
        },
    }
}

impl Outline {
    pub const fn choice() -> &'static Choice {
        Self::CHOICE
    }
}

impl Field for Shape {
    const KIND: Kind = Kind::Choice(Outline::choice);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        let variant = door.choose(Some(at), Outline::CHOICE, "")?;
        let outline = Outline::of_variant(door, variant).and_then(|outline| outline.traced(door));
        let less: Option<Vec<Self>> = Outline::CHOICE.common.first().and_then(|row| Field::take(door, row));
        let shape = outline.zip(less).map(|(outline, less)| Self { outline, less });
        let shape = shape.filter(|shape| door.built(shape, std::slice::from_ref(at)));
        door.close();
        shape
    }
    fn each(&self, take: &mut Figures<'_>) {
        self.outline.figures(take);
        self.less.each(take);
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let (variant, mut given) = match &self.outline {
            // What is assumed is never written: the shape is the nearest that can be.
            Outline::Unseen { width, depth, .. } => {
                Outline::Rect { width: width.clone(), depth: depth.clone(), corner: None }.variant()
            }
            told => told.variant(),
        };
        for row in Outline::CHOICE.common.iter().filter(|_| !self.less.is_empty()) {
            self.less.put(row, &mut given);
        }
        Some(Value::Word(variant, given))
    }
}

impl Outline {
    /// A traced outline closes by itself, has corners enough and does not cross itself.
    fn traced(self, door: &mut dyn Door) -> Option<Self> {
        let Self::Points { mut points } = self else { return Some(self) };
        let at = Self::CHOICE
            .variants
            .iter()
            .find(|variant| variant.word == "outline")
            .and_then(|variant| variant.rows.first())
            .and_then(|row| door.given(row));
        if points.len() < 3 {
            let message = format!("an outline needs three points or more, found {}", points.len());
            door.fault(at.as_ref(), message, "trace more of its corners");
            return None;
        }
        if points.first() == points.last() {
            points.pop();
        }
        if let Some((first, second)) = first_crossing(&points) {
            door.fault(
                at.as_ref(),
                format!("this outline crosses itself: side {first} meets side {second}"),
                "list the points in order round the edge; side 1 runs from the first point to the second",
            );
            return None;
        }
        Some(Self::Points { points })
    }
}
