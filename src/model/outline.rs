//! What outlines measure (area, perimeter, and the rectangle each sits in), and their corners for drawing.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::shape::{Outline, Shape};
use crate::simd::Real;
use crate::uncertainty::uncertain::{Draw, Uncertain};

/// Steps round a full circle in a drawing.
const ROUND_STEPS: f64 = 24.0;

/// What an outline measures, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan<L> {
    /// Open area, m2: the outline less what stands in it, never below 0.
    pub area: L,
    /// Length round the outer outline, m: where seal and slack run.
    pub perimeter: L,
    /// Left to right of the rectangle the outer outline sits in, m; 0 where unknown.
    pub width: L,
    /// Front to back of that rectangle, m; 0 where unknown.
    pub depth: L,
}

impl<L: Real> Plan<L> {
    /// Is the rectangle known? Not for a tray that was only filled with water and measured.
    pub fn has_box(&self) -> bool {
        L::any(L::and(self.width.gt(L::zero()), self.depth.gt(L::zero())))
    }
}

impl Shape {
    /// Area, perimeter and rectangle in one draw. `height`, m, is needed only where the tray was filled with
    /// water and measured: its area is volume over height.
    pub fn plan<L: Real, D: Draw<L>>(&self, height: L, draw: &D) -> Plan<L> {
        let outer = self.outline.plan(height, draw);
        let open = self.less.iter().fold(outer.area, |left, inner| left - inner.plan(height, draw).area);
        Plan { area: open.max(L::zero()), ..outer }
    }

    /// The nominal outer outline as a polygon in its unit box, for drawing: (0, 0) is front left, (1, 1) back
    /// right, the flat side of a dee in front. A circle has 24 corners. Empty where the outline is unknown.
    pub fn corners(&self) -> Vec<(f64, f64)> {
        into_unit_box(&self.outline.polygon())
    }

    /// Is the rectangle it sits in known?
    pub fn has_box(&self) -> bool {
        !matches!(self.outline, Outline::MeasuredFill { .. } | Outline::Unseen { .. })
    }

    /// Its name.
    pub fn word(&self) -> &'static str {
        match self.outline {
            Outline::Rect { .. } => "rectangle",
            Outline::Round { .. } => "round",
            Outline::Oval { .. } => "oval",
            Outline::Dee { .. } => "dee",
            Outline::Sector { .. } => "sector",
            Outline::Points { .. } => "traced outline",
            Outline::MeasuredFill { .. } => "measured fill",
            Outline::Unseen { .. } => "outline not told",
        }
    }
}

impl Outline {
    fn plan<L: Real, D: Draw<L>>(&self, height: L, draw: &D) -> Plan<L> {
        match self {
            Self::Rect { width, depth, corner } => {
                let (width, depth) = (draw.of(width), draw.of(depth));
                let asked = corner.as_ref().map_or(L::zero(), |r| draw.of(r));
                let r = asked.max(L::zero()).min(width.min(depth) * 0.5);
                Plan {
                    area: width * depth - r.squared() * (4.0 - PI),
                    perimeter: (width + depth) * 2.0 - r * (8.0 - 2.0 * PI),
                    width,
                    depth,
                }
            }
            Self::Round { diameter } => {
                let d = draw.of(diameter);
                Plan { area: d.squared() * FRAC_PI_4, perimeter: d * PI, width: d, depth: d }
            }
            Self::Oval { width, depth } => {
                let (width, depth) = (draw.of(width), draw.of(depth));
                Plan {
                    area: width * depth * FRAC_PI_4,
                    perimeter: ellipse_round(width * 0.5, depth * 0.5),
                    width,
                    depth,
                }
            }
            Self::Dee { width, depth } => {
                let (width, depth) = (draw.of(width), draw.of(depth));
                let half = width * 0.5;
                // Shallower than the half circle: half an ellipse, and no straight sides.
                let cap = depth.min(half);
                let side = (depth - half).max(L::zero());
                Plan {
                    area: half * cap * FRAC_PI_2 + width * side,
                    perimeter: width + side * 2.0 + ellipse_round(half, cap) * 0.5,
                    width,
                    depth,
                }
            }
            Self::Sector { radius, angle } => sector(draw.of(radius), draw.of(angle), angle.si() >= 360.0),
            Self::Points { points } => traced(points),
            Self::Unseen { width, depth, fill } => {
                let (width, depth) = (draw.of(width), draw.of(depth));
                // Rounded corners shorten the way round by some 7 %.
                let perimeter = (width + depth) * (2.0 * 0.93);
                Plan { area: width * depth * draw.of(fill), perimeter, width, depth }
            }
            Self::MeasuredFill { volume, perimeter } => Plan {
                area: draw.of(volume) / height,
                perimeter: draw.of(perimeter),
                width: L::zero(),
                depth: L::zero(),
            },
        }
    }

