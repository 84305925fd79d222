//! What would change the answer: figures to measure first, other priorities, and what no filter here mends.

use super::super::ranking::key_words;
use super::words::{self, in_cases};
use super::{Case, One};
use crate::measures::Measure;

/// Figures named at most.
const NAMED: usize = 2;
/// Below this chance of the first place under any weights, taste is worth a word.
const TASTE: f64 = 0.8;
/// Nitrate of candidates within this of each other is the same.
const SAME: f64 = 0.15;

pub fn change(case: &Case<'_>) -> String {
    let mut said = Vec::new();
    if !case.answer.standing.none_passes && case.doubt() && case.listed.len() > 1 {
        said.push(measure(case));
        said.extend(taste(case));
    }
    said.extend(nitrate(case));
    said.join(" ")
}

fn measure(case: &Case<'_>) -> String {
    let ones = case.listed.iter().chain(&case.further).chain(&case.silent);
    let names: Vec<(String, String)> = ones.map(|one| (one.filter.id.clone(), case.called(one))).collect();
    let top: Vec<String> = case
        .answer
        .first
        .top
        .iter()
        .take(NAMED)
        .map(|gain| {
            format!(
                "{} ({}; knowing it would change the choice {})",
                key_words(&gain.key, &names),
                gain.how(),
                in_cases(gain.changes)
            )
        })
        .collect();
    if !top.is_empty() {
        return format!("Measure first: {}.", words::list(&top));
    }
    let beyond: Vec<String> =
        case.answer.first.not_at_home.iter().take(1).map(|gain| key_words(&gain.key, &names)).collect();
    match (case.tied > 1, beyond.is_empty()) {
        (true, true) => "Nothing that can be measured at home would settle it.".to_owned(),
        (true, false) => format!(
            "Nothing that can be measured at home would settle it; what would, {}, is an assumption of the model.",
            words::list(&beyond)
        ),
        (false, _) => "Nothing that can be measured at home would clearly change that.".to_owned(),
    }
}

fn taste(case: &Case<'_>) -> Option<String> {
    let first = case.listed.first()?;
    let (any, share) = case.answer.standing.any_weights()?;
    if any != first.at {
        let other: &One<'_> = case.listed.iter().chain(&case.further).find(|one| one.at == any)?;
        return Some(format!(
            "With other priorities {} comes first most often, {}.",
            case.name(other),
            in_cases(share)
        ));
    }
    (share < TASTE && case.tied == 1).then(|| {
        format!("With any priorities at all it comes first {}, so taste has its part in it.", in_cases(share))
    })
}

/// Nitrate above the aim whatever one buys is a matter of food and water, not of filters.
fn nitrate(case: &Case<'_>) -> Option<String> {
    let aim = case.answer.tank.aims.nitrate;
    let told: Vec<(f64, &One<'_>)> =
        case.listed.iter().filter_map(|one| Some((one.number(Measure::Nitrate)?, one))).collect();
    let (low, high) = told.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), (x, _)| (l.min(*x), h.max(*x)));
    if told.is_empty() || low <= aim || high > low * (1.0 + SAME) {
        return None;
    }
    let value = |one: &One<'_>| case.with_doubt(one.row, Measure::Nitrate);
    let (_, first) = told.first()?;
    let whose = if told.len() > 1 { "with any of these" } else { "with it" };
    Some(format!(
        "Nitrate would climb to about {} {whose}, against an aim of {}: that is for food and water changes to \
         mend, not for the filter.",
        value(first),
        words::value(Measure::Nitrate, aim, "", case.answer.units)
    ))
}
