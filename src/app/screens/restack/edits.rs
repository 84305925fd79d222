//! What each key changes, as edits of the working copy.

use std::sync::Arc;

use super::list;
use crate::model::edit::Place;
use crate::model::{Amount, Dimples, Edit, Layer, Medium, Seal, SealCondition, Way, Workpiece, ranges};
use crate::place::Space;
use crate::propose::SLACK_MM;
use crate::uncertainty::{Field, Provenance, Spot, Uncertain};
use crate::units::{Length, Mass, Quantity, Volume};

/// Thickness a new pad gets where it fits, mm: the middle of those in the trade.
const NEW_PAD_MM: f64 = 25.0;
/// Thickness loose media get where they are not laid on top, mm.
const NEW_LOOSE_MM: f64 = 30.0;
/// A layer is not made thinner than this to make room for another, mm.
const THINNEST_MM: f64 = 5.0;
/// Least depth of a layer, mm.
const LEAST_MM: f64 = 1.0;
/// Gaps of seals whose condition was set by hand, mm. Our own choice, as guessed as a look at the rubber is.
const GAPS_MM: [(SealCondition, f64); 3] =
    [(SealCondition::Lip, 0.05), (SealCondition::Worn, 0.4), (SealCondition::Missing, 1.5)];

pub type Named = (Edit, String);

/// A figure as the reader would take it from a file, written plainly in the field's own unit.
pub fn plain<Q: Quantity>(
    piece: &Workpiece,
    at: Place,
    field: &'static Field,
    number: f64,
) -> Option<Uncertain<Q>> {
    let unit = Q::UNITS.iter().find(|u| u.name == field.unit);
    let si = unit.map_or(number, |u| u.to_si(number));
    let space = Space::of(at.0);
    let mut made: Uncertain<Q> =
        piece.figure(Spot::from(space).item(at.1).part(field.name), field, si, Provenance::Stated)?;
    made.spread = field.printed.spread(made.known, false, made.si());
    Some(made)
}

/// A depth, rounded down to a tenth of a millimetre so that what filled a space still fits it.
fn depth(piece: &Workpiece, at: Place, mm: f64) -> Option<Amount> {
    let tenths = ((mm + 1e-6) * 10.0).floor() / 10.0;
    plain::<Length>(piece, at, &ranges::LAYER_DEPTH, tenths.max(LEAST_MM)).map(Amount::Depth)
}

/// The layer that fills a tray to the top gives way: it gets a depth, less what comes on top of it.
fn give_way(piece: &Workpiece, tray: Option<usize>, added_mm: f64) -> Option<Edit> {
    let layers = list::layers(piece, tray);
    let at = (tray, layers.len().checked_sub(1)?);
    layers.last().filter(|l| l.amount == Amount::Rest)?;
    let now = list::lain(piece, tray).last()?.free_depth * 1e3;
    let less = now - added_mm;
    let mm = if less >= THINNEST_MM { less } else { now };
    Some(Edit::SetAmount { at, amount: depth(piece, at, mm)? })
}

/// A new layer of a medium at a place; what it makes of one that fills the tray comes with it.
pub fn add(piece: &Workpiece, at: Place, medium: &Arc<Medium>) -> Option<Named> {
    let layers = list::layers(piece, at.0);
    let top = at.1 >= layers.len();
    let filled = layers.last().is_some_and(|l| l.amount == Amount::Rest);
    let (_, height) = piece.plan(at.0).ok()?;
    let used: f64 = list::lain(piece, at.0).iter().map(|l| l.standing).sum();
    let left = if filled { 0.0 } else { (height - used) * 1e3 };
    let wish = if medium.is_pad() { NEW_PAD_MM } else { NEW_LOOSE_MM };
    let mm = if left >= THINNEST_MM { wish.min(left) } else { wish };
    let amount = if top && !medium.is_pad() && !filled && left >= THINNEST_MM {
        Amount::Rest
    } else {
        depth(piece, at, mm)?
    };
    // A well cut pad still leaves a little clear width at its edge.
    let slack = if medium.is_pad() { plain(piece, at, &ranges::SLACK, SLACK_MM) } else { None };
    let layer =
        Layer { medium: Arc::clone(medium), amount, slack, hole: None, squeezed: None, dimples: None };
    let way = if top && filled { give_way(piece, at.0, mm) } else { None };
    let lay = Edit::AddLayer { at, layer: Box::new(layer) };
    Some((all(way, lay), format!("{} added", medium.name)))
}

fn all(first: Option<Edit>, then: Edit) -> Edit {
    match first {
        Some(first) => Edit::All(vec![first, then]),
        None => then,
    }
}