    /// Nominal corners in metres or millimetres, anywhere in the plane.
    fn polygon(&self) -> Vec<(f64, f64)> {
        match self {
            Self::Rect { width, depth, corner } => {
                let (w, d) = (width.si(), depth.si());
                let r = corner.as_ref().map_or(0.0, Uncertain::si).clamp(0.0, w.min(d).max(0.0) / 2.0);
                let centres = [(w - r, r, -90.0), (w - r, d - r, 0.0), (r, d - r, 90.0), (r, r, 180.0)];
                if r > 0.0 {
                    centres.into_iter().flat_map(|(x, y, from)| arc((x, y), (r, r), from, 90.0)).collect()
                } else {
                    centres.into_iter().map(|(x, y, _)| (x, y)).collect()
                }
            }
            Self::Round { diameter } => full(diameter.si(), diameter.si()),
            Self::Oval { width, depth } => full(width.si(), depth.si()),
            Self::Dee { width, depth } => {
                let half = width.si() / 2.0;
                let (cap, side) = (depth.si().min(half), (depth.si() - half).max(0.0));
                let mut all = if side > 0.0 { vec![(-half, 0.0), (half, 0.0)] } else { Vec::new() };
                all.extend(arc((0.0, side), (half, cap), 0.0, 180.0));
                all
            }
            Self::Sector { radius, angle } => {
                let (r, angle) = (radius.si(), angle.si());
                if angle >= 360.0 {
                    return full(2.0 * r, 2.0 * r);
                }
                let from = if angle <= 180.0 { 0.0 } else { 90.0 - angle / 2.0 };
                let mut all = vec![(0.0, 0.0)];
                all.extend(arc((0.0, 0.0), (r, r), from, angle));
                all
            }
            Self::Points { points } => points.clone(),
            Self::MeasuredFill { .. } | Self::Unseen { .. } => Vec::new(),
        }
    }
}

/// Length round an ellipse of half axes `a` and `b` by Ramanujan's second formula (1914): exact for a circle,
/// 0.04 % short at worst, when it is flat as a line.
fn ellipse_round<L: Real>(a: L, b: L) -> L {
    let h = ((a - b) / (a + b)).squared();
    (a + b) * (h * 3.0 / ((L::splat(4.0) - h * 3.0).sqrt() + 10.0) + 1.0) * PI
}

/// A slice of a circle, angle in degrees. Its rectangle is the smaller one: a straight edge along a side up to
/// a half circle, the middle line square to a side beyond. A `whole` circle has no straight edges.
fn sector<L: Real>(radius: L, degrees: L, whole: bool) -> Plan<L> {
    if whole {
        let d = radius * 2.0;
        return Plan { area: radius.squared() * PI, perimeter: d * PI, width: d, depth: d };
    }
    let angle = degrees.clamp(0.0, 360.0) * (PI / 180.0);
    let of = |f: fn(f64) -> f64| L::gather(|i| f(angle.draw(i)));
    let wide = of(|t| if t <= FRAC_PI_2 { 1.0 } else { 1.0 - t.min(PI).cos() });
    let deep = of(|t| if t <= PI { t.min(FRAC_PI_2).sin() } else { 1.0 - (t / 2.0).cos() });
    Plan {
        area: radius.squared() * angle * 0.5,
        perimeter: radius * (angle + 2.0),
        width: radius * wide,
        depth: radius * deep,
    }
}

/// A traced outline, mm: area by the shoelace formula.
fn traced<L: Real>(points: &[(f64, f64)]) -> Plan<L> {
    let (mut twice, mut round) = (0.0, 0.0);
    for ((x0, y0), (x1, y1)) in edges(points) {
        twice += x0 * y1 - x1 * y0;
        round += (x1 - x0).hypot(y1 - y0);
    }
    let (low, high) = bounds(points);
    Plan {
        area: L::splat(twice.abs() * 0.5e-6),
        perimeter: L::splat(round * 1e-3),
        width: L::splat((high.0 - low.0) * 1e-3),
        depth: L::splat((high.1 - low.1) * 1e-3),
    }
}

