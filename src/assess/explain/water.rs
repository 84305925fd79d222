//! Flow, filtered flow, turnover, bypass.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::inputs;
use crate::assess::assessment::LeakPlace;
use crate::assess::pictures::head_budget;
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Case, Seen, Trace, stage};
use crate::assumptions::A;
use crate::hydraulics::plan::What;
use crate::hydraulics::pump::PumpCurve;
use crate::hydraulics::transport::Carried;
use crate::message::{Amount, Message, message};
use crate::model::pump::{Curve, Taken};
use crate::model::{Impeller, SealCondition};
use crate::uncertainty::{Nominal, Uncertain};
use crate::units::litres_an_hour;

fn inputs(out: &mut Trace, case: &Case<'_>) {
    inputs::pump(out, case);
    inputs::hoses(out, case);
    inputs::vessel(out, case);
}

/// Delivered flow: where what the pump gives is what the parts take.
pub fn flow(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs(out, &seen.case);
    let Ok(q) = seen.told.way.flow else { return };
    let gives = pump_steps(seen, out, q);
    let (parts, _) = head_budget(&seen.case.plan, &mut seen.clean);
    for part in &parts {
        let what = part_words(&seen.case, &part.part);
        let name = part.part.clone();
        out.step(Eq::HeadLost, parts![Words name, Words what, Head part.m, Share part.share]);
    }
    if seen.case.tank.is_none_or(|t| t.hoses.outlet_above_water.si() <= 0.0) {
        out.step(Eq::Cabinet, []);
    }
    let taken = Value::Head(parts.iter().map(|p| p.m).sum());
    let terms = Value::Sum(parts.iter().map(|p| Value::Head(p.m)).collect());
    out.step(Eq::HeadTaken, [terms, taken.clone()]);
    out.answer(Eq::Flow, [Value::Head(gives), taken, Value::Flow(q)], litres_an_hour(q));
}

/// What the pump gives at a flow, step by step; the head comes back, m.
fn pump_steps(seen: &mut Seen<'_>, out: &mut Trace, q: f64) -> f64 {
    let filter = seen.case.filter;
    let Some(outside) = &mut seen.clean.laws.outside else { return 0.0 };
    let Some(printed) = PumpCurve::<f64>::new(&filter.pump, &filter.id, &Nominal) else { return 0.0 };
    let speed = outside.mains * outside.impeller_ratio;
    let at = q / speed;
    let from = match filter.unit.as_ref().map(|u| &u.impeller) {
        Some(Impeller::Bucket(_)) => "impeller by the bucket test",
        _ => "impeller",
    };
    let (ratio, mains) = (outside.impeller_ratio, outside.mains);
    out.step(Eq::Speed, parts![Words from, Number ratio, Number mains, Number speed]);
    let on_curve = printed.head(at).head;
    match &filter.pump.curve {
        Some(Curve::Ends { flow, head: shut }) => {
            let exponent = A::PumpExponent.entry().value;
            let parts =
                parts![Head shut.si(), Flow q, Number speed, Flow flow.si(), Given exponent, Head on_curve];
            out.step(Eq::PrintedEnds, parts);
        }
        Some(Curve::Points { points }) => {
            let count = points.len() as f64;
            out.step(Eq::PrintedPoints, parts![Given count, Flow q, Number speed, Head on_curve]);
        }
        None => {}
    }
    let empty = outside.empty_loss(at) / outside.weight();
    if filter.pump.taken == Taken::AtPorts && empty.abs() > 1e-9 {
        out.step(Eq::EmptyLoss, [Value::Flow(at), Value::Head(empty)]);
    }
    let gives = speed.powi(2) * (on_curve + empty);
    out.step(Eq::HeadGiven, parts![Number speed, Head on_curve, Head empty, Head gives]);
    gives
}

