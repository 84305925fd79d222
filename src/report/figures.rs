//! How a figure is written for people: rounding, units, the dash. Screens, tables and
//! replies all use it, so that a figure reads the same everywhere. JSON and CSV do not: they stay in base units.

use crate::assumptions::A;
use crate::measures::{Measure, Outcome, Unit};
use crate::message::{Amount, Message};
pub use crate::units::Units;
use crate::units::{Flow, Length, Mass, Quantity, Volume};

pub const DASH: &str = "–";

/// A measure's figure without its unit's sign where the column's head carries it; shares, days and yes or no
/// carry their own. A dash where it cannot be told.
pub fn show(measure: Measure, outcome: Outcome, units: Units) -> String {
    match outcome {
        Outcome::Value(x) => value(measure.row().unit, x, units),
        Outcome::Flag(yes) => if yes { "yes" } else { "no" }.to_owned(),
        Outcome::Missing(_) => DASH.to_owned(),
    }
}

/// The figure with its unit's sign, for running text: `612 l/h`, `19 wk`, `5 %`.
pub fn show_with_sign(measure: Measure, outcome: Outcome, units: Units) -> String {
    let shown = show(measure, outcome, units);
    let sign = sign(measure, units);
    if shown == DASH || sign.is_empty() { shown } else { format!("{shown} {sign}") }
}

/// The sign of a measure's unit as people read it; empty where the figure carries its own or has none.
pub fn sign(measure: Measure, units: Units) -> &'static str {
    match measure.row().unit {
        Unit::LitresAnHour => flow_unit(units).1,
        Unit::Litres => volume_unit(units).1,
        Unit::Kilograms => mass_unit(units).1,
        Unit::PerHour => "1/h",
        Unit::MilligramsALitre | Unit::Nitrate => "mg/l",
        Unit::Dose => "mJ/cm2",
        Unit::Watts => "W",
        Unit::Share
        | Unit::Probability
        | Unit::Faults
        | Unit::Ratio
        | Unit::Days
        | Unit::Money
        | Unit::YesNo => "",
    }
}

/// The difference from one outcome to another, signed: `+299`, `−53 points`, `+4 wk`, `0`. A dash unless both
/// can be told.
pub fn difference(measure: Measure, from: Outcome, to: Outcome, units: Units) -> String {
    let (Some(a), Some(b)) = (from.number(), to.number()) else { return DASH.to_owned() };
    if let (Outcome::Flag(a), Outcome::Flag(b)) = (from, to) {
        return match (a, b) {
            (true, false) => "no longer".to_owned(),
            (false, true) => "now yes".to_owned(),
            _ => "same".to_owned(),
        };
    }
    let d = b - a;
    let unit = measure.row().unit;
    let size = match unit {
        Unit::Share | Unit::Probability => rounded(d.abs() * 100.0, 0),
        Unit::Days => {
            if d.abs() < 14.0 {
                format!("{} d", rounded(d.abs(), 0))
            } else {
                format!("{} wk", rounded(d.abs() / 7.0, 0))
            }
        }
        _ => plain(unit, d.abs(), a.abs().max(b.abs()), units),
    };
    if size.chars().all(|c| !c.is_ascii_digit() || c == '0') {
        return "0".to_owned();
    }
    let points = match unit {
        Unit::Share | Unit::Probability if size == "1" => " point",
        Unit::Share | Unit::Probability => " points",
        _ => "",
    };
    format!("{}{size}{points}", if d < 0.0 { '−' } else { '+' })
}

/// A share as per cent; what is neither nothing nor all never reads as such.
pub fn share(x: f64) -> String {
    if !x.is_finite() {
        DASH.to_owned()
    } else if x > 0.0 && x < 0.005 {
        "<1 %".to_owned()
    } else if x < 1.0 && x > 0.995 {
        ">99 %".to_owned()
    } else {
        format!("{} %", rounded(x * 100.0, 0))
    }
}

/// The longest time the model looks at: `26 weeks`.
pub fn horizon() -> String {
    format!("{} weeks", rounded(A::Horizon.value() / 7.0, 0))
}

/// A time in days: `<1 d`, `5 d`, `19 wk`; at the model's horizon `>26 wk`.
pub fn days(x: f64) -> String {
    if !x.is_finite() {
        DASH.to_owned()
    } else if x >= A::Horizon.value() {
        format!(">{} wk", rounded(A::Horizon.value() / 7.0, 0))
    } else if x < 1.0 {
        "<1 d".to_owned()
    } else if x.round() < 14.0 {
        format!("{} d", rounded(x, 0))
    } else {
        format!("{} wk", rounded(x / 7.0, 0))
    }
}

/// A flow given in l/h, with its sign: `612 l/h`.
pub fn flow(litres_an_hour: f64, units: Units) -> String {
    with_sign(litres_an_hour * flow_unit(units).0, 0, flow_unit(units).1)
}

/// A sentence with its amounts in the units that are read.
pub fn said(said: &Message, units: Units) -> String {
    said.written(|amount| match amount {
        Amount::Flow(x) => {
            let (scale, sign) = flow_unit(units);
            // Two small flows are to be told apart.
            with_sign(x * scale, usize::from((x * scale).abs() < 9.95), sign)
        }
        Amount::Volume(x) => volume(x, units),
        Amount::Mass(x) => mass(x, units),
        Amount::Length(x) => cut_length(x, units),
        Amount::Head(x) => head(x, units),
        Amount::Run(x) => with_sign(x * head_scale(units), 1, if units == Units::Us { "ft" } else { "m" }),
    })
}

