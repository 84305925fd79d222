//! A figure with its uncertainty as people read it, `2.3 1.7–2.8`: 9 of 10 simulated cases lie between low and high.
//! Its unit stands in the head above; only times carry their own, as days and weeks stand in one column.

use super::figures::{self, DASH, Units, rounded};
use crate::assumptions::A;
use crate::measures::{Measure, Outcome, Unit};
use crate::uncertainty::Band;

/// Days from which times are told in weeks.
const WEEKS: f64 = 14.0;

/// What the figures of one row or cell share: rounding that fits the greatest of them, and days or weeks.
#[derive(Clone, Copy, Debug, Default)]
pub struct Scale {
    greatest: f64,
}

impl Scale {
    pub fn of(figures: impl IntoIterator<Item = f64>) -> Self {
        let sizes = figures.into_iter().map(f64::abs).filter(|x| x.is_finite());
        Self { greatest: sizes.fold(0.0, f64::max) }
    }
    fn weeks(self) -> bool {
        self.greatest >= WEEKS
    }
    pub fn sign(self, measure: Measure) -> &'static str {
        match (measure.row().unit, self.weeks()) {
            (Unit::Days, true) => "wk",
            (Unit::Days, false) => "d",
            _ => "",
        }
    }
    /// A number without its unit.
    pub fn number(self, measure: Measure, x: f64, units: Units) -> String {
        if !x.is_finite() {
            return DASH.to_owned();
        }
        match measure.row().unit {
            Unit::Share | Unit::Probability => figures::share(x).trim_end_matches(" %").to_owned(),
            Unit::Days => {
                let (per, end) = if self.weeks() { (7.0, x >= A::Horizon.value()) } else { (1.0, false) };
                let x = if end { A::Horizon.value() } else { x };
                let shown = rounded(x / per, 0);
                match shown.as_str() {
                    "0" if x > 0.0 => "<1".to_owned(),
                    _ if end => format!("{shown}+"),
                    _ => shown,
                }
            }
            // As fine as the greatest of them is known.
            Unit::Ratio => rounded(x, usize::from(self.greatest < 9.95)),
            unit => figures::plain(unit, x, self.greatest, units),
        }
    }
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Figure {
    pub middle: String,
    /// `1.7–2.8`; none where it is not known, or where both ends read as the middle does.
    pub span: Option<String>,
    /// `d` or `wk` of times.
    pub sign: &'static str,
}

impl Figure {
    /// `2.3 1.7–2.8`.
    pub fn both(&self) -> String {
        let span = self.span.as_ref().map_or(String::new(), |span| format!(" {span}"));
        self.signed(format!("{}{span}", self.middle))
    }
    /// `2.3 (1.7–2.8)`.
    pub fn bracketed(&self) -> String {
        let span = self.span.as_ref().map_or(String::new(), |span| format!(" ({span})"));
        self.signed(format!("{}{span}", self.middle))
    }
    /// `1.7–2.8`, or the figure where it has no span.
    pub fn narrow(&self) -> String {
        self.signed(self.span.clone().unwrap_or_else(|| self.middle.clone()))
    }
    pub fn middle_alone(&self) -> String {
        self.signed(self.middle.clone())
    }
    /// `2.3 ×/h (1.7–2.8)`, for running text, with the unit that a head would carry.
    pub fn said(&self, unit: &str) -> String {
        let unit = if self.sign.is_empty() { unit } else { self.sign };
        let span = self.span.as_ref().map_or(String::new(), |span| format!(" ({span})"));
        let bare = unit.is_empty() || self.middle.chars().all(|c| !c.is_ascii_digit());
        if bare { format!("{}{span}", self.middle) } else { format!("{} {unit}{span}", self.middle) }
    }
    fn signed(&self, said: String) -> String {
        let bare = self.sign.is_empty() || said == DASH;
        if bare { said } else { format!("{said} {}", self.sign) }
    }
}

pub fn figure(measure: Measure, outcome: Outcome, band: Option<Band>, units: Units) -> Figure {
    let ends = band.map_or([0.0; 2], |band| [band.low, band.high]);
    let scale = Scale::of(outcome.number().into_iter().chain(ends));
    figure_on(scale, measure, outcome, band, units)
}

/// The same on a scale that it shares with others.
pub fn figure_on(
    scale: Scale,
    measure: Measure,
    outcome: Outcome,
    band: Option<Band>,
    units: Units,
) -> Figure {
    let x = match outcome {
        Outcome::Value(x) if x.is_finite() => x,
        Outcome::Flag(_) | Outcome::Value(_) | Outcome::Missing(_) => {
            let middle = figures::show(measure, outcome, units);
            return Figure { middle, span: None, sign: "" };
        }
    };
    let number = |x| scale.number(measure, x, units);
    let span = band.filter(|band| band.low.is_finite() && band.high.is_finite()).and_then(|band| {
        let (low, high) = (number(band.low), number(band.high));
        (low != high).then(|| between(&low, &high))
    });
    Figure { middle: number(x), span, sign: scale.sign(measure) }
}

/// `1.7–2.8`; in words where a minus would stand against the dash.
fn between(low: &str, high: &str) -> String {
    match (low.starts_with('−'), high.strip_prefix('>')) {
        (true, _) => format!("{low} to {high}"),
        (_, Some(high)) => format!("{}–{high}+", low.trim_start_matches('>')),
        _ => format!("{low}–{high}"),
    }
}

/// A difference: `−66`, `+8`, or both ends of one that may go either way: `−0.9 to +0.5`.
pub fn difference(scale: Scale, measure: Measure, ends: &[f64], units: Units) -> String {
    let signed = |x: &f64| {
        let number = scale.number(measure, x.abs(), units);
        let nothing = number.chars().all(|c| !c.is_ascii_digit() || c == '0');
        match (nothing, *x < 0.0) {
            (true, _) => number,
            (false, true) => format!("−{number}"),
            (false, false) => format!("+{number}"),
        }
    };
    ends.iter().map(signed).collect::<Vec<_>>().join(" to ")
}

/// The unit that stands in the head over figures; none for times, counts and yes or no.
pub fn unit(measure: Measure, units: Units, currency: &str) -> &str {
    match measure.row().unit {
        Unit::PerHour => "×/h",
        Unit::Share => "%",
        Unit::Probability => "of 100",
        Unit::Ratio => "× need",
        Unit::Money => currency,
        Unit::Dose => "mJ/cm²",
        _ => figures::sign(measure, units),
    }
}
