//! Rounding and units for people. JSON and CSV never come through here: they keep base units.

use crate::measures::{Measure, Outcome, Unit};
use crate::units::{Flow, Mass, Quantity, UnitOf, Volume};

/// The units people read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Litres and kilograms.
    #[default]
    Metric,
    /// US gallons and pounds.
    Us,
    /// Imperial gallons and kilograms.
    Uk,
}

/// What stands for a figure that cannot be told.
pub const DASH: &str = "–";

/// A measure's figure for people, in their units: `638`, `5 %`, `19 wk`, `yes`, or a dash.
pub fn show(measure: Measure, outcome: Outcome, units: Units) -> String {
    match outcome {
        Outcome::Missing(_) => DASH.to_owned(),
        Outcome::Flag(yes) => if yes { "yes" } else { "no" }.to_owned(),
        Outcome::Value(x) if !x.is_finite() => DASH.to_owned(),
        Outcome::Value(x) => match measure.row().unit {
            Unit::Share | Unit::Probability => format!("{:.0} %", x * 100.0),
            Unit::Faults => format!("{x:.0}"),
            Unit::Days => days(x),
            unit => number(in_units(unit, x, units)),
        },
    }
}

/// The sign that belongs over a column of [`show`]'s figures; empty where the figures carry it themselves.
pub fn sign(measure: Measure, units: Units) -> &'static str {
    let unit = measure.row().unit;
    match unit {
        Unit::Share
        | Unit::Probability
        | Unit::Faults
        | Unit::Days
        | Unit::YesNo
        | Unit::Ratio
        | Unit::Money => "",
        Unit::Nitrate => "mg/l",
        _ => written_in(unit, units).map_or(unit.sign(), |(to, _)| to.sign),
    }
}

/// A length given in mm, for people.
pub fn millimetres(mm: f64, units: Units) -> String {
    match units {
        Units::Us => format!("{} in", number(mm / 25.4)),
        Units::Metric | Units::Uk => format!("{} mm", number(mm)),
    }
}

/// A plain number with the digits worth reading.
pub fn number(x: f64) -> String {
    let size = x.abs();
    let text = if size >= 10.0 {
        format!("{x:.0}")
    } else if size >= 1.0 {
        format!("{x:.1}")
    } else if size >= 0.01 || size == 0.0 {
        format!("{x:.2}")
    } else {
        format!("{x:.1e}")
    };
    let text = if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

fn days(x: f64) -> String {
    if x < 1.0 {
        "< 1 d".to_owned()
    } else if x < 28.0 {
        format!("{x:.0} d")
    } else if x < 182.0 {
        format!("{:.0} wk", x / 7.0)
    } else {
        "> 26 wk".to_owned()
    }
}

/// The unit to write in, and how many base units (l/h, l, kg) its SI unit is.
fn written_in(unit: Unit, units: Units) -> Option<(&'static UnitOf, f64)> {
    let (all, name, si_of_base) = match (unit, units) {
        (Unit::LitresAnHour, Units::Us) => (Flow::UNITS, "gal_us_h", 1e-3 / 3600.0),
        (Unit::LitresAnHour, Units::Uk) => (Flow::UNITS, "gal_uk_h", 1e-3 / 3600.0),
        (Unit::Litres, Units::Us) => (Volume::UNITS, "gal_us", 1e-3),
        (Unit::Litres, Units::Uk) => (Volume::UNITS, "gal_uk", 1e-3),
        (Unit::Kilograms, Units::Us) => (Mass::UNITS, "lb", 1.0),
        _ => return None,
    };
    all.iter().find(|u| u.name == name).map(|u| (u, si_of_base))
}

fn in_units(unit: Unit, x: f64, units: Units) -> f64 {
    written_in(unit, units).map_or(x, |(to, si)| to.from_si(x * si))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::Missing;

    #[test]
    fn figures_for_people() {
        // Common practice, no source: 1000 l/h = 264 US gal/h, 300 l = 79 US gal, 1 kg = 2.2 lb.
        let say = |m, x, u| show(m, Outcome::Value(x), u);
        assert_eq!(say(Measure::Flow, 1000.0, Units::Us), "264");
        assert_eq!(sign(Measure::Flow, Units::Us), "US gal/h");
        assert_eq!(say(Measure::CycleLitres, 300.0, Units::Us), "79");
        assert_eq!(say(Measure::WetMass, 1.0, Units::Us), "2.2");
        assert_eq!(say(Measure::Bypass, 0.054, Units::Metric), "5 %");
        assert_eq!(say(Measure::Service, 133.0, Units::Metric), "19 wk");
        assert_eq!(say(Measure::Flow, f64::NAN, Units::Metric), DASH);
        assert_eq!(show(Measure::Flow, Outcome::Missing(Missing::NoPumpCurve), Units::Us), DASH);
        assert_eq!(show(Measure::Fits, Outcome::Flag(false), Units::Us), "no");
        assert_eq!(millimetres(25.4, Units::Us), "1 in");
        assert_eq!(number(-0.001), "-1.0e-3");
        assert_eq!(number(-0.0), "0");
    }
}
