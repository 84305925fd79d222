//! One figure explained, as a page.

use super::figures::{self, Units};
use super::page::{Column, List, Page, Table};
use super::{helps, sources};
use crate::assess::Assessment;
use crate::assess::explain_types::{Explanation, Input, Step};
use crate::measures::{Measure, Outcome};

/// The same as lines for a pane: each step with its numbers, what went in, the constants with their sources.
pub fn lines(explanation: &Explanation) -> Vec<String> {
    let mut lines = Vec::new();
    for step in &explanation.lines {
        lines.push(step.formula.clone());
        lines.push(format!("   {}", equation(step)));
    }
    let mut part = |head: &str, rows: Vec<String>| {
        if !rows.is_empty() {
            lines.push(String::new());
            lines.push(head.to_owned());
            lines.extend(rows.into_iter().map(|row| format!("   {row}")));
        }
    };
    let input = |i: &Input| format!("{}: {} ({})", i.name, i.value, i.known.word());
    part("What went in", explanation.inputs.iter().map(input).collect());
    part("Constants and assumptions", constants(explanation));
    lines
}

fn equation(step: &Step) -> String {
    if step.numbers.is_empty() { step.result.clone() } else { format!("{} = {}", step.numbers, step.result) }
}

fn step(step: &Step) -> String {
    format!("{}: {}", step.formula, equation(step))
}

/// Each constant once, in the table's order, with value, who stands behind it, and source.
fn constants(explanation: &Explanation) -> Vec<String> {
    let mut constants = explanation.constants.clone();
    constants.sort_unstable();
    constants.dedup();
    constants
        .into_iter()
        .map(|constant| {
            let row = constant.entry();
            let value = format!("{} {}", sources::plain(row.value), row.unit);
            format!("{}: {} ({}; {})", row.what, value.trim(), row.kind.word(), row.source)
        })
        .collect()
}

/// The figure, how it came about, what went in, and the constants behind it; costs in `currency`.
pub fn page(
    row: &Assessment,
    measure: Measure,
    explanation: &Explanation,
    currency: &str,
    units: Units,
) -> Page {
    let mut page = Page::default();
    let outcome = row.outcome(measure);
    let shown = figures::show_with_sign(measure, outcome, units);
    page.heading(format!("{}: {} {shown}", row.title(), measure.key()));
    page.paragraph(format!("{}.", measure.row().says));
    if let Outcome::Missing(why) = outcome {
        page.paragraph(format!("It cannot be told: {}.", why.words()));
    }
    page.list(explanation.lines.iter().map(step).collect());
    let columns = vec![Column::words("went in"), Column::words("value"), Column::words("known")];
    let input = |i: &Input| vec![i.name.clone(), i.value.clone(), i.known.word().to_owned()];
    page.table(Table::new(columns, explanation.inputs.iter().map(input)));
    page.list(constants(explanation));
    let help = |help| helps::words(row, help, currency, units);
    page.listed("What would help most", List::Lines, row.helps.iter().map(help).collect());
    page
}

#[cfg(test)]
mod tests {
    use super::super::page::Look;
    use super::super::{samples, text};
    use super::*;
    use crate::assess::explain_types::{Input, Step};
    use crate::assumptions::A;
    use crate::uncertainty::uncertain::Provenance;

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
                known: Provenance::Measured,
            }],
            constants: vec![A::Gravity, A::Roughness, A::Gravity],
        };
        let row = samples::row("Tamsin", "a", Some(670.0));
        let out =
            text::page(&page(&row, Measure::Nitrate, &explanation, "EUR", Units::Metric), Look::default());
        assert!(out.contains("turnover = flow / volume: 670 l/h / 180 l = 3.7 1/h"), "{out}");
        assert!(out.contains("measured") && out.contains("It cannot be told: no tank is given."), "{out}");
        assert_eq!(out.matches(A::Gravity.entry().source).count(), 1);
    }
}
