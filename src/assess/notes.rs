//! Things to know about a build beside its measures. Their words stand in `report::wording::notes`.

use super::Case;
use super::figures::Figures;
use super::findings::Note;
use super::pictures::leaky;
use super::stage::words_of_layer;
use crate::assumptions::A;
use crate::biology::oxygen;
use crate::clogging::LONGEST;
use crate::measures::Measure;
use crate::model::pump::Curve;
use crate::model::{Feed, Lamp, Role, Way};
use crate::units::DAY;

/// A box that prints so many times what arrives is worth a word. Ours.
const OVERSTATED: f64 = 1.25;
/// Mains within a thousandth are the same.
const SAME: f64 = 1e-3;
/// Hours from which nobody hurries to a stopped pump. Ours: one night away.
const NIGHT: f64 = 24.0;

/// Everything worth knowing of a case judged at nominal values, in the order: what was assumed, water, dirt,
/// life, handling.
pub fn notes(case: &Case<'_>, figures: &Figures<f64>) -> Vec<Note> {
    let mut out = Vec::new();
    assumed(case, figures, &mut out);
    water(case, figures, &mut out);
    media(case, figures, &mut out);
    life(figures, &mut out);
    handling(case, figures, &mut out);
    out
}

/// A measure, where the flow behind it is solved.
fn told(figures: &Figures<f64>, measure: Measure) -> Option<f64> {
    figures.outcome(measure).number()
}

fn assumed(case: &Case<'_>, figures: &Figures<f64>, out: &mut Vec<Note>) {
    let Some(tank) = case.tank else {
        out.push(Note::NoTank);
        return;
    };
    if tank.water.salt {
        out.push(Note::SaltAsFresh);
    }
    if let (Some(printed), Some(here)) = (&case.filter.pump.hz, &tank.hz) {
        let (printed, here) = (printed.si(), here.si());
        if (here / printed - 1.0).abs() > SAME {
            out.push(Note::MainsDiffer { printed, here });
        }
    }
    if let (Feed::Stock(stock), Ok(living)) = (&tank.feed(), &figures.living) {
        out.push(Note::FeedFromStock { stock: *stock, grams: living.feed });
    }
}

fn water(case: &Case<'_>, figures: &Figures<f64>, out: &mut Vec<Note>) {
    let Some(delivered) = told(figures, Measure::Flow) else { return };
    if matches!(case.filter.pump.curve, Some(Curve::Ends { .. })) {
        out.push(Note::EndsOnly);
    }
    let printed = case.filter.label.as_ref().and_then(|l| l.flow.as_ref());
    let printed = printed.map(|f| crate::units::litres_an_hour(f.si()));
    if let Some(printed) = printed.filter(|printed| *printed > delivered * OVERSTATED) {
        out.push(Note::LabelAbove { printed, delivered });
    }
    let turnover = case.tank.map(|t| t.aims.turnover).zip(told(figures, Measure::Turnover));
    if let Some((aim, turnover)) = turnover.filter(|(aim, turnover)| turnover < aim) {
        out.push(Note::LittleTurnover { turnover, aim });
    }
    if let Some(bypass) = told(figures, Measure::Bypass).filter(|_| leaky(figures)) {
        out.push(Note::MostPasses { bypass });
    }
    if told(figures, Measure::OpeningInterval).is_some_and(|days| days >= LONGEST) {
        out.push(Note::ByTheCalendar);
    }
}

fn media(case: &Case<'_>, figures: &Figures<f64>, out: &mut Vec<Note>) {
    let service = told(figures, Measure::OpeningInterval);
    let salt = case.tank.is_some_and(|t| t.water.salt);
    let mut seen: Vec<&str> = Vec::new();
    for at in &case.plan.layers {
        let Some(layer) = at.of(case.build) else { continue };
        let medium = &layer.medium;
        let name = medium.name.clone();
        if medium.floats {
            out.push(Note::Floats { medium: name.clone(), at: words_of_layer(at.tray, at.index) });
        }
        // The same medium in two layers is one thing to know.
        if seen.contains(&medium.id.as_str()) {
            continue;
        }
        seen.push(&medium.id);
        if salt && medium.freshwater_only {
            out.push(Note::FreshwaterOnly { medium: name.clone() });
        }
        let lasts = medium.life.as_ref().map(|life| life.si() / DAY);
        let both = lasts.zip(service).filter(|_| medium.role == Role::Chemical);
        if let Some((lasts, service)) = both.filter(|(lasts, service)| lasts < service) {
            out.push(Note::SpentBeforeService { medium: name, lasts, service });
        }
    }
    if case.filter.way == Way::Falling && case.filter.body.floor.is_some() {
        out.push(Note::FloorLast { holds: !case.build.floor.is_empty() });
    }
}

fn life(figures: &Figures<f64>, out: &mut Vec<Note>) {
    if let Some(margin) = told(figures, Measure::AmmoniaCapacity).filter(|m| *m < 1.0) {
        out.push(Note::ThinMargin { margin });
    }
    if let Some(litres) = told(figures, Measure::BioMedia).filter(|l| *l > 0.0) {
        out.push(Note::NeverAllAtOnce { litres });
    }
    let scarce = figures.living.as_ref().ok().zip(figures.water_inside);
    if let (Some((living, water)), Some(_)) = (scarce, told(figures, Measure::OxygenOut)) {
        let hours = oxygen::hours_to_scarce(water, living.oxygen_in, living.shut_use);
        if hours < NIGHT {
            out.push(Note::PumpStops { hours });
        }
    }
}

fn handling(case: &Case<'_>, figures: &Figures<f64>, out: &mut Vec<Note>) {
    // A new lamp leaves the dead one to be got rid of.
    let dead = case.filter.as_found().unit.as_ref().is_some_and(|unit| unit.lamp == Lamp::BurntOut);
    if dead && case.filter.uv.is_some() {
        out.push(Note::DeadLamp);
    }
    if let Some(mass) = told(figures, Measure::FullWeight).filter(|kg| *kg >= A::LiftForTwo.value()) {
        out.push(Note::Heavy { mass });
    }
}
