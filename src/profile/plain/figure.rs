//! A figure as people type it: `200`, `200 l`, `40 gal`, `5/8 in`, `1,5`, `25 %`, `1.2-1.8 m`, `~30`.

use std::ops::Range;

use super::super::diagnostics::digits;
use super::super::quantity;
use super::{Unclear, Understood};
use crate::model::fields::{Dimension, Kind, Row};
use crate::uncertainty::Provenance;
use crate::units::{UnitOf, Units};

/// What people call units beside their names and signs.
const ALIASES: &[(&str, &[&str])] = &[
    ("mm", &["millimetre", "millimeter"]),
    ("cm", &["centimetre", "centimeter"]),
    ("m", &["metre", "meter"]),
    ("inch", &["in", "\"", "″", "inche"]),
    ("ft", &["'", "′", "foot", "feet"]),
    ("um", &["um", "μm"]),
    ("l", &["litre", "liter", "ltr", "lt"]),
    ("ml", &["millilitre", "milliliter"]),
    ("gal_us", &["usgal", "usg", "usgallon"]),
    ("gal_uk", &["ukgal", "impgal", "ukgallon"]),
    ("l_h", &["lph", "l/hr", "l/hour", "litre/hour", "litre/h", "liter/h"]),
    ("l_min", &["lpm"]),
    ("m3_h", &["m³/h"]),
    ("gal_us_h", &["usgph"]),
    ("gal_uk_h", &["ukgph"]),
    ("kg", &["kilo", "kilogram"]),
    ("g", &["gram", "gr"]),
    ("lb", &["pound"]),
    ("oz", &["ounce"]),
    ("w", &["watt"]),
    ("degc", &["c", "°", "deg", "celsius"]),
    ("degf", &["f", "fahrenheit"]),
    ("day", &["day"]),
    ("week", &["w", "week"]),
    ("month", &["month", "mo"]),
    ("year", &["year", "yr", "y"]),
    ("h", &["hour", "hr"]),
    ("s", &["second", "sec"]),
    ("g_day", &["g", "gram", "g/d", "gaday", "gramaday", "gramsaday"]),
    ("oz_day", &["oz", "ounce", "ozaday"]),
];
/// Gallons are two units: which is meant, what people read says.
const GALLONS: &[(&str, &str, &str)] = &[
    ("gal", "gal_us", "gal_uk"),
    ("gallon", "gal_us", "gal_uk"),
    ("gal/h", "gal_us_h", "gal_uk_h"),
    ("gph", "gal_us_h", "gal_uk_h"),
];

/// One number with its unit, as typed.
#[derive(Clone, Copy, Debug)]
pub(super) struct One {
    number: f64,
    /// None where none was typed and none is needed.
    unit: Option<&'static UnitOf>,
    pub named: bool,
    per_cent: bool,
}

impl One {
    /// As files write it.
    pub fn ron(self) -> String {
        let number = if self.per_cent { ((self.number / 100.0) * 1e12).round() / 1e12 } else { self.number };
        self.unit.map_or_else(|| number.to_string(), |unit| format!("{}({number})", unit.name))
    }
    pub fn si(self) -> f64 {
        let number = if self.per_cent { self.number / 100.0 } else { self.number };
        self.unit.map_or(number, |unit| unit.to_si(number))
    }
}

/// The unit that a bare number takes: that of the field's example, as people read it.
pub(super) fn own_unit(row: &Row, of: Dimension, units: Units) -> Option<&'static UnitOf> {
    let like = row.like.split_once('(').map_or(row.unit, |(unit, _)| unit);
    let own = if of.unit(like).is_some() { like } else { row.unit };
    of.unit(units.read_in(own))
}

pub(super) fn example(row: &Row, units: Units) -> String {
    let of = dimension(row);
    let written = quantity::read(row.like, &(0..row.like.len()), of).map_or(0.0, |written| written.si);
    match own_unit(row, of, units) {
        None if is_share(row) => format!("{} %", digits(written * 100.0)),
        None => row.like.to_owned(),
        Some(unit) => {
            let number = unit.from_si(written);
            let number = if of.unit(units.read_in(unit.name)).is_some_and(|own| row.unit == own.name) {
                digits(number)
            } else {
                three(number)
            };
            format!("{number} {}", unit.sign)
        }
    }
}

