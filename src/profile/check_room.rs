//! Outlines, and whether what lies in a tray has room there, at nominal figures.

use std::f64::consts::PI;

use super::check::Check;
use super::ranges::{self as r, Field};
use super::schema;
use super::spanned::{At, List, Pair};
use crate::doubt::figure::Figure;
use crate::filter::shape::{Outline, Shape};
use crate::units::Plain;

/// Most shapes that one outline may have taken out of it.
const MAX_LESS: usize = 20;
/// Most corners of a traced outline.
const MAX_CORNERS: usize = 1000;

/// Nominal area and perimeter of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    /// Free area, m2.
    pub area: f64,
    /// Length round the outer outline, m.
    pub perimeter: f64,
}

/// Nominal plan of a shape. `height` is that of the tray, m: a measured fill needs it.
pub fn plan(shape: &Shape, height: f64) -> Plan {
    let outer = outline(&shape.outline, height);
    let less: f64 = shape.less.iter().map(|inner| plan(inner, height).area).sum();
    Plan { area: outer.area - less, perimeter: outer.perimeter }
}

fn outline(outline: &Outline, height: f64) -> Plan {
    match outline {
        Outline::Rect { width, depth, corner } => {
            let (w, d, c) = (width.si(), depth.si(), corner.as_ref().map_or(0.0, Figure::si));
            Plan { area: w * d - (4.0 - PI) * c * c, perimeter: 2.0 * (w + d) - (8.0 - 2.0 * PI) * c }
        }
        Outline::Round { diameter } => {
            let d = diameter.si();
            Plan { area: PI * d * d / 4.0, perimeter: PI * d }
        }
        Outline::Oval { width, depth } => {
            let (w, d) = (width.si(), depth.si());
            Plan { area: PI * w * d / 4.0, perimeter: ellipse(w / 2.0, d / 2.0) }
        }
        Outline::Dee { width, depth } => {
            let (w, d) = (width.si(), depth.si());
            if d < w / 2.0 {
                Plan { area: PI * w * d / 4.0, perimeter: w + ellipse(w / 2.0, d) / 2.0 }
            } else {
                let side = d - w / 2.0;
                Plan { area: w * side + PI * w * w / 8.0, perimeter: w + 2.0 * side + PI * w / 2.0 }
            }
        }
        Outline::Sector { radius, angle } => {
            let (radius, turn) = (radius.si(), angle.si().to_radians());
            let cuts = if angle.si() >= 360.0 { 0.0 } else { 2.0 * radius };
            Plan { area: turn * radius * radius / 2.0, perimeter: cuts + turn * radius }
        }
        Outline::Points { points } => {
            let next = points.iter().skip(1).chain(points.first());
            let sides = points.iter().zip(next);
            let (area, round) = sides.fold((0.0, 0.0), |(area, round), ((x, y), (u, v))| {
                (area + (x * v - u * y) / 2.0, round + (u - x).hypot(v - y))
            });
            Plan { area: area.abs() * 1e-6, perimeter: round * 1e-3 }
        }
        Outline::MeasuredFill { volume, perimeter } => {
            Plan { area: volume.si() / height, perimeter: perimeter.si() }
        }
    }
}

/// Perimeter of an ellipse with half axes `a` and `b`: Ramanujan's second approximation (1914).
fn ellipse(a: f64, b: f64) -> f64 {
    let h = ((a - b) / (a + b)).powi(2);
    PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

/// The first two sides of a traced outline that cross or touch, counted from 1.
fn crossing(points: &[(f64, f64)]) -> Option<(usize, usize)> {
    let next = points.iter().skip(1).chain(points.first());
    let sides: Vec<_> = points.iter().copied().zip(next.copied()).collect();
    for (i, a) in sides.iter().enumerate() {
        for (j, b) in sides.iter().enumerate().skip(i + 1) {
            let neighbours = j == i + 1 || (i == 0 && j + 1 == sides.len());
            if !neighbours && meet(*a, *b) {
                return Some((i + 1, j + 1));
            }
        }
    }
    None
}

type Point = (f64, f64);

fn meet((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let turn = |p: Point, q: Point, r: Point| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    let within = |p: Point, q: Point, r: Point| {
        r.0 >= p.0.min(q.0) && r.0 <= p.0.max(q.0) && r.1 >= p.1.min(q.1) && r.1 <= p.1.max(q.1)
    };
    let (s, t, u, v) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    if s * t < 0.0 && u * v < 0.0 {
        return true;
    }
    s == 0.0 && within(a, b, c)
        || t == 0.0 && within(a, b, d)
        || u == 0.0 && within(c, d, a)
        || v == 0.0 && within(c, d, b)
}

impl Check<'_, '_, '_> {
    /// The outline of a tray or floor.
    pub fn shape(&mut self, at: &At<schema::Shape>, key: &str, height: Option<f64>) -> Option<Shape> {
        self.shape_within(at, key, height, &r::TRAY_WIDTH)
    }

    fn shape_within(
        &mut self,
        at: &At<schema::Shape>,
        key: &str,
        height: Option<f64>,
        width_field: &Field,
    ) -> Option<Shape> {
        let (form, owner) = self.form(at)?;
        let key = |field: &str| format!("{key}/{field}");
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
            .filter_map(|(i, at)| {
                self.shape_within(at, &key(&format!("less/{}", i + 1)), height, &r::POST_WIDTH)
            })
            .collect();
        let shape = Shape { outline: outline?, less: inner };
        // Where the height is missing that has been told already; any height shows what is taken away.
        let area = plan(&shape, height.unwrap_or(0.1)).area;
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
        if let Some((first, second)) = crossing(&points) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outlines_that_cross_are_found_and_plain_ones_are_not() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        assert_eq!(crossing(&square), None);
        let bow = [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)];
        assert_eq!(crossing(&bow), Some((1, 3)));
        let touch = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 0.0), (0.0, 10.0)];
        assert!(crossing(&touch).is_some());
    }

    #[test]
    fn plans_are_those_of_geometry() {
        let points = Outline::Points { points: vec![(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)] };
        let found = outline(&points, 0.1);
        assert!((found.area - 0.005).abs() < 1e-12 && (found.perimeter - 0.3).abs() < 1e-12);
        // A circle is an ellipse with equal axes.
        assert!((ellipse(0.1, 0.1) - 0.2 * PI).abs() < 1e-12);
    }
}
