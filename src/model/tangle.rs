//! Is a traced outline sound?

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

/// Do two edges share a point?
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
