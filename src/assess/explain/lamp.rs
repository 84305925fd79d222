//! UV dose, what it kills, and the cautions.

use super::chain::Worked;
use super::words::{flow as lh, number};
use super::{Seen, inputs, water};
use crate::assumptions::A;
use crate::uncertainty::uncertain::Nominal;
use crate::uv::{self, ALGAE_TENTH, BANDS, Chamber};

/// Dose of one pass at the delivered flow.
pub fn uv_dose(seen: &mut Seen<'_>, out: &mut Worked) {
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
    out.step("before you look", uv::CAUTION, "");
    let Some(q) = water::flow_step(seen, out) else { return };
    if seen.told.get(crate::measures::Measure::UvDose).is_err() {
        return;
    }
    let chamber = Chamber::<f64>::drawn(&Nominal);
    let hours = lamp.hours.as_ref().map_or(0.0, |h| h.si() / 3600.0);
    let age = chamber.age(hours);
    out.step(
        "age = 1 − wear × hours / rated hours, at least the floor",
        format!("1 − {} × {} / {}", number(chamber.wear), number(hours), number(chamber.life)),
        number(age),
    );
    let gap = uv::gap(lamp.shell.si(), lamp.sleeve.si()).max(1e-4);
    let d = gap * 1e2;
    out.step(
        "light path d = (chamber − sleeve) / 2",
        format!("({} − {}) mm / 2", number(lamp.shell.si() * 1e3), number(lamp.sleeve.si() * 1e3)),
        format!("{} cm", number(d)),
    );
    let a = -(chamber.transmittance / 100.0).ln();
    out.step(
        "the water takes a = −ln(UVT/100)",
        format!("−ln({}/100)", number(chamber.transmittance)),
        format!("{} per cm", number(a)),
    );
    let dose = chamber.dose(lamp.lamp.si(), age, gap, q);
    if let Some(volume) = seen.case.tank.and_then(|t| t.volume.as_ref()) {
        inputs::volume(out, &seen.case);
        out.step(
            "kills a day over repeated passes = (Q/V)(1 − 10^(−D/D10)): a fast flow does not undo UV in a loop",
            format!(
                "{} / {} l, small soft algae, D10 {} mJ/cm2",
                lh(q),
                number(volume.si() * 1e3),
                number(ALGAE_TENTH)
            ),
            format!("{} times what floats", number(uv::kills_a_day(q, volume.si(), dose, ALGAE_TENTH))),
        );
    }
    for band in &BANDS {
        let range = if (band.to - band.from).abs() < 1e-9 {
            number(band.from)
        } else {
            format!("{} to {}", number(band.from), number(band.to))
        };
        let verdict = if dose >= band.to {
            "reached"
        } else if dose >= band.from {
            "within its range"
        } else {
            "not in one pass"
        };
        out.step(
            format!("dose for {}", band.what),
            format!("{range} mJ/cm2; {}; {}", band.source, band.checked.words()),
            verdict,
        );
    }
    out.answer(
        "dose = mixing × P × eff × sleeve × age × (1 − e^(−a d)) / (a Q)",
        format!(
            "{} × {} W × {} × {} × {} × {} cm / {}",
            number(chamber.mixing),
            number(lamp.lamp.si()),
            number(chamber.efficiency),
            number(chamber.sleeve),
            number(age),
            number((1.0 - (-a * d).exp()) / a),
            lh(q)
        ),
        format!("{} mJ/cm2", number(dose)),
        dose,
    );
}
