//! Curves on cells of two by four dots, with named axes and round ticks.

use super::super::{Row, Theme, bit, row, text};
use crate::report::figures::rounded;
use ratatui::text::Line;

pub struct Series<'a> {
    /// Its points, from left to right or right to left.
    pub points: &'a [(f64, f64)],
    /// Only every other bit of it is drawn.
    pub dotted: bool,
}

/// One axis from 0, in the unit that its name tells.
pub struct Axis {
    /// Its end; above 0.
    pub end: f64,
    pub name: String,
}

impl Axis {
    /// Round steps from 0 on, three at least and about so many at most.
    pub fn ticks(&self, most: usize) -> Vec<f64> {
        let rough = self.end / most.clamp(2, 12) as f64;
        let ten = 10_f64.powf(rough.log10().floor());
        let steps = [1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0].map(|s| s * ten);
        // With half the axis as a step there are three ticks, the one at 0 with them.
        let least = steps.into_iter().find(|step| *step >= rough * 0.999 && *step * 2.0 <= self.end);
        let most = || steps.into_iter().rev().find(|step| *step * 2.0 <= self.end);
        let step = least.or_else(most).unwrap_or(self.end / 2.0);
        (0..).map(|i| f64::from(i) * step).take_while(|x| *x <= self.end * 1.0001).take(16).collect()
    }
}

/// A tick as it is written: with as many decimals as its step needs.
fn label(x: f64, ticks: &[f64]) -> String {
    let step = ticks.get(1).copied().unwrap_or(1.0);
    let needs = |decimals: &usize| {
        let scaled = step * 10_f64.powi(i32::try_from(*decimals).unwrap_or(0));
        (scaled - scaled.round()).abs() < 1e-6
    };
    rounded(x, (0..4).find(needs).unwrap_or(2))
}

#[derive(Default)]
pub struct Over<'a> {
    /// Single signs at points.
    pub marks: &'a [(f64, f64, char)],
    /// A line at an x.
    pub upright: Option<f64>,
    /// From where to where along x nine of ten simulated cases lie.
    pub band: Option<(f64, f64)>,
}

