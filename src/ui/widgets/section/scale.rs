//! Heights to rows: one at least for each thing, the rest shared out in proportion (Sainte-Laguë's method).

use crate::assess::assessment::Space;
use crate::assess::{Section, Slab};

/// Free height below which nothing is drawn, mm.
const WORTH_SHOWING: f64 = 2.0;

pub struct Item<'a> {
    pub what: What<'a>,
    /// Tray and, for a layer, which one; no tray is floor or lid.
    pub place: Option<(usize, Option<usize>)>,
    /// The uppermost of its tray.
    pub first: bool,
    pub rows: usize,
}

pub enum What<'a> {
    Head {
        mm: f64,
    },
    // Free height in a tray or the floor.
    Free {
        mm: f64,
        /// Nothing lies in that tray at all.
        empty: bool,
    },
    Layer {
        slab: &'a Slab,
        /// Which, from the bottom.
        layer: usize,
    },
    Grid,
}

impl Item<'_> {
    pub fn tray(&self) -> Option<usize> {
        self.place.map(|(tray, _)| tray)
    }
    fn mm(&self) -> f64 {
        let mm = match &self.what {
            What::Head { mm } | What::Free { mm, .. } => *mm,
            What::Layer { slab, .. } => slab.height_mm,
            What::Grid => 0.0,
        };
        if mm.is_finite() { mm.max(0.0) } else { 0.0 }
    }
}

/// Everything from the lid down, with its rows; `room` is exceeded where one row each needs more.
pub fn items(section: &Section, room: usize) -> Vec<Item<'_>> {
    let mut out = Vec::new();
    if let Some(mm) = section.head_mm.filter(|mm| *mm > 0.0) {
        out.push(Item { what: What::Head { mm }, place: None, first: false, rows: 1 });
    }
    for (i, tray) in section.trays.iter().enumerate().rev() {
        space(&mut out, tray, Some(i));
        out.push(Item { what: What::Grid, place: Some((i, None)), first: false, rows: 1 });
    }
    if let Some(floor) = &section.floor {
        space(&mut out, floor, None);
    }
    if out.len() > room {
        out.retain(|item| !matches!(item.what, What::Grid));
    }
    share_out(&mut out, room);
    out
}

fn space<'a>(out: &mut Vec<Item<'a>>, space: &'a Space, tray: Option<usize>) {
    let filled: f64 = space.layers.iter().map(|l| l.height_mm).sum();
    let free = space.height_mm - filled;
    let begin = out.len();
    let empty = space.layers.is_empty();
    if free > WORTH_SHOWING || empty {
        let what = What::Free { mm: free.max(0.0), empty };
        out.push(Item { what, place: tray.map(|t| (t, None)), first: false, rows: 1 });
    }
    for (layer, slab) in space.layers.iter().enumerate().rev() {
        let what = What::Layer { slab, layer };
        out.push(Item { what, place: tray.map(|t| (t, Some(layer))), first: false, rows: 1 });
    }
    if let Some(item) = out.get_mut(begin) {
        item.first = true;
    }
}

fn share_out(items: &mut [Item<'_>], room: usize) {
    for _ in items.len()..room {
        let next =
            items.iter_mut().filter(|i| i.mm() > 0.0).max_by(|a, b| quotient(a).total_cmp(&quotient(b)));
        match next {
            Some(item) => item.rows += 1,
            None => return,
        }
    }
}

fn quotient(item: &Item<'_>) -> f64 {
    item.mm() / (2 * item.rows + 1) as f64
}
