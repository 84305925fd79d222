//! What would help most, in words.

use super::figures::{self, Units};
use crate::judge::result::{Help, Judgement};
use crate::measures::{Measure, Outcome};

/// One improvement: what to do, and every measure it moves.
pub fn words(judged: &Judgement, help: &Help, units: Units) -> String {
    let moves = [
        (Measure::WorkedFlow, help.worked),
        (Measure::Flow, help.flow),
        (Measure::Service, help.service),
        (Measure::Bypass, help.bypass),
    ];
    let mut said: Vec<String> = Vec::new();
    for (measure, after) in moves {
        let Some(after) = after else { continue };
        let (before, after) = (judged.get(measure), Outcome::Value(after));
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
        said.push(format!("costs {}", figures::show(Measure::PutRight, Outcome::Value(cost), units)));
    }
    if said.is_empty() { help.what.clone() } else { format!("{}: {}", help.what, said.join(", ")) }
}
