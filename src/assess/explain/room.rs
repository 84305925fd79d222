//! Room, media, mass, cabinet, order.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::inputs;
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Case, Seen, Trace};
use crate::assumptions::A;
use crate::hydraulics::beds::void;
use crate::hydraulics::vessel::Vessel;
use crate::model::{Layer, Role};
use crate::uncertainty::{Nominal, Provenance, Uncertain};
use crate::{media_order, space};

/// Floor and trays with their outline and height.
fn rooms(vessel: &Vessel<f64>) -> Vec<(String, crate::model::outline::Plan<f64>, f64)> {
    let extents = &vessel.extents;
    let floor = extents.floor.iter().map(|(plan, height)| ("floor".to_owned(), *plan, *height));
    let trays = extents.trays.iter().enumerate();
    floor.chain(trays.map(|(t, (plan, height))| (format!("tray {}", t + 1), *plan, *height))).collect()
}

pub fn tray_space(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::spaces(out, &seen.case);
    let mut terms = Vec::new();
    for (name, plan, height) in rooms(&seen.clean) {
        let room = plan.area * height;
        let fills = if plan.has_box() {
            let wasted = (1.0 - plan.area / (plan.width * plan.depth)) * 100.0;
            format!("; its rectangle wastes {wasted:.0} %")
        } else {
            String::new()
        };
        out.step(Eq::Room, parts![Words name, Area plan.area, Length height, Words fills, Volume room]);
        terms.push(Value::Volume(room));
    }
    if !terms.is_empty() {
        sum(out, Eq::TraySpace, terms);
    }
}

/// The measure as a sum of volumes, in litres.
fn sum(out: &mut Trace, eq: Eq, terms: Vec<Value>) {
    let terms = Value::Sum(terms);
    let total = terms.number().unwrap_or(0.0);
    out.answer(eq, [terms, Value::Volume(total)], total * 1e3);
}

fn media_steps(seen: &Seen<'_>, out: &mut Trace, counts: impl Fn(Role) -> bool) -> Vec<Value> {
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    let mut terms = Vec::new();
    for (n, at, layer) in inputs::layers(&seen.case).filter(|(_, at, _)| counts(at.role)) {
        let lain = &seen.clean.lain[n];
        let (name, volume) = (inputs::layer_words(at, layer), lain.volume());
        out.step(Eq::Layer, parts![Words name, Area lain.area, Length lain.standing, Volume volume]);
        terms.push(Value::Volume(volume));
    }
    terms
}

pub fn media(seen: &mut Seen<'_>, out: &mut Trace) {
    let terms = media_steps(seen, out, |_| true);
    sum(out, Eq::Media, terms);
}

pub fn bio_media(seen: &mut Seen<'_>, out: &mut Trace) {
    let terms = media_steps(seen, out, |role| role == Role::Biological);
    sum(out, Eq::BioMedia, terms);
}

pub fn media_share(seen: &mut Seen<'_>, out: &mut Trace) {
    let terms = Value::Sum(media_steps(seen, out, |_| true));
    let media = terms.number().unwrap_or(0.0);
    out.step(Eq::MediaSum, [terms, Value::Volume(media)]);
    let Some(outside) = &seen.case.filter.body.outside else { return };
    inputs::cuboid(out, "outside", outside);
    let sides = [outside.width.si(), outside.depth.si(), outside.height.si()];
    let whole: f64 = sides.iter().product();
    out.step(Eq::OutsideBox, [sides.map(Value::Length).as_slice(), &[Value::Volume(whole)]].concat());
    out.answer(Eq::MediaShare, parts![Volume media, Volume whole, Share media / whole], media / whole);
}

pub fn order_faults(seen: &mut Seen<'_>, out: &mut Trace) {
    let roles: Vec<&str> =
        inputs::layers(&seen.case).map(|(_, _, layer)| layer.medium.role.called()).collect();
    let roles = if roles.is_empty() { "no media".to_owned() } else { roles.join(", ") };
    out.step(Eq::Meets, [roles.into()]);
    for (_, at, layer) in inputs::layers(&seen.case) {
        out.said(inputs::layer_words(at, layer), layer.medium.role.called(), Provenance::Stated);
    }
    let found = media_order::faults(seen.case.filter, seen.case.build);
    for fault in &found {
        let rule = fault.rule.key().replace('_', " ");
        out.step(Eq::OrderFault, [rule.into(), fault.at().into(), fault.says.clone().into()]);
    }
    out.answer(Eq::OrderFaults, [Value::Count(found.len(), "fault")], found.len() as f64);
}

/// Vessel's inside, solids in it and water in it, m3.
struct Inside {
    capacity: f64,
    head: f64,
    tube: f64,
    solids: f64,
    water: f64,
}