/// Moves a layer one place up or down, into the next space at its end; and where it then lies.
pub fn shift(piece: &Workpiece, at: Place, up: bool) -> Option<(Named, Place)> {
    let layer = piece.layer(at)?;
    let count = list::layers(piece, at.0).len();
    let within = if up { (at.1 + 1 < count).then_some(at.1 + 1) } else { at.1.checked_sub(1) };
    let to = if let Some(index) = within {
        (at.0, index)
    } else {
        let order = list::order(piece);
        let here = order.iter().position(|tray| *tray == at.0)?;
        let next = if up { here.checked_sub(1)? } else { here.checked_add(1)? };
        let tray = *order.get(next)?;
        (tray, if up { 0 } else { list::layers(piece, tray).len() })
    };
    let target = list::layers(piece, to.0).len() - usize::from(to.0 == at.0);
    let lain = list::lain(piece, at.0);
    let lain = lain.get(at.1)?;
    let mut edits = Vec::new();
    if layer.amount == Amount::Rest && to.1 < target {
        // Under another it can no longer fill the rest.
        edits.push(Edit::SetAmount { at, amount: depth(piece, at, lain.free_depth * 1e3)? });
    }
    if layer.amount != Amount::Rest && to.1 == target {
        let added = if to.0 == at.0 { 0.0 } else { lain.standing * 1e3 };
        edits.extend(give_way(piece, to.0, added));
    }
    if layer.amount == Amount::Rest && to.1 == target && to.0 != at.0 {
        edits.extend(give_way(piece, to.0, NEW_LOOSE_MM));
    }
    edits.push(Edit::MoveLayer { from: at, to });
    let edit = if edits.len() == 1 { edits.pop()? } else { Edit::All(edits) };
    Some(((edit, format!("{} moved", layer.medium.name)), to))
}

pub fn remove(piece: &Workpiece, at: Place) -> Option<Named> {
    let layer = piece.layer(at)?;
    Some((Edit::RemoveLayer { at }, format!("{} taken out", layer.medium.name)))
}

/// Thicker or thinner by so many steps: millimetres of a depth, tenths of a litre, 50 g. Wide steps go to round
/// figures.
pub fn trim(piece: &Workpiece, at: Place, steps: i32, wide: bool) -> Option<Named> {
    let layer = piece.layer(at)?;
    let amount = match &layer.amount {
        Amount::Depth(d) => {
            let mm = stepped(d.si() * 1e3, steps, if wide { 5.0 } else { 1.0 }, wide).max(LEAST_MM);
            Amount::Depth(plain(piece, at, &ranges::LAYER_DEPTH, mm)?)
        }
        Amount::Volume(v) => {
            let litres = stepped(v.si() * 1e3, steps, if wide { 0.1 } else { 0.02 }, wide).max(0.02);
            Amount::Volume(plain::<Volume>(piece, at, &ranges::LAYER_VOLUME, tidy(litres))?)
        }
        Amount::Mass(m) => {
            let kg = stepped(m.si(), steps, if wide { 0.05 } else { 0.01 }, wide).max(0.01);
            Amount::Mass(plain::<Mass>(piece, at, &ranges::LAYER_MASS, tidy(kg))?)
        }
        Amount::Rest => {
            let mm = list::lain(piece, at.0).get(at.1)?.free_depth * 1e3;
            let mm = stepped(mm, steps, if wide { 5.0 } else { 1.0 }, wide).max(LEAST_MM);
            Amount::Depth(plain(piece, at, &ranges::LAYER_DEPTH, mm)?)
        }
    };
    let word = if steps < 0 { "thinner" } else { "thicker" };
    Some((Edit::SetAmount { at, amount }, format!("{} {word}", layer.medium.name)))
}

/// So many steps on; wide ones to the next multiple of the step.
fn stepped(from: f64, steps: i32, step: f64, wide: bool) -> f64 {
    if !wide {
        return tidy(from + f64::from(steps) * step);
    }
    // Rounding must not make a step of nothing.
    let at = from / step;
    let whole = if steps > 0 { (at + 1e-6).floor() } else { (at - 1e-6).ceil() };
    tidy((whole + f64::from(steps)) * step)
}

/// Without the dust of sums.
fn tidy(x: f64) -> f64 {
    (x * 1e3).round() / 1e3
}