/// A volume given in litres, with its sign.
pub fn volume(litres: f64, units: Units) -> String {
    let x = litres * volume_unit(units).0;
    // A tenth of a gallon is too coarse for a pad.
    let small = units != Units::Metric && x.abs() < 0.995;
    with_sign(x, if small { 2 } else { usize::from(x.abs() < 9.95) }, volume_unit(units).1)
}

/// A mass given in kg, with its sign.
pub fn mass(kilograms: f64, units: Units) -> String {
    let x = kilograms * mass_unit(units).0;
    with_sign(x, if x.abs() < 0.995 { 2 } else { usize::from(x.abs() < 99.5) }, mass_unit(units).1)
}

/// A short length given in mm, with its sign.
pub fn length(millimetres: f64, units: Units) -> String {
    match units {
        Units::Metric | Units::Uk => {
            with_sign(millimetres, usize::from(millimetres.abs() < 9.95 && millimetres.fract() != 0.0), "mm")
        }
        Units::Us => {
            let x = millimetres * 1e-3 / unit::<Length>("inch");
            with_sign(x, if x.abs() < 0.095 { 3 } else { 2 }, "in")
        }
    }
}

/// A short length given in mm, to the tenth of a millimetre where it is no whole one: what is cut to size.
pub fn cut_length(millimetres: f64, units: Units) -> String {
    let tenths = (millimetres * 10.0).round() / 10.0;
    match units {
        Units::Metric | Units::Uk => {
            with_sign(tenths, usize::from((tenths - tenths.round()).abs() > 0.01), "mm")
        }
        Units::Us => length(millimetres, units),
    }
}

/// A head of water given in m, with its sign.
pub fn head(metres: f64, units: Units) -> String {
    match units {
        Units::Metric | Units::Uk => with_sign(metres, 2, "m"),
        Units::Us => with_sign(metres / unit::<Length>("ft"), 2, "ft"),
    }
}

/// What a head in m is multiplied by to be shown.
pub fn head_scale(units: Units) -> f64 {
    match units {
        Units::Metric | Units::Uk => 1.0,
        Units::Us => 1.0 / unit::<Length>("ft"),
    }
}

fn value(unit: Unit, x: f64, units: Units) -> String {
    match unit {
        Unit::Share | Unit::Probability => share(x),
        Unit::Days => days(x),
        _ => plain(unit, x, x, units),
    }
}

/// A number in the shown unit, rounded as fits a figure of the size of `like`.
pub(super) fn plain(unit: Unit, x: f64, like: f64, units: Units) -> String {
    let scale = scale(unit, units);
    let size = (like * scale).abs();
    let decimals = match unit {
        Unit::LitresAnHour | Unit::Faults | Unit::YesNo => 0,
        Unit::Ratio => {
            if size < 0.995 {
                2
            } else {
                usize::from(size < 9.95)
            }
        }
        Unit::Money => {
            if size < 9.995 && (size - size.round()).abs() > 1e-9 {
                2
            } else {
                0
            }
        }
        Unit::Share | Unit::Probability | Unit::Days => 1,
        Unit::PerHour | Unit::MilligramsALitre | Unit::Dose => usize::from(size < 99.5),
        Unit::Litres | Unit::Kilograms | Unit::Watts | Unit::Nitrate => usize::from(size < 9.95),
    };
    rounded(x * scale, decimals)
}

fn scale(unit: Unit, units: Units) -> f64 {
    match unit {
        Unit::LitresAnHour => flow_unit(units).0,
        Unit::Litres => volume_unit(units).0,
        Unit::Kilograms => mass_unit(units).0,
        _ => 1.0,
    }
}

pub fn flow_unit(units: Units) -> (f64, &'static str) {
    let litre = unit::<Flow>("l_h");
    match units {
        Units::Metric => (1.0, "l/h"),
        Units::Us => (litre / unit::<Flow>("gal_us_h"), "US gal/h"),
        Units::Uk => (litre / unit::<Flow>("gal_uk_h"), "UK gal/h"),
    }
}

fn volume_unit(units: Units) -> (f64, &'static str) {
    let litre = unit::<Volume>("l");
    match units {
        Units::Metric => (1.0, "l"),
        Units::Us => (litre / unit::<Volume>("gal_us"), "US gal"),
        Units::Uk => (litre / unit::<Volume>("gal_uk"), "UK gal"),
    }
}

fn mass_unit(units: Units) -> (f64, &'static str) {
    match units {
        Units::Metric | Units::Uk => (1.0, "kg"),
        Units::Us => (1.0 / unit::<Mass>("lb"), "lb"),
    }
}

fn unit<Q: Quantity>(name: &str) -> f64 {
    Q::UNITS.iter().find(|u| u.name == name).map_or(1.0, |u| u.factor)
}

fn with_sign(x: f64, decimals: usize, sign: &str) -> String {
    let shown = rounded(x, decimals);
    if shown == DASH { shown } else { format!("{shown} {sign}") }
}

/// A number with so many decimals, a true minus sign, and no minus before zero; a dash unless it is finite.
pub fn rounded(x: f64, decimals: usize) -> String {
    if !x.is_finite() {
        return DASH.to_owned();
    }
    let shown = format!("{:.decimals$}", x.abs());
    let zero = shown.chars().all(|c| c == '0' || c == '.');
    if x < 0.0 && !zero { format!("−{shown}") } else { shown }
}