fn dimension(row: &Row) -> Dimension {
    match row.kind {
        Kind::Figure(of) => of,
        _ => crate::model::fields::exact_of(row),
    }
}

pub(super) fn is_share(row: &Row) -> bool {
    row.unit.is_empty() && row.high <= 1.0
}

pub(super) fn understand(
    row: &'static Row,
    typed: &str,
    of: Dimension,
    units: Units,
) -> Result<Understood, Unclear> {
    if typed.contains('(') {
        return as_in_file(row, typed, of, units);
    }
    let doubted = matches!(row.kind, Kind::Figure(_));
    let lead = typed.len() - typed.trim_start().len();
    let (about, at) = match typed.trim_start().strip_prefix('~') {
        Some(_) => (true, lead + 1..typed.trim_end().len()),
        None => (false, lead..typed.trim_end().len()),
    };
    if about && !doubted {
        return Err(Unclear::part(&(lead..lead + 1), format!("{}: no uncertainty is told of it", row.words)));
    }
    if let Some((first, second)) = range(typed, &at) {
        if !doubted {
            return Err(Unclear::part(&at, format!("{}: one number, not from one to another", row.words)));
        }
        let high = one(row, typed, &second, of, units)?;
        let mut low = one(row, typed, &first, of, units)?;
        // `1.2-1.8 m`: the unit stands once, for both.
        if high.named && !low.named {
            (low.unit, low.per_cent) = (high.unit, high.per_cent);
        }
        if low.si() > high.si() {
            return Err(Unclear::part(&at, "the low end is above the high end: type the smaller one first"));
        }
        in_range(row, &first, low.si(), of)?;
        in_range(row, &second, high.si(), of)?;
        let ron = format!("between({}, {})", low.ron(), high.ron());
        let echo = format!(
            "{}–{}, anywhere between",
            shown(low.si(), row, of, units).0,
            whole(high.si(), row, of, units)
        );
        return Ok(Understood { ron, echo });
    }
    let one = one(row, typed, &at, of, units)?;
    in_range(row, &at, one.si(), of)?;
    if let Kind::Count = row.kind
        && one.si().fract() != 0.0
    {
        return Err(Unclear::part(&at, format!("{}: a whole number", row.words)));
    }
    let other = one.named && one.unit.map(|unit| unit.name) != own_unit(row, of, units).map(|unit| unit.name);
    let echo = match own_unit(row, of, units).filter(|_| other) {
        Some(own) => {
            let typed = typed.get(at).unwrap_or_default().trim();
            format!("{typed} = {} {}", three(own.from_si(one.si())), own.sign)
        }
        None => whole(one.si(), row, of, units),
    };
    Ok(if about {
        Understood { ron: format!("guessed({})", one.ron()), echo: format!("about {echo}, guessed") }
    } else {
        Understood { ron: one.ron(), echo }
    })
}

/// What a file would hold there.
fn as_in_file(row: &'static Row, typed: &str, of: Dimension, units: Units) -> Result<Understood, Unclear> {
    if super::lexer::unclosed(typed).is_some() {
        return Err(Unclear::whole(
            typed,
            format!("a bracket is not closed; write for example {}", row.like),
        ));
    }
    let start = typed.len() - typed.trim_start().len();
    let at = start..super::lexer::value_end(typed, start);
    let rest = typed.get(at.end..).unwrap_or_default();
    if !rest.trim().is_empty() {
        return Err(Unclear::part(&(at.end..typed.len()), "something stands behind the figure"));
    }
    let written = quantity::read(typed, &at, of).map_err(|fault| Unclear {
        at: fault.place,
        said: fault.help.map_or(fault.message.clone(), |help| format!("{}: {help}", fault.message)),
    })?;
    let (low, high) = written.bounds.unwrap_or((written.si, written.si));
    for si in [low, high] {
        in_range(row, &at, si, of)?;
    }
    let echo = match written.known {
        Provenance::Between => {
            format!("{}–{}, anywhere between", shown(low, row, of, units).0, whole(high, row, of, units))
        }
        Provenance::Guessed => format!("about {}, guessed", whole(low, row, of, units)),
        Provenance::Measured => format!("{}, measured", whole(low, row, of, units)),
        Provenance::Stated | Provenance::Assumed => whole(low, row, of, units),
    };
    Ok(Understood { ron: typed.get(at).unwrap_or_default().trim().to_owned(), echo })
}

