//! UV dose, what it kills, and the cautions.

use super::{inputs, water};
use crate::assess::trace::{Eq, Value, parts};
use crate::assess::{Seen, Trace};
use crate::assumptions::A;
use crate::measures::Measure;
use crate::uncertainty::Nominal;
use crate::uv::{self, ALGAE_TENTH, BANDS, Chamber};

pub fn uv_dose(seen: &mut Seen<'_>, out: &mut Trace) {
    let Some(lamp) = &seen.case.filter.uv else { return };
    out.input("lamp", &lamp.lamp, "W");
    if let Some(hours) = &lamp.hours {
        out.input("lamp has burnt", hours, "h");
    }
    out.input("sleeve outside", &lamp.sleeve, "mm");
    out.input("chamber inside", &lamp.shell, "mm");
    out.uses(&[
        A::UvMixing,
        A::UvEfficiency,
        A::UvSleeve,
        A::UvTransmittance,
        A::UvWear,
        A::UvLife,
        A::UvFloor,
    ]);
    out.step(Eq::Caution, [uv::CAUTION.into()]);
    let Some(q) = water::flow_step(seen, out) else { return };
    if seen.told.get(Measure::UvDose).is_err() {
        return;
    }
    let chamber = Chamber::<f64>::drawn(&Nominal);
    let hours = lamp.hours.as_ref().map_or(0.0, |h| h.si() / 3600.0);
    let age = chamber.age(hours);
    out.step(Eq::LampAge, [chamber.wear, hours, chamber.life, age].map(Value::Number));
    let gap = uv::gap(lamp.shell.si(), lamp.sleeve.si()).max(1e-4);
    out.step(Eq::LightPath, [lamp.shell.si(), lamp.sleeve.si(), gap].map(Value::Length));
    let a = -(chamber.transmittance / 100.0).ln();
    out.step(Eq::Absorbed, [chamber.transmittance, a].map(Value::Number));
    // Light that the water takes over its path, per flow in cm3/s: mW s/cm2 of a W is a thousand of these.
    let taken = (1.0 - (-a * gap * 1e2).exp()) / a;
    let share = chamber.share(lamp.lamp.si());
    let light = chamber.mixing * lamp.lamp.si() * share * chamber.sleeve * age * taken;
    let dose = light * 1e3 / (q * 1e6);
    if let Some(volume) = seen.case.tank.and_then(|t| t.volume.as_ref()) {
        inputs::volume(out, &seen.case);
        let kills = uv::kills_a_day(q, volume.si(), dose, ALGAE_TENTH);
        out.step(Eq::Kills, parts![Flow q, Volume volume.si(), Number ALGAE_TENTH, Number kills]);
    }
    for band in &BANDS {
        let range = if (band.to - band.from).abs() < 1e-9 {
            Value::Number(band.from)
        } else {
            Value::Between(Box::new(Value::Number(band.from)), Box::new(Value::Number(band.to)))
        };
        let verdict = if dose >= band.to {
            "reached"
        } else if dose >= band.from {
            "within its range"
        } else {
            "not in one pass"
        };
        let [source, checked] = [band.source, band.checked.words()].map(Value::from);
        out.step(Eq::DoseFor, [band.what.into(), range, source, checked, verdict.into()]);
    }
    let parts = parts![Number chamber.mixing, Number lamp.lamp.si(), Number share, Number chamber.sleeve, Number age,
        Number taken, Flow q, Number dose];
    out.answer(Eq::Dose, parts, dose);
}
