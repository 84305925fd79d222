//! Dirt over time: the opening interval, and how things stand on the day before its end.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::seen::Seen;
use super::{inputs, water};
use crate::assess::assessment::Opens;
use crate::assess::pictures::{leaky, opens};
use crate::assess::stage;
use crate::assess::trace::{Eq, Trace, Value};
use crate::assumptions::A;
use crate::clogging::{Aged, LONGEST, Moment};
use crate::hydraulics::transport::Carried;
use crate::uncertainty::uncertain::Nominal;
use crate::units::litres_an_hour;

const CONSTANTS: [A; 9] = [
    A::SolidsPerFeed,
    A::CaptureFactor,
    A::SettledShare,
    A::DirtDecay,
    A::SludgeDensity,
    A::BlindDepth,
    A::OpenAtFlow,
    A::OpenAtVoids,
    A::CarryOver,
];

/// Days until something says "open it".
pub fn opening_interval(seen: &mut Seen<'_>, out: &mut Trace) {
    inputs::feed(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&CONSTANTS);
    for (_, _, layer) in inputs::layers(&seen.case) {
        out.input(format!("{}, capture", layer.medium.name), &layer.medium.capture, "1/m");
    }
    let (Some(_), Ok(aged)) = (clean, &seen.told.aged) else { return };
    solids_step(seen, out);
    capture_steps(seen, aged, out);
    deposit_step(seen, aged, out);
    let Some((first, last)) = aged.history.first().zip(aged.history.last()) else { return };
    // The two moments about the end, as the timeline met them.
    let before = aged.history.iter().rev().find(|m| m.day < last.day).unwrap_or(last);
    let (flow_mark, voids_mark) = (A::OpenAtFlow.entry().value, A::OpenAtVoids.entry().value);
    let mark = first.worked * flow_mark;
    let crossing = |of: fn(&Moment<f64>) -> f64, mark: f64| {
        let (from, to) = (of(before), of(last));
        before.day + (last.day - before.day) * ((from - mark) / (from - to)).clamp(0.0, 1.0)
    };
    let share = [Value::Share(flow_mark), Value::Flow(first.worked), Value::Flow(mark)];
    out.step(
        Eq::FlowMark,
        [share.as_slice(), &[Value::Flow(before.worked), Value::Flow(last.worked)]].concat(),
    );
    let voids = [Value::Share(voids_mark), Value::Share(before.fullest), Value::Share(last.fullest)];
    out.step(Eq::VoidsMark, voids);
    if leaky(&seen.told) {
        out.step(Eq::Leaky, [Value::Share(first.bypass)]);
    }
    out.step(Eq::Trust, []);
    let (why, day) = match opens(&seen.case, aged) {
        Opens::SlipsPast { .. } => (
            "filtered flow: water slips past, the voids are not full".to_owned(),
            crossing(|m| m.worked, mark),
        ),
        Opens::FilteredFlow { .. } => {
            ("filtered flow: the media are clogged".to_owned(), crossing(|m| m.worked, mark))
        }
        Opens::FullVoids { at, .. } => (format!("full voids in {at}"), crossing(|m| m.fullest, voids_mark)),
        Opens::Calendar => {
            out.answer(Eq::ByCalendar, [Value::Days(LONGEST)], LONGEST);
            return;
        }
    };
    out.step(Eq::Between, [Value::Number(before.day), Value::Number(last.day)]);
    out.answer(Eq::Interval, [why.into(), Value::Days(day)], day);
}

fn solids_step(seen: &Seen<'_>, out: &mut Trace) {
    let Ok(feed) = seen.case.feed::<f64, _>(&Nominal) else { return };
    let per_feed = A::SolidsPerFeed.entry().value;
    out.step(Eq::Solids, [feed, per_feed, feed * per_feed].map(Value::Number));
}

fn capture_steps(seen: &Seen<'_>, aged: &Aged<f64>, out: &mut Trace) {
    if seen.case.filter.body.floor.is_some() {
        out.step(Eq::Settled, [A::SettledShare.entry().value, aged.settled].map(Value::Share));
    }
    let factor = A::CaptureFactor.entry().value;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let depth = seen.clean.lain[n].free_depth;
        let lambda = layer.medium.capture.si() * factor;
        let pass = 1.0 - (-lambda * depth).exp();
        let parts =
            [Value::Number(lambda), Value::Length(depth), Value::Share(pass), Value::Share(aged.shares[n])];
        out.step(Eq::Caught, [[inputs::layer_words(at, layer).into()].as_slice(), &parts].concat());
    }
}

