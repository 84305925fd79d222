//! Flow, filtered flow, turnover, bypass.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::chain::Worked;
use super::words::{count, flow as lh, head, mm, number, percent, sum};
use super::{Seen, inputs};
use crate::assess::assessment::Place;
use crate::assess::budget::head_budget;
use crate::assess::case::Case;
use crate::assess::stage;
use crate::assumptions::A;
use crate::hydraulics::plan::What;
use crate::hydraulics::pump::PumpCurve;
use crate::model::filter::Impeller;
use crate::model::pump::{Curve, Taken};
use crate::model::tray::SealCondition;
use crate::uncertainty::uncertain::{Nominal, Uncertain};
use crate::units::litres_an_hour;

/// Delivered flow: where what the pump gives is what the parts take.
pub fn flow(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::pump(out, &seen.case);
    inputs::hoses(out, &seen.case);
    inputs::vessel(out, &seen.case);
    let Ok(q) = seen.told.way.flow else { return };
    pump_steps(seen, out, q);
    let (parts, gives) = head_budget(&seen.case.plan, &mut seen.clean);
    for part in &parts {
        out.step(
            format!("head lost: {}", part.part),
            part_words(&seen.case, &part.part),
            format!("{}, {}", head(part.m), percent(part.share)),
        );
    }
    if seen.case.tank.is_none_or(|t| t.hoses.outlet_above_water.si() <= 0.0) {
        out.step(
            "head lost: height of the cabinet",
            "both hose ends are under the same water, so how high the tank stands does not load the pump",
            "0 m",
        );
    }
    let taken: f64 = parts.iter().map(|p| p.m).sum();
    let terms: Vec<String> = parts.iter().map(|p| format!("{:.3}", p.m)).collect();
    out.step("head taken = sum of the parts", sum(&terms), head(taken));
    out.answer(
        "flow: where head given = head taken",
        format!("{} = {}", head(gives.unwrap_or(0.0)), head(taken)),
        lh(q),
        litres_an_hour(q),
    );
}

/// What the pump gives at a flow, step by step.
fn pump_steps(seen: &mut Seen<'_>, out: &mut Worked, q: f64) {
    let filter = seen.case.filter;
    let Some(outside) = &mut seen.clean.laws.outside else { return };
    let Some(printed) = PumpCurve::<f64>::new(&filter.pump, &Nominal) else { return };
    let speed = outside.mains * outside.impeller_ratio;
    let at = q / speed;
    let from = match filter.unit.as_ref().map(|u| &u.impeller) {
        Some(Impeller::Bucket(_)) => "impeller by the bucket test",
        _ => "impeller",
    };
    out.step(
        format!("speed = {from} × mains here / mains of its figures"),
        format!("{} × {}", number(outside.impeller_ratio), number(outside.mains)),
        number(speed),
    );
    let on_curve = printed.head(at).head;
    match &filter.pump.curve {
        Some(Curve::Ends { flow: most, head: shut }) => out.step(
            "printed head = H0 (1 − (Q/(speed Q0))^n)",
            format!(
                "{} m × (1 − ({} / ({} × {}))^{})",
                number(shut.si()),
                lh(q),
                number(speed),
                lh(most.si()),
                number(A::PumpExponent.entry().value)
            ),
            head(on_curve),
        ),
        Some(Curve::Points(points)) => out.step(
            "printed head at Q/speed, on a smooth falling curve through the points",
            format!("{} points, at {} / {}", points.len(), lh(q), number(speed)),
            head(on_curve),
        ),
        None => {}
    }
    let gives = outside.pump(q).loss / outside.weight();
    let empty = gives / speed.powi(2) - on_curve;
    if filter.pump.taken == Taken::AtPorts && empty.abs() > 1e-9 {
        out.step(
            "empty vessel's own loss, which the printed head has inside",
            format!("tube, grids, seals and joints without media, at {}", lh(at)),
            head(empty),
        );
    }
    out.step(
        "head given = speed² × (printed head + empty vessel)",
        format!("{}² × ({:.3} + {:.3})", number(speed), on_curve, empty.max(0.0)),
        head(gives),
    );
}

