//! Curves on cells of two by four dots.

use super::super::paint::{Row, bit};
use super::super::text;
use super::super::theme::Theme;
use ratatui::text::Line;

pub struct Series<'a> {
    /// Its points, from left to right or right to left.
    pub points: &'a [(f64, f64)],
    /// Only every other bit of it is drawn.
    pub dotted: bool,
}

/// One axis from 0.
pub struct Axis {
    /// Its end; above 0.
    pub end: f64,
    pub label: String,
}

/// Draws curves over each other; `marks` are single signs at points, `upright` a line at an x.
pub fn plot(
    series: &[Series<'_>],
    marks: &[(f64, f64, char)],
    upright: Option<f64>,
    x: &Axis,
    y: &Axis,
    size: (usize, usize),
    theme: Theme,
) -> Vec<Row> {
    let (w, h) = size;
    let gutter = text::width(&y.label).max(1);
    let cols = w.saturating_sub(gutter + 1);
    let rows = h.saturating_sub(1);
    let usable = x.end.is_finite() && y.end.is_finite() && x.end > 0.0 && y.end > 0.0;
    if cols < 4 || rows < 2 || !usable {
        return Vec::new();
    }
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
    // The cell in which a value lies; none outside.
    let cell = |v: f64, of: f64, n: usize| {
        let at = ((v / of) * (n.saturating_sub(1)) as f64).round();
        (at >= 0.0 && at < n as f64).then_some(at as usize)
    };
    let line_at = upright.and_then(|v| cell(v, x.end, cols));
    let mut out = Vec::with_capacity(h);
    for r in 0..rows {
        let mut signs: Vec<char> = (0..cols)
            .map(|c| match dots.get(r * cols + c).copied().unwrap_or(0) {
                0 if line_at == Some(c) => '┆',
                0 => ' ',
                d => char::from_u32(0x2800 + u32::from(d)).unwrap_or(' '),
            })
            .collect();
        for (mx, my, sign) in marks {
            let here = (cell(y.end - *my, y.end, rows) == Some(r)).then(|| cell(*mx, x.end, cols)).flatten();
            if let Some(slot) = here.and_then(|c| signs.get_mut(c)) {
                *slot = *sign;
            }
        }
        let label = if r == 0 {
            y.label.as_str()
        } else if r + 1 == rows {
            "0"
        } else {
            ""
        };
        out.push(Line::from(vec![
            bit(format!("{}│", text::right(label, gutter)), theme.quiet()),
            bit(signs.into_iter().collect::<String>(), theme.text()),
        ]));
    }
    let foot = format!("{}0{}", " ".repeat(gutter + 1), text::right(&x.label, cols.saturating_sub(1)));
    out.push(Line::from(bit(foot, theme.quiet())));
    out
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
