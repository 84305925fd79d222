//! Trays and floor: what lies in them, how high, and which way the water crosses them.

use super::super::canvas::{PLAIN, QUIET, SLIPS, STRONG, Type, n};
use super::super::plot::{Wish, apart};
use super::frame::{Frame, GAP, RIGHT, Slot, TOP};
use crate::assess::assessment::LeakPlace;
use crate::assess::findings::WORTH_MARKING;
use crate::assess::{Leak, Slab};
use crate::model::{SealCondition, Way};
use crate::report::figures::{self, Units};
use crate::report::{Canvas, TextAnchor};

/// A layer at least so high and wide holds its own name, px.
const NAMED: (f64, f64) = (17.0, 130.0);
/// A layer at least so high has room for a second line, px.
const TWO_LINES: f64 = 38.0;
/// Room for a role's letter before its name, px.
const BADGE: f64 = 24.0;
/// Slack thinner than a line would not be seen, px.
const THIN: f64 = 7.0;

/// The look of a wall; dotted where its size is assumed.
pub fn wall(assumed: bool) -> &'static str {
    if assumed { "wall2 c-ink dot" } else { "wall2 c-ink" }
}

/// What is drawn with one space after the other.
pub struct Inside<'f, 'a> {
    pub frame: &'f Frame<'a>,
    pub way: Way,
    pub units: Units,
}

impl Inside<'_, '_> {
    /// Shapes of a space: walls, layers, grid, seals, arrows.
    pub fn shapes(&self, c: &mut Canvas, slot: &Slot<'_>) {
        let (x, y) = (slot.x, slot.y);
        for (i, slab) in slot.space.layers.iter().enumerate() {
            self.slab(c, slot, i, slab);
        }
        self.arrows(c, slot);
        if slot.tray.is_none() {
            return;
        }
        for side in [x.0, x.1] {
            c.path(wall(slot.space.assumed), &format!("M{} {}V{}", n(side), n(y.0 + 1.5), n(y.1)));
        }
        self.seals(c, slot);
    }

    pub fn grid(&self, c: &mut Canvas, slot: &Slot<'_>) {
        if slot.tray.is_none() {
            return;
        }
        let (x, y) = (slot.x, slot.y);
        c.line("grid", (x.0, y.1 - 1.3), (x.1, y.1 - 1.3));
        let size = (slot.width() / 60.0).clamp(3.0, 5.0);
        for share in [0.25, 0.5, 0.75] {
            let at = x.0 + slot.width() * share;
            let tip = if self.way == Way::Rising { -size } else { size };
            let base = y.1 - 1.3;
            c.polyline(
                "h-water",
                &[(at, base + tip * 1.3), (at - size, base - tip * 0.6), (at + size, base - tip * 0.6)],
                true,
            );
        }
    }

    fn slab(&self, c: &mut Canvas, slot: &Slot<'_>, i: usize, slab: &Slab) {
        let (top, bottom) = slot.layer(i, self.frame.scale);
        let (x0, x1) = self.across(slot, slab);
        let share = slab.share.map(|s| format!(", {} of the water through it", figures::share(s)));
        c.open(&format!(
            "{} ({}), {}{}",
            slab.name,
            slab.role.called(),
            figures::length(slab.height_mm, self.units),
            share.unwrap_or_default()
        ));
        c.hatched(slab.role, (x0, top), (x1 - x0, bottom - top));
        for (dimpled, (y, sweep)) in slab.dimpled().into_iter().zip([(top, 1), (bottom, 0)]) {
            if dimpled {
                c.path("void", &dimples((x0, x1), y, sweep));
            }
        }
        if let Some((a, b)) = self.hole(slot, slab) {
            c.rect("hole", (a, top), (b - a, bottom - top), 0.0);
        }
        c.close();
    }

    /// Left and right of a layer, its slack left free.
    pub fn across(&self, slot: &Slot<'_>, slab: &Slab) -> (f64, f64) {
        let slack = if slab.slack_mm > 0.0 && slab.slack_mm.is_finite() {
            (slab.slack_mm * self.frame.scale).clamp(THIN, slot.width() * 0.2)
        } else {
            0.0
        };
        (slot.x.0 + slack, slot.x.1 - slack)
    }

