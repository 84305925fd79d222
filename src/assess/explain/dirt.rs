//! Dirt over time: service, and how things stand on the day before it.

// Indices come from the plan that made the arrays.
#![allow(clippy::indexing_slicing)]

use super::chain::Worked;
use super::words::{days, flow as lh, grams, mm, number, percent};
use super::{Seen, inputs, water};
use crate::assess::assessment::Opens;
use crate::assess::pictures::{leaky, opens};
use crate::assess::stage;
use crate::assumptions::A;
use crate::clogging::{Aged, LONGEST, Moment};
use crate::hydraulics::transport::Carried;
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
pub fn service(seen: &mut Seen<'_>, out: &mut Worked) {
    inputs::feed(out, &seen.case);
    let clean = water::flow_step(seen, out);
    out.uses(&CONSTANTS);
    for (_, _, layer) in inputs::layers(&seen.case) {
        inputs::of_medium(out, &layer.medium, "capture", &layer.medium.capture, "1/m");
    }
    let (Some(_), Ok(aged)) = (clean, &seen.told.aged) else { return };
    solids_step(seen, out);
    capture_steps(seen, aged, out);
    deposit_step(seen, aged, out);
    let at = at_service(aged);
    let first = aged.history.first().copied().unwrap_or(at);
    let (flow_mark, voids_mark) = (A::OpenAtFlow.entry().value, A::OpenAtVoids.entry().value);
    out.step(
        "open when filtered flow falls below its share of clean",
        format!("mark: {} × {}", percent(flow_mark), lh(first.worked)),
        format!("{} against {} then", lh(first.worked * flow_mark), lh(at.worked)),
    );
    out.step(
        "or when a layer's voids are so far full",
        format!("mark: {}", percent(voids_mark)),
        format!("fullest {} then", percent(at.fullest)),
    );
    if leaky(&seen.told) {
        out.step(
            "most water passes it from the first day",
            "clean bypass: a leak keeps media clean, it does not clean the water",
            percent(first.bypass),
        );
    }
    out.step(
        "how far to trust it",
        "resistance of dirt is a lower bound and λ a practice-grade guess: true times are shorter",
        "look in early",
    );
    let (why, day) = match opens(&seen.case, aged) {
        Opens::SlipsPast { day } => {
            ("filtered flow: water slips past, the voids are not full".to_owned(), day)
        }
        Opens::FilteredFlow { day } => ("filtered flow: the media are clogged".to_owned(), day),
        Opens::FullVoids { day, at } => (format!("full voids in {at}"), day),
        Opens::Calendar => ("nothing in 26 weeks: open it by the calendar".to_owned(), LONGEST),
    };
    let result = if day >= LONGEST { format!("> {}", days(day)) } else { days(day) };
    out.answer("service = the first of the two", why, result, aged.service);
}

fn solids_step(seen: &Seen<'_>, out: &mut Worked) -> Option<f64> {
    let feed = seen.case.feed::<f64, _>(&crate::uncertainty::uncertain::Nominal).ok()?;
    let per_feed = A::SolidsPerFeed.entry().value;
    let solids = feed * per_feed;
    out.step(
        "solids reaching the filter = dry food × solids per food",
        format!("{} a day × {}", grams(feed), number(per_feed)),
        format!("{} dry a day", grams(solids)),
    );
    Some(solids)
}

fn capture_steps(seen: &Seen<'_>, aged: &Aged<f64>, out: &mut Worked) {
    if seen.case.filter.body.floor.is_some() {
        out.step(
            "settlement space takes its share of what enters",
            format!("{} a pass", percent(A::SettledShare.entry().value)),
            format!("{} of all caught", percent(aged.settled)),
        );
    }
    let factor = A::CaptureFactor.entry().value;
    for (n, at, layer) in inputs::layers(&seen.case) {
        let lain = &seen.clean.lain[n];
        let lambda = layer.medium.capture.si() * factor;
        let pass = 1.0 - (-lambda * lain.free_depth).exp();
        out.step(
            format!("caught by {}: 1 − e^(−λ L) a pass", inputs::layer_words(at, layer)),
            format!(
                "1 − e^(−{} × {}) = {} of what crosses it",
                number(lambda),
                mm(lain.free_depth),
                percent(pass)
            ),
            format!("{} of all caught", percent(aged.shares[n])),
        );
    }
}

