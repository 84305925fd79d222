//! What would help most, in words.

use super::figures::{self, Units};
use super::wording::mends::mend;
use crate::assess::assessment::{Assessment, Help};
use crate::measures::{Measure, Outcome};

/// One improvement: what to do, every measure it moves, and what it costs in `currency`.
pub fn words(judged: &Assessment, help: &Help, currency: &str, units: Units) -> String {
    let moves = [
        (Measure::FilteredFlow, help.worked),
        (Measure::Flow, help.flow),
        (Measure::OpeningInterval, help.service),
        (Measure::Bypass, help.bypass),
    ];
    let mut said: Vec<String> = Vec::new();
    for (measure, after) in moves {
        let Some(after) = after else { continue };
        let (before, after) = (judged.outcome(measure), Outcome::Value(after));
        if figures::show(measure, before, units) != figures::show(measure, after, units) {
            said.push(format!(
                "{} {} → {}",
                measure.row().head,
                figures::show(measure, before, units),
                figures::show_with_sign(measure, after, units)
            ));
        }
    }
    if let Some(cost) = help.cost {
        let cost = figures::show(Measure::RepairCost, Outcome::Value(cost), units);
        said.push(format!("costs {cost} {currency}").trim_end().to_owned());
    }
    let what = mend(&help.what, units);
    if said.is_empty() { what } else { format!("{what}: {}", said.join(", ")) }
}