    /// Left and right of the hole through a layer, to scale but never thinner than can be seen.
    pub fn hole(&self, slot: &Slot<'_>, slab: &Slab) -> Option<(f64, f64)> {
        let mm = slab.hole_mm.filter(|mm| mm.is_finite() && *mm > 0.0)?;
        let wide = (mm * self.frame.scale).clamp(8.0, slot.width() * 0.4);
        let middle = slot.x.0 + slot.width() * 0.77;
        Some((middle - wide / 2.0, middle + wide / 2.0))
    }

    fn seals(&self, c: &mut Canvas, slot: &Slot<'_>) {
        let Some((condition, _)) = slot.space.seal else { return };
        let (class, reach) = match condition {
            SealCondition::Lip => ("seal", 1.0),
            SealCondition::Worn => ("seal-worn", 0.55),
            SealCondition::Missing => return,
        };
        let y = slot.y.1 - 4.5;
        // From the tray's edge to the wall; narrower trays have further to go.
        for (edge, wall) in [
            (slot.x.0, self.frame.tube.map_or(self.frame.inside.0, |t| t.1 + 3.0)),
            (slot.x.1, self.frame.inside.1),
        ] {
            let wide = (wall - edge) * reach;
            let from = if wide < 0.0 { edge + wide } else { edge };
            c.rect(class, (from, y), (wide.abs(), 4.5), 2.0);
        }
    }

    fn arrows(&self, c: &mut Canvas, slot: &Slot<'_>) {
        let top = slot.y.0 + 3.0;
        let bottom = slot.filled_to(self.frame.scale) - 3.0;
        if bottom - top < 13.0 {
            return;
        }
        let long = (bottom - top).min(44.0);
        let middle = f64::midpoint(top, bottom);
        let (low, high) = (middle + long / 2.0, middle - long / 2.0);
        let places: &[f64] = match (slot.tray, slot.width() > 150.0) {
            (None, true) => &[0.3, 0.86],
            (Some(_), true) => &[0.1, 0.9],
            (_, false) => &[0.85],
        };
        for share in places {
            let x = slot.x.0 + slot.width() * share;
            match self.way {
                Way::Rising => c.arrow("water", (x, low), (x, high), 2.2),
                Way::Falling => c.arrow("water", (x, high), (x, low), 2.2),
            }
        }
    }

    /// Words of a space; those for which there is no room go to the column beside it.
    pub fn words(&self, c: &mut Canvas, slot: &Slot<'_>, callouts: &mut Vec<Callout>) {
        for (i, slab) in slot.space.layers.iter().enumerate() {
            self.name(c, slot, (i, slab), callouts);
        }
        let (top, bottom) = (slot.y.0, slot.filled_to(self.frame.scale));
        let free = bottom - top;
        let said = match (slot.tray, slot.space.layers.is_empty()) {
            (None, true) if self.way == Way::Rising => "settling space".to_owned(),
            (None, true) => "space under the trays".to_owned(),
            (Some(_), true) => "nothing in this tray".to_owned(),
            (_, false) => {
                let stands: f64 = slot.space.layers.iter().map(|l| l.height_mm).sum();
                format!("{} free", figures::length((slot.space.height_mm - stands).max(0.0), self.units))
            }
        };
        let room = slot.width() * 0.66;
        if free >= 15.0 && QUIET.width(&said) <= room {
            let at = if slot.tray.is_none() {
                f64::midpoint(slot.x.0, slot.x.1) + 14.0
            } else {
                self.frame.middle
            };
            c.text(QUIET, (at, f64::midpoint(top, bottom) + 4.0), TextAnchor::Middle, &said);
        } else if slot.space.layers.is_empty() {
            let at = (slot.x.1 - 4.0, f64::midpoint(top, bottom));
            callouts.push(Callout::plain(at, vec![(PLAIN, said)]));
        }
        if slot.space.excess_mm > 0.0 {
            let said = format!("! stands {} too high", figures::length(slot.space.excess_mm, self.units));
            callouts.push(Callout::slips(
                (slot.x.1 - 2.0, slot.y.0 + 4.0),
                vec![(super::super::canvas::SLIPS, said)],
            ));
        }
    }

