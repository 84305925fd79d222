//! Where everything stands for a terminal of some size. Plain arithmetic on cells, so that keys (pages), mouse
//! (what was hit) and drawing agree.

use super::panes::Pane;
use super::tabs::Tab;

/// A rectangle of cells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Area {
    pub x: u16,
    pub y: u16,
    pub w: u16,
    pub h: u16,
}

impl Area {
    pub const fn new(x: u16, y: u16, w: u16, h: u16) -> Self {
        Self { x, y, w, h }
    }
    /// Whether it is large enough to be worth a frame.
    pub fn framed(self) -> bool {
        self.w >= 16 && self.h >= 5
    }
    /// What is left within the frame, if it has one.
    pub fn inner(self) -> Self {
        if self.framed() { Self::new(self.x + 1, self.y + 1, self.w - 2, self.h - 2) } else { self }
    }
    /// Whether a cell lies in it.
    pub fn holds(self, x: u16, y: u16) -> bool {
        x >= self.x && y >= self.y && x - self.x < self.w && y - self.y < self.h
    }
    /// So many of its rows from one on, as far as it reaches.
    pub fn rows(self, from: u16, h: u16) -> Self {
        let from = from.min(self.h);
        Self { y: self.y + from, h: h.min(self.h - from), ..self }
    }
    /// A rectangle of at most that size in its middle.
    pub fn centred(self, w: u16, h: u16) -> Self {
        let (w, h) = (w.min(self.w), h.min(self.h));
        Self::new(self.x + (self.w - w) / 2, self.y + (self.h - h) / 2, w, h)
    }
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    pub header: Option<Area>,
    pub body: Area,
    pub footer: Option<Area>,
    /// The screen's main pane, where it is in view.
    pub main: Option<Area>,
    /// Panes beside it, or the one shown in its place.
    pub side: Vec<(Pane, Area)>,
}

/// The parts for a size (columns, rows), a screen and the pane in focus.
pub fn parts(size: (u16, u16), tab: Tab, pane: Pane) -> Parts {
    let (w, h) = size;
    let header = (h >= 6).then(|| Area::new(0, 0, w, 1));
    let footer = (h >= 3).then(|| Area::new(0, h - 1, w, 1));
    let top = u16::from(header.is_some());
    let body = Area::new(0, top, w, h - top - u16::from(footer.is_some()));
    let mut parts = Parts { header, body, footer, main: Some(body), side: Vec::new() };
    if tab != Tab::Builds {
        return parts;
    }
    if w < 100 || body.h < 16 {
        if pane != Pane::Table {
            parts.main = None;
            parts.side.push((pane, body));
        }
        return parts;
    }
    let side = (w * 5 / 12).clamp(46, 110);
    parts.main = Some(Area::new(0, body.y, w - side, body.h));
    let count = if body.h < 24 {
        1
    } else if body.h < 52 {
        2
    } else {
        3
    };
    let group = pane.group(count);
    let whole: u16 = group.iter().map(|p| weight(*p)).sum();
    let (mut y, mut left, mut weights) = (body.y, body.h, whole.max(1));
    for p in group {
        let rows = if weights == weight(p) { left } else { left * weight(p) / weights };
        parts.side.push((p, Area::new(w - side, y, side, rows)));
        y += rows;
        left -= rows;
        weights -= weight(p);
    }
    parts
}

/// How much of the height a pane is worth beside others.
fn weight(pane: Pane) -> u16 {
    match pane {
        Pane::Table | Pane::Section => 14,
        Pane::Curve => 10,
        Pane::Head | Pane::Timeline => 8,
        Pane::Staging | Pane::Notes => 6,
    }
}

/// Rows of the table proper in an area: without its head and the line that explains the cell.
pub fn table_rows(area: Area) -> usize {
    let inner = area.inner();
    usize::from(inner.h.saturating_sub(1 + told_rows(area)))
}

/// Rows of the Diff window in an area: without the builds' names, which take two lines, and the line below
/// that shows the chosen cell whole.
pub fn diff_rows(area: Area) -> usize {
    usize::from(area.inner().h.saturating_sub(2 + told_rows(area)))
}

/// Rows kept below a table for the line that explains the cell under the cursor.
pub fn told_rows(area: Area) -> u16 {
    match area.inner().h {
        0..=3 => 0,
        4..=9 => 1,
        _ => 2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_tile_the_window_at_every_size() {
        for w in 1..=250 {
            for h in 1..=80 {
                for pane in Pane::ALL {
                    let p = parts((w, h), Tab::Builds, pane);
                    let areas: Vec<Area> = p
                        .header
                        .iter()
                        .chain(p.footer.iter())
                        .chain(p.main.iter())
                        .chain(p.side.iter().map(|(_, a)| a))
                        .copied()
                        .collect();
                    let cells: u32 = areas.iter().map(|a| u32::from(a.w) * u32::from(a.h)).sum();
                    assert_eq!(cells, u32::from(w) * u32::from(h), "{w}x{h} {pane:?}");
                    assert!(areas.iter().all(|a| a.x + a.w <= w && a.y + a.h <= h));
                }
            }
        }
    }
}
