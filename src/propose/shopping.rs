//! What a restack asks for: media to buy, what they cost, what the vessel then weighs, and which old media to
//! keep running beside it so that the tank does not lose its bacteria.

use std::sync::Arc;

use super::allowed::held;
use crate::assess::judge_build;
use crate::measures::Measure;
use crate::model::tray::lay;
use crate::model::{Build, Filter, Layer, LayerGeometry, Medium, Role, Shape, Tank};
use crate::order::InOrder;
use crate::uncertainty::{Nominal, Uncertain};

/// Less than this is rounding, not a purchase, m3.
const NOTHING: f64 = 1e-6;
/// Lengths closer than this are the same, m.
const SAME: f64 = 1e-5;

#[derive(Clone, Debug, PartialEq)]
pub struct Shopping {
    /// Every medium of the new stack, in the order of its layers.
    pub items: Vec<Item>,
    /// What is to be bought costs, whole sheets and bags paid; none when a price is not known.
    pub cost: Option<f64>,
    /// The restacked vessel, full of water, kg.
    pub full_weight: Option<f64>,
    /// Old media to keep running beside it for the first weeks, m3 of bed.
    pub keep: Vec<(Arc<Medium>, f64)>,
    /// Old media that have no place in it any more, m3 of bed.
    pub left_out: Vec<(Arc<Medium>, f64)>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    pub medium: Arc<Medium>,
    /// Free bed needed, m3.
    pub needed: f64,
    /// Of that from what comes with the unit, lies in it already, or is on hand, m3.
    pub owned: f64,
    /// It comes with the unit, whatever lies in it.
    pub comes: bool,
    /// To be bought, m3.
    pub buy: f64,
    /// What is bought weighs dry, kg.
    pub buy_mass: f64,
    /// What has to be paid for, m3: pads by the sheet, off-cuts included; whole bags where it is sold in such.
    pub paid: f64,
    /// What is paid costs; none when its price is not known.
    pub cost: Option<f64>,
    /// Pads of it, thickest last.
    pub pads: Vec<Pads>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pads {
    /// Thickness, m.
    pub thickness: f64,
    pub count: usize,
    /// Width and depth of the sheet each is cut from, m; none where the outline's box is not known.
    pub sheet: Option<(f64, f64)>,
    /// Share of that sheet which is cut away; none where the outline's box is not known.
    pub waste: Option<f64>,
}

/// What of so much bed of a medium has to be paid for, m3. A pad whose outline's box is not known counts as it is.
fn paid(medium: &Medium, buy: f64, pads: &[Pads]) -> f64 {
    let (mut bed, mut sheets) = (0.0, 0.0);
    for pads in pads {
        let Some(((width, depth), waste)) = pads.sheet.zip(pads.waste) else { return buy };
        let volume = width * depth * pads.thickness * pads.count as f64;
        sheets += volume;
        bed += volume * (1.0 - waste);
    }
    let whole = if bed > 0.0 { buy * sheets / bed } else { buy };
    match medium.sold.as_ref().map(Uncertain::si) {
        Some(bag) if bag > 0.0 => (whole / bag - 1e-6).ceil().max(0.0) * bag,
        _ => whole,
    }
}

/// What a restack costs in all: the unit's price, its repairs, and the media; none where one of them is not told.
pub fn spent(filter: &Filter, shopping: &Shopping) -> Option<f64> {
    let asking = crate::cost::asking_price::<f64>(filter, &Nominal).ok()?;
    let repairs = crate::cost::repair_cost::<f64>(filter, None, &[], &Nominal).ok()?;
    Some(asking + repairs + shopping.cost?)
}

/// Bed to be bought, m3.
pub fn to_buy(filter: &Filter, old: &Build, new: &Build, tank: &Tank) -> f64 {
    let needed = held(filter, new, Some(tank));
    let (there, old, new) = (held(filter, old, Some(tank)), pads(filter, old), pads(filter, new));
    needed.iter().map(|(medium, volume)| item(filter, tank, medium, *volume, &there, &old, &new).buy).sum()
}

/// What `new` asks for when `old` lies in the filter. Media that come with the unit count without limit, as
/// everywhere; loose media of the old stack are used again; of its pads only those as thick, without a hole, and
/// cut no smaller than a new one.
pub fn of(filter: &Filter, old: &Build, new: &Build, tank: &Tank) -> Shopping {
    let needed = held(filter, new, Some(tank));
    let there = held(filter, old, Some(tank));
    let (old_pads, new_pads) = (pads(filter, old), pads(filter, new));
    let items: Vec<Item> = needed
        .iter()
        .map(|(medium, volume)| item(filter, tank, medium, *volume, &there, &old_pads, &new_pads))
        .collect();
    let cost = items.iter().map(|item| item.cost).sum();
    // A pad that is too small or too thick does not go back in, so what lives in it goes with it.
    let used = |medium: &Medium| {
        if medium.is_pad() {
            used_again(&of_medium(&old_pads, &medium.id), &of_medium(&new_pads, &medium.id))
        } else {
            needed.iter().find(|(m, _)| m.id == medium.id).map_or(0.0, |(_, v)| *v)
        }
    };
    let left = |(medium, volume): &(Arc<Medium>, f64)| {
        let left = volume - used(medium);
        (left > NOTHING).then(|| (Arc::clone(medium), left))
    };
    let left_out: Vec<(Arc<Medium>, f64)> = there.iter().filter_map(left).collect();
    let stays: Vec<&Medium> = there.iter().map(|(m, _)| &**m).filter(|m| used(m) > NOTHING).collect();
    Shopping {
        items,
        cost,
        full_weight: judge_build(filter, new, Some(tank)).outcome(Measure::FullWeight).number(),
        keep: keep(&there, &stays, &left_out),
        left_out,
    }
}

/// Old biological media that are not used again; where the old stack had none, whatever else living it loses,
/// unless some of that stays in it and carries the tank.
fn keep(
    old: &[(Arc<Medium>, f64)],
    stays: &[&Medium],
    left_out: &[(Arc<Medium>, f64)],
) -> Vec<(Arc<Medium>, f64)> {
    let biological = |m: &Medium| m.role == Role::Biological;
    let living = |m: &Medium| m.surface.as_ref().is_some_and(|s| s.si() > 0.0);
    let had = old.iter().any(|(m, _)| biological(m));
    let carried = stays.iter().any(|m| living(m));
    left_out
        .iter()
        .filter(|(m, _)| if had { biological(m) } else { living(m) && !carried })
        .cloned()
        .collect()
}

fn item(
    filter: &Filter,
    tank: &Tank,
    medium: &Arc<Medium>,
    needed: f64,
    there: &[(Arc<Medium>, f64)],
    old: &[Pad],
    new: &[Pad],
) -> Item {
    let comes = filter.unit.as_ref().is_some_and(|unit| unit.includes.contains(&medium.id));
    let held = if medium.is_pad() {
        used_again(&of_medium(old, &medium.id), &of_medium(new, &medium.id))
    } else {
        there.iter().filter(|(m, _)| m.id == medium.id).map(|(_, v)| v).sum()
    };
    let on_hand: f64 =
        tank.on_hand.iter().filter(|held| held.medium == medium.id).map(|held| held.volume.si()).sum();
    let owned = if comes { needed } else { (held + on_hand).min(needed) };
    let lack = needed - owned;
    let buy = if lack > NOTHING { lack } else { 0.0 };
    let price = medium.price.as_ref().map(Uncertain::si);
    let pads = counted(&of_medium(new, &medium.id));
    let paid = if buy > 0.0 { paid(medium, buy, &pads) } else { 0.0 };
    Item {
        medium: Arc::clone(medium),
        needed,
        owned,
        comes,
        buy,
        buy_mass: buy * medium.dry.si(),
        paid,
        cost: if buy > 0.0 { price.map(|price| price * paid * 1e3) } else { Some(0.0) },
        pads,
    }
}

fn of_medium<'a>(pads: &[Pad<'a>], id: &str) -> Vec<Pad<'a>> {
    pads.iter().filter(|p| p.id == id).copied().collect()
}