/// The edges of a polygon, the last one back to its start.
pub(super) fn edges(points: &[(f64, f64)]) -> impl Iterator<Item = ((f64, f64), (f64, f64))> {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1))
}

/// Lowest and highest x and y; both 0 for no points.
fn bounds(points: &[(f64, f64)]) -> ((f64, f64), (f64, f64)) {
    let mut all = points.iter().copied();
    let Some(first) = all.next() else { return ((0.0, 0.0), (0.0, 0.0)) };
    all.fold((first, first), |(low, high), (x, y)| {
        ((low.0.min(x), low.1.min(y)), (high.0.max(x), high.1.max(y)))
    })
}

/// Points on an arc, both ends included, from an angle over a sweep in degrees.
fn arc(centre: (f64, f64), half: (f64, f64), from: f64, sweep: f64) -> Vec<(f64, f64)> {
    let steps = (sweep * ROUND_STEPS / 360.0).ceil().clamp(1.0, ROUND_STEPS) as u32;
    (0..=steps)
        .map(|i| {
            let (sin, cos) = (from + sweep * f64::from(i) / f64::from(steps)).to_radians().sin_cos();
            (centre.0 + half.0 * cos, centre.1 + half.1 * sin)
        })
        .collect()
}

/// A full circle or ellipse; its last point would be its first.
fn full(width: f64, depth: f64) -> Vec<(f64, f64)> {
    let mut all = arc((0.0, 0.0), (width / 2.0, depth / 2.0), 0.0, 360.0);
    all.pop();
    all
}

fn into_unit_box(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (low, high) = bounds(points);
    let share = |x: f64, low: f64, high: f64| if high > low { (x - low) / (high - low) } else { 0.5 };
    points.iter().map(|(x, y)| (share(*x, low.0, high.0), share(*y, low.1, high.1))).collect()
}

#[cfg(test)]
mod tests {
    use super::super::tangle::crosses_itself;
    use super::*;
    use crate::simd::F64x8;
    use crate::uncertainty::key::Key;
    use crate::uncertainty::uncertain::Nominal;
    use crate::units::{Length, Plain, Quantity, Volume};

    fn fig<Q: Quantity>(si: f64) -> Uncertain<Q> {
        Uncertain::exact(Q::new(si).unwrap(), Key::named("t"))
    }
    fn mm(x: f64) -> Uncertain<Length> {
        fig(x * 1e-3)
    }
    fn plain(outline: Outline) -> Shape {
        Shape { outline, less: Vec::new() }
    }
    fn plan(outline: Outline) -> Plan<f64> {
        plain(outline).plan(0.08, &Nominal)
    }
    #[track_caller]
    fn near(found: f64, wanted: f64, share: f64) {
        assert!((found - wanted).abs() <= share * wanted.abs(), "{found} is not {wanted}");
    }

    /// Length of an elliptic arc by Simpson's rule on the speed of its parametric form; the integrand is
    /// smooth and periodic, so 4096 steps leave rounding only.
    fn integrated_ellipse(a: f64, b: f64) -> f64 {
        let n = 4096;
        let speed =
            |i: i32| (2.0 * PI * f64::from(i) / f64::from(n)).sin_cos().pipe(|(s, c)| (a * s).hypot(b * c));
        let sum: f64 = (0..n).map(|i| speed(i) * if i % 2 == 0 { 2.0 } else { 4.0 }).sum();
        sum * 2.0 * PI / f64::from(n) / 3.0
    }
    trait Pipe: Sized {
        fn pipe<R>(self, f: impl FnOnce(Self) -> R) -> R {
            f(self)
        }
    }
    impl Pipe for (f64, f64) {}

    #[test]
    fn round_is_the_circle_of_euclid() {
        // Elementary geometry: area pi d2/4, perimeter pi d.
        let p = plan(Outline::Round { diameter: mm(200.0) });
        near(p.area, 0.031_415_926_535_897_9, 1e-14);
        near(p.perimeter, 0.628_318_530_717_958_6, 1e-14);
        near(p.area / (p.width * p.depth), FRAC_PI_4, 1e-14);
    }

