//! Outlines, and whether what lies in a tray has room there, at nominal figures.

use super::check::Check;
use super::schema;
use super::spanned::{At, List, Pair};
use crate::model::ranges as r;
use crate::model::shape::{Outline, Shape};
use crate::model::tangle::first_crossing;
use crate::uncertainty::field::Field;
use crate::uncertainty::key::Spot;
use crate::uncertainty::uncertain::Nominal;
use crate::units::Plain;

/// Most shapes that one outline may have taken out of it.
const MAX_LESS: usize = 20;
/// Most corners of a traced outline.
const MAX_CORNERS: usize = 1000;

impl Check<'_, '_, '_> {
    /// The outline of a tray or floor.
    pub fn shape(&mut self, at: &At<schema::Shape>, key: &Spot, height: Option<f64>) -> Option<Shape> {
        self.shape_within(at, key, height, &r::TRAY_WIDTH)
    }

    fn shape_within(
        &mut self,
        at: &At<schema::Shape>,
        key: &Spot,
        height: Option<f64>,
        width_field: &'static Field,
    ) -> Option<Shape> {
        let (form, owner) = self.form(at)?;
        let key = |field| key.part(field);
        let (outline, less) = match &form {
            schema::Shape::Rect { width, depth, corner, less } => {
                let width = self.needed(width.as_ref(), &owner, "width", width_field, &key("width"));
                let depth = self.needed(depth.as_ref(), &owner, "depth", width_field, &key("depth"));
                let radius = self.figure(corner.as_ref(), &r::CORNER, &key("corner"));
                let outline =
                    width.zip(depth).map(|(width, depth)| Outline::Rect { width, depth, corner: radius });
                if let (Some(Outline::Rect { width, depth, corner: Some(radius) }), Some(at)) =
                    (&outline, corner)
                    && radius.si() > width.si().min(depth.si()) / 2.0
                {
                    self.fault(
                        at,
                        "the radius of the corners is more than half the shorter side",
                        "`corner` is a radius: a round tray is `round(diameter: …)`",
                    );
                }
                (outline, less)
            }
            schema::Shape::Round { diameter, less } => {
                let diameter =
                    self.needed(diameter.as_ref(), &owner, "diameter", width_field, &key("diameter"));
                (diameter.map(|diameter| Outline::Round { diameter }), less)
            }
            schema::Shape::Oval { width, depth, less } => {
                let width = self.needed(width.as_ref(), &owner, "width", width_field, &key("width"));
                let depth = self.needed(depth.as_ref(), &owner, "depth", width_field, &key("depth"));
                (width.zip(depth).map(|(width, depth)| Outline::Oval { width, depth }), less)
            }
            schema::Shape::Dee { width, depth, less } => {
                let width = self.needed(width.as_ref(), &owner, "width", width_field, &key("width"));
                let depth = self.needed(depth.as_ref(), &owner, "depth", width_field, &key("depth"));
                (width.zip(depth).map(|(width, depth)| Outline::Dee { width, depth }), less)
            }
            schema::Shape::Sector { radius, angle, less } => {
                let radius = self.needed(radius.as_ref(), &owner, "radius", width_field, &key("radius"));
                let angle = self.needed(angle.as_ref(), &owner, "angle", &r::ANGLE, &key("angle"));
                (radius.zip(angle).map(|(radius, angle)| Outline::Sector { radius, angle }), less)
            }
            schema::Shape::MeasuredFill { volume, perimeter, less } => {
                let volume = self.needed(volume.as_ref(), &owner, "volume", &r::FILL_VOLUME, &key("volume"));
                let perimeter =
                    self.needed(perimeter.as_ref(), &owner, "perimeter", &r::PERIMETER, &key("perimeter"));
                (
                    volume
                        .zip(perimeter)
                        .map(|(volume, perimeter)| Outline::MeasuredFill { volume, perimeter }),
                    less,
                )
            }
            schema::Shape::Outline { points, less } => {
                if points.is_none() {
                    self.missing(&owner, "points", "[(0, 0), (180, 0), (180, 160), (0, 160)]");
                }
                (points.as_ref().and_then(|at| self.traced(at)), less)
            }
        };
        let items = self.list(less.as_ref(), "`less`", MAX_LESS);
        let inner: Vec<_> = items
            .iter()
            .enumerate()
            .filter_map(|(i, at)| self.shape_within(at, &key("less").item(i), height, &r::POST_WIDTH))
            .collect();
        let shape = Shape { outline: outline?, less: inner };
        // Where the height is missing that has been told already; any height shows what is taken away.
        let area = shape.plan::<f64, _>(height.unwrap_or(0.1), &Nominal).area;
        if area <= 0.0 {
            match less {
                Some(less) => self.fault(
                    less,
                    "what `less` takes away is larger than the outline: nothing is left",
                    "check the measures of the outline and of what stands in it",
                ),
                None => self.fault(at, "this outline holds no area", "check its measures"),
            }
            return None;
        }
        Some(shape)
    }

    fn traced(&mut self, at: &At<List<Pair<Plain, Plain>>>) -> Option<Outline> {
        let list = self.reader.list(at, "an outline's `points`", MAX_CORNERS)?;
        let mut points = Vec::new();
        for item in &list {
            let Some((x, y)) = self.reader.pair(item, "a point of an outline", "(120, 35.5)") else {
                continue;
            };
            let (x, y) = (self.exact(Some(&x), &r::TRACED), self.exact(Some(&y), &r::TRACED));
            points.extend(x.zip(y));
        }
        if points.len() < list.len() {
            return None;
        }
        if points.len() < 3 {
            self.fault(
                at,
                format!("an outline needs three points or more, found {}", points.len()),
                "trace more of its corners",
            );
            return None;
        }
        if points.first() == points.last() {
            points.pop();
        }
        if let Some((first, second)) = first_crossing(&points) {
            self.fault(
                at,
                format!("this outline crosses itself: side {first} meets side {second}"),
                "list the points in order round the edge; side 1 runs from the first point to the second",
            );
            return None;
        }
        Some(Outline::Points { points })
    }
}
