//! How a figure is written: `mm(16)`, `measured(l_h(540))`, `between(mm(0.5), mm(2))`, `0.45`.

use std::ops::Range;

use super::diagnostics::{COMMA, DIGITS, describe, digits, suggest, ticked};
use super::message::Diagnostic;
use super::{Reader, lexer};
use crate::hidden::visible;
use crate::model::fields::{Dimension, Door, Figured, Known, Place, Row, row};
use crate::uncertainty::{Provenance, Spread};
use crate::units::{Plain, UnitOf, kind_of_unit};

/// A figure as written, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Written {
    /// The value, SI; of two bounds the middle.
    pub si: f64,
    /// How it is known; a figure without a word counts as stated.
    pub known: Provenance,
    pub said: bool,
    pub bounds: Option<(f64, f64)>,
}

impl Figured for Reader<'_> {
    fn figure(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<Known> {
        let Written { si, known, said, bounds } = self.written(at, row, of)?;
        let spread = match bounds {
            Some((low, high)) if low < high => Spread::Uniform { low, high },
            Some(_) => Spread::Exact,
            None => row.printed.spread(known, said, si),
        };
        Some(Known { si, known, spread, of })
    }

    fn exact(&mut self, at: &Place, row: &'static Row, of: Dimension) -> Option<f64> {
        let written = self.written(at, row, of)?;
        if written.said {
            self.fault(
                Some(at),
                format!("{}: no word of doubt belongs here", row.words),
                "write the plain value",
            );
            return None;
        }
        Some(in_unit(written.si, row, of).0)
    }
}

impl Reader<'_> {
    /// Checks that the open form says which format it is written in, and that it is one we read.
    pub fn format(&mut self) {
        static FORMAT_ROW: Row = row("format").file("format").like("1");
        let Some(place) = self.given(&FORMAT_ROW) else {
            self.missing(&FORMAT_ROW);
            return;
        };
        match read(self.source, &place, Dimension::of::<Plain>()) {
            Ok(written) if written.si == FORMAT && !written.said => {}
            Ok(_) => {
                let found = self.at(&place).to_owned();
                self.newer = Some(Diagnostic::new(
                    place,
                    format!("format {found} needs a newer program"),
                    "this one reads format 1; nothing else of the file was looked at",
                ));
            }
            Err(fault) => self.refuse(fault.place, fault.message, fault.help),
        }
    }

    /// What is written there, within the row's range.
    pub fn written(&mut self, at: &Place, row: &Row, of: Dimension) -> Option<Written> {
        let written = match read(self.source, at, of) {
            Ok(written) => written,
            Err(fault) => {
                self.refuse(fault.place, fault.message, fault.help);
                return None;
            }
        };
        let (low, high) = written.bounds.unwrap_or((written.si, written.si));
        for si in [low, high] {
            let (number, sign) = in_unit(si, row, of);
            let slack = 1e-9 * number.abs();
            if number < row.low - slack || number > row.high + slack {
                let unit = if sign.is_empty() { String::new() } else { format!(" {sign}") };
                let [found, low, high] = [number, row.low, row.high].map(digits);
                let message = format!("{} of {found}{unit}: expected {low} to {high}{unit}", row.words);
                self.refuse(at.clone(), message, Some(range_help(number, row)));
                return None;
            }
        }
        Some(written)
    }
}

/// An SI value in the row's unit, and that unit's sign.
fn in_unit(si: f64, row: &Row, of: Dimension) -> (f64, &'static str) {
    of.unit(row.unit).map_or((si, ""), |unit| (unit.from_si(si), unit.sign))
}

/// What to do about a value out of range.
fn range_help(number: f64, row: &Row) -> String {
    let share = row.unit.is_empty() && row.high <= 1.0;
    if share && number > 1.0 && number <= 100.0 {
        let [written, said] = [number / 100.0, number].map(digits);
        return format!("a share is written from 0 to 1: `{written}` for {said} %");
    }
    if row.unit.is_empty() { "check the digits".into() } else { DIGITS.into() }
}

/// The one format there is.
const FORMAT: f64 = 1.0;
/// The words that say how a figure is known.
const WRAPPERS: [&str; 4] = ["measured", "stated", "guessed", "between"];