/// What a part of the head budget consists of.
fn part_words(case: &Case<'_>, part: &str) -> Message {
    let run = case.tank.map(|t| &t.hoses);
    let bends = run.map_or(A::RunBends.entry().value, |r| r.bends.si());
    let hose = |length: Option<f64>| {
        let run = Amount::Run(length.unwrap_or(A::RunLength.entry().value));
        message!(run, " of ", inputs::mm(&case.filter.hose.bore), " bore")
    };
    let fitted = |fittings: &[crate::model::hoses::Fitting], start: Option<&str>| {
        let start = start.map(Message::from).into_iter();
        let bends = Message::from(format!("{bends} bends"));
        Message::joined(start.chain(fittings.iter().map(|f| inputs::fitting(f).0)).chain([bends]), "; ")
    };
    match part {
        "intake hose" => hose(run.map(|r| r.intake.si())),
        "return hose" => hose(run.map(|r| r.return_side.si())),
        "intake fittings" => fitted(&case.filter.intake, Some("entrance")),
        "return fittings" => fitted(&case.filter.return_side, None),
        "outlet" => inputs::outlet(&case.filter.outlet).0,
        "height of the outlet" => run.map_or_else(Message::default, |r| {
            message!("outlet ", inputs::mm(&r.outlet_above_water), " above the water")
        }),
        "down pipe" => case.filter.body.down_tube.as_ref().map_or_else(Message::default, |t| {
            message!(inputs::mm(&t.length), " of ", inputs::mm(&t.bore), " bore")
        }),
        _ => {
            let count = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
            let (trays, layers) = (case.filter.trays.len(), case.plan.layers.len());
            format!("{} with {}, and the gaps beside them", count(trays, "tray"), count(layers, "layer"))
                .into()
        }
    }
}

/// Flow in one line, for chains that start from it.
pub fn flow_step(seen: &mut Seen<'_>, out: &mut Trace) -> Option<f64> {
    inputs(out, &seen.case);
    let q = seen.told.way.flow.ok()?;
    let (parts, gives) = head_budget(&seen.case.plan, &mut seen.clean);
    if let Some(most) = parts.iter().max_by(|a, b| a.m.total_cmp(&b.m)) {
        let gives = gives.unwrap_or(0.0);
        out.step(Eq::FlowSeen, parts![Head gives, Words most.part.clone(), Share most.share, Flow q]);
    }
    Some(q)
}

pub fn filtered_flow(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(q) = flow_step(seen, out) else { return };
    let Some((stopped, bypass)) = clean_bypass(seen, out) else { return };
    out.step(Eq::Bypass, [stopped, Value::Share(bypass)]);
    let filtered = q * (1.0 - bypass);
    out.answer(Eq::FilteredFlow, parts![Flow q, Share bypass, Flow filtered], litres_an_hour(filtered));
}

pub fn turnover(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::volume(out, &seen.case);
    let Some(q) = flow_step(seen, out) else { return };
    let Some(volume) = seen.case.tank.and_then(|t| t.volume.as_ref()).map(Uncertain::si) else { return };
    let turnover = q * 3600.0 / volume;
    out.answer(Eq::Turnover, [Value::Flow(q), Value::Volume(volume), Value::Number(turnover)], turnover);
}

pub fn bypass(seen: &mut Seen<'_>, out: &mut Trace) {
    if flow_step(seen, out).is_none() {
        return;
    }
    let Some((stopped, bypass)) = clean_bypass(seen, out) else { return };
    out.answer(Eq::Bypass, [stopped, Value::Share(bypass)], bypass);
}

/// The stage, what it stops and the leaks past it, clean; what is stopped and the bypass come back.
fn clean_bypass(seen: &Seen<'_>, out: &mut Trace) -> Option<(Value, f64)> {
    out.uses(&[A::CarryOver]);
    let way = &seen.told.way;
    let (stage, _) = way.stage.as_ref()?;
    let (q, slips) = (way.flow.ok()?, way.bypass.ok()?);
    out.step(Eq::Stage, [stage.word().into()]);
    let stopped = stopped_steps(seen, out, Eq::Stopped, &way.flows, &way.carried);
    let leaks = stage::leaks(&seen.case.plan, &way.flows, &way.carried, *stage, slips);
    let mut raw = 0.0;
    for leak in &leaks {
        let Some(p) = passage(&seen.case, leak.place) else { continue };
        let (through, untreated) = (way.flows[p], way.carried.entering[p]);
        raw += through * untreated / q;
        let (at, gap) = (leak.at.clone(), gap_words(seen, leak.place));
        out.step(Eq::Leak, parts![Words at, Words gap, Flow through, Share untreated, Share leak.share]);
    }
    if raw > 0.0 && (raw - slips).abs() > 0.005 {
        out.step(Eq::LeaksScaled, [Value::Share(raw), Value::Number(slips / raw)]);
    }
    let bypass = (1.0 - stopped.number().unwrap_or(0.0)).clamp(0.0, 1.0);
    Some((stopped, bypass))
}