#[derive(Clone, Copy, Debug)]
struct Pad<'a> {
    id: &'a str,
    thickness: f64,
    area: f64,
    volume: f64,
    whole: bool,
    sheet: Option<(f64, f64)>,
}

fn pads<'a>(filter: &Filter, build: &'a Build) -> Vec<Pad<'a>> {
    let floor = filter.body.floor.iter().map(|f| (&f.shape, f.height.si(), &build.floor));
    let trays = filter.trays.iter().zip(&build.trays).map(|(t, layers)| (&t.shape, t.height.si(), layers));
    floor.chain(trays).flat_map(|(shape, height, layers)| in_room(shape, height, layers)).collect()
}

fn in_room<'a>(shape: &Shape, height: f64, layers: &'a [Layer]) -> Vec<Pad<'a>> {
    let plan = shape.plan(height, &Nominal);
    let lain: Vec<LayerGeometry<f64>> = lay(layers, plan.area, plan.perimeter, height, &Nominal);
    let pad = |(layer, lain): (&'a Layer, &LayerGeometry<f64>)| Pad {
        id: &layer.medium.id,
        thickness: lain.free_depth,
        area: lain.area,
        volume: lain.free_volume(),
        whole: layer.hole.is_none() && layer.squeezed.is_none(),
        sheet: plan.has_box().then_some((plan.width, plan.depth)),
    };
    layers.iter().zip(&lain).filter(|(layer, _)| layer.medium.is_pad()).map(pad).collect()
}

/// Volume of new pads that old ones can stand in for, each old one once.
fn used_again(old: &[Pad<'_>], new: &[Pad<'_>]) -> f64 {
    let mut old = old.to_vec();
    let mut volume = 0.0;
    for pad in new {
        let fits = |o: &Pad<'_>| {
            o.whole && (o.thickness - pad.thickness).abs() < SAME && o.area >= pad.area * (1.0 - 1e-6)
        };
        if let Some(at) = old.iter().position(fits) {
            old.remove(at);
            volume += pad.volume;
        }
    }
    volume
}

fn counted(pads: &[Pad<'_>]) -> Vec<Pads> {
    let mut out: Vec<Pads> = Vec::new();
    for pad in pads {
        let waste = pad.sheet.map(|(width, depth)| (1.0 - pad.area / (width * depth)).max(0.0));
        let same = |p: &&mut Pads| {
            (p.thickness - pad.thickness).abs() < SAME
                && p.sheet == pad.sheet
                && p.waste.zip(waste).is_none_or(|(a, b)| (a - b).abs() < 1e-9)
        };
        match out.iter_mut().find(same) {
            Some(p) => p.count += 1,
            None => out.push(Pads { thickness: pad.thickness, count: 1, sheet: pad.sheet, waste }),
        }
    }
    out.order_by(|a, b| a.thickness.total_cmp(&b.thickness));
    out
}