pub fn read(source: &str, place: &Range<usize>, of: Dimension) -> Result<Written, Diagnostic> {
    let call = Call::of(source, place);
    let known = match call.name {
        "measured" => Provenance::Measured,
        "stated" => Provenance::Stated,
        "guessed" => Provenance::Guessed,
        "between" => return between(source, place, &call, of),
        "assumed" => {
            return Err(Diagnostic::new(
                place.clone(),
                "what is assumed is not written",
                "leave the field out: the program assumes something wide and says so",
            ));
        }
        _ => {
            let si = plain(source, place, of)?;
            return Ok(Written { si, known: Provenance::Stated, said: false, bounds: None });
        }
    };
    let [inner] = call.arguments.as_slice() else {
        return Err(one_value(source, place, &call, &example(call.name, "16", of)));
    };
    Ok(Written { si: inside(source, inner, of)?, known, said: true, bounds: None })
}

fn between(
    source: &str,
    place: &Range<usize>,
    call: &Call<'_>,
    of: Dimension,
) -> Result<Written, Diagnostic> {
    let [low, high] = call.arguments.as_slice() else {
        let (low, high) = (unit_example("1", of), unit_example("2", of));
        return Err(Diagnostic::new(
            place.clone(),
            format!("`between` takes two values, found {}", call.arguments.len()),
            format!("write the low and the high end: `between({low}, {high})`"),
        ));
    };
    let (low, mut high) = (inside(source, low, of)?, inside(source, high, of)?);
    // One point in two units: their factors differ by last bits.
    if (low - high).abs() <= 4.0 * f64::EPSILON * low.abs() {
        high = low;
    }
    if low > high {
        return Err(Diagnostic::new(
            place.clone(),
            "the low end of `between` is above its high end",
            "write the smaller value first",
        ));
    }
    Ok(Written {
        si: f64::midpoint(low, high),
        known: Provenance::Between,
        said: true,
        bounds: Some((low, high)),
    })
}

/// A plain value inside one of the words.
fn inside(source: &str, place: &Range<usize>, of: Dimension) -> Result<f64, Diagnostic> {
    let call = Call::of(source, place);
    if WRAPPERS.contains(&call.name) && !call.arguments.is_empty() {
        return Err(Diagnostic::new(
            place.clone(),
            format!("`{}` stands inside another word of its kind", call.name),
            format!("use one of {} only, round a plain value", ticked(WRAPPERS)),
        ));
    }
    plain(source, place, of)
}

/// `mm(16)`, or `0.45` where a bare number stands.
fn plain(source: &str, place: &Range<usize>, of: Dimension) -> Result<f64, Diagnostic> {
    let text = source.get(place.clone()).unwrap_or("");
    let call = Call::of(source, place);
    let bare = of.units.is_empty();
    if call.name.is_empty() || !call.called {
        return match number(text, place) {
            Some(value) if bare => value,
            Some(value) => value.and(Err(no_unit(text, place, of))),
            None => Err(not_a_figure(source, place, of)),
        };
    }
    let Some(unit) = of.units.iter().find(|unit| unit.name == call.name) else {
        return Err(wrong_unit(&call, place, of));
    };
    let [inner] = call.arguments.as_slice() else {
        return Err(one_value(source, place, &call, &format!("{}(16)", unit.name)));
    };
    let inner_text = source.get(inner.clone()).unwrap_or("");
    let value = number(inner_text, inner).unwrap_or_else(|| {
        Err(Diagnostic::new(
            inner.clone(),
            format!("expected a number of {}, found {}", unit.sign, describe(inner_text)),
            format!("write for example `{}(16)`", unit.name),
        ))
    })?;
    Ok(unit.to_si(value))
}

struct Call<'s> {
    name: &'s str,
    called: bool,
    arguments: Vec<Range<usize>>,
}

impl<'s> Call<'s> {
    fn of(source: &'s str, place: &Range<usize>) -> Self {
        let name = lexer::word(source, place.start);
        let open = lexer::skip_trivia(source, place.start + name.len());
        let called = source.as_bytes().get(open) == Some(&b'(') && open < place.end;
        let arguments = if called { lexer::items(source, place) } else { Vec::new() };
        Self { name, called, arguments }
    }
}

