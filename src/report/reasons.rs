//! Words for which of two is better, and why they differ.

use super::Scale;
use super::figures::{self, Units};
use super::spans::{self};
use crate::compare::reasons::NoReasons;
use crate::compare::{Call, Verdict, Why};
use crate::measures::{Measure, Outcome, Unit};
use crate::order::InOrder;

/// What was found about builds set beside the first.
#[derive(Clone, Debug, Default)]
pub struct Reasoned {
    /// For each measure, each further build against the first; none where it cannot be compared.
    pub verdicts: Vec<(Measure, Vec<Option<Verdict>>)>,
    pub because: Vec<Because>,
}

#[derive(Clone, Debug)]
pub struct Because {
    /// Which build; 0 is the second.
    pub further: usize,
    pub measure: Measure,
    pub why: Result<Why, NoReasons>,
}

impl Reasoned {
    /// Build number `further` (0 is the second) against the first.
    pub fn verdict(&self, measure: Measure, further: usize) -> Option<Verdict> {
        let (_, all) = self.verdicts.iter().find(|(m, _)| *m == measure)?;
        all.get(further).copied().flatten()
    }

    /// Lines that say why, ready to show: differences that are there, and what cannot be told.
    pub fn lines(&self, units: Units) -> Vec<String> {
        let line = |because: &Because| match &because.why {
            Ok(found) if (found.first - found.second).abs() > 0.0 => {
                let letter = ('B'..).nth(because.further)?;
                Some(format!("{letter} from A, {}", why(found, because.measure, units)))
            }
            Ok(_) => None,
            Err(none) => {
                Some(format!("why {} differs cannot be told: {}", because.measure.row().head, none.words()))
            }
        };
        self.because.iter().filter_map(line).collect()
    }
}

/// The sign of a verdict, which carries it without colour.
pub fn sign(call: Call) -> &'static str {
    match call {
        Call::Same => "≈",
        Call::Better => "▲",
        Call::Worse => "▼",
        Call::Unsure => "?",
    }
}

/// `▲ better`.
pub fn mark(call: Call) -> String {
    format!("{} {}", sign(call), call.word())
}

/// By how much: `−66`; both ends where it is unsure, `−0.9 to +0.5`; nothing where the two are the same.
pub fn by(verdict: &Verdict, measure: Measure, units: Units) -> String {
    if measure.row().unit == Unit::YesNo {
        return String::new();
    }
    let scale = Scale::of([verdict.low, verdict.middle, verdict.high]);
    let ends = match verdict.call {
        Call::Same => return String::new(),
        Call::Better | Call::Worse => vec![verdict.middle],
        Call::Unsure => vec![verdict.low, verdict.high],
    };
    let said = spans::difference(scale, measure, &ends, units);
    format!("{said} {}", scale.sign(measure)).trim_end().to_owned()
}

/// How sure it is: `93 of 100`, or `surely`; nothing where the two are the same, or without cases.
pub fn sure(verdict: &Verdict) -> String {
    let of = verdict.of_100;
    match verdict.call {
        Call::Same => String::new(),
        _ if verdict.cases < 2 => String::new(),
        Call::Better | Call::Worse if of > 99.5 => "surely".to_owned(),
        Call::Unsure if verdict.little => "by little".to_owned(),
        // Nine of ten would be a verdict: never rounded up to it.
        Call::Unsure => format!("{:.0} of 100", of.floor()),
        _ => format!("{:.0} of 100", of.min(99.0)),
    }
}

/// What the sums of reasons are of.
pub const AT_MIDDLE: &str =
    "why: with every input at its middle figure; the middle of all cases may lie a little beside it";

/// `why worked differs: stack +212, seals and fit +87 (adds to +299 l/h)`.
pub fn why(why: &Why, measure: Measure, units: Units) -> String {
    let signed = |x: f64| figures::difference(measure, Outcome::Value(0.0), Outcome::Value(x), units);
    let mut shares: Vec<_> = why.shares.iter().filter(|share| share.group.bits != 0).collect();
    if shares.is_empty() {
        return "nothing that the model sees differs between the two".to_owned();
    }
    shares.order_by(|a, b| b.amount.abs().total_cmp(&a.amount.abs()));
    // A share that no digit shows is no reason.
    let shows = |x: f64| signed(x).contains(|c: char| ('1'..='9').contains(&c));
    let told: Vec<String> = shares
        .iter()
        .filter(|share| shows(share.amount))
        .map(|share| format!("{} {}", share.group.label(), signed(share.amount)))
        .collect();
    if told.is_empty() {
        return format!("{} hardly differs", measure.row().head);
    }
    let sum = format!("{} {}", signed(why.second - why.first), figures::sign(measure, units));
    format!("why {} differs: {} (adds to {})", measure.row().head, told.join(", "), sum.trim())
}
