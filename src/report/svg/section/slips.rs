//! Where water slips past: an arrow at each place, as thick as its share, and words beside the vessel.

use super::super::canvas::{Canvas, QUIET, SLIPS, TextAnchor, Type, n};
use super::super::plot::{Wish, apart};
use super::frame::{Frame, RIGHT, TOP};
use super::inside::{Inside, seal_gap};
use crate::assess::assessment::{Leak, LeakPlace};
use crate::assess::findings::WORTH_MARKING;
use crate::model::filter::Way;
use crate::report::figures;

/// Words beside the vessel, with a line to their place.
#[derive(Debug)]
pub struct Callout {
    at: (f64, f64),
    lines: Vec<(Type, String)>,
    slips: bool,
}

impl Callout {
    /// About water that slips past.
    pub fn slips(at: (f64, f64), lines: Vec<(Type, String)>) -> Self {
        Self { at, lines, slips: true }
    }
    pub fn plain(at: (f64, f64), lines: Vec<(Type, String)>) -> Self {
        Self { at, lines, slips: false }
    }
    fn height(&self) -> f64 {
        self.lines.iter().map(|(look, _)| look.line()).sum::<f64>() + 7.0
    }
}

pub fn leaks(c: &mut Canvas, inside: &Inside<'_, '_>, leaks: &[Leak], callouts: &mut Vec<Callout>) {
    for leak in leaks.iter().filter(|l| l.share >= WORTH_MARKING) {
        let Some(((x0, y0), (x1, y1), at)) = way_of(inside, leak.place) else { continue };
        let width = 1.6 + 5.0 * leak.share.clamp(0.0, 1.0).sqrt();
        let now = figures::share(leak.share);
        let said = leak.share_at_service.map_or_else(
            || format!("{now} of the water"),
            |late| format!("{now} → {} when dirty", figures::share(late)),
        );
        c.open(&format!("{}: {said}", leak.at));
        c.arrow("slips", (x0, y0), (x1, y1), width);
        c.close();
        let room = RIGHT - 46.0;
        callouts.push(Callout::slips(
            at,
            vec![(SLIPS, SLIPS.fit(&leak.at, room)), (QUIET, QUIET.fit(&said, room))],
        ));
    }
}

/// Both ends of a leak's arrow, and where the line to its words starts.
type Stroke = ((f64, f64), (f64, f64), (f64, f64));

fn way_of(inside: &Inside<'_, '_>, place: LeakPlace) -> Option<Stroke> {
    let frame = inside.frame;
    let upright = |x: f64, top: f64, bottom: f64, words: f64| match inside.way {
        Way::Rising => ((x, bottom), (x, top), (x, words)),
        Way::Falling => ((x, top), (x, bottom), (x, words)),
    };
    // Lines to the words start at different heights for the three kinds, so that they stay apart.
    match place {
        LeakPlace::Seal { tray } => {
            let slot = frame.slot(Some(tray))?;
            let y = slot.y.1;
            Some(upright(seal_gap(frame, slot), y - 21.0, y + 15.0, y + 8.0))
        }
        LeakPlace::Slack { tray, layer } => {
            let slot = frame.slot(tray)?;
            let (_, x1) = inside.across(slot, slot.space.layers.get(layer)?);
            let (top, bottom) = slot.layer(layer, frame.scale);
            let x = f64::midpoint(x1, slot.x.1);
            let (above, below) = ((top - 9.0).max(slot.y.0), (bottom + 6.0).min(slot.y.1));
            Some(upright(x, above, below, f64::midpoint(top, bottom)))
        }
        LeakPlace::Hole { tray, layer } => {
            let slot = frame.slot(tray)?;
            let (a, b) = inside.hole(slot, slot.space.layers.get(layer)?)?;
            let (top, bottom) = slot.layer(layer, frame.scale);
            let words = top + (bottom - top).min(12.0) / 3.0;
            Some(upright(f64::midpoint(a, b), top - 9.0, bottom + 6.0, words))
        }
        LeakPlace::Joint { tray } => {
            let slot = frame.slot(Some(tray))?;
            let (a, b) = frame.tube?;
            let (y, inner, outer) = (slot.y.0 + 2.0, f64::midpoint(a, b), slot.x.0 + 16.0);
            Some(match inside.way {
                Way::Rising => ((inner, y), (outer, y), (outer, y)),
                Way::Falling => ((outer, y), (inner, y), (outer, y)),
            })
        }
    }
}

/// Lays the words out in their column, each with its line; gives the column's end.
pub fn column(c: &mut Canvas, frame: &Frame<'_>, callouts: &[Callout]) -> f64 {
    let wishes: Vec<Wish> = callouts.iter().map(|one| Wish { at: one.at.1, height: one.height() }).collect();
    let middles = apart(&wishes, TOP - 6.0);
    let mut end: f64 = 0.0;
    for ((one, middle), wish) in callouts.iter().zip(&middles).zip(&wishes) {
        let x = frame.column();
        let bend = frame.outer() + 9.0;
        let class = if one.slips { "hair c-slips" } else { "hair c-quiet" };
        c.path(
            class,
            &format!(
                "M{} {}H{}L{} {}H{}",
                n(one.at.0),
                n(one.at.1),
                n(bend),
                n(x - 9.0),
                n(*middle),
                n(x - 4.0)
            ),
        );
        c.circle(if one.slips { "s-slips" } else { "s-quiet" }, one.at, 2.2);
        let mut y = middle - wish.height / 2.0 + 3.5;
        for (look, said) in &one.lines {
            c.text(*look, (x, y + look.size * 0.95), TextAnchor::Left, said);
            y += look.line();
        }
        end = end.max(middle + wish.height / 2.0);
    }
    end
}
