//! One figure explained, as a page.

use super::figures::{self, Units};
use super::page::List;
use super::wording::mends::mend;
use super::wording::steps::Worded;
use super::wording::values::value;
use super::{Column, Page, Table, sources, wording};
use crate::assess::assessment::Help;
use crate::assess::trace::Input;
use crate::assess::{Assessment, Trace};
use crate::measures::{Measure, Outcome};

/// The same as lines for a pane: each step with its numbers, what went in, the constants with their sources.
pub fn lines(trace: &Trace, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    for step in wording::steps::steps(trace, units) {
        lines.push(format!("   {}", equation(&step)));
        let at = lines.len() - 1;
        lines.insert(at, step.formula);
    }
    let mut part = |head: &str, rows: Vec<String>| {
        if !rows.is_empty() {
            lines.push(String::new());
            lines.push(head.to_owned());
            lines.extend(rows.into_iter().map(|row| format!("   {row}")));
        }
    };
    let input =
        |i: &Input| format!("{}: {} ({})", i.name, value(&i.value, &trace.currency, units), i.known.word());
    part("What went in", trace.inputs.iter().map(input).collect());
    part("Constants and assumptions", constants(trace));
    lines
}

fn equation(step: &Worded) -> String {
    match (step.numbers.as_str(), step.result.as_str()) {
        ("", one) | (one, "") => one.to_owned(),
        (numbers, result) => format!("{numbers} = {result}"),
    }
}

fn step(step: &Worded) -> String {
    format!("{}: {}", step.formula, equation(step))
}

/// Each constant once, in the table's order, with value, who stands behind it, and source.
fn constants(trace: &Trace) -> Vec<String> {
    let mut constants = trace.constants.clone();
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
pub fn page(row: &Assessment, measure: Measure, trace: &Trace, currency: &str, units: Units) -> Page {
    let mut page = Page::default();
    let outcome = row.outcome(measure);
    let shown = figures::show_with_sign(measure, outcome, units);
    page.heading(format!("{}: {} {shown}", row.title(), measure.key()));
    page.paragraph(format!("{}.", measure.row().says));
    if let Outcome::Missing(why) = outcome {
        page.paragraph(wording::cannot(why));
    }
    page.paragraph(super::log::beside(row, measure, units));
    page.list(wording::steps::steps(trace, units).iter().map(step).collect());
    let columns = vec![Column::words("went in"), Column::words("value"), Column::words("known")];
    let input =
        |i: &Input| vec![i.name.clone(), value(&i.value, &trace.currency, units), i.known.word().to_owned()];
    page.table(Table::new(columns, trace.inputs.iter().map(input)));
    page.list(constants(trace));
    let help = |help| helped(row, help, currency, units);
    page.listed("What would help most", List::Lines, row.helps.iter().map(help).collect());
    page
}

/// One improvement: what to do, every measure it moves, and what it costs in `currency`.
pub fn helped(judged: &Assessment, help: &Help, currency: &str, units: Units) -> String {
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
