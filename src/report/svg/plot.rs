//! A panel with two axes, ticks at round figures, and lines cut off at its frame.

use super::canvas::{PLAIN, QUIET, n};
use crate::order::InOrder;
use crate::report::{Canvas, TextAnchor};

/// Room for the key beside a panel.
pub const KEY: f64 = 186.0;
/// Longer times, in days, are counted in weeks.
const IN_WEEKS: f64 = 27.0;
/// Most steps between ticks.
const STEPS: f64 = 6.0;

/// A panel on the sheet: its corners in px and what they stand for; both axes start at 0.
#[derive(Clone, Copy, Debug)]
pub struct Panel {
    pub x: (f64, f64),
    pub y: (f64, f64),
    pub x_end: f64,
    pub y_end: f64,
}

pub struct Axis<'a> {
    pub name: &'a str,
    pub say: &'a dyn Fn(f64) -> String,
    /// Distance between ticks; none for a round one.
    pub step: Option<f64>,
    /// Fewer ticks, for a low panel.
    pub few: bool,
}

impl<'a> Axis<'a> {
    pub fn by(name: &'a str, say: &'a dyn Fn(f64) -> String, step: f64) -> Self {
        Self { name, say, step: Some(step), few: false }
    }
}

impl Panel {
    /// Where a pair of values lies, held to the panel's frame.
    pub fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let share =
            |v: f64, end: f64| if end > 0.0 && v.is_finite() { (v / end).clamp(0.0, 1.0) } else { 0.0 };
        (
            self.x.0 + share(x, self.x_end) * (self.x.1 - self.x.0),
            self.y.1 - share(y, self.y_end) * (self.y.1 - self.y.0),
        )
    }

    /// Frame, ticks and figures. The name of the upright axis stands above it, so that nothing is turned.
    pub fn axes(&self, c: &mut Canvas, across: Option<&Axis<'_>>, up: &Axis<'_>) {
        for y in ticks(self.y_end, up) {
            let (_, py) = self.at((0.0, y));
            c.line("rule", (self.x.0, py), (self.x.1, py));
            c.text(QUIET, (self.x.0 - 8.0, py + 4.0), TextAnchor::Right, &(up.say)(y));
        }
        c.text(PLAIN, (self.x.0, self.y.0 - 10.0), TextAnchor::Left, up.name);
        c.line("edge", (self.x.0, self.y.1), (self.x.1, self.y.1));
        let Some(across) = across else { return };
        let steps = ticks(self.x_end, across);
        let last = steps.last().copied().unwrap_or(0.0);
        for x in steps {
            let (px, _) = self.at((x, 0.0));
            c.line("edge", (px, self.y.1), (px, self.y.1 + 5.0));
            let hold = if x >= last && px > self.x.1 - 12.0 { TextAnchor::Right } else { TextAnchor::Middle };
            let px = if hold == TextAnchor::Right { self.x.1 + 8.0 } else { px };
            c.text(QUIET, (px, self.y.1 + 19.0), hold, &(across.say)(x));
        }
        c.text(PLAIN, (self.x.1, self.y.1 + 37.0), TextAnchor::Right, across.name);
    }

    /// A line through points, left off where it leaves the panel.
    pub fn line(&self, c: &mut Canvas, class: &str, points: &[(f64, f64)]) {
        let path = self.cut(points);
        c.polyline(class, &path, false);
    }

    pub fn ground(&self, c: &mut Canvas, class: &str, points: &[(f64, f64)]) {
        let mut path = self.cut(points);
        if let (Some(first), Some(last)) = (path.first().copied(), path.last().copied()) {
            path.push((last.0, self.y.1));
            path.push((first.0, self.y.1));
            c.polyline(class, &path, true);
        }
    }

    /// An upright band from one value to another.
    pub fn band(&self, c: &mut Canvas, class: &str, (low, high): (f64, f64)) {
        let ((a, _), (b, _)) = (self.at((low, 0.0)), self.at((high, 0.0)));
        c.rect(class, (a, self.y.0), ((b - a).max(1.0), self.y.1 - self.y.0), 0.0);
    }

    pub fn upright(&self, c: &mut Canvas, class: &str, x: f64) {
        let (px, _) = self.at((x, 0.0));
        c.path(class, &format!("M{} {}V{}", n(px), n(self.y.0), n(self.y.1)));
    }

    /// Points on the sheet up to the one that leaves the panel at its top, cut there.
    pub fn cut(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let mut out: Vec<(f64, f64)> = Vec::new();
        let mut before: Option<(f64, f64)> = None;
        for &(x, y) in points.iter().filter(|(x, y)| x.is_finite() && y.is_finite()) {
            if y > self.y_end {
                if let Some((x0, y0)) = before.filter(|(_, y0)| *y0 < self.y_end) {
                    let t = (self.y_end - y0) / (y - y0);
                    out.push(self.at((x0 + t * (x - x0), self.y_end)));
                    break;
                }
                continue;
            }
            if x <= self.x_end * 1.000_001 {
                out.push(self.at((x, y)));
            }
            before = Some((x, y));
        }
        out
    }
}

