//! Quantities of a derivation as a person writes them: more digits than a table shows, in the units that are read.

use crate::assess::trace::Value;
use crate::message::{Amount, Message};
use crate::report::figures::{DASH, Units};
use crate::units::{Flow, Length, Mass, Quantity, Volume, trimmed};

/// So many significant digits, no exponent, no idle zeros.
fn significant(x: f64, digits: i32) -> String {
    if !x.is_finite() {
        return DASH.to_owned();
    }
    // What is smaller than a millionth is nothing to a person.
    if x.abs() < 1e-9 {
        return "0".to_owned();
    }
    let places = (digits - 1 - x.abs().log10().floor() as i32).clamp(0, 9);
    let text = format!("{x:.*}", places as usize);
    trimmed(&text).replace('-', "−")
}

/// A worked-out figure: three significant digits.
pub fn number(x: f64) -> String {
    significant(x, 3)
}

/// A figure as it was given: up to six digits.
pub fn as_given(x: f64) -> String {
    significant(x, 6)
}

pub fn percent(x: f64) -> String {
    let percent = x * 100.0;
    if percent > 0.0 && percent < 0.05 {
        return "under 0.1 %".to_owned();
    }
    if percent.abs() < 10.0 || (percent > 99.0 && percent < 99.95) {
        format!("{} %", significant((percent * 10.0).round() / 10.0, 2 + i32::from(percent > 99.0)))
    } else {
        format!("{percent:.0} %")
    }
}

pub fn days(x: f64) -> String {
    format!("{} days", if x < 10.0 { significant(x, 2) } else { format!("{x:.0}") })
}

/// A value of SI in that unit of its kind.
fn scaled<Q: Quantity>(x: f64, unit: &str) -> (f64, &'static str) {
    Q::UNITS.iter().find(|u| u.name == unit).map_or((x, ""), |u| (u.from_si(x), u.sign))
}

fn flow(q: f64, units: Units) -> String {
    let (x, sign) = scaled::<Flow>(
        q,
        match units {
            Units::Metric => "l_h",
            Units::Us => "gal_us_h",
            Units::Uk => "gal_uk_h",
        },
    );
    if x.abs() < 10.0 { format!("{} {sign}", significant(x, 2)) } else { format!("{x:.0} {sign}") }
}

/// Name of the unit of volume that is read.
fn gallon(units: Units) -> &'static str {
    match units {
        Units::Metric => "l",
        Units::Us => "gal_us",
        Units::Uk => "gal_uk",
    }
}

fn volume(v: f64, units: Units, digits: fn(f64) -> String) -> String {
    let (x, sign) = scaled::<Volume>(v, gallon(units));
    format!("{} {sign}", digits(x))
}

fn length(x: f64, units: Units, digits: fn(f64) -> String) -> String {
    match units {
        Units::Metric | Units::Uk => format!("{} mm", digits(x * 1e3)),
        Units::Us => format!("{} in", number(scaled::<Length>(x, "inch").0)),
    }
}

pub fn head(m: f64, units: Units) -> String {
    let small = m.abs() < 0.01;
    match units {
        Units::Metric | Units::Uk if small => format!("{} mm of water", significant(m * 1e3, 2)),
        Units::Metric | Units::Uk => format!("{m:.3} m"),
        Units::Us if small => format!("{} in of water", significant(scaled::<Length>(m, "inch").0, 2)),
        Units::Us => format!("{:.3} ft", scaled::<Length>(m, "ft").0),
    }
}

fn run(m: f64, units: Units) -> String {
    match units {
        Units::Metric | Units::Uk => format!("{} m", as_given(m)),
        Units::Us => format!("{} ft", number(scaled::<Length>(m, "ft").0)),
    }
}

fn mass(kg: f64, units: Units, digits: fn(f64) -> String) -> String {
    match units {
        Units::Metric | Units::Uk => format!("{} kg", digits(kg)),
        Units::Us => format!("{} lb", number(scaled::<Mass>(kg, "lb").0)),
    }
}

fn area(m2: f64, units: Units) -> String {
    match units {
        Units::Metric | Units::Uk => format!("{} cm2", number(m2 * 1e4)),
        Units::Us => {
            let inch = scaled::<Length>(1.0, "inch").0;
            format!("{} in2", number(m2 * inch * inch))
        }
    }
}

/// A sentence whose amounts are written as closely as a derivation wants them.
fn words(said: &Message, units: Units) -> String {
    said.written(|amount| match amount {
        Amount::Flow(x) => flow(x / 3.6e6, units),
        Amount::Volume(x) => given(x, "l", units),
        Amount::Mass(x) => mass(x, units, as_given),
        Amount::Length(x) => length(x * 1e-3, units, as_given),
        Amount::Head(x) => head(x, units),
        Amount::Run(x) => run(x, units),
    })
}

/// A number in the unit of that sign, as it was given.
fn given(x: f64, sign: &str, units: Units) -> String {
    match sign {
        "l/h" => flow(x / 3.6e6, units),
        "l" => volume(x * 1e-3, units, if units == Units::Metric { as_given } else { number }),
        "mm" => length(x * 1e-3, units, as_given),
        "m" => run(x, units),
        "kg" => mass(x, units, as_given),
        "°C" => super::temperature(x, units),
        "m2/l" | "kg/l" if units != Units::Metric => {
            let (litres, gallon) = scaled::<Volume>(1e-3, gallon(units));
            let (x, kind) = match (sign, units) {
                ("kg/l", Units::Us) => (scaled::<Mass>(x, "lb").0, "lb"),
                ("kg/l", _) => (x, "kg"),
                _ => (x, "m2"),
            };
            format!("{} {kind}/{gallon}", number(x / litres))
        }
        _ => format!("{} {sign}", as_given(x)).trim_end().to_owned(),
    }
}

fn money(x: f64, currency: &str) -> String {
    format!("{x:.2} {currency}").trim_end().replace('-', "−")
}

/// A quantity; money in `currency`.
pub fn value(value: &Value, currency: &str, units: Units) -> String {
    match value {
        Value::Flow(x) => flow(*x, units),
        Value::Head(x) => head(*x, units),
        Value::Length(x) => length(*x, units, number),
        Value::Speed(x) => format!("{}/s", length(*x, units, number)),
        Value::Area(x) => area(*x, units),
        Value::Volume(x) => volume(*x, units, number),
        Value::Mass(x) => mass(*x, units, number),
        Value::Share(x) => percent(*x),
        Value::Number(x) => number(*x),
        Value::Given(x) => as_given(*x),
        Value::Days(x) => days(*x),
        Value::Money(x) => money(*x, currency),
        Value::PerLitre(x) => {
            let (litres, sign) = scaled::<Volume>(1e-3, gallon(units));
            let sign = if units == Units::Metric { "litre" } else { sign };
            format!("{} a {sign}", money(x / litres, currency))
        }
        Value::Count(1, one) => format!("1 {one}"),
        Value::Count(n, one) => format!("{n} {one}s"),
        Value::Sum(terms) if terms.is_empty() => "nothing".to_owned(),
        Value::Sum(terms) => {
            let terms: Vec<String> = terms.iter().map(|term| self::value(term, currency, units)).collect();
            terms.join(" + ").replace("+ −", "− ")
        }
        Value::Between(low, high) => {
            let both = [low, high].map(|end| self::value(end, currency, units));
            both.join(" to ")
        }
        Value::In(x, sign) => given(*x, sign, units),
        Value::Words(said) => words(said, units),
        Value::OpenedBy(by) => super::pictures::opened_by(*by),
    }
}
