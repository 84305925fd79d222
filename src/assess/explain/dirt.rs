//! Dirt over time: the opening interval, and how things stand on the day before its end.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::{inputs, water};
use crate::assess::findings::Opens;
use crate::assess::pictures::{leaky, opens};
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Seen, Trace, stage};
use crate::assumptions::A;
use crate::clogging::{Aged, LONGEST, Moment, TOLD_AT, one_pass};
use crate::hydraulics::transport::Carried;
use crate::measures::Measure;
use crate::uncertainty::Nominal;
use crate::units::litres_an_hour;

const CONSTANTS: [A; 21] = [
    A::SolidsPerFeed,
    A::GrowthPerFeed,
    A::SettlingRate,
    A::CaptureFactor,
    A::CaptureExponent,
    A::SettledShare,
    A::DirtDecay,
    A::SludgeDensity,
    A::BlindDepth,
    A::StrandGrowth,
    A::GrainGrowth,
    A::GapShut,
    A::GapYield,
    A::GapWide,
    A::GapDeposit,
    A::Slime,
    A::SlimeDays,
    A::SlimeDepth,
    A::OpenAtFall,
    A::OpenAtVoids,
    A::CarryOver,
];

pub fn opening_interval(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&CONSTANTS);
    for (_, _, layer) in inputs::layers(&seen.case) {
        out.input(format!("{}, capture", layer.medium.name), &layer.medium.capture, "1/m");
    }
    let (Some(_), Ok(aged)) = (clean, &seen.told.aged) else { return };
    solids_step(seen, out);
    capture_steps(seen, out);
    deposit_step(seen, aged, out);
    let (first, last) = (aged.history.first().copied().unwrap_or(aged.opening), aged.opening);
    let (fall, voids) = (A::OpenAtFall.entry().value, A::OpenAtVoids.entry().value);
    let mark = |of: fn(&Moment<f64>) -> f64| {
        [Value::Share(fall), Value::Flow(of(&first)), Value::Flow(of(&first) * fall), Value::Flow(of(&last))]
    };
    out.step(Eq::ClearingMark, mark(Moment::cleared));
    out.step(Eq::FlowMark, mark(|m| m.flow));
    out.step(Eq::VoidsMark, [voids, last.fullest].map(Value::Share));
    if leaky(&seen.told) {
        out.step(Eq::Leaky, [Value::Share(first.bypass)]);
    }
    out.step(Eq::Trust, []);
    match opens(&seen.case, aged) {
        Opens::Calendar => out.answer(Eq::ByCalendar, [Value::Days(LONGEST)], LONGEST),
        Opens::On { why, day } => out.answer(Eq::Interval, [Value::OpenedBy(why), Value::Days(day)], day),
    }
}

fn solids_step(seen: &Seen<'_>, out: &mut Trace) {
    let Ok(feed) = seen.case.feed::<f64>(&Nominal) else { return };
    let Ok(caught) = seen.told.get(Measure::Caught) else { return };
    let (loose, growth) = (A::SolidsPerFeed.entry().value, A::GrowthPerFeed.entry().value);
    let held = feed * (loose * caught + growth);
    out.step(Eq::Solids, parts![Number feed, Number loose, Share caught, Number growth, Number held]);
}

pub fn capture_steps(seen: &Seen<'_>, out: &mut Trace) {
    if seen.case.filter.body.floor.is_some() {
        out.step(Eq::Settled, [Value::Share(A::SettledShare.entry().value)]);
    }
    let (factor, exponent) = (A::CaptureFactor.entry().value, A::CaptureExponent.entry().value);
    for (n, at, layer) in inputs::layers(&seen.case) {
        let lain = &seen.clean.lain[n];
        let lambda = layer.medium.capture.si() * factor;
        let speed = seen.told.way.flows[at.media] / lain.area;
        let pass = one_pass(lambda * lain.free_depth, speed, exponent);
        let (name, depth) = (inputs::layer_words(at, layer), lain.free_depth);
        let parts = parts![Words name, Number lambda, Length depth, Speed speed, Speed TOLD_AT, Share pass];
        out.step(Eq::Caught, parts);
    }
}

fn deposit_step(seen: &Seen<'_>, aged: &Aged<f64>, out: &mut Trace) {
    let most = inputs::layers(&seen.case).max_by(|a, b| aged.caught[a.0].total_cmp(&aged.caught[b.0]));
    let Some((n, at, layer)) = most else { return };
    let sludge = A::SludgeDensity.entry().value;
    let (name, mass, decay) = (inputs::layer_words(at, layer), aged.caught[n], A::DirtDecay.entry().value);
    let volume = mass / sludge * 1e-6;
    out.step(Eq::Deposit, parts![Words name, Number mass, Number decay, Number sludge, Volume volume]);
}

pub fn late_step(seen: &mut Seen<'_>, out: &mut Trace) -> Option<Moment<f64>> {
    inputs::feed(out, &seen.case);
    out.uses(&CONSTANTS);
    let clean = water::flow_step(seen, out)?;
    let aged = seen.told.aged.as_ref().ok()?;
    solids_step(seen, out);
    let late = aged.dirty;
    let eq = if aged.interval >= LONGEST { Eq::LateHorizon } else { Eq::Late };
    out.step(eq, [Value::Days(aged.interval), Value::Number(late.day)]);
    out.step(Eq::FlowThen, [Value::Flow(clean), Value::Share(late.fullest), Value::Flow(late.flow)]);
    Some(late)
}

pub fn filtered_flow_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(late) = late_step(seen, out) else { return };
    let parts = parts![Flow late.flow, Share late.bypass, Flow late.filtered()];
    out.answer(Eq::FilteredThen, parts, litres_an_hour(late.filtered()));
}

/// The most of the bypass until it is opened, with its leaks the day before.
pub fn bypass_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(late) = late_step(seen, out) else { return };
    let Some((role, keep)) = &seen.told.way.stage else { return };
    let clean = seen.told.way.bypass.unwrap_or(0.0);
    let (plan, way) = (&seen.case.plan, &seen.told.way);
    let flows = way.vessel.network.flows();
    let mut carried = Carried::new(plan.what.len());
    stage::bypass(plan, flows, keep, way.carry_over, &mut carried);
    let before = stage::leaks(plan, &way.flows, &way.carried, *role, clean);
    for (leak, before) in stage::leaks(plan, flows, &carried, *role, late.bypass).iter().zip(before) {
        let (at, gap) = (leak.at.clone(), water::gap_words(seen, leak.place));
        out.step(Eq::LeakThen, parts![Words at, Words gap, Share before.share, Share leak.share]);
    }
    let worst = seen.told.get(Measure::BypassDirty).unwrap_or(late.bypass);
    out.answer(Eq::BypassThen, [clean, late.bypass, worst].map(Value::Share), worst);
}

/// Chance that bypass passes a quarter: what the simulated cases are asked.
pub fn bypass_chance(seen: &mut Seen<'_>, out: &mut Trace) {
    if late_step(seen, out).is_none() {
        return;
    }
    if let Ok(worst) = seen.told.get(Measure::BypassDirty) {
        out.step(Eq::WorstBypass, [Value::Share(worst)]);
    }
    out.step(Eq::Chance, []);
}