    fn name(&self, c: &mut Canvas, slot: &Slot<'_>, (i, slab): (usize, &Slab), callouts: &mut Vec<Callout>) {
        let (top, bottom) = slot.layer(i, self.frame.scale);
        let (x0, x1) = self.across(slot, slab);
        let x1 = self.hole(slot, slab).map_or(x1, |(a, _)| a);
        // The down pipe ends in the floor: its words stand beside it.
        let x0 = self.frame.tube.filter(|_| slot.tray.is_none()).map_or(x0, |t| x0.max(t.1 + 34.0));
        let (high, room) = (bottom - top, x1 - x0 - 20.0 - BADGE);
        let tall = figures::length(slab.height_mm, self.units);
        let litres = figures::volume(slab.litres, self.units);
        let share = slab.share.map(|s| format!(" · {} of the water", figures::share(s))).unwrap_or_default();
        let sayings = [format!("{tall} · {litres}{share}"), format!("{tall}{share}"), tall.clone()];
        let most = |room: f64| {
            sayings
                .iter()
                .find(|s| QUIET.width(s) <= room)
                .map_or_else(|| QUIET.fit(&tall, room), Clone::clone)
        };
        let letter = slab.role.letter();
        if high < NAMED.0 || room < NAMED.1 {
            let room = super::frame::RIGHT - 46.0;
            let name = STRONG.fit(&format!("{letter}  {}", slab.name), room);
            callouts.push(Callout::plain(
                (x1 - 5.0, f64::midpoint(top, bottom)),
                vec![(STRONG, name), (QUIET, most(room))],
            ));
            return;
        }
        let two = high >= TWO_LINES;
        let more = most(room);
        let line = if two {
            STRONG.fit(&slab.name, room)
        } else {
            let tail = format!(" · {tall}");
            format!("{}{tail}", STRONG.fit(&slab.name, room - STRONG.width(&tail)))
        };
        let wide = STRONG.width(&line).max(if two { QUIET.width(&more) } else { 0.0 }) + BADGE;
        let x = f64::midpoint(x0, x1) - wide / 2.0;
        let y = f64::midpoint(top, bottom);
        let tall = if two { 34.0 } else { 17.0_f64.min(high) };
        c.rect("plate", (x - 5.0, y - tall / 2.0), (wide + 8.0, tall), 6.0);
        c.text(STRONG, (x + 9.0, y + 4.5), TextAnchor::Middle, &letter.to_string());
        c.line("rule c-quiet", (x + 18.5, y - tall / 2.0 + 4.0), (x + 18.5, y + tall / 2.0 - 4.0));
        let first = if two { y - 3.5 } else { y + 4.5 };
        c.text(STRONG, (x + BADGE, first), TextAnchor::Left, &line);
        if two {
            c.text(QUIET, (x + BADGE, y + 12.0), TextAnchor::Left, &more);
        }
    }
}

/// About how far apart hollows of a dimpled side stand on paper.
const DIMPLE: f64 = 14.0;

/// Hollows along a dimpled side, cut into the pad: half circles from left to right; `sweep` 1 below the edge, 0 above.
fn dimples((x0, x1): (f64, f64), y: f64, sweep: u8) -> String {
    let count = ((x1 - x0) / DIMPLE).floor().max(1.0);
    let (each, r) = ((x1 - x0) / count, (x1 - x0) / count * 0.36);
    let centres = (0..count as usize).map(|i| x0 + (i as f64 + 0.5) * each);
    let one =
        |x: f64| format!("M{} {}A{r} {r} 0 0 {} {} {}Z", n(x - r), n(y), 1 - sweep, n(x + r), n(y), r = n(r));
    centres.map(one).collect()
}

/// Words beside the vessel, with a line to their place.
#[derive(Debug)]
pub struct Callout {
    at: (f64, f64),
    lines: Vec<(Type, String)>,
    slips: bool,
}

impl Callout {
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
            // In the middle of the gap, at its right where that is wide.
            let x = f64::midpoint(slot.x.1, frame.inside.1).max(frame.inside.1 - GAP / 2.0);
            Some(upright(x, y - 21.0, y + 15.0, y + 8.0))
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