/// The number that `text` is: `None` when it is none, an error when it is one that is no figure.
fn number(text: &str, place: &Range<usize>) -> Option<Result<f64, Diagnostic>> {
    let wrong = |message: &str, help: &str| Some(Err(Diagnostic::new(place.clone(), message, help)));
    let unsigned = text.trim_start_matches(['-', '+']);
    if ["nan", "inf", "infinity"].contains(&unsigned.to_ascii_lowercase().as_str()) {
        return wrong(
            &format!("`{text}` is no figure"),
            "leave the field out when it is unknown, or use `guessed` or `between`",
        );
    }
    if !unsigned.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    if unsigned.contains("..") {
        return wrong("a range is not written with dots", "write `between(low, high)`");
    }
    match text.replace('_', "").parse::<f64>() {
        Ok(value) if value.is_finite() => Some(Ok(value)),
        Ok(_) => {
            wrong("this number is too large to be a figure", "look for a digit too many in its exponent")
        }
        Err(_) => wrong(
            &format!("`{}` is no decimal number", visible(text)),
            "write digits and a decimal point, such as `16` or `0.45`",
        ),
    }
}

fn unit_example(number: &str, of: Dimension) -> String {
    of.units.first().map_or_else(|| number.to_owned(), |unit| format!("{}({number})", unit.name))
}

fn example(word: &str, number: &str, of: Dimension) -> String {
    format!("{word}({})", unit_example(number, of))
}

fn names(units: &[UnitOf]) -> String {
    ticked(units.iter().map(|unit| unit.name))
}

fn no_unit(text: &str, place: &Range<usize>, of: Dimension) -> Diagnostic {
    let short: String = text.chars().take(24).collect();
    Diagnostic::new(
        place.clone(),
        format!("a bare number has no unit, and a {} is needed here", of.name),
        format!("write for example `{}`; units are {}", unit_example(&short, of), names(of.units)),
    )
}

fn wrong_unit(call: &Call<'_>, place: &Range<usize>, of: Dimension) -> Diagnostic {
    let name = visible(call.name);
    let spot = place.start..place.start + call.name.len();
    if of.units.is_empty() {
        let what = match kind_of_unit(call.name) {
            Some(kind) => format!("`{name}` is a unit of {kind}, but a bare number stands here"),
            None => format!("expected a number, found `{name}(…)`"),
        };
        let help = "write it without a unit, such as `0.45`, or wrapped: `guessed(0.45)`";
        return Diagnostic::new(spot, what, help);
    }
    let (message, help) = match kind_of_unit(call.name) {
        Some(kind) => (
            format!("`{name}` is a unit of {kind}, but a {} is needed here", of.name),
            format!("use one of {}", names(of.units)),
        ),
        None => (
            format!("`{name}` is no unit of {}", of.name),
            suggest(
                call.name,
                of.units.iter().map(|unit| unit.name).chain(WRAPPERS).collect::<Vec<_>>(),
                "use one of",
            ),
        ),
    };
    Diagnostic::new(spot, message, help)
}

fn one_value(source: &str, place: &Range<usize>, call: &Call<'_>, like: &str) -> Diagnostic {
    let numeric = |range: &Range<usize>| {
        source.get(range.clone()).is_some_and(|text| text.chars().all(|c| c.is_ascii_digit()))
    };
    if call.arguments.len() == 2 && call.arguments.iter().all(numeric) {
        let parts: Vec<_> =
            call.arguments.iter().filter_map(|range| source.get(range.clone())).map(str::to_owned).collect();
        return Diagnostic::new(
            place.clone(),
            COMMA,
            format!("write a decimal point: `{}({})`", call.name, parts.join(".")),
        );
    }
    Diagnostic::new(
        place.clone(),
        format!("`{}` takes one value, found {}", visible(call.name), call.arguments.len()),
        format!("write for example `{like}`"),
    )
}

fn not_a_figure(source: &str, place: &Range<usize>, of: Dimension) -> Diagnostic {
    let text = source.get(place.clone()).unwrap_or("");
    let article = if of.name.starts_with('a') { "an" } else { "a" };
    let help = if text.starts_with('"') {
        format!("figures are not put in quotes: write `{}`", unit_example(&digits_of(text), of))
    } else {
        format!("write for example `{}`", unit_example("16", of))
    };
    Diagnostic::new(
        lexer::head(source, place),
        format!("expected {article} {}, found {}", of.name, describe(text)),
        help,
    )
}

/// The digits a person put into a text, to repeat them back; 16 where there are none.
fn digits_of(text: &str) -> String {
    let digits: String = text
        .chars()
        .skip_while(|c| !c.is_ascii_digit())
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .take(24)
        .collect();
    if digits.is_empty() { "16".into() } else { digits }
}