/// What a part of the head budget consists of.
fn part_words(case: &Case<'_>, part: &str) -> String {
    let bore = inputs::given_mm(&case.filter.hose.bore);
    let run = case.tank.map(|t| &t.hoses);
    let length = |figure: Option<f64>| number(figure.unwrap_or(A::RunLength.entry().value));
    let bends = run.map_or(A::RunBends.entry().value, |r| r.bends.si());
    let fitted = |fittings: &[crate::model::hoses::Fitting], start: &str| {
        let mut all = vec![start.to_owned()];
        all.extend(fittings.iter().map(|f| inputs::fitting_words(f).0));
        all.push(format!("{} bends", number(bends)));
        all.retain(|w| !w.is_empty());
        all.join("; ")
    };
    match part {
        "suction hose" => format!("{} m of {bore} bore", length(run.map(|r| r.suction.si()))),
        "delivery hose" => format!("{} m of {bore} bore", length(run.map(|r| r.delivery.si()))),
        "suction fittings" => fitted(&case.filter.suction, "entrance"),
        "delivery fittings" => fitted(&case.filter.delivery, ""),
        "outlet" => inputs::outlet_words(&case.filter.outlet).0,
        "height of the outlet" => run.map_or_else(String::new, |r| {
            format!("outlet {} above the water", inputs::given_mm(&r.outlet_above_water))
        }),
        "down-tube" => case.filter.body.down_tube.as_ref().map_or_else(String::new, |t| {
            format!("{} of {} bore", inputs::given_mm(&t.length), inputs::given_mm(&t.bore))
        }),
        _ => format!(
            "{} with {}, and the gaps beside them",
            count(case.filter.trays.len(), "tray"),
            count(case.plan.layers.len(), "layer")
        ),
    }
}

/// Flow in one line, for chains that start from it.
pub fn flow_step(seen: &mut Seen<'_>, out: &mut Worked) -> Option<f64> {
    inputs::pump(out, &seen.case);
    inputs::hoses(out, &seen.case);
    inputs::vessel(out, &seen.case);
    let q = seen.told.way.flow.ok()?;
    let (parts, gives) = head_budget(&seen.case.plan, &mut seen.clean);
    let most = parts.iter().max_by(|a, b| a.m.total_cmp(&b.m));
    let mostly = most.map_or_else(String::new, |p| format!(", most of it {} ({})", p.part, percent(p.share)));
    out.step(
        "flow: where head given = head taken (see `flow`)",
        format!("the pump gives {}{mostly}", head(gives.unwrap_or(0.0))),
        lh(q),
    );
    Some(q)
}

/// Flow times what does not slip past.
pub fn filtered_flow(seen: &mut Seen<'_>, out: &mut Worked) {
    let Some(q) = flow_step(seen, out) else { return };
    let Some(slips) = leak_steps(seen, out) else { return };
    out.step("bypass = sum of the leaks", "", percent(slips));
    let worked = q * (1.0 - slips);
    out.answer(
        "filtered flow = flow × (1 − bypass)",
        format!("{} × (1 − {})", lh(q), percent(slips)),
        lh(worked),
        litres_an_hour(worked),
    );
}

/// Flow over the tank's volume.
pub fn turnover(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::volume(out, &seen.case);
    let Some(q) = flow_step(seen, out) else { return };
    let Some(volume) = seen.case.tank.and_then(|t| t.volume.as_ref()).map(Uncertain::si) else { return };
    let turnover = q * 3600.0 / volume;
    out.answer(
        "turnover = flow / water in the tank",
        format!("{} / {} l", lh(q), number(volume * 1e3)),
        format!("{} 1/h", number(turnover)),
        turnover,
    );
}

/// Sum of what slips past the stage.
pub fn bypass(seen: &mut Seen<'_>, out: &mut Worked) {
    if flow_step(seen, out).is_none() {
        return;
    }
    let Some(slips) = leak_steps(seen, out) else { return };
    out.answer("bypass = sum of the leaks", "of the pumped water", percent(slips), slips);
}