/// A value in the unit that people read there: number and sign.
pub(super) fn shown(si: f64, row: &Row, of: Dimension, units: Units) -> (String, &'static str) {
    match own_unit(row, of, units) {
        None if is_share(row) => (digits(si * 100.0), "%"),
        None => (digits(si), ""),
        Some(unit) => {
            let number = unit.from_si(si);
            let near = (number * 1e6).round() / 1e6;
            // What was typed in this unit reads as it was typed, what was turned into it to three digits.
            let text = digits(near);
            let text = if text.bytes().filter(u8::is_ascii_digit).count() > 4 { three(number) } else { text };
            (text, unit.sign)
        }
    }
}

pub(super) fn rough(si: f64, row: &Row, of: Dimension, units: Units) -> String {
    let share = if is_share(row) { 100.0 } else { 1.0 };
    three(own_unit(row, of, units).map_or(si * share, |unit| unit.from_si(si)))
}

/// The same as one text.
pub(super) fn whole(si: f64, row: &Row, of: Dimension, units: Units) -> String {
    let (number, sign) = shown(si, row, of, units);
    if sign.is_empty() { number } else { format!("{number} {sign}") }
}

/// To three digits, more where they stand before the point.
fn three(number: f64) -> String {
    let places = (2.0 - number.abs().max(1e-9).log10().floor()).clamp(0.0, 9.0) as usize;
    crate::units::trimmed(&format!("{number:.places$}")).to_owned()
}

/// The two ends of `1.2-1.8 m`, `1.2 m to 1.8 m`.
fn range(typed: &str, at: &Range<usize>) -> Option<(Range<usize>, Range<usize>)> {
    let text = typed.get(at.clone())?;
    let split = [" to ", "..", "–", "—", "-"].into_iter().find_map(|sign| {
        // A sign in front belongs to the number.
        let from = text.char_indices().nth(1).map_or(text.len(), |(i, _)| i);
        text.get(from..)?.find(sign).map(|i| (from + i, sign.len()))
    })?;
    let (cut, long) = split;
    let second = at.start + cut + long..at.end;
    Some((at.start..at.start + cut, second))
}

pub(super) fn one(
    row: &'static Row,
    typed: &str,
    at: &Range<usize>,
    of: Dimension,
    units: Units,
) -> Result<One, Unclear> {
    let text = typed.get(at.clone()).unwrap_or_default();
    let lead = text.len() - text.trim_start().len();
    let start = at.start + lead;
    let text = text.trim();
    let here = start..start + text.len();
    let Some((number, long)) = number(text) else {
        return Err(Unclear::part(
            &here,
            format!("{}: a number belongs here, such as {}", row.words, example(row, units)),
        ));
    };
    let number = number.map_err(|said| Unclear { at: start..start + long, said })?;
    let named = text.get(long..).unwrap_or_default().trim();
    let place = here.end - named.len()..here.end;
    if named.is_empty() {
        let unit = own_unit(row, of, units);
        return Ok(One { number, unit, named: false, per_cent: false });
    }
    if named.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(Unclear::part(&place, "two numbers stand here, and one belongs here"));
    }
    if of.units.is_empty() {
        if named == "%" && is_share(row) {
            return Ok(One { number, unit: None, named: true, per_cent: true });
        }
        if is_said(row, named) {
            return Ok(One { number, unit: None, named: true, per_cent: false });
        }
        return Err(Unclear::part(&place, format!("{}: the bare number, without a unit", row.words)));
    }
    unit_named(named, of, units)
        .map(|unit| One { number, unit: Some(unit), named: true, per_cent: false })
        .ok_or_else(|| {
            let all: Vec<&str> = of.units.iter().map(|unit| unit.sign).collect();
            Unclear::part(
                &place,
                format!(
                    "`{}` is no unit of {}: use one of {}",
                    super::visible(named),
                    of.name,
                    all.join(", ")
                ),
            )
        })
}

/// A bare number's unit that the field's own words name, or a currency behind a price.
fn is_said(row: &Row, named: &str) -> bool {
    let lower = named.to_lowercase();
    let money = row.words.starts_with("price") && named.chars().count() <= 3;
    let hertz = lower == "hz" && row.words.contains("hertz");
    money || hertz || row.words.contains(&format!("({lower}")) || row.says.starts_with(&lower)
}

