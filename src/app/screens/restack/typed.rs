//! What a person types on this screen, read: amounts, widths, shares.

use super::edits;
use crate::model::edit::Place;
use crate::model::{Amount, Workpiece, ranges};
use crate::report::figures::Units;
use crate::uncertainty::Field;
use crate::units::{Length, Mass, Quantity, Volume};

/// A number with the sign of its unit, such as `25`, `25 mm`, `mm(25)`.
fn number_and_unit(text: &str) -> Result<(f64, String), String> {
    let text = text.trim().to_lowercase();
    let turned = match text.strip_suffix(')').and_then(|t| t.split_once('(')) {
        Some((unit, number)) => format!("{number} {unit}"),
        None => text,
    };
    let end = turned.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c))).unwrap_or(turned.len());
    let (number, unit) = turned.split_at_checked(end).unwrap_or((&turned, ""));
    if number.contains(',') {
        return Err("write a decimal point: 2.5".to_owned());
    }
    match number.parse::<f64>() {
        Ok(x) if x.is_finite() && x >= 0.0 => Ok((x, unit.trim().trim_end_matches('.').to_owned())),
        Ok(_) => Err("less than nothing cannot be laid".to_owned()),
        Err(_) => Err("that is no figure: type one such as 25 or 2.5".to_owned()),
    }
}

fn si_in<Q: Quantity>(number: f64, unit: &str) -> Option<f64> {
    let named = |u: &&crate::units::UnitOf| u.name == unit || u.sign.to_lowercase() == unit;
    Q::UNITS.iter().find(named).map(|u| u.to_si(number))
}

/// Checks a figure in SI against what the field takes, and gives it in the field's own unit.
fn in_field<Q: Quantity>(si: f64, field: &Field) -> Result<f64, String> {
    let unit = Q::UNITS.iter().find(|u| u.name == field.unit);
    let number = unit.map_or(si, |u| u.from_si(si));
    // The way through SI must not leave a 25.000000000000004.
    let number = (number * 1e9).round() / 1e9;
    let sign = unit.map_or("", |u| u.sign);
    if number >= field.low && number <= field.high {
        Ok(number)
    } else {
        Err(format!("{}: {} to {} {sign} can be used", field.name, field.low, field.high))
    }
}

/// A length in mm; without a unit it is millimetres, or inches where people read inches.
pub fn length(text: &str, field: &Field, units: Units) -> Result<f64, String> {
    let (number, unit) = number_and_unit(text)?;
    let unit = match unit.as_str() {
        "" if units == Units::Us => "inch",
        "" => "mm",
        other => other,
    };
    let Some(si) = si_in::<Length>(number, unit) else {
        return Err(format!("`{unit}` is no length: use mm, cm or in"));
    };
    // Nothing at all is a figure too: it closes, mends, frees.
    if si > 0.0 { in_field::<Length>(si, field) } else { Ok(0.0) }
}

pub fn share(text: &str, field: &Field) -> Result<f64, String> {
    let (number, unit) = number_and_unit(text)?;
    if !unit.is_empty() && unit != "%" {
        return Err("type per cent, such as 10".to_owned());
    }
    let share = number / 100.0;
    if share <= field.high { Ok(share) } else { Err(format!("at most {} %", field.high * 100.0)) }
}

/// An amount: depth, volume or mass by its unit, or `rest`.
pub fn amount(piece: &Workpiece, at: Place, text: &str, units: Units) -> Result<Amount, String> {
    if text.trim().eq_ignore_ascii_case("rest") {
        return Ok(Amount::Rest);
    }
    let (number, unit) = number_and_unit(text)?;
    let none = || "that figure cannot be used".to_owned();
    if let Some(si) = si_in::<Volume>(number, &unit) {
        let litres = in_field::<Volume>(si, &ranges::LAYER_VOLUME)?;
        return edits::plain(piece, at, &ranges::LAYER_VOLUME, litres).map(Amount::Volume).ok_or_else(none);
    }
    if let Some(si) = si_in::<Mass>(number, &unit) {
        let kg = in_field::<Mass>(si, &ranges::LAYER_MASS)?;
        return edits::plain(piece, at, &ranges::LAYER_MASS, kg).map(Amount::Mass).ok_or_else(none);
    }
    let mm = length(text, &ranges::LAYER_DEPTH, units)?;
    if mm <= 0.0 {
        return Err("nothing of it: {remove} takes the layer out".to_owned());
    }
    edits::plain(piece, at, &ranges::LAYER_DEPTH, mm).map(Amount::Depth).ok_or_else(none)
}