/// Round figures from 0 to the end.
pub fn ticks(end: f64, axis: &Axis<'_>) -> Vec<f64> {
    if !end.is_finite() || end <= 0.0 {
        return vec![0.0];
    }
    let step = axis.step.unwrap_or_else(|| round_step(end, if axis.few { 2.5 } else { STEPS }));
    let count = (end / step * (1.0 + 1e-9)).floor().min(100.0) as usize;
    (0..=count).map(|i| step * i as f64).collect()
}

/// The least of 1, 2, 5, 10, 20… that makes no more than so many steps.
pub fn round_step(end: f64, steps: f64) -> f64 {
    let rough = end / steps;
    let power = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|f| f * power)
        .find(|s| *s >= rough * 0.999_999)
        .unwrap_or(power * 10.0)
}

/// Figures for ticks whose step is known: no more decimals than the step has.
pub fn say_by_step(step: f64) -> impl Fn(f64) -> String {
    let decimals = if step > 0.0 { (-step.log10()).ceil().clamp(0.0, 6.0) as usize } else { 0 };
    move |x| format!("{x:.decimals$}")
}

/// An axis of the days, or weeks, since something was done.
pub fn since(done: &str, end: f64, with: impl FnOnce(&Axis<'_>)) {
    let (unit, least, count) = if end > IN_WEEKS { (7.0, 1.0, "weeks") } else { (1.0, 0.0, "days") };
    let tick = round_step(end / unit, 8.0).max(least);
    let say = say_by_step(tick);
    with(&Axis::by(&format!("{count} since it was {done}"), &|x| say(x / unit), tick * unit));
}

/// What one line of a plot means: a stroke and words beside it. Gives where it ends.
pub fn key(c: &mut Canvas, class: &str, (x, y): (f64, f64), lines: &[&str]) -> f64 {
    c.line(class, (x, y), (x + 26.0, y));
    words(c, (x + 34.0, y), lines)
}

pub fn dot(c: &mut Canvas, class: &str, (x, y): (f64, f64), lines: &[&str]) -> f64 {
    c.circle(class, (x + 13.0, y), 5.0);
    words(c, (x + 34.0, y), lines)
}

fn words(c: &mut Canvas, (x, y): (f64, f64), lines: &[&str]) -> f64 {
    let mut at = y + 4.0;
    for (i, line) in lines.iter().enumerate() {
        let look = if i == 0 { PLAIN } else { QUIET };
        for part in super::text_metrics::wrap(line, KEY - 34.0, look.size) {
            c.text(look, (x, at), TextAnchor::Left, &part);
            at += look.line();
        }
    }
    at + 6.0
}

/// A label in a column: where its middle would like to be, and how high it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    pub at: f64,
    pub height: f64,
}

/// Middles for the labels, in their order, so that none overlaps another or starts above `top`. Labels in a
/// run that touch share the way they are pushed, so the whole stays as near as it can.
pub fn apart(wishes: &[Wish], top: f64) -> Vec<f64> {
    // Each run: its first label, how many, height, and the sum of the places its top would like.
    struct Run {
        from: usize,
        count: usize,
        height: f64,
        likes: f64,
    }
    impl Run {
        fn top(&self, limit: f64) -> f64 {
            (self.likes / self.count as f64).max(limit)
        }
    }
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    let wish = |i: usize| wishes.get(i).copied().unwrap_or(Wish { at: 0.0, height: 0.0 });
    order.order_by(|a, b| wish(*a).at.total_cmp(&wish(*b).at));
    let mut runs: Vec<Run> = Vec::new();
    for (n, &i) in order.iter().enumerate() {
        let one = wish(i);
        let mut run = Run { from: n, count: 1, height: one.height, likes: one.at - one.height / 2.0 };
        while let Some(above) = runs.last() {
            if above.top(top) + above.height <= run.top(top) {
                break;
            }
            run.likes += above.likes - above.height * run.count as f64;
            run.from = above.from;
            run.count += above.count;
            run.height += above.height;
            runs.pop();
        }
        runs.push(run);
    }
    let mut out = vec![0.0; wishes.len()];
    for run in runs {
        let mut at = run.top(top);
        for &i in order.iter().skip(run.from).take(run.count) {
            let height = wish(i).height;
            if let Some(slot) = out.get_mut(i) {
                *slot = at + height / 2.0;
            }
            at += height;
        }
    }
    out
}
