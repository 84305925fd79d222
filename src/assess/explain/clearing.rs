//! Clearing, clean and dirty, and what tank a build suits.

use super::{dirt, inputs, water};
use crate::assess::suits::counted;
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Seen, Trace};
use crate::assumptions::A;
use crate::uncertainty::Nominal;
use crate::units::{HOUR, litres_an_hour};

/// What one pass takes, clean; its share of the dirt comes back with the flow.
fn pass_steps(seen: &mut Seen<'_>, out: &mut Trace) -> Option<(f64, f64)> {
    out.uses(&[A::CaptureFactor, A::CaptureExponent, A::SettledShare, A::CarryOver]);
    for (_, _, layer) in inputs::layers(&seen.case) {
        out.input(format!("{}, capture", layer.medium.name), &layer.medium.capture, "1/m");
    }
    let q = water::flow_step(seen, out)?;
    let taken = seen.told.way.efficiency.ok()?;
    dirt::capture_steps(seen, out);
    out.step(Eq::OnePass, [Value::Share(taken)]);
    Some((q, taken))
}

fn volume(seen: &Seen<'_>, out: &mut Trace) -> Option<f64> {
    inputs::volume(out, &seen.case);
    seen.case.volume::<f64>(&Nominal).ok()
}

fn clearing_step(out: &mut Trace, (q, taken): (f64, f64), volume: f64) -> f64 {
    let clearing = q * taken * HOUR / volume;
    out.answer(Eq::Clearing, parts![Flow q, Share taken, Volume volume, Number clearing], clearing);
    clearing
}

pub fn clearing(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(pass) = pass_steps(seen, out) else { return };
    let Some(volume) = volume(seen, out) else { return };
    clearing_step(out, pass, volume);
}

/// Share of the loose dirt that ends in the filter.
pub fn caught(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(pass) = pass_steps(seen, out) else { return };
    let Some(volume) = volume(seen, out) else { return };
    out.uses(&[A::SettlingRate]);
    let clearing = clearing_step(out, pass, volume);
    let settles = A::SettlingRate.entry().value;
    let caught = clearing / (clearing + settles);
    let parts = parts![Number clearing, Number clearing, Number settles, Share caught];
    out.answer(Eq::CaughtShare, parts, caught);
}

pub fn clearing_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(dirty) = dirt::late_step(seen, out) else { return };
    let Some(volume) = volume(seen, out) else { return };
    out.step(Eq::OnePass, [Value::Share(dirty.efficiency)]);
    clearing_step(out, (dirty.flow, dirty.efficiency), volume);
}

pub fn flow_dirty(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(dirty) = dirt::late_step(seen, out) else { return };
    out.answer(Eq::FlowDirty, [Value::Flow(dirty.flow)], litres_an_hour(dirty.flow));
}

pub fn suits_up_to(seen: &mut Seen<'_>, out: &mut Trace) {
    if pass_steps(seen, out).is_none() {
        return;
    }
    inputs::protein(out, &seen.case);
    out.uses(&[A::TanPerProtein, A::NormalFeed, A::StockFactor, A::AimTan, A::GuideAmmonia]);
    let stocking = counted(&seen.case);
    let Ok(rows) = seen.told.suits.clone() else { return };
    let Some(row) = rows.iter().find(|row| row.stocking == stocking) else { return };
    out.step(Eq::FoodOf100, [Value::Number(row.fed)]);
    if let Some(litres) = row.ammonia {
        out.step(Eq::SuitsAmmonia, [Value::Volume(litres * 1e-3)]);
    }
    out.step(Eq::SuitsClearing, [Value::Volume(row.clearing * 1e-3)]);
    let (litres, by_ammonia) = row.up_to();
    let which = if by_ammonia { "ammonia" } else { "clearing" };
    out.answer(Eq::SuitsUpTo, [which.into(), Value::Volume(litres * 1e-3)], litres);
}