/// The layer with most dirt when it is opened.
fn deposit_step(seen: &Seen<'_>, aged: &Aged<f64>, out: &mut Worked) {
    let most = inputs::layers(&seen.case).max_by(|a, b| aged.caught[a.0].total_cmp(&aged.caught[b.0]));
    let Some((n, at, layer)) = most else { return };
    let sludge = A::SludgeDensity.entry().value;
    out.step(
        "deposit: what is caught less what decays, dM/dt = s − k M",
        format!(
            "{}, {} dry by then, k {} a day, {} g in a ml of sludge",
            inputs::layer_words(at, layer),
            grams(aged.caught[n]),
            number(A::DirtDecay.entry().value),
            number(sludge)
        ),
        format!("{} l of sludge", number(aged.caught[n] / sludge * 1e-3)),
    );
}

/// How it stands at service itself, by a straight line inside the last step.
fn at_service(aged: &Aged<f64>) -> Moment<f64> {
    let mut before = aged.at_service;
    for moment in &aged.history {
        if moment.day >= aged.service {
            let span = moment.day - before.day;
            let part = if span > 0.0 { ((aged.service - before.day) / span).clamp(0.0, 1.0) } else { 1.0 };
            let between = |a: f64, b: f64| a + (b - a) * part;
            return Moment {
                day: aged.service,
                flow: between(before.flow, moment.flow),
                worked: between(before.worked, moment.worked),
                bypass: between(before.bypass, moment.bypass),
                fullest: between(before.fullest, moment.fullest),
            };
        }
        before = *moment;
    }
    before
}

/// Which day "late" is.
fn late_step(seen: &mut Seen<'_>, out: &mut Worked) -> Option<Moment<f64>> {
    inputs::feed(out, &seen.case);
    out.uses(&CONSTANTS);
    let clean = water::flow_step(seen, out)?;
    let aged = seen.told.aged.as_ref().ok()?;
    solids_step(seen, out);
    let late = aged.at_service;
    let formula = if aged.service >= LONGEST {
        "late = day 182: nothing says open it in 26 weeks (see `service`)"
    } else {
        "late = the day before service (see `service`)"
    };
    out.step(formula, format!("service {}", days(aged.service)), format!("day {}", number(late.day)));
    out.step(
        "flow then, the network solved with that much dirt in the media",
        format!("clean {}; fullest voids {}", lh(clean), percent(late.fullest)),
        lh(late.flow),
    );
    Some(late)
}

/// Filtered flow on the day before service.
pub fn filtered_flow_dirty(seen: &mut Seen<'_>, out: &mut Worked) {
    let Some(late) = late_step(seen, out) else { return };
    out.step("bypass then (see `bypass_dirty`)", "", percent(late.bypass));
    out.answer(
        "filtered flow late = flow then × (1 − bypass then)",
        format!("{} × (1 − {})", lh(late.flow), percent(late.bypass)),
        lh(late.worked),
        litres_an_hour(late.worked),
    );
}

/// Bypass on the day before service, with its leaks.
pub fn bypass_dirty(seen: &mut Seen<'_>, out: &mut Worked) {
    let Some(late) = late_step(seen, out) else { return };
    let Some((role, keep)) = &seen.told.way.stage else { return };
    let flows = seen.told.way.vessel.network.flows();
    let mut carried = Carried::new(seen.case.plan.what.len());
    stage::bypass(&seen.case.plan, flows, keep, seen.told.way.carry_over, &mut carried);
    let leaks = stage::leaks(&seen.case.plan, flows, &carried, *role, late.bypass);
    let clean = seen.told.way.bypass.unwrap_or(0.0);
    let clean_leaks =
        stage::leaks(&seen.case.plan, &seen.told.way.flows, &seen.told.way.carried, *role, clean);
    for (leak, before) in leaks.iter().zip(&clean_leaks) {
        out.step(
            format!("leak then: {}", leak.at),
            format!("{}; clean {}", water::gap_words(seen, leak.place), percent(before.share)),
            percent(leak.share),
        );
    }
    let total: f64 = leaks.iter().map(|l| l.share).sum();
    out.answer(
        "bypass late = sum of the leaks then",
        format!("clean {}; dirt narrows the media, never the gaps", percent(clean)),
        percent(late.bypass),
        if leaks.is_empty() { late.bypass } else { total },
    );
}

/// Chance that bypass passes 25 %: what the draws are asked.
pub fn bypass_chance(seen: &mut Seen<'_>, out: &mut Worked) {
    if late_step(seen, out).is_none() {
        return;
    }
    if let Ok(worst) = seen.told.worst_bypass {
        out.step("greatest bypass up to service, everything at its nominal value", "", percent(worst));
    }
    out.step(
        "risk = draws whose greatest bypass passes 25 % / all draws",
        "counted over the draws of the doubt (`--samples`); every gap and foam factor is drawn anew in each",
        "see the figure above",
    );
}