/// What each layer of the stage stops of the untreated water, as shares of the pumped water. Water that mixes stays
/// what it is, so what is not stopped is what reaches the pump.
pub fn stopped_steps(
    seen: &Seen<'_>,
    out: &mut Trace,
    eq: Eq,
    flows: &[f64],
    carried: &Carried<f64>,
) -> Value {
    let Some((stage, _)) = &seen.told.way.stage else { return Value::Sum(Vec::new()) };
    let q = flows[seen.case.plan.outside()];
    let mut terms = Vec::new();
    for (_, at, layer) in inputs::layers(&seen.case).filter(|(_, at, _)| at.role == *stage) {
        let (through, untreated) = (flows[at.media] / q, carried.entering[at.media]);
        let (name, stopped) = (inputs::layer_words(at, layer), through * untreated);
        out.step(eq, parts![Words name, Share through, Share untreated, Share stopped]);
        terms.push(Value::Share(stopped));
    }
    Value::Sum(terms)
}

fn passage(case: &Case<'_>, place: LeakPlace) -> Option<usize> {
    let layer = |tray: Option<usize>, index: usize| {
        case.plan.layers.iter().find(|l| l.tray == tray && l.index == index)
    };
    let what = |found: What| case.plan.what.iter().position(|w| *w == found);
    match place {
        LeakPlace::Seal { tray } => what(What::Seal { tray }),
        LeakPlace::Joint { tray } => what(What::Joint { tray }),
        LeakPlace::Slack { tray, layer: index } => layer(tray, index)?.slack,
        LeakPlace::Hole { tray, layer: index } => layer(tray, index)?.hole,
    }
}

pub fn gap_words(seen: &Seen<'_>, place: LeakPlace) -> Message {
    let filter = seen.case.filter;
    let short = |metres: f64| Amount::Length(metres * 1e3);
    let extents = &seen.clean.extents;
    let round = |tray: Option<usize>| {
        let extent = match tray {
            None => extents.floor.as_ref(),
            Some(t) => extents.trays.get(t),
        };
        extent.map_or_else(Message::default, |(plan, _)| {
            message!(" along ", short((plan.perimeter * 1e3).round() / 1e3))
        })
    };
    let lain = |tray: Option<usize>, index: usize| {
        let n = seen.case.plan.layers.iter().position(|l| l.tray == tray && l.index == index)?;
        seen.clean.lain.get(n)
    };
    match place {
        LeakPlace::Seal { tray } => {
            let Some(seal) = filter.trays.get(tray).and_then(|t| t.seal.as_ref()) else {
                return Message::default();
            };
            let word = match seal.condition {
                SealCondition::Lip => "gap ",
                SealCondition::Worn => "worn, gap ",
                SealCondition::Missing => "missing, gap ",
            };
            message!(word, inputs::mm(&seal.gap), round(Some(tray)))
        }
        LeakPlace::Slack { tray, layer } => lain(tray, layer)
            .map_or_else(Message::default, |l| message!(short(l.slack), " clear", round(tray))),
        LeakPlace::Hole { tray, layer } => {
            lain(tray, layer).map_or_else(Message::default, |l| message!("hole of ", short(l.hole)))
        }
        LeakPlace::Joint { .. } => filter
            .body
            .down_tube
            .as_ref()
            .and_then(|t| t.joint.as_ref())
            .map_or_else(Message::default, |j| message!("gap ", inputs::mm(j), " round the pipe")),
    }
}