pub fn plot(
    series: &[Series<'_>],
    over: &Over<'_>,
    (x, y): (&Axis, &Axis),
    (w, h): (usize, usize),
    theme: Theme,
) -> Vec<Row> {
    let usable = x.end.is_finite() && y.end.is_finite() && x.end > 0.0 && y.end > 0.0;
    if w < 12 || h < 6 || !usable {
        return Vec::new();
    }
    let rows = h - 3;
    let up = y.ticks((rows / 2).max(2));
    let gutter = up.iter().map(|t| text::width(&label(*t, &up))).max().unwrap_or(1);
    let cols = w.saturating_sub(gutter + 1);
    if cols < 8 {
        return Vec::new();
    }
    let along = x.ticks((cols / 8).max(2));
    let dots = dots(series, (x, y), (cols, rows));
    // The cell in which a value lies; none outside.
    let cell = |v: f64, of: f64, n: usize| {
        let at = ((v / of) * (n.saturating_sub(1)) as f64).round();
        (at >= 0.0 && at < n as f64).then_some(at as usize)
    };
    let line_at = over.upright.and_then(|v| cell(v, x.end, cols));
    let clamped = |v: f64| cell(v.clamp(0.0, x.end), x.end, cols);
    let band = over.band.and_then(|(a, b)| Some(clamped(a)?..=clamped(b)?));
    let mut out = vec![row(text::fit(&format!("{} over {}", y.name, x.name), w), theme.quiet())];
    for r in 0..rows {
        let tick = up.iter().find(|t| cell(y.end - **t, y.end, rows) == Some(r));
        let said = tick.map_or(String::new(), |t| label(*t, &up));
        let wall = if tick.is_some() { "┤" } else { "│" };
        let mut line = vec![bit(format!("{}{wall}", text::right(&said, gutter)), theme.quiet())];
        for c in 0..cols {
            let on = |(mx, my, _): &&(f64, f64, char)| {
                cell(*mx, x.end, cols) == Some(c) && cell(y.end - *my, y.end, rows) == Some(r)
            };
            let sign = match (over.marks.iter().rev().find(on), dots.get(r * cols + c).copied().unwrap_or(0))
            {
                (Some((.., mark)), _) => (*mark, theme.answer()),
                (_, 0) if line_at == Some(c) => ('┆', theme.text()),
                (_, 0) if band.as_ref().is_some_and(|band| band.contains(&c)) => ('░', theme.quiet()),
                (_, 0) => (' ', theme.text()),
                (_, d) => (char::from_u32(0x2800 + u32::from(d)).unwrap_or(' '), theme.text()),
            };
            match line.last_mut().filter(|last| last.style == sign.1) {
                Some(last) => last.content.to_mut().push(sign.0),
                None => line.push(bit(sign.0.to_string(), sign.1)),
            }
        }
        out.push(Line::from(line));
    }
    out.extend(foot(&along, x.end, gutter, cols, theme));
    out
}

/// The axis below with its ticks, and their figures.
fn foot(along: &[f64], end: f64, gutter: usize, cols: usize, theme: Theme) -> [Row; 2] {
    let at = |t: f64| ((t / end) * (cols.saturating_sub(1)) as f64).round() as usize;
    let axis: String =
        (0..cols).map(|c| if along.iter().skip(1).any(|t| at(*t) == c) { '┬' } else { '─' }).collect();
    let mut said = String::new();
    for t in along {
        let label = label(*t, along);
        let from = (at(*t) + 1).saturating_sub(text::width(&label).div_ceil(2));
        let from = from.min((cols + 1).saturating_sub(text::width(&label)));
        let used = text::width(&said);
        if from >= used + usize::from(used > 0) {
            said.push_str(&" ".repeat(from - used));
            said.push_str(&label);
        }
    }
    let lead = " ".repeat(gutter);
    [row(format!("{lead}┼{axis}"), theme.quiet()), row(format!("{lead}{said}"), theme.quiet())]
}

/// The dots of the curves, eight to a cell.
fn dots(series: &[Series<'_>], (x, y): (&Axis, &Axis), (cols, rows): (usize, usize)) -> Vec<u8> {
    let mut dots = vec![0_u8; cols * rows];
    let across = |v: f64| v / x.end * (cols * 2 - 1) as f64;
    let down = |v: f64| (1.0 - v / y.end) * (rows * 4 - 1) as f64;
    for s in series {
        for pair in s.points.windows(2) {
            let [a, b] = pair else { continue };
            let (ax, ay, bx, by) = (across(a.0), down(a.1), across(b.0), down(b.1));
            if ![ax, ay, bx, by].iter().all(|v| v.is_finite()) {
                continue;
            }
            let steps = (bx - ax).abs().max((by - ay).abs()).clamp(1.0, 4096.0).ceil();
            for i in 0..=steps as usize {
                let t = i as f64 / steps;
                let (dx, dy) = ((ax + (bx - ax) * t).round(), (ay + (by - ay) * t).round());
                if dx >= 0.0 && dy >= 0.0 && !(s.dotted && (dx as usize / 2 + dy as usize / 2) % 2 == 1) {
                    set(&mut dots, cols, rows, dx as usize, dy as usize);
                }
            }
        }
    }
    dots
}

/// An outline in a unit square, y downward, as lines of braille.
pub fn outline(corners: &[(f64, f64)], (cols, rows): (usize, usize)) -> Vec<String> {
    let points: Vec<(f64, f64)> = corners.iter().chain(corners.first()).map(|(x, y)| (*x, 1.0 - y)).collect();
    let unit = Axis { end: 1.0, name: String::new() };
    let dots = dots(&[Series { points: &points, dotted: false }], (&unit, &unit), (cols, rows));
    let sign = |d: &u8| if *d == 0 { ' ' } else { char::from_u32(0x2800 + u32::from(*d)).unwrap_or(' ') };
    dots.chunks(cols.max(1)).map(|line| line.iter().map(sign).collect()).collect()
}

/// Sets one dot; those outside are left out.
fn set(dots: &mut [u8], cols: usize, rows: usize, x: usize, y: usize) {
    // The bits of a braille sign: left column 1 2 3 7, right column 4 5 6 8 (Unicode, block 2800).
    const BITS: [[u8; 2]; 4] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];
    let (c, r) = (x / 2, y / 4);
    if c < cols && r < rows {
        let bit = BITS.get(y % 4).and_then(|b| b.get(x % 2)).copied().unwrap_or(0);
        if let Some(d) = dots.get_mut(r * cols + c) {
            *d |= bit;
        }
    }
}

/// Whether two curves over the same points are drawn one over the other.
pub fn coincide(a: &[(f64, f64)], b: &[(f64, f64)], end: f64) -> bool {
    !a.is_empty() && a.iter().zip(b).all(|(a, b)| (a.1 - b.1).abs() <= end * 0.02)
}