/// The stage and each leak past it, clean. Their sum comes back.
fn leak_steps(seen: &Seen<'_>, out: &mut Worked) -> Option<f64> {
    out.uses(&[A::CarryOver]);
    let way = &seen.told.way;
    let (stage, _) = way.stage.as_ref()?;
    let (q, slips) = (way.flow.ok()?, way.bypass.ok()?);
    stage_step(seen, out, &way.flows, q);
    let leaks = stage::leaks(&seen.case.plan, &way.flows, &way.carried, *stage, slips);
    let mut raw = 0.0;
    let mut shares = 0.0;
    for leak in &leaks {
        let Some(p) = passage(&seen.case, leak.place) else { continue };
        let (through, untreated) = (way.flows[p], way.carried.entering[p]);
        raw += through * untreated / q;
        shares += leak.share;
        out.step(
            format!("leak: {}", leak.at),
            format!(
                "{}: {} pass, {} of it untreated",
                gap_words(seen, leak.place),
                lh(through),
                percent(untreated)
            ),
            percent(leak.share),
        );
    }
    if raw > 0.0 && (raw - slips).abs() > 0.005 {
        out.step(
            "scaled to what really reaches the pump untreated",
            format!(
                "the leaks carry {} of the pumped water; part of it meets the stage again or mixes on the way",
                percent(raw)
            ),
            format!("× {}", number(slips / raw)),
        );
    }
    // Without a gap the whole bypass is rounding.
    Some(if leaks.is_empty() { slips } else { shares })
}

/// Which stage is meant, and what crosses its media.
pub fn stage_step(seen: &Seen<'_>, out: &mut Worked, flows: &[f64], q: f64) {
    let Some((stage, _)) = &seen.told.way.stage else { return };
    let through: Vec<String> = inputs::layers(&seen.case)
        .filter(|(_, at, _)| at.role == *stage)
        .map(|(_, at, layer)| {
            format!("{}: {} through its media", inputs::layer_words(at, layer), percent(flows[at.media] / q))
        })
        .collect();
    out.step("finest mechanical stage", through.join("; "), stage.word());
}

/// The passage of a leak.
pub fn passage(case: &Case<'_>, place: Place) -> Option<usize> {
    let layer = |tray: Option<usize>, index: usize| {
        case.plan.layers.iter().find(|l| l.tray == tray && l.index == index)
    };
    let what = |found: What| case.plan.what.iter().position(|w| *w == found);
    match place {
        Place::Seal { tray } => what(What::Seal { tray }),
        Place::Joint { tray } => what(What::Joint { tray }),
        Place::Slack { tray, layer: index } => layer(tray, index)?.slack,
        Place::Hole { tray, layer: index } => layer(tray, index)?.hole,
    }
}

/// The gap in words.
pub fn gap_words(seen: &Seen<'_>, place: Place) -> String {
    let extents = &seen.clean.extents;
    let round = |tray: Option<usize>| {
        let extent = match tray {
            None => extents.floor.as_ref(),
            Some(t) => extents.trays.get(t),
        };
        extent.map_or_else(String::new, |(plan, _)| format!(" along {}", mm(plan.perimeter)))
    };
    let lain = |tray: Option<usize>, index: usize| {
        let n = seen.case.plan.layers.iter().position(|l| l.tray == tray && l.index == index)?;
        seen.clean.lain.get(n)
    };
    let filter = seen.case.filter;
    match place {
        Place::Seal { tray } => {
            let Some(seal) = filter.trays.get(tray).and_then(|t| t.seal.as_ref()) else {
                return String::new();
            };
            let word = match seal.condition {
                SealCondition::Lip => "gap",
                SealCondition::Worn => "worn, gap",
                SealCondition::Missing => "missing, gap",
            };
            format!("{word} {}{}", inputs::given_mm(&seal.gap), round(Some(tray)))
        }
        Place::Slack { tray, layer } => {
            lain(tray, layer).map_or_else(String::new, |l| format!("{} clear{}", mm(l.slack), round(tray)))
        }
        Place::Hole { tray, layer } => {
            lain(tray, layer).map_or_else(String::new, |l| format!("hole of {}", mm(l.hole)))
        }
        Place::Joint { .. } => filter
            .body
            .down_tube
            .as_ref()
            .and_then(|t| t.joint.as_ref())
            .map_or_else(String::new, |j| format!("gap {} round the tube", inputs::given_mm(j))),
    }
}