    #[test]
    fn rect_loses_four_corners_to_their_radius() {
        // Elementary geometry: four quarter circles in place of four squares.
        let sharp = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: None });
        near(sharp.area, 0.0216, 1e-14);
        near(sharp.perimeter, 0.6, 1e-14);
        let soft = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: Some(mm(20.0)) });
        near(soft.area, 0.14 * 0.12 + 2.0 * 0.02 * 0.08 + PI * 0.02 * 0.02, 1e-13);
        near(soft.perimeter, 2.0 * 0.14 + 2.0 * 0.08 + 2.0 * PI * 0.02, 1e-13);
        // A radius beyond half the shorter side makes a stadium, not a smaller tray.
        let stadium = plan(Outline::Rect { width: mm(180.0), depth: mm(120.0), corner: Some(mm(90.0)) });
        near(stadium.area, 0.06 * 0.12 + PI * 0.06 * 0.06, 1e-13);
        near(stadium.perimeter, 2.0 * 0.06 + 2.0 * PI * 0.06, 1e-13);
    }

    #[test]
    fn oval_perimeter_agrees_with_the_arc_length_integral() {
        // Arc length of the ellipse integrated numerically, which shares nothing with Ramanujan's formula.
        for (w, d, share) in
            [(200.0, 200.0, 1e-13), (200.0, 150.0, 1e-11), (240.0, 120.0, 1e-7), (300.0, 60.0, 1e-4)]
        {
            let p = plan(Outline::Oval { width: mm(w), depth: mm(d) });
            near(p.perimeter, integrated_ellipse(w / 2e3, d / 2e3), share);
            near(p.area, PI * w * d / 4e6, 1e-14);
        }
        // Half axes 5 and 4: complete elliptic integral E(0.6) by its series, figure from memory.
        near(integrated_ellipse(5.0, 4.0), 28.361_667_889, 1e-9);
    }

    #[test]
    fn dee_is_a_half_circle_on_a_rectangle_or_half_an_ellipse() {
        let deep = plan(Outline::Dee { width: mm(185.0), depth: mm(160.0) });
        let (r, side) = (0.0925, 0.0675);
        near(deep.area, PI * r * r / 2.0 + 0.185 * side, 1e-13);
        near(deep.perimeter, 0.185 + 2.0 * side + PI * r, 1e-13);
        assert_eq!((deep.width, deep.depth), (0.185, 0.16));
        let shallow = plan(Outline::Dee { width: mm(200.0), depth: mm(60.0) });
        near(shallow.area, PI * 0.1 * 0.06 / 2.0, 1e-13);
        near(shallow.perimeter, 0.2 + integrated_ellipse(0.1, 0.06) / 2.0, 1e-8);
        // The two meet without a step where the depth is exactly half the width.
        let below = plan(Outline::Dee { width: mm(200.0), depth: mm(99.999_999) });
        let above = plan(Outline::Dee { width: mm(200.0), depth: mm(100.000_001) });
        near(below.area, above.area, 1e-7);
        near(below.perimeter, above.perimeter, 1e-7);
    }

    #[test]
    fn sector_is_its_share_of_the_circle() {
        let at = |degrees| plan(Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(degrees) });
        let quarter = at(90.0);
        near(quarter.area, PI * 0.01 / 4.0, 1e-13);
        near(quarter.perimeter, 0.2 + PI * 0.05, 1e-13);
        near(quarter.width, 0.1, 1e-13);
        near(quarter.depth, 0.1, 1e-13);
        let half = at(180.0);
        near(half.width, 0.2, 1e-13);
        near(half.depth, 0.1, 1e-13);
        near(at(60.0).depth, 0.1 * 3f64.sqrt() / 2.0, 1e-13);
        near(at(120.0).width, 0.15, 1e-13);
        let three = at(270.0);
        near(three.width, 0.2, 1e-13);
        near(three.depth, 0.1 * (1.0 + 0.5f64.sqrt()), 1e-13);
        // The whole circle has no straight edges.
        near(at(360.0).perimeter, PI * 0.2, 1e-13);
        near(at(360.0).area, PI * 0.01, 1e-13);
    }

    #[test]
    fn every_outline_agrees_with_its_own_polygon() {
        // The box from the law against the box of many points; the area within what 24 chords leave out.
        for degrees in [30.0, 90.0, 135.0, 180.0, 200.0, 270.0, 330.0] {
            let shape = plain(Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(degrees) });
            let p: Plan<f64> = shape.plan(0.08, &Nominal);
            let (low, high) = bounds(&shape.outline.polygon());
            near(high.0 - low.0, p.width, 0.02);
            near(high.1 - low.1, p.depth, 0.02);
        }
        for outline in [
            Outline::Round { diameter: mm(200.0) },
            Outline::Oval { width: mm(200.0), depth: mm(120.0) },
            Outline::Dee { width: mm(185.0), depth: mm(160.0) },
            Outline::Dee { width: mm(185.0), depth: mm(60.0) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: Some(mm(30.0)) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: None },
        ] {
            let shape = plain(outline);
            let p: Plan<f64> = shape.plan(0.08, &Nominal);
            let unit: Plan<f64> = traced(&shape.corners());
            near(unit.area * 1e6, p.area / (p.width * p.depth), 0.013);
            assert!(!crosses_itself(&shape.corners()), "{}", shape.word());
            assert!(shape.corners().iter().all(|(x, y)| (0.0..=1.0).contains(x) && (0.0..=1.0).contains(y)));
        }
        assert_eq!(plain(Outline::Round { diameter: mm(200.0) }).corners().len(), 24);
    }

    #[test]
    fn traced_outline_by_the_shoelace_formula() {
        // A 3-4-5 triangle, either way round, and an L whose area is two rectangles.
        let triangle = vec![(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)];
        let p = plan(Outline::Points { points: triangle.clone() });
        near(p.area, 600e-6, 1e-13);
        near(p.perimeter, 0.12, 1e-13);
        let other: Vec<_> = triangle.into_iter().rev().collect();
        near(plan(Outline::Points { points: other }).area, 600e-6, 1e-13);
        let ell = vec![(10.0, 10.0), (110.0, 10.0), (110.0, 50.0), (50.0, 50.0), (50.0, 90.0), (10.0, 90.0)];
        let p = plan(Outline::Points { points: ell });
        near(p.area, (100.0 * 40.0 + 40.0 * 40.0) * 1e-6, 1e-13);
        near(p.perimeter, 0.36, 1e-13);
        near(p.width, 0.1, 1e-13);
        near(p.depth, 0.08, 1e-13);
    }

    #[test]
    fn what_stands_in_a_tray_takes_area_only() {
        let post = plain(Outline::Round { diameter: mm(30.0) });
        let outline = Outline::Round { diameter: mm(200.0) };
        let whole = plan(outline.clone());
        let less = Shape { outline: outline.clone(), less: vec![post.clone(), post] };
        let p: Plan<f64> = less.plan(0.08, &Nominal);
        near(p.area, whole.area - 2.0 * PI * 0.015 * 0.015, 1e-13);
        assert_eq!((p.perimeter, p.width, p.depth), (whole.perimeter, whole.width, whole.depth));
        let swallowed = Shape { outline: Outline::Round { diameter: mm(20.0) }, less: vec![plain(outline)] };
        assert_eq!(swallowed.plan(0.08, &Nominal).area, 0.0);
    }

    #[test]
    fn a_measured_fill_has_an_area_and_no_box() {
        let shape = plain(Outline::MeasuredFill { volume: fig::<Volume>(1.84e-3), perimeter: mm(550.0) });
        let p: Plan<f64> = shape.plan(0.08, &Nominal);
        near(p.area, 0.023, 1e-13);
        assert_eq!((p.perimeter, p.width, p.depth), (0.55, 0.0, 0.0));
        assert!(!p.has_box() && !shape.has_box() && shape.corners().is_empty());
        assert!(plan(Outline::Round { diameter: mm(20.0) }).has_box());
    }

    #[test]
    fn eight_draws_are_eight_times_one() {
        for outline in [
            Outline::Dee { width: mm(185.0), depth: mm(60.0) },
            Outline::Sector { radius: mm(100.0), angle: fig::<Plain>(200.0) },
            Outline::Rect { width: mm(185.0), depth: mm(160.0), corner: Some(mm(30.0)) },
        ] {
            let shape = plain(outline);
            let one: Plan<f64> = shape.plan(0.08, &Nominal);
            let many: Plan<F64x8> = shape.plan(F64x8::splat(0.08), &Nominal);
            for i in 0..8 {
                near(many.area.draw(i), one.area, 1e-13);
                near(many.perimeter.draw(i), one.perimeter, 1e-13);
                near(many.width.draw(i), one.width, 1e-13);
                near(many.depth.draw(i), one.depth, 1e-13);
            }
        }
    }
}
