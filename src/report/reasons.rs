//! Words for which of two is better, and why they differ.

use super::figures::{self, Units};
use crate::compare::better::{Side, Verdict};
use crate::compare::reasons::NoReasons;
use crate::compare::shapley::Why;
use crate::measures::{Measure, Outcome};

/// What was found about builds set beside the first.
#[derive(Clone, Debug, Default)]
pub struct Reasoned {
    /// For each measure, each further build against the first; none where it cannot be compared.
    pub verdicts: Vec<(Measure, Vec<Option<Verdict>>)>,
    /// Why they differ, measure by measure.
    pub because: Vec<Because>,
}

/// Why one further build differs from the first.
#[derive(Clone, Debug)]
pub struct Because {
    /// Which build; 0 is the second.
    pub further: usize,
    pub measure: Measure,
    /// The shares, or why there are none.
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
                Some(format!("why {} differs cannot be told: {}", because.measure.key(), none.words()))
            }
        };
        self.because.iter().filter_map(line).collect()
    }
}

/// `B in 99 %`, `A in 93 %`, or `can't tell (71 %)` with the chance of the likelier one.
pub fn verdict(verdict: Verdict, letter: char) -> String {
    match verdict.better {
        Some(Side::First) => format!("A in {}", figures::share(verdict.chance)),
        Some(Side::Second) => format!("{letter} in {}", figures::share(1.0 - verdict.chance)),
        None => {
            let likelier = verdict.chance.max(1.0 - verdict.chance);
            format!("can't tell ({})", figures::share(likelier))
        }
    }
}

/// `better 99 %`, `worse 93 %` or `can't tell`, of the one held against the first.
pub fn against_first(verdict: Verdict) -> String {
    match verdict.better {
        Some(Side::First) => format!("worse {}", figures::share(verdict.chance)),
        Some(Side::Second) => format!("better {}", figures::share(1.0 - verdict.chance)),
        None => "can't tell".to_owned(),
    }
}

/// `why worked differs: stack +212, seals and fit +87 (adds to +299 l/h)`.
pub fn why(why: &Why, measure: Measure, units: Units) -> String {
    let signed = |x: f64| figures::difference(measure, Outcome::Value(0.0), Outcome::Value(x), units);
    let mut shares: Vec<_> = why.shares.iter().filter(|share| share.group.bits != 0).collect();
    if shares.is_empty() {
        return "nothing that the model sees differs between the two".to_owned();
    }
    shares.sort_by(|a, b| b.amount.abs().total_cmp(&a.amount.abs()));
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