fn inside(case: &Case<'_>, vessel: &Vessel<f64>) -> Inside {
    let body = &case.filter.body;
    let rooms: Vec<(f64, f64)> =
        rooms(vessel).into_iter().map(|(_, plan, height)| (plan.area, height)).collect();
    let capacity = space::capacity(&rooms);
    let head = body.head_space.as_ref().map_or(0.0, Uncertain::si);
    let tube = body.down_tube.as_ref().map_or(0.0, |t| space::tube(t.bore.si(), t.length.si()));
    let solids = inputs::layers(case)
        .map(|(n, _, layer)| {
            let inner = layer.medium.inner.si().clamp(0.0, 1.0);
            space::solid(vessel.lain[n].free_volume(), void(&layer.medium.bed, &Nominal), inner)
        })
        .sum();
    Inside { capacity, head, tube, solids, water: space::water(space::vessel(capacity, head, tube), solids) }
}

/// Dry mass of a layer as a step; it comes back, kg.
pub fn dry_step(seen: &Seen<'_>, out: &mut Trace, eq: Eq, n: usize, name: &str, layer: &Layer) -> f64 {
    let dry = &layer.medium.dry;
    out.input(format!("{}, dry mass", layer.medium.name), dry, "kg/l");
    let volume = seen.clean.lain[n].free_volume();
    let own = dry.si() * volume;
    out.step(eq, [name.into(), Value::Volume(volume), Value::In(dry.si() * 1e-3, "kg/l"), Value::Mass(own)]);
    own
}

pub fn full_weight(seen: &mut Seen<'_>, out: &mut Trace) {
    let body = &seen.case.filter.body;
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    inputs::temperature(out, &seen.case);
    if let Some(head) = &body.head_space {
        out.input("head space", head, "l");
    }
    if let Some(tube) = &body.down_tube {
        out.input("down pipe bore", &tube.bore, "mm");
        out.input("down pipe length", &tube.length, "mm");
    }
    let dry: f64 = inputs::layers(&seen.case)
        .map(|(n, at, layer)| dry_step(seen, out, Eq::DryMedia, n, &inputs::layer_words(at, layer), layer))
        .sum();
    let inside = inside(&seen.case, &seen.clean);
    let whole = inside.capacity + inside.head + inside.tube;
    out.step(Eq::Inside, [inside.capacity, inside.head, inside.tube, whole].map(Value::Volume));
    out.step(Eq::WaterInside, [whole, inside.solids, inside.water].map(Value::Volume));
    let Some(mass) = &body.dry_mass else { return };
    out.input("vessel, empty and dry", mass, "kg");
    let density = seen.clean.water.density;
    let full = mass.si() + dry + inside.water * density;
    let water = [Value::Volume(inside.water), Value::In(density * 1e-3, "kg/l"), Value::Mass(full)];
    out.answer(Eq::FullWeight, [[mass.si(), dry].map(Value::Mass).as_slice(), &water].concat(), full);
}

pub fn fits_cabinet(seen: &mut Seen<'_>, out: &mut Trace) {
    out.uses(&[A::HoseClearance]);
    let bore = &seen.case.filter.hose.bore;
    out.input("hose bore", bore, "mm");
    let Some(outside) = &seen.case.filter.body.outside else { return };
    inputs::cuboid(out, "outside", outside);
    let Some(cabinet) = seen.case.tank.and_then(|t| t.cabinet.as_ref()) else { return };
    inputs::cuboid(out, "cabinet", cabinet);
    let (w, d) = (outside.width.si(), outside.depth.si());
    let (cw, cd) = (cabinet.width.si(), cabinet.depth.si());
    let yes = |yes: bool| Value::from(if yes { "yes" } else { "no" });
    let mut within = |eq: Eq, w: f64, d: f64| {
        let within = w <= cw && d <= cd;
        out.step(eq, [[w, d, cw, cd].map(Value::Length).as_slice(), &[yes(within)]].concat());
        within
    };
    let (straight, turned) = (within(Eq::Straight, w, d), within(Eq::Turned, d, w));
    let bores = A::HoseClearance.entry().value;
    let needs = outside.height.si() + bores * bore.si();
    let stands = needs <= cabinet.height.si();
    let (own, room) = (outside.height.si(), cabinet.height.si());
    let [a, b, c, d, e] = parts![Length own, Number bores, Length bore.si(), Length needs, Length room];
    out.step(Eq::Height, [a, b, c, d, e, yes(stands)]);
    let fits = (straight || turned) && stands;
    out.answer(Eq::Fits, [straight, turned, stands, fits].map(yes), f64::from(u8::from(fits)));
}
