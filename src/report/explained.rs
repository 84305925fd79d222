//! One figure explained, as a page.

use super::Row;
use super::figures::{self, Units};
use super::page::{Column, Grid, Page};
use super::sources;
use crate::assumptions::A;
use crate::judge::explain_types::Explanation;
use crate::measures::{Measure, Outcome};

/// The same as lines for a pane: each step with its numbers, what went in, the constants with their sources.
pub fn lines(explanation: &Explanation) -> Vec<String> {
    let mut lines = Vec::new();
    for step in &explanation.lines {
        lines.push(step.formula.clone());
        let equals = if step.numbers.is_empty() { String::new() } else { format!("{} ", step.numbers) };
        lines.push(format!("   {equals}= {}", step.result));
    }
    if !explanation.inputs.is_empty() {
        lines.push(String::new());
        lines.push("What went in".to_owned());
        lines.extend(
            explanation.inputs.iter().map(|i| format!("   {}: {} ({})", i.name, i.value, i.known.word())),
        );
    }
    let mut constants = explanation.constants.clone();
    constants.sort_unstable();
    constants.dedup();
    if !constants.is_empty() {
        lines.push(String::new());
        lines.push("Constants and assumptions".to_owned());
    }
    for constant in constants {
        let row = constant.entry();
        let value = format!("{} {}", sources::plain(row.value), row.unit);
        lines.push(format!("   {}: {} ({})", row.what, value.trim(), row.kind.word()));
        lines.push(format!("      {}", row.source));
    }
    lines
}

/// The figure, how it came about, what went in, and the constants behind it.
pub fn page(row: &Row, measure: Measure, explanation: &Explanation, units: Units) -> Page {
    let mut page = Page::default();
    let outcome = row.outcome(measure);
    let shown = figures::show_with_sign(measure, outcome, units);
    page.heading(format!("{}: {} {shown}", row.title(), measure.key()));
    page.prose(format!("{}.", measure.row().says));
    if let Outcome::Missing(why) = outcome {
        page.prose(format!("It cannot be told: {}.", why.words()));
    }
    page.grid(Grid {
        columns: vec![Column::words("formula"), Column::words("with these numbers"), Column::words("gives")],
        rows: explanation
            .lines
            .iter()
            .map(|step| vec![step.formula.clone(), step.numbers.clone(), step.result.clone()])
            .collect(),
    });
    page.grid(Grid {
        columns: vec![Column::words("went in"), Column::words("value"), Column::words("known")],
        rows: explanation
            .inputs
            .iter()
            .map(|input| vec![input.name.clone(), input.value.clone(), input.known.word().to_owned()])
            .collect(),
    });
    let mut constants = explanation.constants.clone();
    constants.sort_unstable();
    constants.dedup();
    page.grid(sources::grid(constants.into_iter().map(A::entry), "constant", true));
    page
}

#[cfg(test)]
mod tests {
    use super::super::{samples, text};
    use super::*;
    use crate::doubt::figure::Known;
    use crate::judge::explain_types::{Input, Step};

    #[test]
    fn steps_inputs_and_sources_stand_there_and_a_constant_only_once() {
        let explanation = Explanation {
            lines: vec![Step {
                formula: "turnover = flow / volume".to_owned(),
                numbers: "670 l/h / 180 l".to_owned(),
                result: "3.7 1/h".to_owned(),
            }],
            inputs: vec![Input {
                name: "volume".to_owned(),
                value: "180 l".to_owned(),
                known: Known::Measured,
            }],
            constants: vec![A::Gravity, A::Roughness, A::Gravity],
        };
        let row = samples::row("Tamsin", "a", Some(670.0));
        let out = text::page(&page(&row, Measure::Nitrate, &explanation, Units::Metric), false);
        assert!(out.contains("turnover = flow / volume  670 l/h / 180 l"), "{out}");
        assert!(out.contains("measured") && out.contains("It cannot be told: no tank is given."), "{out}");
        assert_eq!(out.matches(A::Gravity.entry().source).count(), 1);
    }
}
