//! Room, media, mass, cabinet, staging.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::chain::Worked;
use super::words::{count, kilograms, litres, mm, number, percent, square_cm, sum};
use super::{Seen, inputs};
use crate::assess::case::Case;
use crate::assumptions::A;
use crate::hydraulics::beds::void;
use crate::hydraulics::vessel::Vessel;
use crate::media_order;
use crate::model::medium::Role;
use crate::space;
use crate::uncertainty::uncertain::{Nominal, Uncertain};

/// Floor and trays with their outline and height.
fn rooms(vessel: &Vessel<f64>) -> Vec<(String, crate::model::outline::Plan<f64>, f64)> {
    let extents = &vessel.extents;
    let floor = extents.floor.iter().map(|(plan, height)| ("floor".to_owned(), *plan, *height));
    let trays = extents.trays.iter().enumerate();
    floor.chain(trays.map(|(t, (plan, height))| (format!("tray {}", t + 1), *plan, *height))).collect()
}

/// What trays and floor could hold.
pub fn capacity(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::spaces(out, &seen.case);
    let mut total = 0.0;
    let mut terms = Vec::new();
    for (name, plan, height) in rooms(&seen.clean) {
        let room = plan.area * height;
        total += room;
        terms.push(number(room * 1e3));
        let fills = if plan.has_box() {
            format!("; its rectangle wastes {}", percent(1.0 - plan.area / (plan.width * plan.depth)))
        } else {
            String::new()
        };
        out.step(
            format!("{name}: area × height"),
            format!("{} × {}{fills}", square_cm(plan.area), mm(height)),
            litres(room),
        );
    }
    if !terms.is_empty() {
        out.answer("capacity = floor + trays", sum(&terms), litres(total), total * 1e3);
    }
}

fn media_steps(seen: &Seen<'_>, out: &mut Worked, counts: impl Fn(Role) -> bool) -> (f64, Vec<String>) {
    let mut total = 0.0;
    let mut terms = Vec::new();
    for (n, at, layer) in inputs::layers(&seen.case) {
        if !counts(at.role) {
            continue;
        }
        let lain = &seen.clean.lain[n];
        total += lain.volume();
        terms.push(number(lain.volume() * 1e3));
        let pressed = if lain.pressed > 0.0 {
            format!(", pressed from {}", mm(lain.free_depth))
        } else {
            String::new()
        };
        out.step(
            format!("{}: area × height it stands", inputs::layer_words(at, layer)),
            format!("{} × {}{pressed}", square_cm(lain.area), mm(lain.standing)),
            litres(lain.volume()),
        );
    }
    (total, terms)
}

/// All media.
pub fn media(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    let (total, terms) = media_steps(seen, out, |_| true);
    out.answer("media = sum of the layers", sum(&terms), litres(total), total * 1e3);
}

/// Biological media.
pub fn bio_media(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    let (total, terms) = media_steps(seen, out, |role| role == Role::Biological);
    out.answer("biological media = sum of such layers", sum(&terms), litres(total), total * 1e3);
}

/// Media over the outside box.
pub fn media_share(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    let (total, terms) = media_steps(seen, out, |_| true);
    out.step("media = sum of the layers", sum(&terms), litres(total));
    let Some(outside) = &seen.case.filter.body.outside else { return };
    inputs::cuboid(out, "outside", outside);
    let (w, d, h) = (outside.width.si(), outside.depth.si(), outside.height.si());
    out.step("outside box", format!("{} × {} × {}", mm(w), mm(d), mm(h)), litres(w * d * h));
    let used = total / (w * d * h);
    out.answer(
        "used space = media / outside box",
        format!("{} / {}", litres(total), litres(w * d * h)),
        percent(used),
        used,
    );
}

