//! Where everything of the cut vessel stands, in px: one scale for heights and widths alike.

use crate::assess::Section;
use crate::assess::assessment::Space;
use crate::model::Way;

/// Largest drawing of trays and floor, px.
const WIDEST: f64 = 330.0;
const HIGHEST: f64 = 470.0;
/// Px a millimetre: small filters are not blown up without end, large ones stay visible.
const SCALES: (f64, f64) = (0.12, 3.2);
/// Width of a space whose outline has no known box, where no other tells, mm.
const UNKNOWN_MM: f64 = 200.0;
/// Gap between a tray and the wall, px: as drawn, far wider than it is.
pub const GAP: f64 = 16.0;
/// Head space that nobody gave, px.
const HEAD_UNKNOWN: f64 = 26.0;
/// Room for the column of heights at the left.
pub const LEFT: f64 = 100.0;
pub const RIGHT: f64 = 236.0;
pub const WALL: f64 = 4.0;
pub const LID: f64 = 60.0;
pub const TOP: f64 = 128.0;

#[derive(Clone, Copy, Debug)]
pub struct Slot<'a> {
    /// Which tray; none is the floor.
    pub tray: Option<usize>,
    pub space: &'a Space,
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Slot<'_> {
    pub fn width(&self) -> f64 {
        self.x.1 - self.x.0
    }
    /// Top and bottom of a layer, those that stand too high cut off at the tray's top.
    pub fn layer(&self, layer: usize, scale: f64) -> (f64, f64) {
        let below: f64 = self.space.layers.iter().take(layer).map(|l| l.height_mm.max(0.0)).sum();
        let height = self.space.layers.get(layer).map_or(0.0, |l| l.height_mm.max(0.0));
        let at = |mm: f64| (self.y.1 - mm * scale).max(self.y.0);
        (at(below + height), at(below))
    }
    pub fn filled_to(&self, scale: f64) -> f64 {
        self.space.layers.len().checked_sub(1).map_or(self.y.1, |last| self.layer(last, scale).0)
    }
}

#[derive(Debug)]
pub struct Frame<'a> {
    /// Px a millimetre.
    pub scale: f64,
    /// Inner left and right of the vessel.
    pub inside: (f64, f64),
    /// Inner left and right of the down pipe.
    pub tube: Option<(f64, f64)>,
    /// Top and bottom of the water above the trays.
    pub head: (f64, f64),
    /// Trays from the top down, then the floor.
    pub slots: Vec<Slot<'a>>,
    pub bottom: f64,
    pub middle: f64,
    pub pump: f64,
    pub width: f64,
}

impl<'a> Frame<'a> {
    pub fn new(section: &'a Section) -> Self {
        let spaces = || section.trays.iter().chain(section.floor.iter());
        let known = spaces().filter_map(|s| s.box_mm).map(|(w, _)| sound(w)).fold(0.0, f64::max);
        let widest = if known > 0.0 { known } else { UNKNOWN_MM };
        let high: f64 =
            spaces().map(|s| sound(s.height_mm)).sum::<f64>() + section.head_mm.map_or(0.0, sound);
        let scale = (WIDEST / widest).min(HIGHEST / high.max(1.0)).clamp(SCALES.0, SCALES.1);
        // A lone tall tube of a filter still needs room for a letter.
        let trays = (widest * scale).max(64.0);
        let bore = section.tube_mm.map(|mm| (sound(mm) * scale).clamp(15.0, 60.0));
        let left = LEFT + WALL;
        let tube = bore.map(|w| (left + 7.0, left + 7.0 + w));
        let from = tube.map_or(left, |t| t.1 + 3.0) + GAP;
        let right = from + trays + GAP;
        let middle = from + trays / 2.0;
        let wide = |s: &Space| s.box_mm.map_or(trays, |(w, _)| (sound(w) * scale).clamp(48.0, trays));
        let head_high = section.head_mm.map_or(HEAD_UNKNOWN, |mm| (sound(mm) * scale).clamp(10.0, 420.0));
        let mut y = TOP + LID;
        let head = (y, y + head_high);
        y = head.1;
        let mut slots = Vec::new();
        let numbered = section.trays.iter().enumerate().rev().map(|(t, s)| (Some(t), s));
        for (tray, space) in numbered.chain(section.floor.iter().map(|s| (None, s))) {
            let high = (sound(space.height_mm) * scale).max(7.0);
            let w = wide(space);
            // The floor of the vessel reaches under the tube.
            let x = if tray.is_none() { (left, right) } else { (middle - w / 2.0, middle + w / 2.0) };
            slots.push(Slot { tray, space, x, y: (y, y + high) });
            y += high;
        }
        let bottom = if section.floor.is_none() { y + 12.0 } else { y };
        let pump = match (section.way, tube) {
            (Way::Falling, Some((a, b))) => f64::midpoint(a, b).max(left + 26.0),
            _ => middle + trays * 0.24,
        };
        Self {
            scale,
            inside: (left, right),
            tube,
            head,
            slots,
            bottom,
            middle,
            pump,
            width: right + WALL + RIGHT,
        }
    }
    pub fn outer(&self) -> f64 {
        self.inside.1 + WALL
    }
    pub fn column(&self) -> f64 {
        self.outer() + 32.0
    }
    pub fn slot(&self, tray: Option<usize>) -> Option<&Slot<'a>> {
        self.slots.iter().find(|s| s.tray == tray)
    }
    pub fn tube_end(&self) -> f64 {
        self.slot(None).map_or(self.bottom - 6.0, |floor| floor.y.0 + (floor.y.1 - floor.y.0) * 0.42)
    }
}

fn sound(mm: f64) -> f64 {
    if mm.is_finite() { mm.clamp(0.0, 1e5) } else { 0.0 }
}