fn unit_named(named: &str, of: Dimension, units: Units) -> Option<&'static UnitOf> {
    let plain = |text: &str| text.to_lowercase().replace([' ', '.'], "");
    let wanted = plain(named);
    let one = wanted.strip_suffix('s').filter(|rest| !rest.is_empty()).unwrap_or(&wanted).to_owned();
    let gallon = GALLONS.iter().find(|(word, ..)| *word == wanted || *word == one);
    if let Some((_, us, uk)) = gallon {
        return of.unit(if units == Units::Uk { uk } else { us });
    }
    let called = |unit: &&UnitOf| {
        let also = ALIASES.iter().find(|(name, _)| *name == unit.name).map_or(&[][..], |(_, also)| also);
        [&wanted, &one]
            .iter()
            .any(|word| **word == unit.name || **word == plain(unit.sign) || also.contains(&word.as_str()))
    };
    of.units.iter().find(called)
}

/// The number that a text begins with, and how long it is: `1,5`, `5/8`, `1 5/8`. None where it begins with none.
fn number(text: &str) -> Option<(Result<f64, String>, usize)> {
    let sign = text.chars().next().filter(|c| matches!(c, '-' | '+' | '−')).map_or(0, char::len_utf8);
    let rest = text.get(sign..)?;
    let long = |from: &str| {
        from.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(from.len())
    };
    let (mut end, first) = (long(rest), rest.get(..long(rest))?);
    if !first.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut value = decimal(first);
    // `5/8`, or `1 5/8` with whole ones before it.
    let part = |from: &str| -> Option<(f64, usize)> {
        let top = from.find(|c: char| !c.is_ascii_digit()).filter(|i| *i > 0 && *i <= 4)?;
        let below = from.get(top..)?.strip_prefix('/')?;
        let digits = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
        let (a, b) = (from.get(..top)?.parse::<f64>().ok()?, below.get(..digits)?.parse::<f64>().ok()?);
        (b > 0.0).then_some((a / b, top + 1 + digits))
    };
    if let Some((share, whole)) = part(rest) {
        (value, end) = (Ok(share), whole);
    } else if let (Ok(ones), Some((share, more))) =
        (&value, rest.get(end..)?.strip_prefix(' ').and_then(part))
    {
        (value, end) = (Ok(ones + share), end + 1 + more);
    }
    let negative = matches!(text.chars().next(), Some('-' | '−'));
    Some((value.map(|x| if negative { -x } else { x }), sign + end))
}

fn decimal(text: &str) -> Result<f64, String> {
    let commas = text.matches(',').count();
    let points = text.matches('.').count();
    let behind = text.rsplit(',').next().unwrap_or_default();
    if commas == 1 && points == 0 && behind.len() == 3 && !text.starts_with("0,") {
        let (point, none) = (text.replace(',', "."), text.replace(',', ""));
        return Err(format!("{text} may be read as {point} or {none}: type the one that is meant"));
    }
    if commas + points > 1 {
        return Err(format!("{text} is no number: one decimal point or comma"));
    }
    let text = text.replace(',', ".");
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(format!("{text} is no number")),
    }
}

/// Puts a unit behind a number that was typed without one.
pub(super) fn with_unit(one: One, unit: &'static UnitOf) -> One {
    if one.named { one } else { One { unit: Some(unit), ..one } }
}

pub(super) fn in_range(row: &Row, at: &Range<usize>, si: f64, of: Dimension) -> Result<(), Unclear> {
    let (number, sign) = of.unit(row.unit).map_or((si, ""), |unit| (unit.from_si(si), unit.sign));
    let slack = 1e-9 * number.abs();
    if number >= row.low - slack && number <= row.high + slack {
        return Ok(());
    }
    let unit = if sign.is_empty() { String::new() } else { format!(" {sign}") };
    let [found, low, high] = [number, row.low, row.high].map(digits);
    let hint = if is_share(row) && number > 1.0 && number <= 100.0 {
        format!(": {found} % is typed `{found} %`")
    } else {
        String::new()
    };
    Err(Unclear::part(at, format!("{} of {found}{unit}: {low} to {high}{unit} can be{hint}", row.words)))
}