/// Fills what is left: the top layer to the top, any other by as much as the space has left.
pub fn fill(piece: &Workpiece, at: Place) -> Option<Named> {
    let layer = piece.layer(at)?;
    let said = format!("{} filled up", layer.medium.name);
    if at.1 + 1 == list::layers(piece, at.0).len() && !layer.medium.is_pad() {
        return Some((Edit::SetAmount { at, amount: Amount::Rest }, said));
    }
    let lain = list::lain(piece, at.0);
    let (_, height) = piece.plan(at.0).ok()?;
    let used: f64 = lain.iter().map(|l| l.standing).sum();
    let own = lain.get(at.1)?;
    let standing = own.standing + height - used;
    let amount = depth(piece, at, standing / (1.0 - own.pressed) * 1e3)?;
    Some((Edit::SetAmount { at, amount }, said))
}

pub fn swap(piece: &Workpiece, at: Place, medium: &Arc<Medium>) -> Option<Named> {
    let layer = piece.layer(at)?;
    let said = format!("{} instead of {}", medium.name, layer.medium.name);
    Some((Edit::SetMedium { at, medium: Arc::clone(medium) }, said))
}

/// Clear width at a pad's edge, mm; 0 closes it.
pub fn slack(piece: &Workpiece, at: Place, mm: f64) -> Option<Named> {
    let slack = if mm > 0.0 { Some(plain::<Length>(piece, at, &ranges::SLACK, tidy(mm))?) } else { None };
    Some((Edit::SetSlack { at, slack }, format!("edge gap of {}", piece.layer(at)?.medium.name)))
}

/// A round hole, mm; 0 mends it.
pub fn hole(piece: &Workpiece, at: Place, mm: f64) -> Option<Named> {
    let hole = if mm > 0.0 { Some(plain::<Length>(piece, at, &ranges::HOLE, tidy(mm))?) } else { None };
    Some((Edit::SetHole { at, hole }, format!("hole in {}", piece.layer(at)?.medium.name)))
}

/// Share a pad is pressed by; 0 leaves it free.
pub fn squeeze(piece: &Workpiece, at: Place, share: f64) -> Option<Named> {
    let squeezed = if share > 0.0 { Some(plain(piece, at, &ranges::SQUEEZED, tidy(share))?) } else { None };
    Some((Edit::SetSqueezed { at, squeezed }, format!("squeeze of {}", piece.layer(at)?.medium.name)))
}

pub fn amount(piece: &Workpiece, at: Place, amount: Amount) -> Option<Named> {
    Some((Edit::SetAmount { at, amount }, format!("amount of {}", piece.layer(at)?.medium.name)))
}

/// The next side for dimples: none, towards the water, away from it, both.
pub fn turn(piece: &Workpiece, at: Place) -> Option<Named> {
    let (towards, away) = match piece.filter.way {
        Way::Rising => (Dimples::Down, Dimples::Up),
        Way::Falling => (Dimples::Up, Dimples::Down),
    };
    let layer = piece.layer(at)?;
    let dimples = match layer.dimples {
        None => Some(towards),
        Some(d) if d == towards => Some(away),
        Some(d) if d == away => Some(Dimples::Both),
        Some(_) => None,
    };
    Some((Edit::SetDimples { at, dimples }, format!("dimples of {}", layer.medium.name)))
}

fn seal_spot(tray: usize) -> Spot {
    Spot::from(Space::Tray(tray)).part("seal")
}

/// The next condition of a tray's seal, with a gap that goes with it; as it was, where it was so.
pub fn seal(piece: &Workpiece, first: &Workpiece, tray: usize) -> Option<Named> {
    let of = |piece: &'_ Workpiece| piece.filter.trays.get(tray).and_then(|t| t.seal.clone());
    let now = of(piece).map(|s| s.condition);
    let at = now.and_then(|now| GAPS_MM.iter().position(|(c, _)| *c == now)).map_or(0, |i| i + 1);
    let (condition, mm) = GAPS_MM.get(at % GAPS_MM.len()).copied()?;
    let gap = piece.figure(seal_spot(tray), &ranges::GAP, mm * 1e-3, Provenance::Guessed)?;
    let seal = match of(first) {
        Some(was) if was.condition == condition => was,
        _ => Seal { condition, gap },
    };
    let said = format!("seal of tray {}", tray + 1);
    Some((Edit::SetSeal { tray, seal: Some(seal) }, said))
}

pub fn gap(piece: &Workpiece, tray: usize, mm: f64) -> Option<Named> {
    let seal = piece.filter.trays.get(tray)?.seal.as_ref()?;
    let unit = Length::UNITS.first()?;
    let mut gap: Uncertain<Length> =
        piece.figure(seal_spot(tray), &ranges::GAP, unit.to_si(tidy(mm.max(0.0))), Provenance::Stated)?;
    gap.spread = ranges::GAP.printed.spread(gap.known, false, gap.si());
    let seal = Seal { condition: seal.condition, gap };
    Some((Edit::SetSeal { tray, seal: Some(seal) }, format!("seal of tray {}", tray + 1)))
}
