//! Where everything stands for a terminal of some size. Plain arithmetic on cells, so that keys (pages), mouse
//! (what was hit) and drawing agree.

use super::panes::Pane;
use super::{Tab, View};

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
    /// What is left of a pane below its title, and beside the rule that parts it from the pane on its left.
    pub fn inner(self) -> Self {
        let (side, title) = (u16::from(self.x > 0 && self.w > 1), u16::from(self.h > 1));
        Self::new(self.x + side, self.y + title, self.w - side, self.h - title)
    }
    /// What is left within the frame of what lies over a screen.
    pub fn framed(self) -> Self {
        if self.w < 4 || self.h < 3 {
            return self;
        }
        Self::new(self.x + 1, self.y + 1, self.w - 2, self.h - 2)
    }
    /// The same with a blank column at its left.
    pub fn inset(self) -> Self {
        let by = u16::from(self.w > 1);
        Self { x: self.x + by, w: self.w - by, ..self }
    }
    /// Left part and right part, which has so many columns and begins with the rule between them.
    pub fn split(self, right: u16) -> (Self, Self) {
        let left = self.w.saturating_sub(right);
        (Self { w: left, ..self }, Self { x: self.x + left, w: self.w - left, ..self })
    }
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

/// Columns from which panes stand beside the table.
pub const WIDE: u16 = 120;

/// The parts for a size (columns, rows), a screen, what is wanted of Builds, and the pane in focus.
pub fn parts(size: (u16, u16), tab: Tab, view: View, pane: Pane) -> Parts {
    let (w, h) = size;
    let head = match h {
        0..=5 => 0,
        6..=9 => 1,
        _ => 2,
    };
    let header = (head > 0).then(|| Area::new(0, 0, w, head));
    let footer = (h >= 3).then(|| Area::new(0, h - 1, w, 1));
    let body = Area::new(0, head, w, h - head - u16::from(footer.is_some()));
    let mut parts = Parts { header, body, footer, main: Some(body), side: Vec::new() };
    if tab != Tab::Builds {
        return parts;
    }
    if w < WIDE || body.h < 16 || view != View::Both {
        if pane != Pane::Table {
            parts.main = None;
            parts.side.push((pane, body));
        }
        return parts;
    }
    let (main, side) = body.split((41 + (w - WIDE) / 8).min(81));
    parts.main = Some(main);
    let count = match body.h {
        0..=23 => 1,
        24..=51 => 2,
        _ => 3,
    };
    let group = pane.group(count);
    let whole: u16 = group.iter().map(|p| weight(*p)).sum();
    let (mut from, mut left, mut weights) = (0, side.h, whole.max(1));
    for p in group {
        let rows = if weights == weight(p) { left } else { left * weight(p) / weights };
        parts.side.push((p, side.rows(from, rows)));
        from += rows;
        left -= rows;
        weights -= weight(p);
    }
    parts
}

/// How much of the height a pane is worth beside others.
fn weight(pane: Pane) -> u16 {
    match pane {
        Pane::Table | Pane::Inside => 20,
        Pane::Curve | Pane::Opening => 12,
        Pane::Slows => 17,
        Pane::Order | Pane::Suits | Pane::Notes => 10,
    }
}

/// Rows of a table's head: names have two lines where there is room.
pub fn head_rows(area: Area) -> u16 {
    if area.inner().h >= 8 { 2 } else { 1 }
}

/// Rows kept below a table for the figure under the cursor: its title and what is said of it.
pub fn strip_rows(area: Area) -> u16 {
    match area.inner().h {
        0..=4 => 0,
        5..=11 => 1,
        12..=28 => 2,
        _ => 6,
    }
}

pub fn table_rows(area: Area) -> usize {
    usize::from(area.inner().h.saturating_sub(head_rows(area) + strip_rows(area)))
}
