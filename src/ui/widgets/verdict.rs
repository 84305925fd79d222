//! Is one build better than another in a measure, or can't one tell: over the same draws of the doubt.

use crate::app::{Entry, State};
use crate::compare::better::{self};
use crate::compare::{Call, Verdict};
use crate::measures::Measure;
use crate::ui::Theme;

/// How sure it is that the second is better than the first.
pub fn verdict(state: &State, first: &Entry, other: &Entry, measure: Measure) -> Option<Verdict> {
    let aim = state.tank.as_ref().filter(|_| measure == Measure::Turnover).map(|t| t.aims.turnover);
    better::of_builds(first.judged.as_deref()?, other.judged.as_deref()?, measure, aim)
}

pub fn chip(call: Call, theme: Theme) -> ratatui::style::Style {
    match call {
        Call::Better => theme.better(),
        Call::Worse => theme.worse(),
        Call::Same | Call::Unsure => theme.text(),
    }
}
