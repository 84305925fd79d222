//! What outlines measure (area, perimeter, and the rectangle each sits in), and their corners for drawing.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::{Outline, Shape};
use crate::simd::Real;
use crate::uncertainty::{Draw, Uncertain};

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
    pub fn plan<L: Real>(&self, height: L, draw: &dyn Draw<L>) -> Plan<L> {
        let outer = self.outline.plan(height, draw);
        let open = self.less.iter().fold(outer.area, |left, inner| left - inner.plan(height, draw).area);
        Plan { area: open.max(L::zero()), ..outer }
    }

    /// The nominal outer outline as a polygon in its unit box, for drawing: (0, 0) is front left, (1, 1) back
    /// right, the flat side of a dee in front. A circle has 24 corners. Empty where the outline is unknown.
    pub fn corners(&self) -> Vec<(f64, f64)> {
        into_unit_box(&self.outline.polygon())
    }

    pub fn has_box(&self) -> bool {
        !matches!(self.outline, Outline::MeasuredFill { .. } | Outline::Unseen { .. })
    }

    pub fn word(&self) -> &'static str {
        match self.outline {
            Outline::Rect { .. } => "rectangular",
            Outline::Round { .. } => "round",
            Outline::Oval { .. } => "oval",
            Outline::Dee { .. } => "D-shaped",
            Outline::Sector { .. } => "a sector of a circle",
            Outline::Points { .. } => "traced outline",
            Outline::MeasuredFill { .. } => "measured fill",
            Outline::Unseen { .. } => "outline not told",
        }
    }
}

impl Outline {
    fn plan<L: Real>(&self, height: L, draw: &dyn Draw<L>) -> Plan<L> {
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
    pub fn polygon(&self) -> Vec<(f64, f64)> {
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
pub fn traced<L: Real>(points: &[(f64, f64)]) -> Plan<L> {
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

/// Lowest and highest x and y; both 0 for no points.
pub fn bounds(points: &[(f64, f64)]) -> ((f64, f64), (f64, f64)) {
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

/// The first two sides that cross, touch or fold back, counted from 1. A point given twice in a row, or the
/// first one given again at the end, is no crossing and makes no side.
pub fn first_crossing(points: &[(f64, f64)]) -> Option<(usize, usize)> {
    let mut ring: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for p in points {
        if ring.last() != Some(p) {
            ring.push(*p);
        }
    }
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    let sides: Vec<_> = edges(&ring).collect();
    let last = sides.len().saturating_sub(1);
    for (i, one) in sides.iter().enumerate() {
        for (j, two) in sides.iter().enumerate().skip(i + 1) {
            let tangled = if j == i + 1 {
                folds_back(one.0, one.1, two.1)
            } else if i == 0 && j == last {
                folds_back(two.0, two.1, one.1)
            } else {
                meet(*one, *two)
            };
            if tangled {
                return Some((i + 1, j + 1));
            }
        }
    }
    None
}

/// Twice the signed area of a triangle: which side of a line a point lies on.
fn turn(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> f64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

/// From `a` to `b` and straight back towards `a`.
fn folds_back(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> bool {
    turn(a, b, c) == 0.0 && (b.0 - a.0) * (c.0 - b.0) + (b.1 - a.1) * (c.1 - b.1) < 0.0
}

fn meet(one: ((f64, f64), (f64, f64)), two: ((f64, f64), (f64, f64))) -> bool {
    let ((a, b), (c, d)) = (one, two);
    let (c_side, d_side) = (turn(a, b, c), turn(a, b, d));
    let (a_side, b_side) = (turn(c, d, a), turn(c, d, b));
    let within = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| {
        r.0 >= p.0.min(q.0) && r.0 <= p.0.max(q.0) && r.1 >= p.1.min(q.1) && r.1 <= p.1.max(q.1)
    };
    (c_side * d_side < 0.0 && a_side * b_side < 0.0)
        || (c_side == 0.0 && within(a, b, c))
        || (d_side == 0.0 && within(a, b, d))
        || (a_side == 0.0 && within(c, d, a))
        || (b_side == 0.0 && within(c, d, b))
}

/// The edges of a polygon, the last one back to its start.
pub fn edges(points: &[(f64, f64)]) -> impl Iterator<Item = ((f64, f64), (f64, f64))> {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1))
}