/// Faults of order, one by one.
pub fn staging(seen: &mut Seen<'_>, out: &mut Worked) {
    let stack: Vec<String> =
        inputs::layers(&seen.case).map(|(_, _, layer)| layer.medium.role.word().to_owned()).collect();
    out.step("the water meets", if stack.is_empty() { "no media".to_owned() } else { stack.join(", ") }, "");
    for (_, at, layer) in inputs::layers(&seen.case) {
        let name = inputs::layer_words(at, layer);
        out.said(name, layer.medium.role.word(), crate::uncertainty::uncertain::Provenance::Stated);
    }
    let found = media_order::faults(seen.case.filter, seen.case.build);
    for fault in &found {
        out.step(
            format!("{} at {}", fault.rule.key().replace('_', " "), fault.at()),
            fault.says.clone(),
            "1 fault",
        );
    }
    out.answer(
        "faults = rules of order broken, place by place: common practice, no source",
        "",
        count(found.len(), "fault"),
        found.len() as f64,
    );
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

/// Water in the vessel, m3; none where nothing is known of it.
pub fn water_inside(case: &Case<'_>, vessel: &Vessel<f64>) -> Option<f64> {
    (!rooms(vessel).is_empty()).then(|| inside(case, vessel).water)
}

/// What has to be lifted.
pub fn full_weight(seen: &mut Seen<'_>, out: &mut Worked) {
    let body = &seen.case.filter.body;
    inputs::spaces(out, &seen.case);
    inputs::laid(out, &seen.case);
    inputs::temperature(out, &seen.case);
    if let Some(head) = &body.head_space {
        out.input("head space", head, "l");
    }
    if let Some(tube) = &body.down_tube {
        out.input("down-tube bore", &tube.bore, "mm");
        out.input("down-tube length", &tube.length, "mm");
    }
    let mut dry = 0.0;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let medium = &layer.medium;
        inputs::of_medium(out, medium, "dry mass", &medium.dry, "kg/l");
        let volume = seen.clean.lain[n].free_volume();
        let own = medium.dry.si() * volume;
        dry += own;
        out.step(
            format!("dry media: {}", inputs::layer_words(at, layer)),
            format!("{} × {} kg/l", litres(volume), number(medium.dry.si() * 1e-3)),
            kilograms(own),
        );
    }
    let inside = inside(&seen.case, &seen.clean);
    out.step(
        "inside = floor and trays + head space + tube",
        format!("{} + {} + {}", litres(inside.capacity), litres(inside.head), litres(inside.tube)),
        litres(inside.capacity + inside.head + inside.tube),
    );
    out.step(
        "water = inside − solid matter of the media; open pores fill with water",
        format!("{} − {}", litres(inside.capacity + inside.head + inside.tube), litres(inside.solids)),
        litres(inside.water),
    );
    let Some(mass) = &body.dry_mass else { return };
    out.input("vessel, empty and dry", mass, "kg");
    let density = seen.clean.water.density;
    let wet = mass.si() + dry + inside.water * density;
    out.answer(
        "wet mass = vessel + dry media + water × density",
        format!(
            "{} + {} + {} × {} kg/l",
            kilograms(mass.si()),
            kilograms(dry),
            litres(inside.water),
            number(density * 1e-3)
        ),
        kilograms(wet),
        wet,
    );
}

/// The vessel in the cabinet.
pub fn fits(seen: &mut Seen<'_>, out: &mut Worked) {
    out.uses(&[A::HoseClearance]);
    let bore = &seen.case.filter.hose.bore;
    out.input("hose bore", bore, "mm");
    let Some(outside) = &seen.case.filter.body.outside else { return };
    inputs::cuboid(out, "outside", outside);
    let Some(cabinet) = seen.case.tank.and_then(|t| t.cabinet.as_ref()) else { return };
    inputs::cuboid(out, "cabinet", cabinet);
    let (w, d) = (outside.width.si(), outside.depth.si());
    let (cw, cd) = (cabinet.width.si(), cabinet.depth.si());
    let yes = |yes: bool| if yes { "yes" } else { "no" };
    let straight = w <= cw && d <= cd;
    let turned = d <= cw && w <= cd;
    out.step(
        "as it stands: width and depth within the cabinet's",
        format!("{} by {} in {} by {}", mm(w), mm(d), mm(cw), mm(cd)),
        yes(straight),
    );
    out.step(
        "turned: width and depth within the cabinet's",
        format!("{} by {} in {} by {}", mm(d), mm(w), mm(cw), mm(cd)),
        yes(turned),
    );
    let bores = A::HoseClearance.entry().value;
    let needs = outside.height.si() + bores * bore.si();
    let stands = needs <= cabinet.height.si();
    out.step(
        "height + room for the hose bends above the ports",
        format!(
            "{} + {} × {} = {} in {}",
            mm(outside.height.si()),
            number(bores),
            mm(bore.si()),
            mm(needs),
            mm(cabinet.height.si())
        ),
        yes(stands),
    );
    let fits = (straight || turned) && stands;
    out.answer(
        "fits = one way round, and in height",
        format!("({} or {}) and {}", yes(straight), yes(turned), yes(stands)),
        yes(fits),
        f64::from(u8::from(fits)),
    );
}