/// The layer with most dirt when it is opened.
fn deposit_step(seen: &Seen<'_>, aged: &Aged<f64>, out: &mut Trace) {
    let most = inputs::layers(&seen.case).max_by(|a, b| aged.caught[a.0].total_cmp(&aged.caught[b.0]));
    let Some((n, at, layer)) = most else { return };
    let sludge = A::SludgeDensity.entry().value;
    let rates = [aged.caught[n], A::DirtDecay.entry().value, sludge].map(Value::Number);
    let volume = Value::Volume(aged.caught[n] / sludge * 1e-6);
    let name = [inputs::layer_words(at, layer).into()];
    out.step(Eq::Deposit, [name.as_slice(), &rates, &[volume]].concat());
}

/// The day before it is opened: that day, and the two looked at on either side of it.
fn late_step(seen: &mut Seen<'_>, out: &mut Trace) -> Option<(f64, [Moment<f64>; 2])> {
    inputs::feed(out, &seen.case);
    out.uses(&CONSTANTS);
    let clean = water::flow_step(seen, out)?;
    let aged = seen.told.aged.as_ref().ok()?;
    solids_step(seen, out);
    let late = aged.at_service;
    let eq = if aged.service >= LONGEST { Eq::LateHorizon } else { Eq::Late };
    out.step(eq, [Value::Days(aged.service), Value::Number(late.day)]);
    out.step(Eq::FlowThen, [Value::Flow(clean), Value::Share(late.fullest), Value::Flow(late.flow)]);
    let after = aged.history.iter().position(|m| m.day >= late.day)?;
    Some((late.day, [aged.history[after.saturating_sub(1)], aged.history[after]]))
}

/// On a straight line between two days.
fn between(day: f64, days: &[Moment<f64>; 2], of: impl Fn(&Moment<f64>) -> f64) -> f64 {
    let [a, b] = days;
    let part = if b.day > a.day { (day - a.day) / (b.day - a.day) } else { 1.0 };
    of(a) + (of(b) - of(a)) * part
}

/// Filtered flow on the day before it is opened.
pub fn filtered_flow_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some((day, days)) = late_step(seen, out) else { return };
    let late = between(day, &days, |m| m.flow * (1.0 - m.bypass));
    let of = |m: &Moment<f64>| [Value::Number(m.day), Value::Flow(m.flow), Value::Share(m.bypass)];
    let parts = [of(&days[0]).as_slice(), &of(&days[1]), &[Value::Flow(late)]].concat();
    out.answer(Eq::FilteredThen, parts, litres_an_hour(late));
}

/// Bypass on the day before it is opened, with its leaks.
pub fn bypass_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some((day, days)) = late_step(seen, out) else { return };
    let Some((role, keep)) = &seen.told.way.stage else { return };
    let late = between(day, &days, |m| m.bypass);
    let clean = seen.told.way.bypass.unwrap_or(0.0);
    let (plan, way) = (&seen.case.plan, &seen.told.way);
    let flows = way.vessel.network.flows();
    let mut carried = Carried::new(plan.what.len());
    stage::bypass(plan, flows, keep, way.carry_over, &mut carried);
    let before = stage::leaks(plan, &way.flows, &way.carried, *role, clean);
    for (leak, before) in stage::leaks(plan, flows, &carried, *role, late).iter().zip(before) {
        let words = [leak.at.clone().into(), water::gap_words(seen, leak.place).into()];
        out.step(Eq::LeakThen, [words.as_slice(), &[before.share, leak.share].map(Value::Share)].concat());
    }
    let of = |m: &Moment<f64>| [Value::Number(m.day), Value::Share(m.bypass)];
    let parts = [&[Value::Share(clean)][..], &of(&days[0]), &of(&days[1]), &[Value::Share(late)]].concat();
    out.answer(Eq::BypassThen, parts, late);
}

/// Chance that bypass passes a quarter: what the simulated cases are asked.
pub fn bypass_chance(seen: &mut Seen<'_>, out: &mut Trace) {
    if late_step(seen, out).is_none() {
        return;
    }
    if let Ok(worst) = seen.told.worst_bypass {
        out.step(Eq::WorstBypass, [Value::Share(worst)]);
    }
    out.step(Eq::Chance, []);
}
